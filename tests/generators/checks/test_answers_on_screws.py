"""Whole answers of screw-length, screw-bottoms and washer-land, by hand.

A flange of 2 mm on a panel of 3 mm. M3: pitch 0.5 mm, nut 2.4 mm high, the plain washer 0.5 mm thick and 7 mm across
with a hole of 3.2, the split one 0.8 mm thick and 6.2 across with a hole of 3.1. Screws of M3 are made to +/-0.29 mm up
to 10 mm of length, to +/-0.95 mm up to 80 (ISO 4759-1, js15 and js16).
"""

from __future__ import annotations

from typing import Any

import pytest

from dryfit.generators.checks.screw_length import screw_length
from dryfit.models.findings import Answer, Verdict
from dryfit.models.geometry.outlines import box
from tests.fits import BOSS, Fasteners, fit, of_length, post, sheet, told
from tests.plain import fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
LENGTH_SOURCE = "common practice; tail: naval technical manual ch. 075 as quoted"
FLANGE = {"outline": {"box": [40, 40]}}


# --- screw-length ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length", "thick", "past", "verdict", "says"),
    [
        (12, 2, 4.6, FITS, "engages 2.4 mm (4.8 threads) and ends 4.6 mm (9.2 pitches) past the nut."),
        (12, 1.6, 5.0, FITS, "engages 2.4 mm (4.8 threads) and ends 5 mm (10.0 pitches) past the nut."),
        (12, 1.5, 5.1, TIGHT, "engages 2.4 mm (4.8 threads) and ends 5.1 mm (10.2 pitches) past the nut: a long tail."),
        (12, 6.1, 0.5, FITS, "engages 2.4 mm (4.8 threads) and ends 0.5 mm (1.0 pitches) past the nut."),
        (12, 6.2, 0.4, FAILS, "engages 2.4 mm (4.8 threads) and ends 0.4 mm (0.8 pitches) past the nut: too short by "
                              "0.1 mm."),
        (12, 7, -0.4, FAILS, "engages 2 mm (4.0 threads) and ends inside the nut: too short by 0.9 mm."),
        (55, 48.6, 1.0, FITS, "engages 2.4 mm (4.8 threads) and ends 1 mm (2.0 pitches) past the nut."),
        (55, 48.7, 0.9, TIGHT, "engages 2.4 mm (4.8 threads) and ends 0.9 mm (1.8 pitches) past the nut; the shortest "
                               "such screw ends inside it."),
        (55, 49.1, 0.5, TIGHT, "engages 2.4 mm (4.8 threads) and ends 0.5 mm (1.0 pitches) past the nut; the shortest "
                               "such screw ends inside it."),
    ],
)  # fmt: skip
def test_a_screw_ends_a_pitch_past_its_nut_at_least_and_ten_at_most(
    length: float, thick: float, past: float, verdict: Verdict, says: str
) -> None:
    answers = told("screw-length", fit(Fasteners(length), flange={**FLANGE, "thick": thick}))
    whole = f"The {length} mm screw {says}"
    assert answers == (of_length("screw-length", verdict, whole, past, 0.5, ("screw 1",), "rear", LENGTH_SOURCE),)


def test_a_screw_that_just_ends_at_the_face_of_its_nut_is_past_it() -> None:
    (answer,) = told("screw-length", fit(Fasteners(8), panel=sheet(3.5), flange={**FLANGE, "thick": 2.1}))
    assert answer.measured == pytest.approx(0, abs=1e-9)
    (exact,) = told("screw-length", fit(Fasteners(7.4), flange={**FLANGE, "thick": 2}))
    assert exact.measured == 0
    assert "ends 0 mm (0.0 pitches) past the nut: too short by 0.5 mm" in exact.says


def test_without_nut_or_thread_there_is_nothing_to_hold() -> None:
    says = "The screw has no nut and the part has no thread for it."
    answers = told("screw-length", fit(Fasteners(nut=None)))
    assert answers == (of_length("screw-length", FAILS, says, 0, 0.5, ("screw 1",), "rear", LENGTH_SOURCE),)


