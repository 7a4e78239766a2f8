"""Whole answers of plug-seats, by hand.

From the front the flange ends at z = 2 and pan heads of M3, 5.6 mm across, 2.4 mm above it; from the rear the flange
ends at z = -3, behind the panel, and the heads stand on the panel at z = 0.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from dryfit.models.findings import Answer, Ref, Verdict
from dryfit.models.geometry.outlines import box, round_
from tests.fits import BOSS, Fasteners, fit, of_length, post, sheet, thing, told
from tests.plain import fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SOURCE = "geometry of the parts; catalogue"
SLIM = {"outline": {"box": [36, 6]}, "thick": 2}


def _plug(*across: float, steps: tuple[float, ...] = (40,), **more: Any) -> dict[str, Any]:
    starts = (0, *steps[:-1])
    body = [
        {"outline": {"round": d}, "from": start, "to": stop}
        for d, start, stop in zip(across, starts, steps, strict=True)
    ]
    return {"body": body, **more}


def _seats(plug: dict[str, Any], seat: float, *beside: Any, screwed: Any = None, **given: Any) -> tuple[Answer, ...]:
    return told("plug-seats", fit(screwed, plug=plug, seat=seat, beside=beside, **given))


def _answer(verdict: Verdict, says: str, room: float, *refs: Ref) -> tuple[Answer, ...]:
    bodies = ("plain-plug", *refs)
    return (of_length("plug-seats", verdict, f"The plug {says}.", room, 0.0, bodies, source=SOURCE),)


# --- what lies under it ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seat", "verdict", "says", "room"),
    [
        (2.6, FITS, "goes home; the nearest thing, the screw head, leaves it 0.2 mm", 0.2),
        (2.5, FITS, "goes home; the nearest thing, the screw head, leaves it 0.1 mm", 0.1),
        (2.45, TIGHT, "goes home with only 0.05 mm to the screw head", 0.05),
        (2.4, TIGHT, "goes home with only 0 mm to the screw head", 0.0),
        (2.0, FAILS, "is kept 0.4 mm from home by the screw head", -0.4),
    ],
)
def test_a_collar_stops_on_the_heads_it_lies_over(seat: float, verdict: Verdict, says: str, room: float) -> None:
    for number, spots in ((1, [[15, 0], [-19.5, 0]]), (2, [[-19.5, 0], [15, 0]])):
        found = _seats(_plug(33), seat, screwed=Fasteners(), fixings=fixings(at=spots))
        assert found == _answer(verdict, says, room, f"screw {number}")


@pytest.mark.parametrize(
    ("seat", "verdict", "says"),
    [
        (0.3, FITS, "goes home; the nearest thing, the flange, leaves it 0.3 mm"),
        (0.05, TIGHT, "goes home with only 0.05 mm to the flange"),
        (0.0, TIGHT, "goes home with only 0 mm to the flange"),
    ],
)
def test_a_collar_within_the_heads_stops_on_the_flange(seat: float, verdict: Verdict, says: str) -> None:
    assert _seats(_plug(16), seat, screwed=Fasteners()) == _answer(verdict, says, seat)
    nosed = _plug(16, nose=[{"outline": {"round": 30}, "from": 0, "to": 5}])  # it lies inside the part
    assert _seats(nosed, seat, screwed=Fasteners()) == _answer(verdict, says, seat)


def test_heads_count_where_they_are() -> None:
    # both 19.5 mm off, 0.2 mm beside a plug of 33 mm whose shoulder is lower than they are
    found = _seats(_plug(33), 1.0, screwed=Fasteners(), fixings=fixings(at=[[0, 19.5], [19.5, 0]]))
    says = "goes home; the nearest thing, the screw head, leaves it 0.2 mm"
    assert [replace(a, bodies=()) for a in found] == [replace(a, bodies=()) for a in _answer(FITS, says, 0.2)]


def test_a_raised_head_stands_as_high_as_its_crown_less_what_it_sinks() -> None:
    sunk = fixings(seat={"diameter": 6.4, "angle": 90})  # the cone of 6.3 mm sinks 0.05, the crown is 0.7 high
    found = _seats(_plug(33), 1, screwed=Fasteners(head="raised countersunk"), fixings=sunk)
    assert found == _answer(FITS, "goes home; the nearest thing, the screw head, leaves it 0.35 mm", 0.35, "screw 1")


def test_heads_on_the_other_side_are_no_matter() -> None:
    found = _seats(_plug(39), 0.5, screwed=Fasteners(6, nut=None), fixings=fixings(boss=BOSS))
    assert found == _answer(FITS, "goes home; the nearest thing, the flange, leaves it 0.5 mm", 0.5)


@pytest.mark.parametrize(("washers", "room"), [((), 0.6), (("plain",), 0.1)])
def test_washers_lift_the_heads(washers: tuple[str, ...], room: float) -> None:
    # the shoulder 6 mm before a flange at -3, the head 2.4 mm high on the panel, or on 0.5 mm of washer
    found = _seats(_plug(39), 6, screwed=Fasteners(6, nut=None, washers=washers), side="rear", rear=None,
                   fixings=fixings(boss=BOSS))  # fmt: skip
    assert found == _answer(
        FITS, f"goes home; the nearest thing, the screw head, leaves it {room:g} mm", room, "screw 1"
    )


@pytest.mark.parametrize(
    ("front", "plug", "seat", "room"),
    [
        ((16, 10), _plug(20), 1, 1.0),  # within the plug's body: it is meant to mate there
        ((20, 10), _plug(20), 1, 1.0),  # just within
        ((16, 10), _plug(14, 20, steps=(1, 40)), 1, 1.0),  # within one of its sections
        ((20.2, 10), _plug(20), 1, -9.0),
        ((24, 10), _plug(20), 1, -9.0),
        ((16, 0.45), _plug(20), 0.5, 0.05),  # a step below the shoulder
        ((16, 0.5), _plug(20), 0.5, 0.0),
        ((16, 0.52), _plug(20), 0.5, 0.5),
    ],
)
@pytest.mark.parametrize("side", ["front", "rear"])
def test_what_stands_on_the_flange_mates_inside_the_plug_or_stops_it(
    side: str, front: tuple[float, float], plug: dict[str, Any], seat: float, room: float
) -> None:
    section = {"outline": {"round": front[0]}, "from": 0, "to": front[1]}
    made = {"side": side, "front": [section], "rear": None, "hole": round_(39), "fixings": None}
    (answer,) = _seats(plug, seat, **made)
    assert answer.measured == pytest.approx(room)
    if room < 0:
        assert (answer,) == _answer(FAILS, "is kept 9 mm from home by the flange", room)


# --- the panel -------------------------------------------------------------------------------------------------------


def _behind(plug: dict[str, Any], seat: float, hole: float, **given: Any) -> tuple[Answer, ...]:
    return _seats(plug, seat, side="rear", rear=None, hole=round_(hole), **given)


@pytest.mark.parametrize(
    ("hole", "verdict", "says", "room"),
    [
        (21, FITS, "goes home; the nearest thing, the panel, leaves it 0.5 mm", 0.5),
        (20, TIGHT, "goes home with only 0 mm to the panel", 0.0),
        (19, FAILS, "runs 0.5 mm into the panel beside it", -0.5),
    ],
)
def test_a_shoulder_within_the_panel_has_the_air_of_its_hole(
    hole: float, verdict: Verdict, says: str, room: float
) -> None:
    assert _behind(_plug(20), 1, hole) == _answer(verdict, says, room)
    assert _behind(_plug(20), 1.2, hole + 0.4, panel=sheet(coating=0.2)) == _answer(verdict, says, room)


@pytest.mark.parametrize(
    ("across", "seat", "says", "room"),
    [
        (24, 3.2, "goes home; the nearest thing, the panel, leaves it 0.2 mm", 0.2),  # over the hole
        (22, 3.2, "goes home; the nearest thing, the flange, leaves it 3.2 mm", 3.2),  # it passes the hole
        (24, 2.9, "is kept 0.1 mm from home by the panel", -0.1),
    ],
)
def test_a_collar_before_the_panel_stops_on_it_or_passes_its_hole(
    across: float, seat: float, says: str, room: float
) -> None:
    assert _behind(_plug(across), seat, 22) == _answer(FITS if room > 0 else FAILS, says, room)


@pytest.mark.parametrize(
    ("nose", "verdict", "says", "room"),
    [
        (21.4, FITS, "goes home; the nearest thing, the panel, leaves it 0.3 mm", 0.3),
        (21.9, TIGHT, "goes home with only 0.05 mm to the panel", 0.05),
        (22.5, FAILS, "runs 0.25 mm into the panel beside it", -0.25),
    ],
)
def test_a_nose_passes_the_hole_of_the_panel(nose: float, verdict: Verdict, says: str, room: float) -> None:
    plug = _plug(16, nose=[{"outline": {"round": nose}, "from": 0, "to": 9}])
    assert _behind(plug, 4, 22, flange={"outline": {"box": [40, 40]}, "thick": 2}) == _answer(verdict, says, room)


@pytest.mark.parametrize(
    ("nose", "room"),
    [
        ([(23, 0, 0.5)], -0.5),  # short: it could be lifted out of the hole, but that is not where it belongs
        ([(40, 0, 1)], -9.0),
        ([(16, 0, 8), (23, 8, 9)], -0.5),  # its tip lies behind the panel, and had to pass it
        ([(16, 0, 8), (21, 8, 9)], 0.5),
        ([(21.2, 0, 1)], 0.4),
    ],
)
def test_all_of_a_nose_has_to_come_through_the_hole(nose: list[tuple[float, float, float]], room: float) -> None:
    sections = [{"outline": {"round": d}, "from": start, "to": stop} for d, start, stop in nose]
    (answer,) = _behind(_plug(16, nose=sections), 1, 22)  # the shoulder is 2 mm behind the front face
    assert answer.measured == pytest.approx(room)
    assert answer.verdict is (FITS if room > 0 else FAILS)
    (before,) = _behind(_plug(16, nose=sections), 30, 22)  # home, all of it lies before the panel
    assert before.verdict is FITS
    (inside,) = _seats(_plug(16, nose=sections), 1)
    assert inside.measured == pytest.approx(1)


def test_where_a_plug_passes_flange_and_panel_nothing_is_near_it() -> None:
    aside = {"outline": {"polygon": [[9, -5], [30, -5], [30, 5], [9, 5]]}, "thick": 2}
    says = "The plug goes home; nothing is near it."
    for rear in (None, [{"outline": {"round": 20}, "from": 0, "to": 20}]):
        found = _seats(_plug(16), 0, flange=aside, rear=rear, fixings=None)
        assert found == (Answer("plug-seats", FITS, says, bodies=("plain-plug",), source=SOURCE),)


def test_a_pin_may_pass_a_fixing_hole_of_the_panel() -> None:
    pin = {"body": [{"outline": {"polygon": [[14, -1], [16, -1], [16, 1], [14, 1]]}, "from": 0, "to": 9}]}
    says = "goes home; the nearest thing, the panel, leaves it 0.29 mm"
    assert _behind(pin, 1, 22) == _answer(FITS, says, 1.7 - math.sqrt(2))


def test_a_part_without_a_plug_is_not_asked_of_it() -> None:
    assert told("plug-seats", fit()) == ()


# --- the nut of a bush -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("nut_side", "washer", "room"), [("front", 0.5, -0.5), ("front", 0, 0.0), ("rear", 0.5, 2.0)])
def test_the_nut_of_a_bush_in_front_stops_the_plug(nut_side: str, washer: float, room: float) -> None:
    # the shoulder 5 mm before a flange at -3, the nut 2 mm high on its washer
    bush = {"thread": 12, "length": 9, "nut_across": 14, "nut_height": 2, "washer": washer, "nut_side": nut_side}
    found = _behind(_plug(20), 5, 12.6, fixings=None, bush=bush)
    if nut_side == "front":
        words = "is kept 0.5 mm from home by the bush nut" if room < 0 else "goes home with only 0 mm to the bush nut"
        assert found == _answer(FAILS if room < 0 else TIGHT, words, room, "bush nut")
    else:
        assert found == _answer(FITS, "goes home; the nearest thing, the panel, leaves it 2 mm", room)


# --- neighbours ------------------------------------------------------------------------------------------------------

ROOM = {"flange": SLIM, "fixings": None}  # shoulder at 2 + 5


@pytest.mark.parametrize(
    ("x", "y", "name", "verdict", "says", "room"),
    [
        (20, 0, "next part", FITS, "goes home; the nearest thing, the next part, leaves it 1 mm", 1.0),
        (0, -19.05, "next part", TIGHT, "goes home with only 0.05 mm to the next part", 0.05),
        (0, 18, "next screw", FAILS, "runs 1 mm into the next screw beside it", -1.0),
        (-18, 0, "next plug", FAILS, "runs 1 mm into the next plug beside it", -1.0),
        (-20, 0, "next plug", FITS, "goes home; the nearest thing, the next plug, leaves it 1 mm", 1.0),
    ],
)
@pytest.mark.parametrize("number", [0, 1])
def test_a_plug_at_home_has_its_gap_to_what_stands_beside_it(
    number: int, x: float, y: float, name: str, verdict: Verdict, says: str, room: float
) -> None:
    # a plug of 30 mm, a post of 8 mm that is less high than the plug; another one further away
    near, far = post(x, y, 8, z1=20, name=name), post(-30, 30, 8, z1=20, name="next part")
    plug = _plug(30, steps=(60,))
    expected = _answer(verdict, says, room, number)
    if room < 0:  # it runs into it on its way as well
        words = says.replace("beside it", "on its way") + (": draw that out first" if name == "next plug" else "")
        expected_way = _answer(TIGHT if name == "next plug" else FAILS, words, room, number)
        found = _seats(plug, 5, *((near, far) if number == 0 else (far, near)), **ROOM)
        assert found in (expected, expected_way)
        assert found == expected  # what is worst at home is told as that
    else:
        assert _seats(plug, 5, *((near, far) if number == 0 else (far, near)), **ROOM) == expected


def test_of_two_things_as_near_one_is_told_by_its_name_whichever_comes_first() -> None:
    lip, part = post(20, 0, 8, z1=20, name="panel lip"), post(-20, 0, 8, z1=20, name="next part")
    says = "goes home; the nearest thing, the next part, leaves it 1 mm"
    assert _seats(_plug(30), 5, lip, part, **ROOM) == _answer(FITS, says, 1.0, 1)
    assert _seats(_plug(30), 5, part, lip, **ROOM) == _answer(FITS, says, 1.0, 0)


@pytest.mark.parametrize(
    ("z1", "verdict", "says", "room"),
    [
        (6.8, FITS, "goes home; the nearest thing, the next part, leaves it 0.2 mm", 0.2),
        (7, TIGHT, "goes home with only 0 mm to the next part", 0.0),
        (7.4, FAILS, "is kept 0.4 mm from home by the next part", -0.4),
    ],
)
def test_what_lies_under_a_plug_keeps_it_from_home_by_its_height(
    z1: float, verdict: Verdict, says: str, room: float
) -> None:
    assert _seats(_plug(30), 5, post(0, 10, 4, z1=z1), **ROOM)[0].measured == pytest.approx(min(room, _lap(room)))
    if room >= 0:
        assert _seats(_plug(30), 5, post(0, 10, 4, z1=z1), **ROOM) == _answer(verdict, says, room, 0)


def _lap(room: float) -> float:
    """Return how far the post is in the plug's way when that comes, where it is at all: 15 + 2 - 10 mm."""
    return -7.0 if room < 0 else math.inf


