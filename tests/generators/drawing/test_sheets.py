"""The shop drawing as a drafter reads it: nothing overlaps, nothing is cut off, everything is told, on every paper."""

from __future__ import annotations

from itertools import combinations

import pytest

from dryfit.generators.drawing.arrangement import assembly_drawing
from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.drawing.marks import Drawing, Sheet, Stroke, Text, around
from dryfit.generators.drawing.paper import paper
from dryfit.generators.drawing.textblocks import SMALL
from dryfit.generators.lettering.legends import legends
from dryfit.generators.lists.holes import hole_chart
from dryfit.generators.tolerances import GENERAL
from dryfit.models.geometry.contours import dimension, number
from dryfit.models.job import Job
from dryfit.models.panel import Panel
from dryfit.models.reading.errors import UnknownName
from tests.generators.drawing.jobs import EVERY, HARD, JOBS, STEEL, eight, one, place, twenty_four
from tests.generators.drawing.sheets_seen import crossed_texts, outside, overlapping_texts, texts
from tests.generators.drawing.stacks_for import assembly_of

PAPERS = ("A4", "A3", "Letter", "Tabloid")
DRAWN: dict[tuple[str, str], Drawing] = {}
ASSEMBLED: dict[tuple[str, str], Drawing] = {}


CASES = [(name, size) for name in JOBS for size in PAPERS] + [
    (name, size) for name in HARD for size in ("A4", "Tabloid")
]


@pytest.fixture(params=CASES, ids="-".join)
def drawn(request: pytest.FixtureRequest) -> tuple[Job, Drawing]:
    """A job and its drawing; each is drawn once."""
    name, size = request.param
    made = EVERY[name]()
    if request.param not in DRAWN:
        DRAWN[request.param] = shop_drawing(made, size)
    return made, DRAWN[request.param]


@pytest.fixture(params=CASES, ids="-".join)
def assembled(request: pytest.FixtureRequest) -> Drawing:
    """The drawing for assembly of a job; each is drawn once."""
    name, size = request.param
    made = EVERY[name]()
    if request.param not in ASSEMBLED:
        ASSEMBLED[request.param] = assembly_drawing(made, assembly_of(made), size)
    return ASSEMBLED[request.param]


def test_the_drawing_for_assembly_can_be_read(assembled: Drawing) -> None:
    for sheet in assembled.sheets:
        page = next(p for p in map(paper, PAPERS) if (p.width, p.height) == (sheet.width, sheet.height))
        assert outside(sheet, page.frame) == []
        assert overlapping_texts(sheet) == []
        assert crossed_texts(sheet) == []


def _all_texts(drawing: Drawing) -> list[Text]:
    return [text for sheet in drawing.sheets for text in texts(sheet.marks)]


def _block_texts(drawing: Drawing, start: str) -> list[str]:
    blocks = (b for sheet in drawing.sheets for b in sheet.blocks if b.name.startswith(start))
    return [text.text for block in blocks for text in texts(block.marks)]


def test_no_text_overlaps_another(drawn: tuple[Job, Drawing]) -> None:
    assert [pair for sheet in drawn[1].sheets for pair in overlapping_texts(sheet)] == []


def test_nothing_reaches_out_of_the_frame(drawn: tuple[Job, Drawing]) -> None:
    for sheet in drawn[1].sheets:
        page = next(p for p in map(paper, PAPERS) if (p.width, p.height) == (sheet.width, sheet.height))
        assert outside(sheet, page.frame) == []


def test_no_block_lies_on_another(drawn: tuple[Job, Drawing]) -> None:
    for sheet in drawn[1].sheets:
        blocks = [b for b in sheet.blocks if b.name != "frame"]
        assert [(a.name, b.name) for a, b in combinations(blocks, 2) if a.box.overlaps(b.box, -1e-6)] == []
        for block in blocks:
            assert block.box.holds(around(block.marks), -1e-6), block.name


def test_no_line_runs_through_a_text(drawn: tuple[Job, Drawing]) -> None:
    assert [crossed for sheet in drawn[1].sheets for crossed in crossed_texts(sheet)] == []


def test_no_dimension_is_cut_short(drawn: tuple[Job, Drawing]) -> None:
    for start in ("front view", "rear view", "cut-out", "profile", "section"):
        assert [t for t in _block_texts(drawn[1], start) if t.endswith("…")] == []


def test_every_hole_is_in_the_chart(drawn: tuple[Job, Drawing]) -> None:
    job, drawing = drawn
    told = _block_texts(drawing, "hole chart")
    kinds = hole_chart(job)
    assert sum(kind.count for kind in kinds) == len(job.holes())
    for kind in kinds:
        start = told.index(kind.letter)
        assert told[start + 1] == str(kind.count)
        assert kind.punched in told[start : start + 7]


