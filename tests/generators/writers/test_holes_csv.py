"""The hole chart as CSV: every hole from two datums in two units, and nothing that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from dryfit.generators.writers.holes_csv import holes_csv
from dryfit.generators.writers.spreadsheet import as_text
from dryfit.models.job import Job
from tests.generators.drawing.jobs import EVERY, eight, one, place

AXES = ("x", "y")
DATUMS = ("lower left", "centre")


def rows(job: Job) -> list[dict[str, str]]:
    """Return the chart as a CSV reader sees it."""
    return list(csv.DictReader(io.StringIO(holes_csv(job), newline="")))


@pytest.mark.parametrize("name", EVERY)
def test_every_hole_has_a_line(name: str) -> None:
    job = EVERY[name]()
    assert [row["purpose"] for row in rows(job)] == [hole.purpose for hole in job.holes()]


@pytest.mark.parametrize("name", ["1", "8", "24", "portrait"])
def test_positions_from_both_datums_agree_in_both_units(name: str) -> None:
    job = EVERY[name]()
    half = {"x": job.panel.width / 2, "y": job.panel.height / 2}
    for row in rows(job):
        for axis in AXES:
            low, middle = (float(row[f"{axis} from {datum} mm"]) for datum in DATUMS)
            assert low - middle == pytest.approx(half[axis], abs=2e-3)
            for datum in DATUMS:
                inches, mm = (float(row[f"{axis} from {datum} {unit}"]) for unit in ("in", "mm"))
                assert inches * 25.4 == pytest.approx(mm, abs=2e-3)


def test_round_holes_stand_where_the_panel_has_them() -> None:
    job = eight()
    for row, hole in zip(rows(job), job.holes(), strict=True):
        if hole.outline.is_circle:
            spot = (float(row["x from centre mm"]), float(row["y from centre mm"]))
            assert spot == pytest.approx(hole.outline.centre, abs=1e-3)
            assert float(row["size before coating mm"]) == pytest.approx(hole.outline.size.width, abs=1e-3)
            assert float(row["size before coating in"]) * 25.4 == pytest.approx(hole.outline.size.width, abs=2e-3)
            assert float(row["size after coating mm"]) == pytest.approx(hole.outline.size.width - 0.12, abs=1e-3)


def test_countersinks_are_told_with_their_side() -> None:
    columns = ("place", "countersink mm", "countersink angle deg", "countersink side")
    assert {tuple(row[c] for c in columns) for row in rows(eight()) if row["countersink mm"]} == {
        ("SEND", "6.3", "90", "front"),
        ("RETURN", "6.3", "90", "rear"),
    }  # fmt: skip


@pytest.mark.parametrize("name", ["=1+1", "+49", "-X", "@SUM(A1)", "\t=1", "\r=1", "  =1+1", "\uff1d1+1"])
def test_a_label_is_never_a_formula(name: str) -> None:
    told = rows(replace(one(), places=(place(name, 0, 0),)))
    assert {row["place"] for row in told} == {f"'{name}"}


@pytest.mark.parametrize("name", ["MIC 1", "a=b", "LEFT, RIGHT", 'the "B" side', "Ünï", "it's"])
def test_a_plain_label_is_kept_as_it_is(name: str) -> None:
    assert {row["place"] for row in rows(replace(one(), places=(place(name, 0, 0),)))} == {name}


def test_as_text_leaves_numbers_of_ours_alone() -> None:
    assert as_text("12.5") == "12.5"
    for row in rows(eight()):
        for column in row:
            if column.endswith((" mm", " in")) and row[column]:
                float(row[column])