@pytest.mark.parametrize(("x", "y", "under"), [(6, 8, False), (5.9, 8, True), (10, 0, False)])
def test_what_a_plug_only_touches_from_the_side_is_not_under_it(x: float, y: float, under: bool) -> None:
    # a plug of 12 mm and a post of 8, 10 mm apart; the post ends 1 mm below the shoulder
    (answer,) = _seats(_plug(12), 5, post(x, y, 8, z1=6), **ROOM)
    assert answer.measured == pytest.approx(1 if under else 5)


# --- on its way ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("z0", "meets"), [(48, True), (60, True), (1046.9, True), (1047.1, False)]
)  # home it ends at 7 + 40, and it comes from a metre before that
def test_a_plug_comes_straight_from_before_the_panel(z0: float, meets: bool) -> None:
    cap, far = thing(box(30, 60).moved(25, 0), z0, z0 + 9), thing(box(30, 60).moved(29, 0), 50, 60)
    found = _seats(_plug(30), 5, cap, far, **ROOM)
    if meets:
        assert found == _answer(FAILS, "runs 5 mm into the next part on its way", -5, 0)
    else:
        assert found == _answer(FAILS, "runs 1 mm into the next part on its way", -1, 1)


def test_another_plug_on_its_way_is_drawn_out_first() -> None:
    cap = thing(box(30, 60).moved(25, 0), 50, 60, "next plug")
    found = _seats(_plug(30), 5, cap, **ROOM)
    assert found == _answer(TIGHT, "runs 5 mm into the next plug on its way: draw that out first", -5, 0)


