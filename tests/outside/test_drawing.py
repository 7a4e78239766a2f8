"""The drawing against published rules: title block, lines, scales, paper, lettering, bends and drills.

The standards themselves are paid for; beside each check stands the open text that quotes its figures.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

import pytest

from dryfit.generators.bodies.blank import blank
from dryfit.generators.drawing import textblocks as lettering
from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.drawing.marks import NARROW, Drawing, Mark, Pen, Stroke, Text
from dryfit.generators.drawing.paper import paper, scale_text, scales
from dryfit.generators.drawing.titleblock import WIDTH
from dryfit.generators.writers.svg import svg_text
from dryfit.models.geometry.contours import Circle
from dryfit.models.panel import Panel
from dryfit.models.tables import fasteners
from dryfit.models.tables.bends import bend_allowance, bend_rule
from dryfit.models.tables.tolerances import general_tolerance
from tests.generators.drawing.jobs import STEEL, eight, twenty_four
from tests.generators.drawing.sheets_seen import texts

INCH = 25.4


@pytest.fixture(scope="module", params=["A4", "A3", "Letter", "Tabloid"])
def drawn(request: pytest.FixtureRequest) -> tuple[str, Drawing]:
    return request.param, shop_drawing(eight(), request.param)


# --- ISO 7200: title block ------------------------------------------------------------------------------------------

MANDATORY = (
    "Legal owner",
    "Identification number",
    "Date of issue",
    "Sheet",  # segment or sheet number
    "Title",
    "Approval person",
    "Creator",
    "Document type",
)
"""ISO 7200:2004, the fields marked mandatory, as an open help page on title blocks after EN ISO 7200 (June 2008) lists
them with their number of characters."""


def _title_blocks(drawing: Drawing) -> Iterator[tuple[Mark, ...]]:
    return (block.marks for sheet in drawing.sheets for block in sheet.blocks if block.name == "title block")


def test_every_sheet_has_every_mandatory_field_of_iso_7200(drawn: tuple[str, Drawing]) -> None:
    blocks = list(_title_blocks(drawn[1]))
    assert len(blocks) == len(drawn[1].sheets) > 1
    for marks in blocks:
        assert set(MANDATORY) <= {text.text for text in texts(marks)}


def test_the_title_block_is_180_mm_wide_in_the_lower_right_corner(drawn: tuple[str, Drawing]) -> None:
    # ISO 7200, 5.2: total width 180 mm; ISO 5457, 4.1: lower right corner of the drawing space (as above)
    assert WIDTH == 180
    page = paper(drawn[0])
    for sheet in drawn[1].sheets:
        (block,) = (b for b in sheet.blocks if b.name == "title block")
        assert (block.box.right, block.box.bottom) == pytest.approx((page.frame.right, page.frame.bottom))
        assert block.box.width == pytest.approx(180)


def test_sheets_are_numbered_in_order(drawn: tuple[str, Drawing]) -> None:
    count = len(drawn[1].sheets)
    for n, marks in enumerate(_title_blocks(drawn[1]), start=1):
        assert f"{n} / {count}" in {text.text for text in texts(marks)}


# --- ISO 128-2: lines -----------------------------------------------------------------------------------------------

WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""ISO 128-2 (ISO 128-20), line widths; wide to narrow 2 : 1 (open text: Guidelines for technical drawing, thickness
from the range 0.18 to 2, ratio of thick to thin not less than 2 : 1, easytechcadsite.blogspot.com)."""


def test_lines_have_standard_widths_in_the_ratio_two_to_one(drawn: tuple[str, Drawing]) -> None:
    used = {float(w) for sheet in drawn[1].sheets for w in re.findall(r'stroke-width="([\d.]+)"', svg_text(sheet))}
    assert used <= set(WIDTHS)
    group = drawn[1].sheets[0].group
    assert used == {group, NARROW[group], 0.7}
    assert group / NARROW[group] == pytest.approx(2, rel=0.08)  # 0.35 : 0.18, as the series is rounded
    assert Pen.FRAME.width(group) == 0.7  # ISO 5457, 4.2: frame 0.7 mm (IS 10711:2001, identical)


