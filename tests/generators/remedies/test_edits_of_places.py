"""Edits that strategies write: read back, they make just the hole and the hardware that were meant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.remedies import edits
from dryfit.models.edits import Edit
from dryfit.models.geometry.outlines import Outline, box, d_shape, hexagon, polygon, round_, slot
from dryfit.models.geometry.points import Point
from dryfit.models.job import Cutout
from dryfit.models.resolve import with_edits
from tests.plain import M3, asked, at, plain_job

SHAPES = [
    round_(21.3), round_(20).moved(0.5, -0.25), box(20, 12), box(20, 12, 1.5), box(20, 12).moved(1, 2), hexagon(20),
    polygon(((-10, -6), (9, -6), (4, 8)), 1.0),
]  # fmt: skip


@pytest.mark.parametrize("main", SHAPES, ids=range(len(SHAPES)))
@pytest.mark.parametrize("before", ["{}", "{hole: 22}", "{outline: {box: [22, 21]}}"])
def test_a_main_hole_is_read_back_as_it_was_meant(tmp_path: Path, main: Outline, before: str) -> None:
    job = plain_job(tmp_path, at(0, cutout=before))
    place = job.places[0]
    after = with_edits(job, edits.cutout(place, replace(place.cutout, main=main)))
    assert after is not None
    found = after.places[0].cutout.main
    assert tuple(found.box) == pytest.approx(tuple(main.box), abs=1e-3)
    assert found.area == pytest.approx(main.area, abs=0.01)
    assert after.places[0].cutout.fixings == place.cutout.fixings


def test_fixings_and_their_size_are_read_back(tmp_path: Path) -> None:
    job = plain_job(tmp_path, at(0, cutout="{across: 28, up: 2, mirror: true}"))
    place = job.places[0]
    wanted = (Point(-14.1234, 1.0), Point(14.1234, -1.0))
    made = edits.cutout(place, replace(place.cutout, fixings=wanted, fixing_diameter=3.55))
    after = with_edits(job, made)
    assert after is not None
    assert [tuple(p) for p in after.places[0].cutout.fixings] == [pytest.approx(p) for p in wanted]
    assert after.places[0].cutout.fixing_diameter == 3.55
    assert after.places[0].cutout.main == place.cutout.main


def test_what_is_as_it_was_is_not_written(tmp_path: Path) -> None:
    place = plain_job(tmp_path, at(0)).places[0]
    assert edits.cutout(place, place.cutout) == ()
    only = edits.cutout(place, replace(place.cutout, fixing_diameter=3.6))
    assert only == (Edit(0, ("cutout", "fixings"), 3.6),)
    moved: Cutout = replace(place.cutout, main=round_(23))
    assert edits.cutout(place, moved) == (Edit(0, ("cutout", "hole"), 23), Edit(0, ("cutout", "outline"), None))


def test_a_d_keeps_the_least_of_its_radii(tmp_path: Path) -> None:
    assert edits.as_written(d_shape(20, 18))["corner"] == 0
    assert edits.as_written(slot(20, 8))["corner"] == 4


def test_an_outline_is_written_with_its_sharp_corners_and_one_radius() -> None:
    assert edits.as_written(box(20, 12, 1.5)) == {
        "polygon": [[10, 6], [-10, 6], [-10, -6], [10, -6]], "corner": 1.5,
    }  # fmt: skip
    assert edits.as_written(round_(20).moved(1, 2)) == {"round": 20, "at": [1, 2]}


def test_lengths_are_written_to_a_tenth_of_a_micrometre() -> None:
    assert edits.tidy(1.23456789) == 1.2346


def test_hardware_is_asked_for_with_the_metal_of_the_place(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("}", ", metal: brass}")))
    assert edits.hardware(of.job.places[0], of.stacks["A"]) == Edit(
        0, ("hardware",),
        {"screw": "M3", "length": "12 mm", "head": "pan", "nut": "hexagon", "washers": [], "metal": "brass"},
    )  # fmt: skip
    bare = asked(tmp_path, at(0))
    assert "metal" not in edits.hardware(bare.job.places[0], bare.stacks["A"]).value
    rivet = asked(tmp_path, at(0, hardware="{screw: rivet 3.2 mm, length: 8, metal: brass}"))
    assert "metal" not in edits.hardware(rivet.job.places[0], rivet.stacks["A"]).value


def test_a_place_is_written_from_where_the_layout_measures(tmp_path: Path) -> None:
    job = plain_job(tmp_path, at(0))
    assert edits.moved(job, job.places, Point(1.23456, -2)) == (Edit(0, ("at",), [1.235, -2]),)
    assert edits.moved(replace(job, origin_centre=False), job.places, Point(1, -2)) == (Edit(0, ("at",), [101, 48]),)


def test_each_place_of_a_row_that_was_worked_out_is_written(tmp_path: Path) -> None:
    job = plain_job(tmp_path, "  - {part: plain, count: 2, row: {pitch: 50}}")
    gone = Edit(0, ("row",), None)
    assert edits.moved(job, job.places, Point(1, -2)) == (gone, Edit(0, ("at",), [[-24, -2], [26, -2]]))
    wider = edits.spread(job, job.places, Point(60, 0), [Point(-5, 0), Point(5, 0)])
    assert wider == (gone, Edit(0, ("at",), [[-30, 0], [30, 0]]))
    moved = with_edits(job, wider)
    assert moved is not None
    assert [place.x for place in moved.places] == [-30, 30]


def test_a_row_is_all_that_one_entry_makes(tmp_path: Path) -> None:
    job = plain_job(tmp_path, f"{at(-80, count='2', pitch='45')}\n{at(60, label='B')}")
    assert [p.x for p in edits.row(job, job.places[1])] == [-80, -35]
    assert [p.name for p in edits.row(job, job.places[2])] == ["B"]


@pytest.mark.parametrize(
    ("mm", "step", "whole"),
    [(0.0, 0.5, 0.0), (0.01, 0.5, 0.5), (0.5, 0.5, 0.5), (0.51, 0.5, 1.0), (0.1 + 0.2, 0.1, 0.3), (0.3001, 0.1, 0.4)],
)
def test_lengths_go_up_to_whole_steps_but_for_rounding(mm: float, step: float, whole: float) -> None:
    assert edits.stepped(mm, step) == pytest.approx(whole)
