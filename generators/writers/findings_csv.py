"""The findings as CSV: a row each, worst first, for a spreadsheet in which a shop ticks off what was mended."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from dryfit.generators.report import Report
from dryfit.generators.writers.holes_csv import as_text
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.findings import Finding

HEADINGS = ("verdict", "place", "check", "margin", "unit", "says", "remedy", "beside", "same cause", "source")
DECIMALS = 3  # of the margin: micrometres


@file_kind("report", "findings.csv", "All findings for a spreadsheet, worst first.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, findings_csv(order.report).encode())


def findings_csv(report: Report) -> str:
    """Return all findings, worst first, else in the order of telling; a margin is at least zero where it fits."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    rows.writerow(HEADINGS)
    rows.writerows(_row(finding) for finding in sorted(report.findings, key=lambda f: -f.verdict.rank))
    return out.getvalue()


def _row(finding: Finding) -> tuple[str, ...]:
    margin = "" if finding.margin is None else f"{round(finding.margin, DECIMALS) + 0.0:.{DECIMALS}f}"
    told = (finding.says, finding.advice, ", ".join(finding.beside), ", ".join(finding.also), finding.source)
    return (str(finding.verdict), as_text(finding.place), finding.check, margin, finding.unit, *map(as_text, told))