def test_dashes_are_counted_in_line_widths() -> None:
    # ISO 128-2 (ISO 128-20, table 3): dash 12 d, gap 3 d, long dash 24 d, dot at most 0.5 d; from memory
    d = Pen.HIDDEN.width(0.5)
    assert Pen.HIDDEN.dashes(0.5) == pytest.approx((12 * d, 3 * d))
    assert Pen.CENTRE.dashes(0.5) == pytest.approx((24 * d, 3 * d, 0.5 * d, 3 * d))
    assert Pen.FOLD.dashes(0.5) == pytest.approx((24 * d, 3 * d, 0.5 * d, 3 * d, 0.5 * d, 3 * d))


def test_visible_edges_are_wide_and_hidden_ones_narrow_and_dashed() -> None:
    # ISO 128-2 types 01.2, 02.1, 04.1 (from memory): outlines wide, hidden edges dashed, axes chain lines
    assert Pen.OUTLINE.width(0.5) == 0.5
    assert Pen.THIN.width(0.5) == Pen.HIDDEN.width(0.5) == Pen.CENTRE.width(0.5) == 0.25


# --- ISO 5455: scales -----------------------------------------------------------------------------------------------

ISO_5455 = {
    "50:1",
    "20:1",
    "10:1",
    "5:1",
    "2:1",
    "1:1",
    "1:2",
    "1:5",
    "1:10",
    "1:20",
    "1:50",
    "1:100",
    "1:200",
    "1:500",
}
"""ISO 5455:1979 table of recommended scales (pdfcoffee.com/iso-5455-1979-02)."""


def test_scales_are_those_of_iso_5455_from_the_largest_down() -> None:
    assert [scale_text(s) for s in islice(scales(5.0), 9)] == [
        "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100",
    ]  # fmt: skip


def test_every_view_names_a_recommended_scale(drawn: tuple[str, Drawing]) -> None:
    named = [text.text for sheet in drawn[1].sheets for text in texts(sheet.marks)]
    found = {match for text in named for match in re.findall(r"\b\d+:\d+\b", text)}
    assert found
    assert found <= ISO_5455


# --- ISO 216, ISO 5457, ASME Y14.1: paper ---------------------------------------------------------------------------


def test_a_sizes_are_halves_of_a_square_metre() -> None:
    # ISO 216: A0 is 1 m2 with sides 1 : sqrt(2), each next size is half, sides rounded down to the mm
    long, short = 1000 * 2**0.25, 1000 * 2**-0.25
    for name, halvings in (("A3", 3), ("A4", 4)):
        sides = (long / 2 ** (halvings / 2), short / 2 ** (halvings / 2))
        assert (paper(name).width, paper(name).height) == pytest.approx(sides, abs=0.6)
    assert (paper("A3").width, paper("A3").height) == (420, 297)
    assert (paper("A4").width, paper("A4").height) == (297, 210)


@pytest.mark.parametrize(("name", "inches"), [("Letter", (11, 8.5)), ("Tabloid", (17, 11))])
def test_inch_sizes_are_a_and_b_of_asme_y14_1(name: str, inches: tuple[float, float]) -> None:
    # ANSI/ASME Y14.1 sizes A and B (en.wikipedia.org/wiki/ANSI/ASME_Y14.1); margins, from memory, 1/4 in or more
    page = paper(name)
    assert (page.width / INCH, page.height / INCH) == pytest.approx(inches)
    assert min(page.left, page.margin_x, page.margin_y) >= 0.25 * INCH


@pytest.mark.parametrize("name", ["A4", "A3"])
def test_the_frame_leaves_20_mm_at_the_left_and_10_elsewhere(name: str) -> None:
    # ISO 5457:1999, 4.2 (IS 10711:2001, identical, studylib.net/doc/18543950)
    page = paper(name)
    left, bottom, right, top = page.frame
    assert (left, bottom, page.width - right, page.height - top) == (20, 10, 10, 10)


def test_the_drawing_space_of_a3_is_390_by_277() -> None:
    # the same table; also in the A3 templates that the open CAD program FreeCAD 0.20 ships
    left, bottom, right, top = paper("A3").frame
    assert (right - left, top - bottom) == (390, 277)


def test_projection_goes_with_the_paper() -> None:
    # ISO 128-3: first angle is the rule in ISO countries; ASME Y14.3: third angle (common practice)
    assert [paper(name).third_angle for name in ("A4", "A3", "Letter", "Tabloid")] == [False, False, True, True]


