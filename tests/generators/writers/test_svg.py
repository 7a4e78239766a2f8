"""SVG read back as XML: real millimetres, the same marks as the sheet, strangers' text kept as text."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.drawing.marks import Clip, Mark, Sheet, Stroke, Text
from dryfit.generators.drawing.template import drill_template
from dryfit.generators.writers.svg import svg_text
from dryfit.models.geometry.contours import Circle
from tests.generators.drawing.jobs import eight, one, wordy
from tests.generators.drawing.sheets_seen import texts

NS = "{http://www.w3.org/2000/svg}"
NASTY = "<script>alert(\"1\")</script> & 'two' ]]> \u0007"


def read(sheet: Sheet) -> ElementTree.Element:
    """Return the sheet's SVG as another program's XML reader sees it."""
    return ElementTree.fromstring(svg_text(sheet).encode("utf-8"))


def _strokes(marks: tuple[Mark, ...]) -> list[Stroke]:
    found: list[Stroke] = []
    for mark in marks:
        if isinstance(mark, Clip):
            found += _strokes(mark.marks)
        elif isinstance(mark, Stroke):
            found.append(mark)
    return found


@pytest.mark.parametrize("size", ["A4", "A3", "Letter", "Tabloid"])
def test_width_and_height_are_in_mm_and_a_unit_is_a_mm(size: str) -> None:
    sheet = shop_drawing(one(), size).sheets[0]
    root = read(sheet)
    width, height = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
    assert (width, height) == pytest.approx((sheet.width, sheet.height), abs=1e-3)
    assert [float(v) for v in root.attrib["viewBox"].split()] == pytest.approx([0, 0, width, height])


@pytest.mark.parametrize("drawing", [shop_drawing(eight(), "A3"), drill_template(eight())], ids=["sheet", "template"])
def test_the_file_holds_the_marks_of_the_sheet(drawing: object) -> None:
    sheet: Sheet = drawing.sheets[0]  # type: ignore[attr-defined]
    root = read(sheet)
    strokes = _strokes(sheet.marks)
    circles = [s for s in strokes if isinstance(s.shape, Circle)]
    assert len(root.findall(f".//{NS}circle")) == len(circles)
    assert len(root.findall(f".//{NS}path")) == len(strokes) - len(circles)
    assert Counter(t.text for t in root.iter(f"{NS}text")) == Counter(t.text for t in texts(sheet.marks))


def test_circles_stand_where_the_sheet_has_them_with_y_down() -> None:
    sheet = shop_drawing(eight(), "A3").sheets[0]
    drawn = [tuple(float(c.attrib[k]) for k in ("cx", "cy", "r")) for c in read(sheet).iter(f"{NS}circle")]
    wanted = [
        (s.shape.x, sheet.height - s.shape.y, s.shape.radius)
        for s in _strokes(sheet.marks)
        if isinstance(s.shape, Circle)
    ]
    assert np.array(drawn) == pytest.approx(np.array(wanted), abs=1e-4)


def test_arcs_end_where_the_next_line_starts() -> None:
    """Each path is one chain: an absolute M, then L and A, closed by Z or open."""
    for path in read(shop_drawing(eight(), "A3").sheets[0]).iter(f"{NS}path"):
        assert re.fullmatch(r"M[-\d. ]+(?:[LA][-\d. ]+)+Z?", path.attrib["d"])


def test_markup_in_a_title_stays_text() -> None:
    sheet = shop_drawing(replace(one(), title=NASTY), "A3").sheets[0]
    root = read(sheet)
    shown = NASTY.replace("\u0007", " ")
    assert root.find(f"{NS}title") is not None
    assert shown in (root.findtext(f"{NS}title") or "")
    assert [e.tag for e in root.iter() if "script" in e.tag] == []
    assert any((t.text or "").startswith("<script>") for t in root.iter(f"{NS}text"))


def test_letters_of_every_script_are_kept() -> None:
    told = {t.text for t in read(shop_drawing(wordy(), "A3").sheets[0]).iter(f"{NS}text")}
    assert any("Ωμέγα Журнал" in (text or "") for text in told)


def test_lines_have_the_widths_of_their_group() -> None:
    """ISO 128-2, group 0.5: 0.5 wide, 0.25 narrow; 0.7 for the frame (ISO 5457)."""
    root = read(shop_drawing(eight(), "A3").sheets[0])
    assert {e.attrib["stroke-width"] for e in root.iter() if "stroke-width" in e.attrib} == {"0.5", "0.25", "0.7"}


def test_text_knows_its_length() -> None:
    sheet = Sheet(100, 50, 0.35, (), "t")
    text = Text(10, 20, "MIC 1", 2.5)
    block = replace(shop_drawing(one()).sheets[0].blocks[0], marks=(text,))
    (written,) = read(replace(sheet, blocks=(block,))).iter(f"{NS}text")
    assert float(written.attrib["textLength"]) == pytest.approx(text.width, abs=1e-3)
    assert (float(written.attrib["x"]), float(written.attrib["y"])) == (10, 30)