@pytest.mark.parametrize(
    ("depth", "material", "engaged", "limit", "verdict"),
    [
        (10, "metal", 3.0, 3, FITS),
        (2.9, "metal", 2.9, 3, FAILS),
        (10, "plastic", 3.0, 6, FAILS),
    ],
)
def test_a_boss_of_plastic_wants_twice_the_thread_of_one_of_metal(
    depth: float, material: str, engaged: float, limit: float, verdict: Verdict
) -> None:
    boss = {"thread": "M3", "depth": depth, "material": material}
    answers = told("screw-length", fit(Fasteners(6, nut=None), side="rear", fixings=fixings(boss=boss)))
    says = f"The 6 mm screw engages {engaged:g} mm in the part's {material} boss; {limit:g} mm is wanted."
    assert answers == (of_length("screw-length", verdict, says, engaged, limit, ("screw 1",), "rear", LENGTH_SOURCE),)


@pytest.mark.parametrize(("length", "verdict"), [(8.9, FAILS), (9, FITS)])
def test_six_millimetres_of_thread_are_enough_in_plastic(length: float, verdict: Verdict) -> None:
    boss = {"thread": "M3", "depth": 8, "material": "plastic"}
    (answer,) = told("screw-length", fit(Fasteners(length, nut=None), side="rear", fixings=fixings(boss=boss)))
    assert answer.verdict is verdict


@pytest.mark.parametrize(
    ("thick", "left", "verdict"),
    [(0.4, -0.1, FAILS), (0.5, 0, FITS), (1.0, 0.5, FITS), (1.7, 0.3, FITS), (2.0, 0, FITS), (2.1, -0.1, FAILS)],
)
def test_a_rivet_is_made_for_a_range_of_grips(thick: float, left: float, verdict: Verdict) -> None:
    # the rivet of 3.2 by 8 mm is made for 3.5 to 5 mm; the panel is 3 mm thick
    answers = told("screw-length", fit(Fasteners(8, rivet="3.2 mm"), flange={**FLANGE, "thick": thick}))
    says = f"The rivet is made for 3.5 mm to 5 mm; flange and panel are {3 + thick:g} mm thick."
    assert answers == (of_length("screw-length", verdict, says, left, 0, ("screw 1",), "rear", LENGTH_SOURCE),)


BUSH = {"thread": 12, "length": 9, "nut_across": 14, "nut_height": 2, "washer": 0.5, "washer_across": 18}


@pytest.mark.parametrize(
    ("thick", "left", "verdict"), [(3, 3.5, FITS), (6.5, 0, FITS), (6.75, -0.25, FAILS)]
)  # 9 - 0.5 - 2 less the panel
def test_a_bush_holds_panel_washer_and_nut(thick: float, left: float, verdict: Verdict) -> None:
    answers = told("screw-length", fit(None, panel=sheet(thick), fixings=None, bush=BUSH))
    says = f"The bush is 9 mm long; panel, washer and nut take {9 - left:g} mm and leave {left:g} mm."
    assert answers == (of_length("screw-length", verdict, says, left, 0, ("bush nut",), "rear", LENGTH_SOURCE),)


def test_a_part_with_a_bush_and_screws_answers_for_both_and_one_with_neither_for_none() -> None:
    both = told("screw-length", fit(panel=sheet(coating=0.1), bush=BUSH))
    assert [a.bodies for a in both] == [("bush nut",), ("screw 1",)]
    assert [a.measured for a in both] == pytest.approx([9 - 3.2 - 2.5, 12 - 2 - 3.2 - 2.4])
    assert told("screw-length", fit(None, fixings=None)) == ()
    assert tuple(screw_length(fit(None))) == ()