# --- ISO 3098: lettering --------------------------------------------------------------------------------------------

ISO_3098 = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)
"""ISO 3098-1 (ISO 3098-0) nominal sizes, a series by sqrt(2) (roymech.org/Useful_Tables/Drawing/Lettering.html, which
prints 2.8 for 2.5)."""


def test_lettering_has_nominal_sizes() -> None:
    assert {lettering.SMALL, lettering.HEIGHT, lettering.TITLE} <= set(ISO_3098)


def test_no_lettering_is_smaller_than_the_least_size(drawn: tuple[str, Drawing]) -> None:
    named = {place.legend for place in eight().places}  # legends are part of the panel and drawn to its scale
    heights = {t.text: t.height for s in drawn[1].sheets for t in texts(s.marks) if t.text not in named}
    assert min(heights.values()) >= min(ISO_3098)


# --- bend allowance -------------------------------------------------------------------------------------------------

AIRCRAFT = 0.0078 / 0.01745
"""K of the empirical rule for aircraft sheet, 0.01745 r + 0.0078 t per degree (US Navy training course)."""


def test_bends_are_laid_flat_as_a_table_book_of_metal_trades_does() -> None:
    # opening angle 60 degrees, so turned by 120; legs 16 and 21 mm, r = 6, s = 5: k = 0.7 off the diagram of DIN 6935,
    # 0.689 by its formula; v = 2 (6 + 5) - pi (120 / 180) (6 + 5/2 x 0.7) = 5.77; blank 32 mm (table book of metal
    # trades, section on bending, as printed in scribd.com/document/401383818)
    k = bend_rule().k(6, 5)
    assert 2 * k == pytest.approx(0.689, abs=0.0006)
    deduction = 2 * (6 + 5) - bend_allowance(120, 6, 5, k)
    assert deduction == pytest.approx(5.77, abs=0.06)  # the diagram is read to 0.7
    assert math.ceil(16 + 21 - deduction) == 32  # blanks are rounded up


def test_a_school_book_profile_comes_out_by_the_layouts_own_deduction_and_near_it_without() -> None:
    # legs 50, 40, 30 mm outside, r = 1, t = 1: v = 0.5 r + 1.5 t = 2, blank 116 mm (school book on technical drawing,
    # Westermann 978-3-7100-2443-6, page 206). Lips of 49 + 1 and 29 + 1 make it with a panel 40 high: one at a time.
    bent = Panel(width=80, height=40, thickness=1, material=STEEL, lip=49, bend_radius=1, lips=("top",))
    by_book = replace(bent, allowance=2 * 2 - 2.0)
    assert blank(by_book).height == pytest.approx(40 + 50 - 2)
    assert blank(by_book).basis == "the shop's own"
    assert blank(bent).height == pytest.approx(40 + 50 - 2, abs=0.1)  # 1.92 by DIN 6935


@pytest.mark.parametrize(
    ("radius", "thickness", "deduction"),
    [(1, 1, 1.9), (1.6, 1.5, 2.9), (2.5, 2, 4.0), (2.5, 2.5, 4.8), (4, 2, 4.5), (4, 3, 6.0), (1, 0.4, 1.0)],
)
def test_deductions_of_right_angles_are_those_of_the_standard(
    radius: float, thickness: float, deduction: float
) -> None:
    # table of v for 90 degrees, DIN 6935 supplement 2, as printed in table books (from memory)
    k = bend_rule().k(radius, thickness)
    assert 2 * (radius + thickness) - bend_allowance(90, radius, thickness, k) == pytest.approx(deduction, abs=0.05)


def test_the_two_usual_rules_differ_by_more_than_half_a_mm_at_3_mm_and_r_3() -> None:
    # (0.447 - 0.325) x 3 x pi / 2 = 0.575
    ours, aircraft = (bend_allowance(90, 3, 3, k) for k in (bend_rule().k(3, 3), AIRCRAFT))
    assert aircraft - ours == pytest.approx(0.575, abs=0.001)


