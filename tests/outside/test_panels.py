"""Panel sizes against EIA-310 / IEC 60297-3-100 figures, and sheet gauges against their rules.

The standards are paid for; the figures are those that secondary texts quote from them (width 19 in, unit 1.75 in,
height 1.750 n - 1/32 in, hole spacing 18 5/16 in, rail holes at 1/4, 7/8 and 1 1/2 in of each unit, opening 17.75 in).
"""

from __future__ import annotations

import pytest

from dryfit.models.geometry.outlines import gap
from dryfit.models.tables.panels import box_depths, gauge_thickness, rack_panel, rack_slots, rack_width, wall_plates

INCH = 25.4
UNITS = range(1, 13)
ROUNDED = 0.006  # mm: the table holds hundredths of a mm


def test_width_spacing_and_opening() -> None:
    row = rack_width("19 inch")
    assert row.width == pytest.approx(19 * INCH)
    assert row.across == pytest.approx((18 + 5 / 16) * INCH, abs=0.05)  # 465.1 quoted, 465.14 by the fraction
    assert row.clear is not None
    assert row.clear <= 17.75 * INCH  # the safe side of both standards


def test_ten_inch_panels_are_as_builders_of_small_racks_write() -> None:
    # open racks of 10 in: panel 10 in, holes 9.312 in (236.525 mm) apart, 8.75 in clear
    row = rack_width("10 inch")
    assert (row.width, row.clear) == pytest.approx((10 * INCH, 8.75 * INCH))
    assert row.across == pytest.approx(9.312 * INCH, abs=0.01)


# BS 4662 as quoted second hand: 86 and 146 long, 60.3 and 120.6 apart. American blanks as open plate scripts and shops
# give them: 2 3/4 x 4 1/2 in, 3 9/32 in apart (83.34), 1 13/16 in (46.04) from gang to gang. DIN 49073 as
# quoted: 60, 71.
@pytest.mark.parametrize(
    ("name", "size", "across", "up"),
    [
        ("uk-1", (86, 86), {60.3}, {0}),
        ("uk-2", (146, 86), {120.6}, {0}),
        ("us-1", (69.85, 114.3), {0}, {83.34}),
        ("us-2", (69.85 + 46.04, 114.3), {46.04}, {83.34}),
        ("round-1", (80, 80), {60}, {0}),
        ("round-2", (151, 80), {71 + 60, 71 - 60}, {0}),
    ],
)
def test_wall_plates_have_their_screws_where_published(
    name: str, size: tuple[float, float], across: set[float], up: set[float]
) -> None:
    row = wall_plates()[name]
    centres = [hole.centre for hole in row.holes]
    assert (row.width, row.height) == pytest.approx(size, abs=0.01)
    assert sorted({2 * abs(c.x) for c in centres}) == pytest.approx(sorted(across), abs=0.01)
    assert sorted({2 * abs(c.y) for c in centres}) == pytest.approx(sorted(up), abs=0.01)


def test_boxes_are_as_deep_as_they_are_sold() -> None:
    assert box_depths("uk-1") == box_depths("uk-2") == (16, 25, 35, 47)  # metal back boxes (flameport.com)
    assert box_depths("us-1")[0] == pytest.approx(1.5 * 25.4)  # 1 1/2 to 3 1/2 in (common practice)
    assert box_depths("us-1")[-1] == pytest.approx(3.5 * 25.4)


def test_a_wall_plate_stands_before_the_shallowest_usual_box() -> None:
    for name, plate in wall_plates().items():
        assert plate.depth == box_depths(name)[0]


def test_no_screw_of_a_wall_plate_stands_in_the_room_of_its_box() -> None:
    for row in wall_plates().values():
        for hole, room in ((hole, room) for hole in row.holes for room in row.rooms):
            assert gap(hole, room) > 0


@pytest.mark.parametrize("units", UNITS)
def test_height_is_1_750_n_less_a_thirty_second(units: int) -> None:
    assert rack_panel(units).height == pytest.approx((1.75 * units - 1 / 32) * INCH, abs=ROUNDED)


@pytest.mark.parametrize("units", UNITS)
def test_every_slot_lies_on_a_rail_hole(units: int) -> None:
    rail = [(1.75 * u + hole) * INCH for u in range(units) for hole in (0.25, 0.875, 1.5)]
    lower_edge = (units * 1.75 * INCH - rack_panel(units).height) / 2  # the panel is centred in its units
    for up in (rack_panel(units).slot_low, rack_panel(units).slot_high):
        assert min(abs(up + lower_edge - hole) for hole in rail) < 0.01


@pytest.mark.parametrize(("units", "pitch"), [(1, 1.25), (2, 3.0), (3, 2.25), (4, 4.0)])
def test_slot_pitches_quoted_for_low_panels(units: int, pitch: float) -> None:
    row = rack_panel(units)
    assert row.slot_high - row.slot_low == pytest.approx(pitch * INCH, abs=0.02)


def test_slots_reach_neither_the_edge_nor_the_opening() -> None:
    for slot in rack_slots(1):
        left, _, right, _ = slot.box
        assert max(abs(left), abs(right)) < 482.6 / 2
        assert min(abs(left), abs(right)) > 450 / 2


# Manufacturers' standard gauge: 41.82 lb per square foot and inch (published rule); ounces per square foot by gauge.
@pytest.mark.parametrize(("gauge", "ounces"), [("14", 50), ("16", 40), ("18", 32), ("20", 24), ("11", 80)])
def test_sheet_steel_gauges_follow_the_weight_rule(gauge: str, ounces: float) -> None:
    assert gauge_thickness("steel", gauge) == pytest.approx(ounces / 16 / 41.82 * INCH, abs=0.002)


# Brown and Sharpe gauge: each step is the 39th root of 92 (published rule).
@pytest.mark.parametrize(("gauge", "inches"), [("8", 0.1285), ("11", 0.0907), ("14", 0.0641), ("16", 0.0508)])
def test_aluminium_gauges_are_the_handbooks(gauge: str, inches: float) -> None:
    assert gauge_thickness("aluminium", gauge) == pytest.approx(inches * INCH, abs=0.003)
