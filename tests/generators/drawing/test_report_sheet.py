"""The report on paper: whole, in order, readable, and with every figure that the findings have."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryfit.generators.checks.registry import names, question
from dryfit.generators.drawing.marks import Drawing, Picture, Stroke
from dryfit.generators.drawing.report_sheet import groups, report_sheet
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.purchase import purchase_list
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.generators.writers.pdf import pdf_bytes
from dryfit.models.findings import Verdict
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.resolve import read_job
from tests.benchmark import _mixed, layout_of
from tests.generators.drawing.sheets_seen import crossed_texts, outside, overlapping_texts, texts
from tests.helpers import demo, place, report

FOYER = demo("foyer")
TROUBLE = demo("trouble")
DRAWN = {
    name: report_sheet(told, size) for name, told, size in (("foyer", FOYER, "A4"), ("trouble", TROUBLE, "Letter"))
}
PNG = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + (1600).to_bytes(4) + (900).to_bytes(4)


def _words(drawing: Drawing) -> str:
    """Return all that a drawing says in a row, as it is read: what is wrapped is whole again."""
    return " ".join(" ".join(text.text.split()) for sheet in drawing.sheets for text in texts(sheet.marks))


@pytest.mark.parametrize("drawing", DRAWN.values(), ids=DRAWN)
def test_every_page_can_be_read(drawing: Drawing) -> None:
    for sheet in drawing.sheets:
        room = Rectangle(0.0, 0.0, sheet.width, sheet.height).grown(-10.0)
        assert outside(sheet, room) == []
        assert [pair for pair in overlapping_texts(sheet) if not _on_the_panel(pair)] == []
        told = [(name, text) for name, text in crossed_texts(sheet) if name != "panel from the front"]
        assert told == []


def _on_the_panel(pair: tuple[str, str]) -> bool:
    """Whether both texts are numbers or legends of places, which a panel that fails may have on top of each other."""
    names = {*map(str, range(1, 100)), *(p.name for told in (FOYER, TROUBLE) for p in told.job.places)}
    return set(pair) <= names


def test_the_panel_is_told_with_its_finish_its_colour_and_its_coat() -> None:
    assert "aluminium, 3.175 mm thick; powder coat RAL 7016, 60 µm." in _words(DRAWN["foyer"])


def test_no_block_lies_on_another() -> None:
    for drawing in DRAWN.values():
        for sheet in drawing.sheets:
            boxes = [block.box for block in sheet.blocks]
            assert not [(a, b) for n, a in enumerate(boxes) for b in boxes[:n] if a.overlaps(b, -1e-6)]


def test_the_verdict_stands_on_top_with_its_sign() -> None:
    for told, word, fill in ((FOYER, "FITS", "fits"), (TROUBLE, "FAILS", "fails")):
        head = report_sheet(told).sheets[0].blocks[0]
        assert word in [text.text for text in texts(head.marks)]
        assert [mark.fill for mark in head.marks if isinstance(mark, Stroke)].count(fill) == 2  # type: ignore[arg-type]


def test_every_finding_that_does_not_fit_is_told_whole() -> None:
    told = _words(DRAWN["trouble"])
    for finding in (finding for finding in TROUBLE.findings if finding.is_bad):
        for text in (finding.says, finding.advice, finding.source):
            assert " ".join(text.split()) in told
        if finding.margin is not None and finding.unit == "mm":
            assert f"{abs(finding.margin):.2f} mm {'short' if finding.margin < 0 else 'to spare'}." in told
    assert "Nothing fails and nothing is tight." not in told
    assert "Nothing fails and nothing is tight." in _words(DRAWN["foyer"])


def test_like_places_are_told_together_the_worst_first(tmp_path: Path) -> None:
    mixed = judged(read_job(_mixed(tmp_path)))
    found = groups(mixed)
    assert len(found[0].places) == 10
    assert sum(len(group.places) for group in found) == sum(
        mixed.verdict_of(place.name) is not Verdict.FITS for place in mixed.job.places
    )
    ranks = [group.verdict.rank for group in groups(TROUBLE)]
    assert ranks == sorted(ranks, reverse=True)


def test_every_check_is_listed_with_its_question_its_answers_and_its_closest_margin() -> None:
    told = _words(DRAWN["foyer"])
    for name in names():
        assert f"{name} {question(name)}" in told
    closest = min((f for f in FOYER.findings if f.check == "plug-seats"), key=lambda f: f.margin or 0.0)
    assert f"– – 21 {closest.margin:.2f} mm {closest.place}" in told


@pytest.mark.parametrize("name", names())
def test_every_check_says_in_its_first_sentence_what_it_asks(name: str) -> None:
    assert re.fullmatch(r"[A-Z][^?]{20,}\?", question(name))


def test_places_hardware_purchase_and_cautions_are_told() -> None:
    for told, drawing in ((FOYER, DRAWN["foyer"]), (TROUBLE, DRAWN["trouble"])):
        words = _words(drawing)
        for number, at in enumerate(told.job.places, start=1):
            assert f"{number} {at.name} {at.part.title}" in words
        for item in purchase_list(told):
            assert f"{item.item} {item.needed} {item.order}" in words
        for caution in cautions(told.job):
            assert caution in words
    assert "tighten to 0.47 N m" in _words(DRAWN["foyer"])


def test_two_pictures_stand_on_the_first_page_in_their_own_shape() -> None:
    first = report_sheet(FOYER, pictures={"Without plugs.": PNG, "With its plugs in.": PNG}).sheets[0]
    pictures = [mark for mark in first.marks if isinstance(mark, Picture)]
    assert [picture.says for picture in pictures] == ["Without plugs.", "With its plugs in."]
    for picture in pictures:
        assert picture.box.width / picture.box.height == pytest.approx(1600 / 900)
        assert picture.box.centre.x == pytest.approx(first.width / 2)
    assert "With its plugs in." in [text.text for text in texts(first.marks)]
    assert not [mark for sheet in DRAWN["foyer"].sheets for mark in sheet.marks if isinstance(mark, Picture)]


def test_the_foot_names_layout_state_and_version_and_pages_are_numbered() -> None:
    for drawing in DRAWN.values():
        for n, sheet in enumerate(drawing.sheets, start=1):
            assert f"{n} / {len(drawing.sheets)}" in [text.text for text in texts(sheet.marks)]
    assert f"from foyer.yaml, state {FOYER.job.digest[:12]}, by dryfit" in _words(DRAWN["foyer"])


def test_many_places_and_parts_without_screws_find_their_room(tmp_path: Path) -> None:
    many = judged(read_job(layout_of(tmp_path, 96, 38)))
    odd = report(
        tmp_path, place("gland-m20"), panel="{size: [60, 60], thickness: 2, lips: [top, left], lip: 12, bend_radius: 2}"
    )
    for told in (many, odd):
        for sheet in report_sheet(told).sheets:
            assert outside(sheet, Rectangle(0.0, 0.0, sheet.width, sheet.height).grown(-10.0)) == []


def test_names_that_fill_more_than_a_page_go_on_on_the_next(tmp_path: Path) -> None:
    names = [f"{n} of the far side, left of the door {n}{chr(65 + n % 26)}" for n in range(160)]
    at = [[30 + 27 * (n % 20), 30 + 40 * (n // 20)] for n in range(160)]
    text = "".join(
        f"  - {{part: xlr3-socket, label: '{name}', legend: none, at: {spot}}}\n"
        for name, spot in zip(names, at, strict=True)
    )
    path = tmp_path / "names.yaml"
    path.write_text(f"title: Names\npanel: {{size: [600, 370], thickness: 3}}\nplaces:\n{text}")
    drawing = report_sheet(judged(read_job(path)))
    for sheet in drawing.sheets:
        assert outside(sheet, Rectangle(0.0, 0.0, sheet.width, sheet.height).grown(-10.0)) == []
    (group,) = groups(judged(read_job(path)))
    told = _words(drawing)
    assert len(group.places) == 160
    assert told.index(names[0]) < told.index("(places 1 to 160): XLR socket")


def test_the_same_report_gives_the_same_bytes_and_its_text_can_be_searched() -> None:
    import pypdfium2

    data = pdf_bytes(DRAWN["trouble"])
    assert data == pdf_bytes(report_sheet(_again(TROUBLE), "Letter"))
    pages = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(data)]
    assert sum("WHAT NEEDS ATTENTION" in page for page in pages) == 1


def _again(told: Report) -> Report:
    return Report(told.job, told.fits, told.fitting, told.findings, told.second_bags)