def test_bend_allowance_of_a_press_brake_handbook() -> None:
    # 0.050 in sheet, 0.032 in inside radius, 90 degrees: allowance 0.085, deduction 0.079, and a part of four legs with
    # three such bends is 2.973 in long when flat (sheetmetalworkbook.com, page on 90 degree bends)
    allowance = bend_allowance(90, 0.032, 0.050, AIRCRAFT)
    assert allowance == pytest.approx(0.085, abs=0.0005)
    deduction = 2 * (0.050 + 0.032) - allowance
    assert deduction == pytest.approx(0.079, abs=0.0005)
    assert 0.740 + 0.420 + 1.050 + 1.000 - 3 * deduction == pytest.approx(2.973, abs=0.002)


def test_developed_width_of_a_z_profile() -> None:
    # Flats 50, 100 and 50 mm, two bends of 90 degrees, 0.5 mm sheet, inside radius 1 mm, K 0.40: allowance 1.88496 mm,
    # developed width 203.76 mm with the two allowances rounded to 1.88 (guide "How to calculate developed width", 2026)
    assert bend_allowance(90, 1.0, 0.5, k=0.40) == pytest.approx(1.88496, abs=1e-5)
    panel = Panel(
        width=80, height=100 + 2 * 1.5, thickness=0.5, material=STEEL, lip=50 + 1.0, bend_radius=1.0, k_factor=0.40
    )
    flat = blank(panel)
    assert flat.height == pytest.approx(203.76, abs=0.011)
    assert flat.allowance == pytest.approx(1.88496, abs=1e-5)


@pytest.mark.parametrize(
    ("radius", "thickness"),
    [(0.030, 0.048), (0.060, 0.060), (0.094, 0.093), (0.125, 0.125), (0.250, 0.063)],
)
def test_the_aircraft_rule_is_one_k_factor_for_all(radius: float, thickness: float) -> None:
    # (0.0173 R + 0.0078 T) N, US Navy training course on aviation structural mechanics (tpub.com/air/13-19.htm)
    rule = (0.0173 * radius + 0.0078 * thickness) * 90
    assert bend_allowance(90, radius, thickness, AIRCRAFT) == pytest.approx(
        rule, rel=0.01
    )  # 0.0173 is pi / 180 cut short


def test_allowance_is_the_arc_of_the_neutral_line() -> None:
    # pi (R + K T) A / 180 (help of a sheet-metal CAD program on the K-factor, 2022): the arc at K T from inside
    for angle, radius, thickness, k in ((90, 3, 3, 0.447), (45, 2, 1.5, 0.33), (180, 1, 1, 0.5)):
        neutral = Circle(0, 0, radius + k * thickness)
        assert bend_allowance(angle, radius, thickness, k) == pytest.approx(math.tau * neutral.radius * angle / 360)


def test_the_drawing_prints_blank_and_allowance() -> None:
    flat = blank(twenty_four().panel)
    printed = " ".join(t.text for s in shop_drawing(twenty_four()).sheets for t in texts(s.marks))
    assert f"{flat.height:.2f}".rstrip("0") in printed
    assert f"{flat.allowance:.2f}" in printed


# --- ASME B94.11M: drills -------------------------------------------------------------------------------------------

NUMBERED = {
    1: 0.2280, 2: 0.2210, 3: 0.2130, 7: 0.2010, 9: 0.1960, 10: 0.1935, 14: 0.1820, 16: 0.1770, 18: 0.1695, 21: 0.1590,
    25: 0.1495, 27: 0.1440, 29: 0.1360, 30: 0.1285, 32: 0.1160, 33: 0.1130, 35: 0.1100, 36: 0.1065, 37: 0.1040,
    38: 0.1015, 41: 0.0960, 42: 0.0935, 43: 0.0890, 44: 0.0860, 45: 0.0820, 46: 0.0810, 47: 0.0785, 48: 0.0760,
    50: 0.0700, 52: 0.0635, 53: 0.0595,
}  # fmt: skip
"""Inches: handbook table of tap and clearance drills for machine screws, as copied in the open repository
Pixelators4014/4014-docs, docs/fabrication/hole_size.md."""

SMALL_NUMBERED = {54: 0.055, 55: 0.052, 57: 0.043, 58: 0.042, 59: 0.041, 60: 0.040}
"""Inches: table of drills, sizes, threads and preferred sizes, public domain (circuitousroot.com, 2007)."""

