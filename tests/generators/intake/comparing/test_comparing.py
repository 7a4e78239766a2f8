"""What came back against what was asked for: every fault is found, a true copy is told to be one."""

from __future__ import annotations

import csv
import io
import json
import random
from dataclasses import replace

import pytest

from dryfit.generators.intake.comparing.compare import Comparison, compare
from dryfit.generators.intake.comparing.picture import comparison_picture
from dryfit.generators.intake.comparing.tables import comparison_csv, comparison_json
from dryfit.generators.intake.plates.plate import plate_of
from dryfit.generators.intake.reading.dxf import drawing
from dryfit.generators.writers.svg import svg_text
from tests.came_back import FAULTS, Asked, Copy, Fault, asked

SUNK = "sunk"
PLANTED = [fault for fault in FAULTS if SUNK in fault[3]]


def of(asked: Asked, seed: int, *faults: Fault) -> Comparison:
    copy = Copy(asked, random.Random(seed))
    for _, spoil, _, _ in faults:
        spoil(copy)
    return copy.compared()


@pytest.mark.parametrize("fault", PLANTED, ids=[fault[0] for fault in PLANTED])
def test_a_planted_fault_is_found_as_what_it_is(fault: Fault) -> None:
    found = of(asked(SUNK, general=True), 5, fault)
    assert fault[2] in {one.kind for one in found.differences}
    assert found.verdict == "fails"


def test_a_true_copy_is_what_was_asked_for() -> None:
    found = of(asked(SUNK, general=True), 0)
    assert found.differences == ()
    assert found.summary == "fits: it is what was asked for; 16 of 16 holes are as asked for"


def test_a_shift_is_told_by_how_much_and_how_much_may_be() -> None:
    copy = Copy(asked(SUNK, general=True), random.Random(0))
    item, entity = next(pair for pair in copy.holes if pair[0].hole.place == "FUSE")
    entity.translate(0.7, -0.1, 0)
    (one,) = copy.compared().differences
    assert (one.kind, one.place, one.letter) == ("shifted", "FUSE", item.kind.letter)
    assert one.says == "stands 0.7 mm to the right and 0.1 mm down"
    assert one.off == pytest.approx(0.7, abs=0.001)
    assert one.allowed == 0.3  # ISO 2768-m, 30 to 120 mm


@pytest.mark.parametrize("together", [0.3, 1.5])
def test_fixing_holes_that_stand_off_together_are_not_taken_for_their_place(together: float) -> None:
    copy = Copy(asked(SUNK, general=True), random.Random(0))
    for item, entity in copy.holes:
        if item.hole.place == "OUT 1" and item.hole.purpose == "fixing":
            entity.translate(0, together, 0)
    found = copy.compared().differences
    assert found
    assert {(one.kind, one.place) for one in found} == {("shifted", "OUT 1")}


def test_holes_under_their_coating_are_compared_with_coated_ones() -> None:
    ours = asked(SUNK, general=True)
    coated = replace(ours.job, panel=replace(ours.job.panel, coating=0.2))
    plate = plate_of(drawing(ours.file), "x.dxf")
    smaller = compare(coated, plate, ours.allowed, coated=True)
    assert {one.kind for one in smaller.differences} >= {"size"}
    assert compare(coated, plate, ours.allowed).differences == ()


@pytest.fixture(scope="module")
def spoiled() -> Comparison:
    """A copy with a fault of five kinds."""
    wanted = ("a hole missing", "a hole too many", "a place shifted", "a square for a round hole", "a cut-out turned")
    return of(asked(SUNK, general=True), 11, *(fault for fault in FAULTS if fault[0] in wanted))


def test_table_json_and_picture_number_the_same_differences(spoiled: Comparison) -> None:
    count = len(spoiled.differences)
    table = list(csv.reader(io.StringIO(comparison_csv(spoiled), newline="")))
    data = json.loads(comparison_json(spoiled))
    assert count >= 5
    assert [row[0] for row in table[1:]] == [str(n + 1) for n in range(count)]
    assert [row[1] for row in table[1:]] == [one["what"] for one in data["differences"]]
    assert (data["verdict"], data["holes"]) == ("fails", spoiled.asked)
    assert comparison_json(spoiled) == comparison_json(spoiled)


def test_the_picture_tells_differences_by_shape_not_by_colour_alone(spoiled: Comparison) -> None:
    sheet = comparison_picture(spoiled)
    (view,) = (block for block in sheet.blocks if block.name == "panel from the front")
    numbers = {text for mark in view.marks if (text := getattr(mark, "text", ""))}
    assert {n for text in numbers for n in text.split(", ")} == {str(n + 1) for n in range(len(spoiled.differences))}
    svg = svg_text(sheet)
    assert "stroke-dasharray" in svg
    assert svg_text(comparison_picture(spoiled)) == svg
