"""The drill template: every hole at true size on some tile, tiles that join, bars on every page, a drill for each."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.generators.drawing.marks import Clip, Drawing, Mark, Pen, Sheet, Stroke
from dryfit.generators.drawing.template import (
    MATCH_RADIUS,
    OVERLAP,
    TAB,
    drill_template,
    joints_of,
    match_lines,
    page_for,
    tiles_of,
)
from dryfit.generators.lists.holes import hole_chart, lettered_holes
from dryfit.models.geometry.contours import Circle, Curve, contour
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Job
from dryfit.models.reading.errors import UnknownName
from tests.generators.drawing.jobs import EVERY, eight, large, one
from tests.generators.drawing.sheets_seen import crossed_marks, overlapping_texts, texts

DRAWN: dict[tuple[str, str], Drawing] = {}
CASES = [(name, "A4") for name in EVERY] + [("8", "Letter"), ("96", "Letter"), ("large", "Letter")]


@pytest.fixture(params=CASES, ids="-".join)
def drawn(request: pytest.FixtureRequest) -> tuple[Job, Drawing]:
    """A job and its template; each is drawn once."""
    name, size = request.param
    made = EVERY[name]()
    if request.param not in DRAWN:
        DRAWN[request.param] = drill_template(made, size)
    return made, DRAWN[request.param]


def _tiles(drawing: Drawing) -> list[tuple[Sheet, Clip]]:
    found = [
        (s, m) for s in drawing.sheets for b in s.blocks if b.name == "tile" for m in b.marks if isinstance(m, Clip)
    ]
    assert found
    return found


def _shapes(group: Clip) -> list[Stroke]:
    return [mark for mark in group.marks if isinstance(mark, Stroke)]


def test_no_text_overlaps_another_or_leaves_the_page(drawn: tuple[Job, Drawing]) -> None:
    for sheet in drawn[1].sheets:
        assert overlapping_texts(sheet) == []
        page = Rectangle(5.0, 5.0, sheet.width - 5, sheet.height - 5)
        assert [t.text for t in texts(sheet.marks) if not page.holds(t.box)] == []
        for block in sheet.blocks:
            for group in block.marks:
                if isinstance(group, Clip):
                    assert [t.text for t in texts(group.marks) if not group.window.holds(t.box)] == []


def test_no_line_runs_through_a_text(drawn: tuple[Job, Drawing]) -> None:
    assert [t.text for _, group in _tiles(drawn[1]) for t in crossed_marks(group.marks)] == []


def test_every_hole_can_be_drilled_from_some_tile(drawn: tuple[Job, Drawing]) -> None:
    """Its whole centre cross is on a tile; up to the overlap, the whole hole is."""
    job, drawing = drawn
    seen: dict[tuple[float, float], list[bool]] = {}
    for sheet, group in _tiles(drawing):
        dx, dy = _shift(job, sheet, group)
        for item in lettered_holes(job):
            at, arm = item.at + Point(dx, dy), min(5.0, item.kind.diameter / 2 + 1.5)
            there = group.window.holds(Rectangle(*at, *at).grown(arm))
            if max(item.hole.outline.size) <= OVERLAP:
                there = there and group.window.holds(contour(item.hole.outline.moved(dx, dy)).box)
            seen.setdefault(item.at, []).append(there)
    assert [at for at, found in seen.items() if not any(found)] == []


def _shift(job: Job, sheet: Sheet, group: Clip) -> tuple[float, float]:
    """Return where the panel's centre lies on a page, read off the panel's own outline."""
    panel = job.panel
    whole = (m.box for m in _shapes(group))
    left, bottom, _, _ = next(
        b for b in whole if abs(b.width - panel.width) < 1e-6 and abs(b.height - panel.height) < 1e-6
    )
    assert Rectangle.at((left, bottom), (panel.width, panel.height)).overlaps(
        Rectangle(0, 0, sheet.width, sheet.height)
    )
    return (left + panel.width / 2, bottom + panel.height / 2)


def test_every_hole_is_drawn_at_its_own_size(drawn: tuple[Job, Drawing]) -> None:
    job, drawing = drawn
    for sheet, group in _tiles(drawing):
        dx, dy = _shift(job, sheet, group)
        drawn_boxes = {tuple(round(v, 3) for v in m.box) for m in _shapes(group)}
        for item in lettered_holes(job):
            where = contour(item.hole.outline.moved(dx, dy)).box
            if where.overlaps(group.window):
                assert any(all(abs(a - b) < 0.002 for a, b in zip(where, b_, strict=True)) for b_ in drawn_boxes)


@pytest.mark.parametrize("make", [eight, large])
def test_match_marks_of_neighbours_lie_on_each_other(make: object) -> None:
    job: Job = make()  # type: ignore[operator]
    marks = []
    for sheet, group in _tiles(drill_template(job)):
        dx, dy = _shift(job, sheet, group)
        rings = (m.shape for m in _shapes(group) if isinstance(m.shape, Circle) and m.shape.radius == MATCH_RADIUS)
        marks.append({(round(r.x - dx, 3), round(r.y - dy, 3)) for r in rings})
    assert len(marks) > 1
    for n, here in enumerate(marks):
        others = set().union(*(m for i, m in enumerate(marks) if i != n))
        assert here
        assert here <= others


def test_the_fold_is_the_panels_top_edge() -> None:
    job = one()
    ((sheet, group),) = _tiles(drill_template(job))
    _, dy = _shift(job, sheet, group)
    top = dy + job.panel.height / 2
    folds = [m.box for m in _shapes(group) if m.pen is not None and m.pen.name == "FOLD"]
    assert [(round(b[1], 6), round(b[3], 6)) for b in folds] == [(round(top, 6), round(top, 6))]
    assert any(abs(m.box.top - top - TAB) < 1e-6 for m in _shapes(group))
    assert any(t.text.startswith("FOLD") for t in texts(group.marks))


def test_both_scale_bars_are_on_every_page(drawn: tuple[Job, Drawing]) -> None:
    for sheet in drawn[1].sheets:
        (foot,) = (b for b in sheet.blocks if b.name == "foot")
        lengths = {round(m.box.width, 6) for m in foot.marks if isinstance(m, Stroke)}
        assert {100.0, 101.6} <= lengths
        assert {"100 mm", "4 in"} <= {t.text for t in texts(foot.marks)}


def test_every_kind_of_hole_has_its_drills(drawn: tuple[Job, Drawing]) -> None:
    job, drawing = drawn
    told = [t.text for s in drawing.sheets for b in s.blocks if b.name.startswith("drills") for t in texts(b.marks)]
    for kind in hole_chart(job):
        row = told[told.index(kind.letter) :][:10]
        assert row[1] == str(kind.count)
        assert "mm" in row[3] or row[3] == "punch mark", row


def test_drills_of_a_fixing_hole_lie_within_its_tolerance() -> None:
    """3.2 mm, plus or minus 0.1: 1/8 in is 3.175 mm, 9/64 in with its 3.572 mm lies beyond; No. 30 is 3.264 mm."""
    told = [t.text for s in drill_template(one()).sheets for t in texts(s.marks)]
    start = told.index("⌀3.2 ±0.1")
    assert told[start : start + 6] == ["⌀3.2 ±0.1", "2 mm", "3.2 mm", "1/8 in", "No. 30", "–"]


def test_tags_of_one_kind_are_of_one_size() -> None:
    heights = {
        t.height for _, group in _tiles(drill_template(EVERY["24"]())) for t in texts(group.marks) if " B" in t.text
    }
    assert len(heights) == 1


def test_only_paper_of_home_printers_is_taken() -> None:
    with pytest.raises(UnknownName, match="A4"):
        drill_template(one(), "A3")


# --- where tiles are parted ------------------------------------------------------------------------------------------


def _crossed(job: Job, marks: Iterable[Mark]) -> list[str]:
    """Return the holes that a dashed match line or a match mark runs into."""
    dashed = [m.box for m in marks if isinstance(m, Stroke) and m.pen is Pen.HIDDEN and isinstance(m.shape, Curve)]
    rings = [m.box.grown(2.0) for m in marks if isinstance(m, Stroke) and m.shape.box.size == (4.0, 4.0)]
    holes = [(item.hole.place, item.hole.outline.box) for item in lettered_holes(job)]
    return [name for name, hole in holes for box in (*dashed, *rings) if hole.overlaps(box)]


@pytest.mark.parametrize("name", EVERY)
def test_no_match_line_and_no_match_mark_stands_on_a_hole(name: str) -> None:
    job = EVERY[name]()
    tiles = tiles_of(page_for("A4", job, ()), job)
    for tile in tiles:
        assert _crossed(job, list(joints_of(job, tile, tiles))) == []


@given(
    st.floats(100, 1500), st.lists(st.tuples(st.floats(0, 1400), st.floats(2, 40)), max_size=30), st.floats(150, 280)
)
def test_tiles_hold_all_between_their_lines(length: float, holes: list[tuple[float, float]], tile: float) -> None:
    """What stands between two match lines, and half an overlap beyond each, is on one tile."""
    lines = match_lines(0.0, length, tile, [(a, a + wide) for a, wide in holes])
    ends = (0.0, *(line for line in lines), length)
    assert sorted(ends) == list(ends)
    for n, (a, b) in enumerate(pairwise(ends)):
        beyond = 6.0 * ((n > 0) + (n < len(ends) - 2))
        assert b - a + beyond <= tile + 1e-6


def test_a_line_is_moved_off_a_hole() -> None:
    (line,) = match_lines(0.0, 300.0, 200.0, [(140.0, 160.0)])
    assert line in (139.0, 161.0)
    assert match_lines(0.0, 300.0, 200.0, []) == (150.0,)


def test_the_template_has_names_diameters_and_the_revision() -> None:
    told = [t.text for s in drill_template(eight()).sheets for t in texts(s.marks)]
    assert {"MIC 1", "WORD CLOCK", "MAINS", "⌀24", "Stage box input panel, revision B"} <= set(told)


def test_notches_beside_lips_are_drawn() -> None:
    """A relief slot beside each lip of a rack panel: more corners than a rectangle has."""
    group = next(group for _, group in _tiles(drill_template(EVERY["24"]())))
    outlines = [m for m in group.marks if isinstance(m, Stroke) and isinstance(m.shape, Curve) and m.shape.closed]
    assert max(len(m.shape.vertices) for m in outlines if isinstance(m.shape, Curve)) > 8