def test_every_place_is_in_the_table_with_its_position(drawn: tuple[Job, Drawing]) -> None:
    job, drawing = drawn
    told = _block_texts(drawing, "places")
    left, bottom = job.panel.width / 2, job.panel.height / 2
    for n, spot in enumerate(job.places, start=1):
        row = next(
            told[i : i + 9] for i, text in enumerate(told) if text == str(n) and told[i + 8 : i + 9] == [spot.mount]
        )
        assert row[4:6] == [dimension(spot.x + left), dimension(spot.y + bottom)]
        assert row[6] == number(GENERAL.spot(job.panel, spot), 3)


def test_every_distinct_cut_out_has_its_detail(drawn: tuple[Job, Drawing]) -> None:
    job, drawing = drawn
    for kind in hole_chart(job):
        assert any(t.startswith(f"{kind.letter}: ") for t in _block_texts(drawing, "cut-out")), kind


def test_lettering_is_never_smaller_than_can_be_read(drawn: tuple[Job, Drawing]) -> None:
    """Legends are part of the panel, drawn to its scale; all else is lettering of the drawing."""
    engraved = {legend.text for legend in legends(drawn[0])}
    assert [t.text for t in _all_texts(drawn[1]) if t.height < SMALL - 1e-9 and t.text not in engraved] == []


def test_sheets_are_numbered(drawn: tuple[Job, Drawing]) -> None:
    sheets = drawn[1].sheets
    for n, sheet in enumerate(sheets, start=1):
        (title,) = (b for b in sheet.blocks if b.name == "title block")
        assert f"{n} / {len(sheets)}" in {t.text for t in texts(title.marks)}


@pytest.mark.parametrize("name", JOBS)
def test_positions_are_dimensioned_from_the_datum(name: str) -> None:
    job = JOBS[name]()
    told = _block_texts(shop_drawing(job, "A3"), "front view")
    panel = job.panel
    wanted = {dimension(p.x + panel.width / 2) for p in job.places}
    wanted |= {dimension(p.y + panel.height / 2) for p in job.places}
    assert wanted | {"0", number(panel.width), number(panel.height)} <= set(told)


def test_sections_are_drawn_of_each_kind_with_its_fasteners() -> None:
    made = assembly_drawing(eight(), assembly_of(eight()), "A3")
    told = _block_texts(made, "section")
    assert len([t for t in told if "–" in t and ":1" in t]) == 11  # of six kinds, five are screwed
    words = _block_texts(made, "place ")
    assert any("screw" in t for t in words)
    assert any("nut" in t for t in words)


def test_the_drawing_for_fabrication_has_the_panel_alone() -> None:
    """No flange, no fastener: what is cut, and who goes where."""
    job = eight()
    strokes = _strokes(shop_drawing(job, "A3").sheets[0], "front view")
    sizes = {tuple(round(v, 3) for v in stroke.box.size) for stroke in strokes}
    flanges = {tuple(round(v / 2, 3) for v in place.flange.box.size) for place in job.places}
    assert not sizes & flanges
    with_parts = assembly_drawing(job, assembly_of(job), "A3")
    seen = _strokes(with_parts.sheets[0], "front view")
    assert flanges <= {tuple(round(v, 3) for v in stroke.box.size) for stroke in seen}


def _strokes(sheet: Sheet, name: str) -> list[Stroke]:
    return [m for b in sheet.blocks if b.name == name for m in b.marks if isinstance(m, Stroke)]


def test_the_rear_view_mirrors_the_front_view() -> None:
    sheets = shop_drawing(eight(), "A3").sheets
    centres = {}
    for name in ("front view", "rear view"):
        (sheet,) = (s for s in sheets if any(b.name == name for b in s.blocks))
        outline = _strokes(sheet, name)[0].box
        numbers = [t for b in sheet.blocks if b.name == name for t in texts(b.marks) if t.text in set("12345678")]
        middle = (outline[0] + outline[2]) / 2
        centres[name] = {t.text: round(t.x - middle, 3) for t in numbers if t.align == "centre"}
    assert len(centres["front view"]) >= 6
    assert centres["rear view"] == {text: -x for text, x in centres["front view"].items()}


def test_notes_tell_of_lips_coating_and_earth() -> None:
    assert "K-factor" in " ".join(_block_texts(shop_drawing(twenty_four()), "notes"))
    told = " ".join(_block_texts(shop_drawing(eight()), "notes"))
    assert "Coating 60 µm" in told
    assert "Earth: bare metal" in told
    assert "Supply with protective film" in told
    assert "K-factor" not in told


def test_an_unknown_paper_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(UnknownName, match="A4"):
        shop_drawing(one(), "A44")


def test_a_panel_without_metal_about_its_hole_and_parts_over_its_edge_is_drawn_all_the_same() -> None:
    panel = Panel(width=60.0, height=20.0, thickness=2.0, material=STEEL)  # lower than the hole is wide
    made = Job("Cut through", "c.yaml", panel, (place("A", 0, 0), place("B", 30, 0, mount="rear")))
    for drawing in (shop_drawing(made, "A4"), assembly_drawing(made, assembly_of(made), "A4")):
        for sheet in drawing.sheets:
            assert outside(sheet, paper("A4").frame) == []
