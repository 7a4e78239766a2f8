"""A panel of many places can be read: every place is numbered at its hole, in the view of the whole or of a portion."""

from __future__ import annotations

import functools
from collections import Counter

import pytest

from dryfit.generators.drawing.arrangement import assembly_drawing
from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.drawing.marks import Block, Clip, Drawing, Text
from dryfit.generators.drawing.paper import paper
from dryfit.models.geometry.points import Point
from dryfit.models.job import Job
from tests.generators.drawing.jobs import crowd, ninety_six
from tests.generators.drawing.sheets_seen import crossed_texts, outside, overlapping_texts
from tests.generators.drawing.stacks_for import assembly_of

PAPERS = ("A4", "A3")


@functools.cache
def fabrication(size: str) -> Drawing:
    return shop_drawing(crowd(), size)


@functools.cache
def assembly(size: str) -> Drawing:
    return assembly_drawing(crowd(), assembly_of(crowd()), size)


def views(drawing: Drawing, side: str) -> dict[str, Block]:
    """Return the views of one side by their names."""
    blocks = [block for sheet in drawing.sheets for block in sheet.blocks]
    return {b.name: b for b in blocks if b.name.startswith(side) and b.name.endswith("view")}


def numbers(block: Block, job: Job) -> list[Text]:
    """Return the numbers of places in a view: texts that are numbers and stand in no ordinate's row."""
    window = next((mark.window for mark in block.marks if isinstance(mark, Clip)), block.box)
    told = [mark for mark in block.marks if isinstance(mark, Text) and mark.text.isdigit()]
    return [t for t in told if window.holds(t.box) and int(t.text) <= len(job.places) and not t.upright]


def portions_of(drawing: Drawing, side: str) -> list[Block]:
    return [block for name, block in views(drawing, side).items() if "portion" in name]


@pytest.mark.parametrize("size", PAPERS)
def test_every_place_is_numbered_once_in_the_portions(size: str) -> None:
    job = crowd()
    for drawing in (fabrication(size), assembly(size)):
        told = Counter(text.text for block in portions_of(drawing, "front") for text in numbers(block, job))
        assert told == Counter(str(n) for n in range(1, len(job.places) + 1))


def test_parts_from_the_rear_have_portions_from_the_rear() -> None:
    told = Counter(text.text for block in portions_of(assembly("A3"), "rear") for text in numbers(block, crowd()))
    assert told == Counter(str(n) for n in range(1, len(crowd().places) + 1))
    assert portions_of(fabrication("A3"), "rear") == []


@pytest.mark.parametrize("size", PAPERS)
def test_a_number_is_nearer_to_its_own_hole_than_to_any_other(size: str) -> None:
    """By the places' axes alone: all parts of this panel are alike, and numbers stand at their holes."""
    job = crowd()
    for block in portions_of(fabrication(size), "front"):
        told = numbers(block, job)
        spots = {t.text: t.box.centre for t in told}
        at = {str(n): place.at for n, place in enumerate(job.places, start=1)}
        first, last = min(spots, key=int), max(spots, key=int)
        scale = (spots[last] - spots[first]).length / (at[last] - at[first]).length
        off = Point(*spots[first]) - at[first] * scale
        for text, spot in spots.items():
            assert min(spots, key=lambda other: ((at[other] * scale + off) - spot).length) == text


@pytest.mark.parametrize("size", PAPERS)
def test_the_whole_view_tells_where_every_portion_is(size: str) -> None:
    drawing = fabrication(size)
    found = views(drawing, "front")
    whole = found.pop("front view")
    told = [mark.text for mark in whole.marks if isinstance(mark, Text) and mark.masked]
    assert told == [str(n) for n in range(1, len(found) + 1)]
    assert {f"front portion {n} view" for n in told} == {*found}


@pytest.mark.parametrize("size", PAPERS)
def test_portions_can_be_read(size: str) -> None:
    page = paper(size)
    for drawing in (fabrication(size), assembly(size)):
        for sheet in drawing.sheets:
            assert outside(sheet, page.frame) == []
            assert overlapping_texts(sheet) == []
            assert crossed_texts(sheet) == []


def test_a_view_that_can_number_its_places_stays_whole() -> None:
    assert [*views(shop_drawing(ninety_six(), "A3"), "front")] == ["front view"]