# --- screw-bottoms ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("depth", "material", "left", "verdict", "says"),
    [
        (5.8, "metal", 0.51, FITS, "stops 0.51 mm above the floor of the boss; 0.5 mm is wanted."),
        (5.78, "metal", 0.49, TIGHT, "stops 0.49 mm above the floor of the boss; 0.5 mm is wanted."),
        (5.3, "metal", 0.01, TIGHT, "stops 0.01 mm above the floor of the boss; 0.5 mm is wanted."),
        (5.2, "metal", -0.09, FAILS, "is on the floor of the boss 0.09 mm before its head clamps."),
        (6.3, "plastic", 1.01, FITS, "stops 1.01 mm above the floor of the boss; 1 mm is wanted."),
        (6.28, "plastic", 0.99, TIGHT, "stops 0.99 mm above the floor of the boss; 1 mm is wanted."),
        (5.2, "plastic", -0.09, FAILS, "is on the floor of the boss 0.09 mm before its head clamps."),
    ],
)
@pytest.mark.parametrize("side", ["front", "rear"])
def test_the_longest_such_screw_stops_short_of_the_floor(
    side: str, depth: float, material: str, left: float, verdict: Verdict, says: str
) -> None:
    boss = {"thread": "M3", "depth": depth, "material": material}
    answers = told("screw-bottoms", fit(Fasteners(8, nut=None), side=side, fixings=fixings(boss=boss)))
    whole = f"The screw {says}"  # depth less the 5 mm that reach into it and the 0.29 it may be longer
    assert answers == (of_length("screw-bottoms", verdict, whole, left, 0, ("screw 1",), "rear", "common practice"),)


def test_where_there_is_no_floor_none_is_asked_of() -> None:
    assert told("screw-bottoms", fit()) == ()
    assert told("screw-bottoms", fit(None, fixings=fixings(boss=BOSS))) == ()


# --- washer-land -----------------------------------------------------------------------------------------------------

PLAIN = "The plain washer, 7 mm across,"
SPLIT = "The split washer, 6.2 mm across,"
WASHER_SOURCE = {
    "plain": "washer: ISO 7089; landing: common practice",
    "split": "washer: DIN 127; landing: common practice",
}


def _washer(
    kind: str, verdict: Verdict, says: str, measured: float | None, limit: float = 0.0, beside: tuple[int, ...] = ()
) -> Answer:
    whole, ref = f"{PLAIN if kind == 'plain' else SPLIT} {says}", f"{kind} washer 1"
    if measured is None:
        return Answer("washer-land", verdict, whole, bodies=(ref,), view="rear", source=WASHER_SOURCE[kind])
    return of_length("washer-land", verdict, whole, measured, limit, (ref, *beside), "rear", WASHER_SOURCE[kind])


def _washers(*kinds: str, x: float = 15.0, **given: Any) -> tuple[Answer, ...]:
    spots = given.pop("fixings", None) or fixings(at=[[19, 0], [-x, 0]])
    return told("washer-land", fit(Fasteners(washers=kinds), **{"fixings": spots, **given}))


@pytest.mark.parametrize(
    ("x", "expected"),
    [
        (15, _washer("plain", FITS, "lies flat.", 15 - 10 - 3.5)),
        (13.56, _washer("plain", FITS, "lies flat.", 0.06)),  # 0.94 over the hole of 22 mm: half of the ring is 0.95
        (13.54, _washer("plain", TIGHT, "hangs 0.96 mm over the edge of the cut-out and will tip.", -0.96, -0.95)),
        (13.5, _washer("plain", TIGHT, "hangs 1 mm over the edge of the cut-out and will tip.", -1.0, -0.95)),
        (13.4, _washer("plain", FAILS, "runs 0.1 mm into the body beside it.", -0.1)),
        (19, _washer("plain", FITS, "lies flat.", None)),  # 5.5 mm from the barrel is no matter
    ],
)
def test_a_washer_lies_flat_beside_the_barrel_and_on_its_ring(x: float, expected: Answer) -> None:
    assert _washers("plain", x=x) == (expected,)


