"""Whole answers of nut-room, by hand, and how nuts come to rest.

A barrel of 20 mm, M3 nuts from 3 to 5.4 mm behind the front face: 2.75 mm from axis to flat, 3.17545 to a corner. A nut
has a flat at 0 degrees and at every sixth of a turn from there. The driver is 4.15 mm about its axis.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from dryfit.generators.checks import nut_room
from dryfit.generators.checks.nut_room import resting
from dryfit.generators.clearance.surroundings import Obstacle
from dryfit.generators.joints.stacks import Rest
from dryfit.models.findings import Answer, Ref, Verdict
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import SQRT3_2, box, round_
from tests.fits import BOSS, OVER_CORNERS, Fasteners, fit, next_nut, of_length, post, sheet, thing, told
from tests.plain import about, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
CORNER = OVER_CORNERS / 2
M3_NUT = "The 5.5 mm hexagon nut"
DRIVEN = "a 5.5 mm nut driver reaches it."
SOURCE = "nut: ISO 4032; gap: common practice"
WIDE = {"outline": {"box": [90, 90]}, "thick": 2}


def _at(*spots: tuple[float, float], **given: Any) -> dict[str, Any]:
    return {"fixings": fixings(at=[list(spot) for spot in spots]), "flange": WIDE, **given}


def _around(angle: float, *radii: float) -> dict[str, Any]:
    """Return fixings on one line through the axis, to both sides of it in turn."""
    ways = (math.radians(angle), math.radians(angle + 180))
    return _at(*((r * math.cos(ways[n % 2]), r * math.sin(ways[n % 2])) for n, r in enumerate(radii)))


def _nut(verdict: Verdict, says: str, measured: float | None, number: int = 1, beside: tuple[int, ...] = ()) -> Answer:
    refs: tuple[Ref, ...] = (f"nut {number}", *beside)
    if measured is None:
        return Answer("nut-room", verdict, f"{M3_NUT} {says}", bodies=refs, view="rear", source=SOURCE)
    return of_length("nut-room", verdict, f"{M3_NUT} {says}", measured, 0.1, refs, "rear", SOURCE)


# --- one nut beside the barrel ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("angle", [0, 17, 77, 300])
@pytest.mark.parametrize(
    ("radius", "expected"),
    [
        (15, _nut(FITS, f"spins freely, 1.82 mm clear all the way round; {DRIVEN}", 5 - CORNER)),
        (16.1, _nut(FITS, f"spins freely, 2.92 mm clear all the way round; {DRIVEN}", 6.1 - CORNER)),
        (16.3, _nut(FITS, f"spins freely, nothing near; {DRIVEN}", None)),  # 3.12 mm off
        (13.28, _nut(FITS, "spins freely, 0.1 mm clear all the way round; a 5.5 mm nut driver does not pass beside the "
                           "body: use a spanner.", 3.28 - CORNER)),
        (13.27, _nut(TIGHT, "fits with a flat to the body, 0.52 mm clear, but cannot spin: with a corner to it there "
                            "would be 0.09 mm. Turn the screw.", 3.27 - 2.75)),
        (12.86, _nut(TIGHT, "fits with a flat to the body, 0.11 mm clear, but cannot spin: with a corner to it there "
                            "would be -0.32 mm. Turn the screw.", 2.86 - 2.75)),
        (12.84, _nut(FAILS, "has only 0.09 mm beside the body; 0.1 mm is wanted.", 2.84 - 2.75)),
        (12.76, _nut(FAILS, "has only 0.01 mm beside the body; 0.1 mm is wanted.", 2.76 - 2.75)),
        (12.6, _nut(FAILS, "clashes with the body by 0.15 mm, however it is turned.", 2.6 - 2.75)),
    ],
)  # fmt: skip
def test_a_nut_spins_stands_with_a_flat_to_the_barrel_or_clashes(radius: float, angle: float, expected: Answer) -> None:
    # the other nut is where nothing is near it; the driver has its 4.15 mm from 14.15 mm on
    assert told("nut-room", fit(**_around(angle, radius, 30))) == (expected,)


def test_a_nut_that_touches_has_no_gap_but_does_not_clash() -> None:
    assert told("nut-room", fit(**_around(0, 12.75, 30))) == (
        _nut(FAILS, "has only 0 mm beside the body; 0.1 mm is wanted.", 0.0),
    )


@pytest.mark.parametrize(("side", "low", "high"), [("front", -5.4, -3.0), ("rear", -7.4, -5.0)])
@pytest.mark.parametrize("washers", [(), ("plain",)])
def test_a_nut_is_met_over_its_own_height_only(side: str, low: float, high: float, washers: tuple[str, ...]) -> None:
    low, high = (low - 0.5, high - 0.5) if washers else (low, high)  # the washer carries it back
    for z0, z1, meets in (
        (low - 9, low, False), (low - 9, low + 0.1, True), (high - 0.1, high + 1, True), (high, high + 9, False),
    ):  # fmt: skip
        made = fit(Fasteners(washers=washers), side=side, beside=[post(30, 5, 4, z0, z1)], **_at((30, 0), (-30, 0)))
        (answer,) = told("nut-room", made)
        # at 5 mm, less 2 and 3.17545
        assert (answer.verdict is TIGHT, answer.bodies) == (meets, ("nut 1", 0) if meets else ("nut 1",)), (z0, z1)


def test_the_poorest_nut_is_told_of() -> None:
    for number, radii in ((1, (15, 16, 16.1)), (2, (16, 15, 16.1)), (3, (16.1, 16, 15.0))):
        spots = [(radii[0], 0.0), (-radii[1], 0.0), (0.0, radii[2])]
        answers = told("nut-room", fit(**_at(*spots)))
        assert answers == (_nut(FITS, f"spins freely, 1.82 mm clear all the way round; {DRIVEN}", 5 - CORNER, number),)


def test_a_nut_that_cannot_spin_is_poorer_than_one_that_spins_with_less_room() -> None:
    # at 13.22 a corner has 0.04 and a flat 0.47; at 13.6 a corner has 0.42
    (answer,) = told("nut-room", fit(**_around(0, 13.6, 13.22)))
    assert (answer.verdict, answer.bodies, answer.measured) == (TIGHT, ("nut 2",), about(0.47, 1e-9))
    (worse,) = told("nut-room", fit(**_around(0, 13.0, 12.7)))
    assert (worse.verdict, worse.bodies, worse.measured) == (FAILS, ("nut 2",), about(-0.05, 1e-9))


def test_fixings_turn_with_the_part() -> None:
    rear = [{"outline": {"box": [20, 8]}, "from": 0, "to": 20}]
    for turn in (0, 30, 90):
        (answer,) = told("nut-room", fit(turn=turn, rear=rear, **_at((13, 0), (-30, 0))))
        assert (answer.verdict, answer.measured) == (TIGHT, about(0.25, 1e-9))


# --- the driver ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("z0", "z1", "passes"),
    [(-70, -63, True), (-70, -62.9, False), (-6, -5.5, False), (-3, 9, True)],
)
@pytest.mark.parametrize("number", [1, 2])
def test_a_driver_60_mm_long_passes_along_the_axis_behind_its_own_nut(
    number: int, z0: float, z1: float, passes: bool
) -> None:
    # a post of 4 mm, 6 mm beside a nut: 0.82 from its corners, and 0.15 within the driver
    x = 15 if number == 1 else -15
    made = fit(beside=[post(x, 6, 4, z0, z1)], **_at((15, 0), (-15, 0)))
    rest = resting(made)
    assert rest == Rest((0, 0), True, passes)
    (answer,) = told("nut-room", made)
    if number == 1:
        tool = "a 5.5 mm nut driver reaches it" if passes else (
            "a 5.5 mm nut driver does not pass beside the next part: use a spanner"
        )  # fmt: skip
        assert answer.says.endswith(f"; {tool}.")


def test_a_driver_that_just_touches_passes() -> None:
    assert resting(fit(beside=[post(30, 8.15, 8, -9, -6)], **_at((30, 0), (-30, 0)))) == Rest((0, 0), True, True)
    assert resting(fit(beside=[post(30, 8.14, 8, -9, -6)], **_at((30, 0), (-30, 0)))) == Rest((0, 0), True, False)


@pytest.mark.parametrize(("apart", "drives"), [(7.4, True), (7.3, False)])
def test_a_neighbours_nut_is_in_the_drivers_way_as_it_spins(apart: float, drives: bool) -> None:
    rest = resting(fit(beside=[next_nut(30 + apart, 0, -20, -3)], **_at((30, 0), (-30, 0))))
    assert rest == Rest((0, 0), True, drives)


@pytest.mark.parametrize(("apart", "drives"), [(7.4, True), (7.3, False)])
def test_the_other_nuts_of_a_place_are_in_the_drivers_way_as_they_spin(apart: float, drives: bool) -> None:
    for spots in (((20, 0), (20 + apart, 0), (-30, 0)), ((-30, 0), (20, 0), (20 + apart, 0))):
        rest = resting(fit(**_at(*spots)))  # 4.15 and 3.175 mm
        assert rest is not None
        assert rest.driver is drives


def test_a_place_without_nuts_has_none_that_come_to_rest() -> None:
    assert resting(fit(None)) is None
    assert resting(fit(Fasteners(nut=None))) is None


# --- how a nut is turned ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("angle", "radius", "turn"),
    [
        (17, 13.0, 17),
        (77, 13.0, 17),
        (-10, 13.0, 50),
        (17, 13.3, 0),  # it spins: however it stands
        (17, 11.8, 17),  # the round within its flats runs 0.95 mm into the barrel: a flat to it is still the best
        (17, 11.7, 0),  # 1.05 mm: all one
    ],
)
def test_a_nut_comes_to_rest_with_a_flat_to_the_barrel(angle: float, radius: float, turn: float) -> None:
    rest = resting(fit(**_around(angle, 30, radius)))
    assert rest is not None
    assert rest.turns == (0, about(turn, 1e-9))
    assert rest.spins is (radius == 13.3)


@pytest.mark.parametrize(
    ("way", "turn"),
    [(0, 0), (20, 20), (45, 45), (160, 40)],
)
def test_a_nut_turns_a_flat_to_the_next_nut_wherever_that_stands(way: float, turn: float) -> None:
    x, y = 5.65 * math.cos(math.radians(way)), 5.65 * math.sin(math.radians(way))
    own = resting(fit(**_at((30, 7), (30 + x, 7 + y))))  # from the axis they are seen at 13 degrees
    theirs = resting(fit(beside=[next_nut(30 + x, 7 + y)], **_at((30, 7), (30, -30))))
    assert own is not None
    assert theirs is not None
    first = math.degrees(math.atan2(7, 30))
    straight = abs((first - turn + 30) % 60 - 30) < 7.6  # 5.65 cos 7.6 - 5.5 is 0.1: wide enough
    assert own.turns[0] == about(first if straight else turn, 1e-6)
    assert theirs.turns == (about(first if straight else turn, 1e-6), 0)
    assert (own.spins, theirs.spins) == (False, False)


def test_between_two_walls_it_stands_at_the_first_step_of_three_degrees_that_is_wide_enough() -> None:
    # walls 2.9 mm to the left and right, and seen from the axis the nut stands at 10 degrees
    at = 30 * math.cos(math.radians(10)), 30 * math.sin(math.radians(10))
    walls = [thing(box(2, 9).moved(at[0] + s * 3.9, at[1]), -9, 0) for s in (1, -1)]
    rest = resting(fit(beside=walls, **_at(at, (-30, 0))))
    assert rest == Rest((0, 0), False, False)
    # a hexagon turned by t reaches 3.1755 cos(30 - t) to the side: at 27 degrees from a flat nearly a corner
    slanted = [thing(box(2, 9).turned(28).moved(at[0] + s * 3.9 * math.cos(math.radians(28)),
                                                 at[1] + s * 3.9 * math.sin(math.radians(28))), -9, 0)
               for s in (1, -1)]  # fmt: skip
    turned = resting(fit(beside=slanted, **_at(at, (-30, 0))))
    assert turned == Rest((27, 0), False, False)  # 3.1755 cos 29 is 2.777 mm: 0.123 clear; at 24 degrees 0.03


def test_where_no_angle_is_wide_enough_it_stands_at_the_best() -> None:
    at = 30 * math.cos(math.radians(10)), 30 * math.sin(math.radians(10))
    walls = [thing(box(2, 9).moved(at[0] + s * 3.8, at[1]), -9, 0) for s in (1, -1)]  # 2.8 mm to either side
    made = fit(beside=walls, **_at(at, (-30, 0)))
    assert resting(made) == Rest((0, 0), False, False)
    (answer,) = told("nut-room", made)
    assert (answer.verdict, answer.measured) == (FAILS, about(0.05, 1e-9))


def test_nuts_before_it_stand_as_they_came_to_rest_and_nuts_after_it_turn_to_it() -> None:
    # three nuts in a row, 5.62 mm from each other: all with flats to each other, none with a corner
    made = fit(**_at((30, 5), (30, 10.62), (30, 16.24)))
    rest = resting(made)
    assert rest is not None
    assert [turn % 60 for turn in rest.turns] == [about(30, 1e-6)] * 3
    (answer,) = told("nut-room", made)
    assert (answer.verdict, answer.measured, len(answer.bodies)) == (TIGHT, about(0.12, 1e-9), 1)
    assert answer.says == (
        f"{M3_NUT} fits with a flat to the other nut, 0.12 mm clear, but cannot spin: with a corner to it there would "
        "be -0.73 mm. Turn the screw."
    )


def test_a_nut_before_it_that_stands_with_a_corner_to_it_is_met_as_it_stands() -> None:
    # the first is held by the barrel with flats at 0 and 60 degrees, so a corner at 90; 6.3 from it at 90 degrees the
    # second, which may turn: from corner to flat 6.3 - 3.1755 - 2.75 = 0.374
    made = fit(**_at((12.9, 0), (12.9, 6.3)))
    rest = resting(made)
    assert rest is not None
    assert rest.turns[0] == 0
    (answer,) = told("nut-room", made)
    assert answer.bodies == ("nut 1",)
    assert answer.measured == about(2.9 - 2.75, 1e-9)


def test_a_nut_behind_one_that_stands_turned_is_turned_as_far() -> None:
    # the first stands at 10 degrees with a flat to the barrel; the second 5.7 mm further out on the same line
    ways = math.cos(math.radians(10)), math.sin(math.radians(10))
    rest = resting(fit(**_at(*((r * ways[0], r * ways[1]) for r in (12.9, 12.9 + 5.7)))))
    assert rest == Rest((about(10, 1e-6), about(10, 1e-6)), False, False)


@pytest.mark.parametrize(
    ("apart", "own", "turn"),
    [
        (4.4, True, 0), (4.4, False, 0),  # the rounds within the flats run 1.1 mm into each other: all one
        (4.6, True, 40), (4.6, False, 40),  # 0.9 mm; with its corners the other would be 1.3 mm in the way
    ],
)  # fmt: skip
def test_beside_a_nut_that_is_hopelessly_near_it_is_left_as_it_is(apart: float, own: bool, turn: float) -> None:
    other = 30 + apart * math.cos(math.radians(40)), 7 + apart * math.sin(math.radians(40))
    spots = ((30, 7), other if own else (30, -30))
    rest = resting(fit(beside=() if own else [next_nut(*other)], **_at(*spots)))
    assert rest is not None
    assert rest.turns[0] == about(turn, 1e-6)


def test_a_millimetre_is_not_yet_hopeless() -> None:
    rest = resting(fit(beside=[post(30, 10.75, 4)], **_at((30, 7), (30, -30))))
    assert rest is not None
    assert rest.turns[0] == about(30, 1e-6)


def test_just_the_gap_that_is_wanted_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    for radius, turn, spins in ((13.3, 0, True), (13.0, 20, False)):
        made = fit(**_around(20, radius, 30))
        (answer,) = told("nut-room", made)
        monkeypatch.setattr(nut_room, "NUT_GAP", answer.measured)
        nut_room.standing.cache_clear()
        (exact,) = told("nut-room", made)
        rest = resting(made)
        monkeypatch.undo()
        nut_room.standing.cache_clear()
        assert (exact.verdict, exact.measured) == (FITS if spins else TIGHT, answer.measured)
        assert rest is not None
        assert (rest.turns[0], rest.spins) == (about(turn, 1e-6), spins)


def test_a_nut_is_as_wide_as_it_is_whatever_its_driver_is() -> None:
    made = fit(**_around(20, 13.0, 30))
    assert made.stack is not None
    assert made.stack.nut is not None
    small = replace(made.stack.nut, across_flats=5.0, corners=5.0 / math.cos(math.radians(30)))
    (answer,) = told("nut-room", made.with_stack(replace(made.stack, nut=small)))
    assert (answer.verdict, answer.measured) == (FITS, about(3 - 2.88675, 1e-4))
    near = fit(**_around(20, 12.7, 30)).with_stack(replace(made.stack, nut=small))
    assert told("nut-room", near)[0].measured == about(2.7 - 2.5, 1e-9)
    rest = resting(near)
    assert rest is not None
    assert rest.turns[0] == about(20, 1e-9)


# --- neighbours ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("apart", "expected"),
    [
        (6.5, _nut(FITS, "spins freely, 0.15 mm clear all the way round; a 5.5 mm nut driver does not pass beside the "
                         "next nut: use a spanner.", 6.5 - OVER_CORNERS, 1, (1,))),
        (6.4, _nut(TIGHT, "fits with a flat to the next nut, 0.9 mm clear, but cannot spin: with a corner to it there "
                          "would be 0.05 mm. Turn the screw.", 0.9, 1, (1,))),
        (5.59, _nut(FAILS, "has only 0.09 mm beside the next nut; 0.1 mm is wanted.", 0.09, 1, (1,))),
        (5.4, _nut(FAILS, "clashes with the next nut by 0.1 mm, however it is turned.", -0.1, 1, (1,))),
    ],
)  # fmt: skip
def test_a_neighbours_nut_spins_or_turns_a_flat_too(apart: float, expected: Answer) -> None:
    beside = [post(0, 60, 4), next_nut(30 + apart, 0)]
    assert told("nut-room", fit(beside=beside, **_at((30, 0), (-30, 0)))) == (expected,)


# --- the blind side of a rivet ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("radius", "gap", "verdict"), [(15, 2.54, FITS), (12.57, 0.11, FITS), (12.55, 0.09, FAILS), (12, -0.46, FAILS)]
)
def test_a_set_rivet_is_one_and_a_half_bodies_across(radius: float, gap: float, verdict: Verdict) -> None:
    says = f"The blind side of the rivet, some 4.92 mm across when set, has {gap:g} mm beside it."
    expected = of_length("nut-room", verdict, says, gap, 0.1, ("screw 1",), "rear", "common practice")
    for spots in (_around(0, radius, 30), _around(0, 30, radius)):
        assert told("nut-room", fit(Fasteners(8, rivet="3.2 mm"), **spots)) == (expected,)


def test_a_rivet_with_nothing_near_has_nothing_to_measure() -> None:
    says = "The blind side of the rivet is some 4.92 mm across when set; nothing is near it."
    answers = told("nut-room", fit(Fasteners(8, rivet="3.2 mm"), **_around(0, 30, 30)))
    assert answers == (Answer("nut-room", FITS, says, bodies=("screw 1",), view="rear", source="common practice"),)


@pytest.mark.parametrize(("side", "face"), [("front", -3.0), ("rear", -5.0)])
def test_a_set_rivet_reaches_its_blind_side_behind_what_it_holds(side: str, face: float) -> None:
    for z0, z1, meets in (
        (face, 9, False), (face - 0.1, 9, True), (-30, face - 4.7, True), (-30, face - 4.8, False),
    ):  # fmt: skip
        made = fit(Fasteners(8, rivet="3.2 mm"), side=side, beside=[post(30, 5, 4, z0, z1)], **_around(0, 30, 30))
        (answer,) = told("nut-room", made)
        assert (answer.measured, answer.bodies) == (
            (about(0.54, 1e-9), ("screw 1", 0)) if meets else (None, ("screw 1",))
        )


def test_just_the_gap_that_is_wanted_is_enough_for_a_rivet(monkeypatch: pytest.MonkeyPatch) -> None:
    made = fit(Fasteners(8, rivet="3.2 mm"), **_around(0, 12.55, 30))
    (near,) = told("nut-room", made)
    monkeypatch.setattr(nut_room, "NUT_GAP", near.measured)
    assert [near.verdict, told("nut-room", made)[0].verdict] == [FAILS, FITS]


def test_a_neighbours_nut_may_stand_with_a_corner_to_a_rivet() -> None:
    (answer,) = told("nut-room", fit(Fasteners(8, rivet="3.2 mm"), beside=[next_nut(36, 0)], **_around(0, 30, 30)))
    assert answer.measured == about(6 - 2.46 - CORNER, 1e-9)


# --- the nut of a bush -----------------------------------------------------------------------------------------------

BUSH = {"thread": 12, "length": 9, "nut_across": 14, "nut_height": 2, "washer": 0.5, "washer_across": 18}
BUSH_CORNER = 14 / math.sqrt(3)


def _bush(*beside: Any, panel: Any = None, screwed: Fasteners | None = None, **changes: Any) -> tuple[Answer, ...]:
    return told("nut-room", fit(screwed, panel=panel, beside=beside, bush={**BUSH, **changes}))


def _bush_nut(
    verdict: Verdict, says: str, measured: float | None, beside: tuple[int, ...] = (), view: Any = "front"
) -> Answer:
    source, whole = "bush and its nut: catalogue; gap: common practice", f"The nut of the bush {says}"
    if measured is None:
        return Answer("nut-room", verdict, whole, bodies=("bush nut",), view=view, source=source)
    return of_length("nut-room", verdict, whole, measured, 0.0, ("bush nut", *beside), view, source)


@pytest.mark.parametrize(
    ("x", "name", "expected"),
    [
        (15.2, "next part", _bush_nut(FITS, "spins freely; nothing is near it.", None)),  # 3.12 mm from a corner
        (14, "next part", _bush_nut(FITS, "has 1.92 mm beside the next part.", 10 - BUSH_CORNER, (0,))),
        (12.2, "next part", _bush_nut(FITS, "has 0.12 mm beside the next part.", 8.2 - BUSH_CORNER, (0,))),
        (12.17, "next part", _bush_nut(TIGHT, "has 0.09 mm beside the next part.", 8.17 - BUSH_CORNER, (0,))),
        (12.1, "next part", _bush_nut(TIGHT, "has 0.02 mm beside the next part.", 8.1 - BUSH_CORNER, (0,))),
        (12, "next part", _bush_nut(TIGHT, "runs 0.08 mm into the next part when it is spun: put it on first and leave "
                                           "a flat to it.", 1.0, (0,))),
        (11, "next part", _bush_nut(TIGHT, "runs 1.08 mm into the next part when it is spun: put it on first and leave "
                                           "a flat to it.", 0.0, (0,))),
        (10.9, "next part", _bush_nut(FAILS, "runs 1.18 mm into the next part when it is spun.",
                                      6.9 - BUSH_CORNER, (0,))),
        (12, "panel lip", _bush_nut(FAILS, "runs 0.08 mm into the panel lip when it is spun.", 8 - BUSH_CORNER, (0,))),
    ],
)  # fmt: skip
def test_the_nut_of_a_bush_is_spun_home_or_left_with_a_flat_to_a_neighbour(
    x: float, name: str, expected: Answer
) -> None:
    assert _bush(post(x, 0, 8, name=name)) == (expected,)


def test_a_nut_of_a_bush_that_just_touches_when_it_is_spun_is_tight_by_nothing() -> None:
    touching = post(20, 0, 2 * (20 - BUSH_CORNER))
    (answer,) = _bush(touching)
    assert answer == _bush_nut(TIGHT, "has 0 mm beside the next part.", 0.0, (0,))


def test_the_room_of_a_flat_is_told_up_to_three_millimetres() -> None:
    # 50 mm across flats are 57.7 over corners: 0.37 mm into a post that leaves a flat 3.5
    (answer,) = _bush(post(32.5, 0, 8), nut_across=50)
    assert (answer.verdict, answer.measured) == (TIGHT, 3.0)


def test_a_neighbours_nut_turns_a_flat_to_that_of_a_bush() -> None:
    (answer,) = _bush(post(0, 60, 4), next_nut(11.2, 0, 0, 5))
    says = "runs 0.06 mm into the next nut when it is spun: put it on first and leave a flat to it."
    assert answer == _bush_nut(TIGHT, says, 11.2 - 7 - 2.75, (1,))


@pytest.mark.parametrize(("nut_side", "low", "high"), [("front", 0.5, 2.5), ("rear", -5.7, -3.7)])
def test_the_nut_of_a_bush_is_met_over_its_own_height_on_its_own_side(nut_side: Any, low: float, high: float) -> None:
    for z0, z1, meets in (
        (low - 9, low, False), (low - 9, low + 0.1, True), (high - 0.1, high + 9, True), (high, high + 9, False),
    ):  # fmt: skip
        answers = _bush(post(14, 0, 8, z0, z1), panel=sheet(coating=0.1), nut_side=nut_side)
        free = _bush_nut(FITS, "spins freely; nothing is near it.", None, view=nut_side)
        near = _bush_nut(FITS, "has 1.92 mm beside the next part.", 10 - BUSH_CORNER, (0,), nut_side)
        assert answers == (near if meets else free,), (z0, z1)


def test_bush_rivet_and_nuts_each_answer_where_there_are_any() -> None:
    assert [a.bodies for a in _bush(screwed=Fasteners())] == [("bush nut",), ("nut 1",)]
    assert [a.bodies for a in _bush(screwed=Fasteners(8, rivet="3.2 mm"))] == [("bush nut",), ("screw 1",)]
    assert [a.bodies for a in _bush(screwed=Fasteners(nut=None))] == [("bush nut",)]
    assert told("nut-room", fit(None)) == ()
    assert told("nut-room", fit(Fasteners(nut=None))) == ()
    assert told("nut-room", fit(Fasteners(6, nut=None), fixings=fixings(boss=BOSS))) == ()


def test_a_nut_beside_a_large_one_may_have_nothing_near_its_flats() -> None:
    # a bush nut of 46 mm: 23 mm to a flat, 26.56 to a corner, 29.75 from the axis of ours: 0.02 corner to corner, and
    # 4 mm flat to flat
    large = box(46, 46 / SQRT3_2).moved(59.75, 0)
    other = Obstacle(
        "next nut",
        (prism(large, -5.4, -3),),
        (prism(round_(46).moved(59.75, 0), -5.4, -3),),
        (prism(round_(46 / SQRT3_2).moved(59.75, 0), -5.4, -3),),
    )
    (answer,) = told("nut-room", fit(**_around(0, 30, 30), beside=[other]))
    assert (answer.verdict, answer.measured) == (TIGHT, None)
    assert answer.says == (
        f"{M3_NUT} fits with a flat to the next nut, nothing near, but cannot spin: with a corner to it there would be "
        "0.02 mm. Turn the screw."
    )
