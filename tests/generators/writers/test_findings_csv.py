"""Findings for a spreadsheet: read back by the plain CSV reader."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from dryfit.generators.report import Report
from dryfit.generators.writers.findings_csv import findings_csv
from tests.helpers import place, report


def _rows(of: Report) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(findings_csv(of))))


def test_every_finding_has_a_row_and_what_fails_stands_first(tmp_path: Path) -> None:
    made = report(
        tmp_path,
        place("xlr3-socket", hardware="{screw: M3, length: 8 mm, head: countersunk, nut: hexagon, washers: [tooth]}"),
    )
    rows = _rows(made)
    assert len(rows) == len(made.findings)
    verdicts = [row["verdict"] for row in rows]
    assert verdicts == sorted(verdicts, key=["fails", "tight", "fits"].index)
    assert rows[0]["check"] == "screw-length"
    assert float(rows[0]["margin"]) < 0
    assert rows[0]["remedy"].startswith("Take M3 x")


def test_what_fits_has_a_margin_of_at_least_zero_or_none(tmp_path: Path) -> None:
    for row in _rows(report(tmp_path, place("mains-quarter-turn-inlet"))):
        assert row["verdict"] != "fits" or not row["margin"] or float(row["margin"]) >= 0, row


def test_a_name_that_a_spreadsheet_would_run_stays_text(tmp_path: Path) -> None:
    rows = _rows(report(tmp_path, place("xlr3-socket", label='"=1+1"')))
    assert {row["place"] for row in rows} == {"'=1+1"}