def test_a_narrower_ring_may_hang_over_by_less() -> None:
    (over,) = _washers("split", fixings=fixings(at=[[0, 19], [0, 13.3]]), hole=box(22, 22))
    # 13.3 - 11 - 3.1 = -0.8 of a ring of 1.55
    assert over == _washer("split", TIGHT, "hangs 0.8 mm over the edge of the cut-out and will tip.", -0.8, -0.775)


@pytest.mark.parametrize(
    ("starts", "second"),
    [
        (3.4, "fails both"),  # the first washer fills 3 to 3.5 mm behind the face, the second 3.5 to 4.3
        (3.6, "fails second"),
        (4.2, "fails second"),
        (4.4, "fits"),
    ],
)
def test_washers_lie_one_behind_the_other(starts: float, second: str) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": starts}, {"outline": {"round": 24}, "from": starts, "to": 20}]
    first, last = _washers("plain", "split", rear=rear)
    into = 15 - 12 - 3.5, 15 - 12 - 3.1
    assert first == (
        _washer("plain", FAILS, "runs 0.5 mm into the body beside it.", into[0])
        if second == "fails both" else _washer("plain", FITS, "lies flat.", 1.5)
    )  # fmt: skip
    assert last == (
        _washer("split", FITS, "lies flat.", 1.9)
        if second == "fits" else _washer("split", FAILS, "runs 0.1 mm into the body beside it.", into[1])
    )  # fmt: skip


@pytest.mark.parametrize(("side", "low", "high"), [("rear", 0.0, 0.5), ("front", -3.5, -3.0)])
def test_a_washer_for_a_boss_lies_under_the_head(side: str, low: float, high: float) -> None:
    made: dict[str, Any] = {"side": side, "fixings": fixings(boss=BOSS, at=[[19, 0], [-16, 0]])}
    for z0, z1, hit in ((low + 0.1, high - 0.1, True), (high, high + 5, False), (low - 5, low, False)):
        near = post(-21, 0, 4, z0, z1)  # 5 - 2 - 3.5: half a millimetre into it
        (answer,) = told("washer-land", fit(Fasteners(6, nut=None, washers=("plain",)), beside=[near], **made))
        if hit:
            assert answer == _washer("plain", FAILS, "runs 0.5 mm into the next part beside it.", -0.5, 0, (0,))
        else:
            assert answer.verdict is FITS


@pytest.mark.parametrize("side", ["front", "rear"])
def test_under_a_head_washers_are_piled_up_from_the_panel(side: str) -> None:
    made: dict[str, Any] = {"side": side, "fixings": fixings(boss=BOSS, at=[[19, 0], [-16, 0]])}
    low, high = (0.6, 1.2) if side == "rear" else (-4.2, -3.6)  # the second washer lies on the 0.5 mm of the first
    near = post(-21, 0, 4, low, high)
    plain, split = told("washer-land", fit(Fasteners(6, nut=None, washers=("plain", "split")), beside=[near], **made))
    assert plain.verdict is FITS
    assert split == _washer("split", FAILS, "runs 0.1 mm into the next part beside it.", -0.1, 0, (0,))


def test_only_a_washer_on_the_panel_has_the_edge_of_the_hole() -> None:
    # on the flange behind the panel a washer lies nowhere near the hole; under a head it lies on the panel again
    spots = fixings(at=[[19, 0], [-13.52, 0]])
    assert _washers("plain", side="rear", fixings=spots)[0].verdict is FITS
    assert _washers("plain", fixings=spots)[0].verdict is TIGHT
    boss = fixings(at=[[19, 0], [-13.52, 0]], boss=BOSS)
    (under_head,) = told("washer-land", fit(Fasteners(6, nut=None, washers=("plain",)), side="rear", fixings=boss))
    assert under_head.verdict is TIGHT


def test_a_screw_without_washers_is_not_asked_of_them() -> None:
    assert told("washer-land", fit()) == ()
    assert told("washer-land", fit(None)) == ()