LETTERED = {"D": 0.246, "F": 0.257, "H": 0.266, "I": 0.272, "P": 0.323, "Q": 0.332, "U": 0.368, "W": 0.386, "X": 0.397}
FRACTIONS = {"5/16": 0.3125, "25/64": 0.3906, "27/64": 0.4219, "29/64": 0.4531, "15/32": 0.4687}  # the same table


def _inches(family: str) -> dict[str, float]:
    return {drill.name: drill.diameter / INCH for drill in fasteners.drills(family)}


@pytest.mark.parametrize(("number", "inches"), [*NUMBERED.items(), *SMALL_NUMBERED.items()])
def test_number_drills(number: int, inches: float) -> None:
    assert _inches("number")[f"No. {number}"] == pytest.approx(inches, abs=1e-6)


def test_letter_drills() -> None:
    ours = _inches("letter")
    assert {letter: ours[f"letter {letter}"] for letter in LETTERED} == pytest.approx(LETTERED, abs=1e-6)


def test_fraction_drills_are_their_fractions() -> None:
    for name, inches in _inches("fraction").items():
        upper, lower = name.removesuffix(" in").split("/")
        assert inches == pytest.approx(int(upper) / int(lower), abs=1e-9)
    ours = _inches("fraction")
    assert {name: ours[f"{name} in"] for name in FRACTIONS} == pytest.approx(FRACTIONS, abs=1e-4)


def test_metric_drills_go_by_tenths() -> None:
    # BS 328 / ISO 235: every tenth from 3.0 to 13.9 mm (en.wikipedia.org/wiki/Drill_bit_sizes)
    ours = {round(drill.diameter, 3) for drill in fasteners.drills("metric")}
    assert {round(n / 10, 1) for n in range(30, 140)} <= ours


# --- ISO 129-1: dimensions -------------------------------------------------------------------------------------------


def test_arrows_are_closed_filled_and_as_long_as_the_lettering() -> None:
    # ISO 129-1 annex A (from memory): arrowheads of 15 to 30 degrees
    arrows = [
        mark.shape.vertices
        for sheet in shop_drawing(replace(eight(), title="Arrows")).sheets
        for mark in sheet.marks
        if isinstance(mark, Stroke) and mark.fill == "black" and not isinstance(mark.shape, Circle)
        if len(mark.shape.vertices) == 3
    ]
    assert arrows
    for (tx, ty, _), (ax, ay, _), (bx, by, _) in arrows:
        back = math.dist((ax, ay), (bx, by))
        length = math.dist((tx, ty), ((ax + bx) / 2, (ay + by) / 2))
        assert length == pytest.approx(2.5)
        assert 15 <= 2 * math.degrees(math.atan2(back / 2, length)) <= 30


def test_texts_read_from_below_or_from_the_right(drawn: tuple[str, Drawing]) -> None:
    # ISO 129-1 (from memory): texts are read from the bottom or from the right-hand side of the sheet
    found = [text for sheet in drawn[1].sheets for text in texts(sheet.marks)]
    assert all(isinstance(text, Text) for text in found)
    assert {text.upright for text in found} == {True, False}


# --- ISO 2768-1: general tolerances ----------------------------------------------------------------------------------


GENERAL_TOLERANCES: dict[
    tuple[float, float], tuple[float, float, float]
] = {  # nominal size from, up to: fine, medium, coarse
    (0.5, 3): (0.05, 0.1, 0.2),
    (3, 6): (0.05, 0.1, 0.3),
    (6, 30): (0.1, 0.2, 0.5),
    (30, 120): (0.15, 0.3, 0.8),
    (120, 400): (0.2, 0.5, 1.2),
    (400, 1000): (0.3, 0.8, 2.0),
    (1000, 2000): (0.5, 1.2, 3.0),
}
"""ISO 2768-1:1989, table 1: limit deviations of linear sizes, tolerance classes f, m and c, mm; the same figures in two
open reference pages on the standard (secondary text)."""


@pytest.mark.parametrize("sizes", GENERAL_TOLERANCES)
def test_general_tolerances(sizes: tuple[float, float]) -> None:
    for size in (sizes[0] + 0.01, (sizes[0] + sizes[1]) / 2, sizes[1]):
        told = (general_tolerance(size, "f"), general_tolerance(size, "m"), general_tolerance(size, "c"))
        assert told == GENERAL_TOLERANCES[sizes]