def test_what_it_only_touches_on_its_way_is_no_matter() -> None:
    cap = thing(box(30, 60).moved(30, 0), 50, 60)
    assert _seats(_plug(30), 5, cap, **ROOM)[0].measured == pytest.approx(5)


def _oblong(motion: str, turn: float) -> dict[str, Any]:
    """Return a plug 36 mm long and 10 wide at home, turned clockwise after the push."""
    return {"body": [{"outline": {"box": [36, 10]}, "from": 0, "to": 20}], "motion": motion, "turn": turn}


@pytest.mark.parametrize(
    ("way", "motion", "turn", "meets"),
    [
        (90, "quarter turn", 90, True),  # pushed in along y
        (90, "push", 90, False),
        (90, "quarter turn", 60, False),
        (50, "quarter turn", 90, True),  # on its way round
        (230, "quarter turn", 90, True),  # its other end
        (130, "quarter turn", 90, False),  # there it never is
        (21, "quarter turn", 5, True),  # turned by 5 degrees: its edge is there 2.4 mm from the line of its middle
        (21, "quarter turn", 4.9, False),  # it is looked at every 5 degrees
        (26, "quarter turn", 5, False),
        (26, "quarter turn", 10, True),
        (26, "quarter turn", 9.9, False),
        (-21, "quarter turn", 90, False),
    ],
)
def test_a_plug_that_turns_sweeps_what_it_turns_through(way: float, motion: str, turn: float, meets: bool) -> None:
    near = post(16 * math.cos(math.radians(way)), 16 * math.sin(math.radians(way)), 1, z1=40)
    (answer,) = _seats(_oblong(motion, turn), 5, near, flange={"outline": {"box": [8, 4]}, "thick": 2}, fixings=None)
    assert (answer.verdict is FAILS) is meets, answer.says
    if meets:
        assert answer.says.endswith("into the next part on its way.")


def test_a_plug_turns_with_its_part() -> None:
    for turn, y in ((0, 0), (90, 18), (270, -18)):
        near = post(0 if y else 18, y, 4, z1=20)
        (answer,) = _seats(_oblong("push", 0), 5, near, turn=turn, **ROOM)
        assert answer.verdict is FAILS
        aside = post(18 if y else 0, 0 if y else 18, 4, z1=20)
        (clear,) = _seats(_oblong("push", 0), 5, aside, turn=turn, **ROOM)
        assert clear.verdict is FITS
