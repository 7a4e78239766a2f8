"""Whole answers of land, by areas worked out beside the tests.

M3: pan head 5.6 mm across, nut 5.5 mm across flats, plain washer 7 mm across with a hole of 3.2, split washer 6.2.
A plain washer bears on pi / 4 x (7^2 - 3.2^2) = 30.44 mm2: every share is of that.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from dryfit.generators.joints.stacks import Rest
from dryfit.models.catalogue.parts import Side
from dryfit.models.findings import Answer, Verdict
from dryfit.models.geometry.outlines import Outline, box, hexagon, round_
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables import fasteners
from tests.fits import BOSS, Fasteners, fit, sheet, told
from tests.plain import about, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SOURCE = "bearing area against that of the plain washer of the size (ISO 7089, ASME B18.22.1); shares: common practice"
WASHER = math.pi / 4 * (7.0**2 - 3.2**2)
SEAT = {"diameter": 6.4, "angle": 90}
SMALL: dict[str, Any] = {"hole": round_(12), "rear": None}  # nothing but its own hole is near a fastener
FACETS = 2e-3  # of a share: areas that two outlines have in common are reckoned from facets where they cross
SUNK = Fasteners(head="countersunk")


def _round(across: float) -> float:
    return math.pi / 4 * across**2


def _hexagon(across: float) -> float:
    return across**2 * math.sqrt(3) / 2


def _lens(r: float, big: float, apart: float) -> float:
    """Return what two rounds of these radii share."""
    if apart >= r + big:
        return 0.0
    x = (apart**2 + r**2 - big**2) / (2 * apart)
    half = math.sqrt(r**2 - x**2)
    return r**2 * math.acos(x / r) + big**2 * math.acos((apart - x) / big) - apart * half


def _bears(
    what: str, area: float, ref: str, view: Side = "front", of: float = WASHER, verdict: Verdict | None = None,
    within: float = 1e-6,
) -> Answer:  # fmt: skip
    share = area / of
    graded = FITS if share >= 0.25 else TIGHT if share >= 0.1 else FAILS
    says = f"The {what} bears on {area:.1f} mm2, {share:.0%} of what a plain washer of the size bears on."
    if graded is FAILS:
        says = f"The {what} has no land: {area:.1f} mm2 bear it, and it pulls through."
    margin = about(share - 0.1, within)
    return Answer("land", verdict or graded, says, margin, "share", bodies=(ref,), view=view, source=SOURCE)


def _tips(what: str, area: float, kept: float, ref: str, view: Side, of: float = WASHER) -> Answer:
    says = f"The {what} bears on {kept:.0%} of its ring only: it hangs over an edge and tips."
    return replace(_bears(what, area, ref, view, of, TIGHT, FACETS), says=says)


# --- what bears on a flange ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hole", "verdict"), [(3.4, FITS), (4.6, FITS), (4.7, TIGHT), (5.2, TIGHT), (5.3, FAILS), (5.6, FAILS)]
)
def test_a_head_bears_on_what_the_hole_of_the_flange_leaves(hole: float, verdict: Verdict) -> None:
    area = _round(5.6) - _round(hole)
    expected = _bears("pan head", area, "screw 1")
    assert expected.verdict is verdict
    made = fit(Fasteners(nut=None), fixings=fixings(hole=hole), **SMALL)
    assert told("land", made) == (expected,)


def test_a_countersink_wider_than_the_hole_takes_its_land() -> None:
    made = fit(Fasteners(nut=None), fixings=fixings(seat={"diameter": 4.6, "angle": 90}), **SMALL)
    assert told("land", made) == (_bears("pan head", _round(5.6) - _round(4.6), "screw 1"),)
    narrow = fit(Fasteners(nut=None), fixings=fixings(hole=4.4, seat={"diameter": 4, "angle": 90}), **SMALL)
    assert told("land", narrow) == (_bears("pan head", _round(5.6) - _round(4.4), "screw 1"),)


def test_a_head_over_the_edge_of_its_flange_tips() -> None:
    # the flange ends 1 mm beyond the fixing: a segment of the head and of its hole hangs over; the second screw's
    flange = {"outline": {"polygon": [[-20, -20], [16, -20], [16, 20], [-20, 20]]}, "thick": 2}
    made = fit(Fasteners(nut=None), flange=flange, fixings=fixings(at=[[-15, 0], [15, 0]]), **SMALL)
    bears = _round(5.6) - _segment(2.8, 1) - _round(3.4)  # its own hole is taken whole
    ring = _round(5.6) - _round(3.4)
    assert told("land", made) == (_tips("pan head", bears, bears / ring, "screw 2", "front"),)


def _segment(radius: float, apart: float) -> float:
    """Return what of a round lies beyond a line that far from its centre."""
    return radius**2 * math.acos(apart / radius) - apart * math.sqrt(radius**2 - apart**2)


def test_the_flange_turns_with_its_part() -> None:
    flange = {"outline": {"box": [40, 10]}, "thick": 2}
    for turn in (0, 90):
        made = fit(Fasteners(nut=None), turn=turn, flange=flange, **SMALL)
        assert told("land", made) == (_bears("pan head", _round(5.6) - _round(3.4), "screw 1"),)


@pytest.mark.parametrize(("number", "spots"), [(1, [[0, 13], [0, -17]]), (2, [[0, -17], [0, 13]])])
def test_the_poorest_of_all_fixings_is_told(number: int, spots: list[list[float]]) -> None:
    # the next fixing hole of the part lies 4 mm beside one of its heads: 0.5 mm of it are missing
    crowded = [*spots, [4, 13]]
    made = fit(Fasteners(nut=None), fixings=fixings(at=crowded), **SMALL)
    area = _round(5.6) - _round(3.4) - _lens(2.8, 1.7, 4)
    (answer,) = told("land", made)
    assert answer in (_bears("pan head", area, f"screw {number}"), _bears("pan head", area, "screw 3"))


# --- what bears on the panel -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("washers", "what", "outer"),
    [
        ((), "nut", _hexagon(5.5)), (("plain",), "plain washer", _round(7)), (("split",), "split washer", _round(6.2)),
        (("split", "plain"), "split washer", _round(6.2)),  # the one that lies on the panel
    ],
)  # fmt: skip
@pytest.mark.parametrize("hole", [3.4, 4.4])
def test_nut_or_washer_bears_on_what_the_hole_of_the_panel_leaves(
    hole: float, washers: tuple[str, ...], what: str, outer: float
) -> None:
    made = fit(replace(SUNK, washers=washers), fixings=fixings(at=[[15, 0]], seat=SEAT), fixing_hole=hole + 0.2,
               panel=sheet(coating=0.1), **SMALL)  # fmt: skip
    assert told("land", made) == (_bears(what, outer - _round(hole), f"{what} 1", "rear"),)


def test_behind_the_panel_the_head_bears_on_it_and_the_nut_on_the_flange() -> None:
    head = fit(side="rear", fixings=fixings(hole=3.0), fixing_hole=4.8, **SMALL)
    assert told("land", head) == (_bears("pan head", _round(5.6) - _round(4.8), "screw 1"),)
    nut = fit(side="rear", fixings=fixings(at=[[15, 0]], hole=4.8), fixing_hole=3.2, **SMALL)
    assert told("land", nut) == (_bears("nut", _hexagon(5.5) - _round(4.8), "nut 1", "rear"),)


def test_a_countersink_in_the_panel_takes_the_land_of_a_flat_head() -> None:
    boss = fixings(boss=BOSS)
    made = fit(Fasteners(6, nut=None), side="rear", fixings=boss, sink=Countersink(diameter=4.6, angle=90), **SMALL)
    assert told("land", made) == (_bears("pan head", _round(5.6) - _round(4.6), "screw 1"),)


@pytest.mark.parametrize(("side", "view"), [("front", "rear"), ("rear", "front")])
def test_with_a_boss_head_or_washer_bears_on_the_panel_on_the_heads_side(side: str, view: Side) -> None:
    boss = fixings(boss=BOSS)
    for washers, what, ref, outer in (((), "pan head", "screw 1", 5.6), (("split", "plain"), "split washer",
                                                                          "split washer 1", 6.2)):  # fmt: skip
        made = fit(Fasteners(6, nut=None, washers=washers), side=side, fixings=boss, fixing_hole=4.0, **SMALL)
        assert told("land", made) == (_bears(what, _round(outer) - _round(4), ref, view),)


def test_heads_on_their_cones_bear_on_nothing_else() -> None:
    made = fit(Fasteners(6, "countersunk", None), fixings=fixings(boss=BOSS), **SMALL)
    assert told("land", made) == (Answer("land", FITS, "Every head sits on its cone.", source=SOURCE),)


@pytest.mark.parametrize(("radius", "kept_whole"), [(12.5, False), (14, True)])
def test_the_main_hole_takes_land_of_what_lies_over_its_edge(radius: float, kept_whole: bool) -> None:
    # rear-mounted, the finished hole of 22 mm: at 12.5 the head of 5.6 mm reaches 1.3 over its edge
    spots = fixings(at=[[-19, 0], [radius, 0]], boss=BOSS)
    made = fit(Fasteners(6, nut=None), side="rear", fixings=spots, hole=round_(22.2), fixing_hole=3.6,
               panel=sheet(coating=0.1))  # fmt: skip
    ring, over = _round(5.6) - _round(3.4), _lens(2.8, 11, radius)
    area, kept = ring - over, (ring - over) / ring
    assert (kept >= 0.75) is kept_whole
    expected = _bears("pan head", area, "screw 1" if over == 0 else "screw 2")
    assert told("land", made) == (expected if kept_whole else _tips("pan head", area, kept, "screw 2", "front"),)


@pytest.mark.parametrize(
    ("holes", "over"),
    [
        ([round_(6).moved(-20, 0)], _lens(2.8, 3, 5)),
        ([round_(9).moved(50, 0), round_(6).moved(-15, 5)], _lens(2.8, 3, 5)),
    ],
)
def test_holes_of_other_places_take_land_on_the_panel_and_none_on_the_flange(holes: list[Outline], over: float) -> None:
    boss = fixings(boss=BOSS)
    made = fit(Fasteners(6, nut=None), side="rear", fixings=boss, holes=holes, **SMALL)
    assert told("land", made) == (_bears("pan head", _round(5.6) - _round(3.4) - over, "screw 1"),)
    on_flange = fit(Fasteners(nut=None), holes=holes, **SMALL)
    assert told("land", on_flange) == (_bears("pan head", _round(5.6) - _round(3.4), "screw 1"),)


def test_the_edge_of_the_sheet_takes_land_on_the_panel_and_none_on_the_flange() -> None:
    edge = box(60, 60).moved(16 - 30, 0)  # it ends 1 mm beyond the second fixing
    boss = fixings(boss=BOSS)
    made = fit(Fasteners(6, nut=None), side="rear", fixings=boss, edge=edge, **SMALL)
    ring = _round(5.6) - _round(3.4)
    bears = ring - _segment(2.8, 1)
    assert told("land", made) == (_tips("pan head", bears, bears / ring, "screw 2", "front"),)
    assert told("land", fit(Fasteners(nut=None), edge=edge, **SMALL)) == (_bears("pan head", ring, "screw 1"),)


@pytest.mark.parametrize(("turns", "number"), [((0, 0, 30), None), ((0, 30, 0), 2), ((30, 0, 0), None)])
def test_a_nut_bears_as_it_came_to_rest(turns: tuple[float, float, float], number: int | None) -> None:
    # the sheet ends 2.9 mm beyond the second fixing: a flat at 2.75 is within it, a corner at 3.18 is not
    edge = box(60, 60).moved(17.9 - 30, 0)
    screwed = replace(SUNK, rest=Rest(turns, False, False))
    made = fit(screwed, fixings=fixings(at=[[-15, 0], [15, 0], [0, 17]], seat=SEAT), edge=edge,
               **SMALL)  # fmt: skip
    hangs = (5.5 / math.sqrt(3) - 2.9) ** 2 * math.sqrt(3) if turns[1] == 30 else 0.0
    (answer,) = told("land", made)
    area = _hexagon(5.5) - _round(3.4) - hangs
    assert answer.margin == about(area / WASHER - 0.1, FACETS / 10)
    if number is not None:
        assert answer.bodies == (f"nut {number}",)


def test_a_nut_that_was_not_judged_has_a_flat_to_the_right() -> None:
    edge = box(60, 60).moved(17.76 - 30, 0)  # 0.01 mm beyond that flat
    made = fit(SUNK, fixings=fixings(at=[[15, 0]], seat=SEAT), edge=edge, **SMALL)
    assert told("land", made) == (_bears("nut", _hexagon(5.5) - _round(3.4), "nut 1", "rear"),)
    assert made.stack is not None
    assert made.stack.nut is not None
    small = replace(made.stack, nut=replace(made.stack.nut, across_flats=5.0))  # whatever its driver is
    assert told("land", made.with_stack(small)) == (_bears("nut", _hexagon(5.0) - _round(3.4), "nut 1", "rear"),)


def test_a_rivet_bears_behind_on_one_and_a_half_bodies() -> None:
    made = fit(Fasteners(8, rivet="3.2 mm"), **SMALL)
    thread = made.stack.thread if made.stack is not None else fasteners.thread("M3")
    ring = math.pi / 4 * ((2 * thread.major) ** 2 - thread.major**2)  # no table has a washer for it
    assert told("land", made) == (_bears("blind side", _round(1.5 * 3.28) - _round(3.4), "screw 1", "rear", ring),)


def test_nothing_that_is_clamped_is_nothing_to_ask_of() -> None:
    assert told("land", fit(None)) == ()


# --- the nut of a bush -----------------------------------------------------------------------------------------------

BUSH: dict[str, Any] = {"thread": 12, "length": 9, "nut_across": 15, "nut_height": 2}
RING = _hexagon(15) - _round(12)


def _bush(
    hole: float = 12.6, panel: Any = None, edge: Any = None, holes: Any = (), **changes: Any
) -> tuple[Answer, ...]:
    return told("land", fit(None, panel=panel, hole=round_(hole), fixings=None, rear=None, edge=edge, holes=holes,
                            bush={**BUSH, **changes}))  # fmt: skip


@pytest.mark.parametrize("side", ["front", "rear"])
@pytest.mark.parametrize("hole", [12.6, 14.0, 14.5])
def test_the_nut_of_a_bush_is_measured_by_its_own_ring(side: Side, hole: float) -> None:
    area = _hexagon(15) - _shared_with_round(15, hole)
    expected = _bears("bush nut", area, "bush nut", side, RING)
    assert _bush(hole + 0.2, sheet(coating=0.1), nut_side=side) == (expected,)


def _shared_with_round(across: float, hole: float) -> float:
    assert hole <= across  # it lies within the flats
    return _round(hole)


@pytest.mark.parametrize(("outer", "bears_on"), [(18, 18), (14, 15)])
def test_the_washer_of_a_bush_is_what_bears_and_no_smaller_than_its_nut(outer: float, bears_on: float) -> None:
    area, ring = _round(bears_on) - _round(13), _round(bears_on) - _round(12)
    expected = _bears("washer under the bush nut", area, "bush nut", "front", ring)
    assert _bush(13, washer=1, washer_across=outer) == (expected,)


def test_holes_and_the_edge_of_the_sheet_take_land_of_a_bush_too() -> None:
    edge = box(60, 60).moved(7 - 30, 0)
    slanted = 15 / math.sqrt(3) + 0.5 / math.sqrt(3)  # a flat of the hexagon, and what it widens by within 0.5 mm
    area = _hexagon(15) - _round(12.6) - 0.5 * slanted
    assert _bush(edge=edge) == (_bears("bush nut", area, "bush nut", "front", RING),)
    small = round_(2).moved(0, 7)
    assert _bush(holes=[small]) == (
        _bears("bush nut", _hexagon(15) - _round(12.6) - _round(2), "bush nut", "front", RING),
    )


def test_the_fixing_holes_take_land_of_a_bush_and_both_answer_as_one() -> None:
    close = fixings(at=[[-7, 0], [15, 0]], hole=1, panel=1)
    made = fit(None, hole=round_(12.6), rear=None, fixings=close, fixing_hole=1, bush={**BUSH, "nut_across": 20})
    area, ring = _hexagon(20) - _round(12.6) - _round(1), _hexagon(20) - _round(12)
    assert told("land", made) == (_bears("bush nut", area, "bush nut", "front", ring),)
    both = fit(Fasteners(nut=None), hole=round_(12.6), rear=None, fixings=fixings(hole=5), bush=BUSH)
    assert told("land", both) == (_bears("pan head", _round(5.6) - _round(5), "screw 1"),)


def test_three_quarters_of_a_ring_are_enough() -> None:
    # a washer over the edge of the sheet, so far that just less or just more than a quarter of it is missing
    for apart, verdict in ((5.85, FITS), (5.78, TIGHT)):
        edge = box(200, 200).moved(apart - 100, 0)
        area = _round(18) - _round(13) - _segment(9, apart)
        kept = area / (_round(18) - _round(13))
        (answer,) = _bush(13, edge=edge, washer=1, washer_across=18)
        assert answer.verdict is verdict is (FITS if kept >= 0.75 else TIGHT), kept


def test_hexagons_have_the_area_they_are_reckoned_with() -> None:
    assert hexagon(5.5).area == pytest.approx(_hexagon(5.5))
