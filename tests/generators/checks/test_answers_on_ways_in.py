"""Whole answers of goes-in, by hand: the part through its hole, then heads, washers and nuts to where they bear.

M3: pan head 5.6 mm across, nut 5.5 mm across flats, plain washer 7, split washer 6.2. The head of a part from the
front bears at z = 2, the nut ends at -5.4.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from dryfit.generators.bodies.assemble import part_instance
from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.goes_in import past_each_other, swept
from dryfit.models.catalogue.parts import Side
from dryfit.models.findings import Answer, Finding, Ref, Verdict
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import box, round_
from dryfit.models.job import Job, Place
from tests.fits import BOSS, Fasteners, fit, mounted, of_length, post, sheet, told
from tests.plain import about, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SOURCE = "geometry of the parts: each is moved straight to its place"
LARGE: dict[str, Any] = {"hole": round_(39.9)}  # so that the part itself has more room than anything that holds it


def _answer(
    verdict: Verdict, says: str, measured: float | None, *refs: Ref, view: Side = "front"
) -> tuple[Answer, ...]:
    if measured is None:
        return (Answer("goes-in", verdict, says, bodies=refs, view=view, source=SOURCE),)
    return (of_length("goes-in", verdict, says, measured, 0.0, refs, view, SOURCE),)


def _round(across: float, start: float, stop: float) -> dict[str, Any]:
    return {"outline": {"round": across}, "from": start, "to": stop}


# --- the part through its hole ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("across", "play", "verdict"), [(21.5, 0.5, FITS), (22, 0, FITS), (22.1, -0.1, FAILS), (26, -4, FAILS)]
)
@pytest.mark.parametrize(
    ("side", "body", "other", "where"), [("front", "rear", "front", "behind"), ("rear", "front", "rear", "ahead of")]
)
def test_what_is_wider_beyond_the_panel_must_pass_its_hole(
    side: str, body: str, other: str, where: str, across: float, play: float, verdict: Verdict
) -> None:
    sections: dict[str, Any] = {body: [_round(20, 0, 5), _round(across, 5, 12)], other: [_round(39, 0, 12)]}
    says = f"What passes the hole on the way in, {across:g} mm, has {play:g} mm of play."
    if verdict is FAILS:
        says = (
            f"The part does not go in: {where} the panel it is {across:g} mm, {-play:g} mm too big for the hole it has "
            "to pass."
        )
    assert told("goes-in", fit(None, side=side, **sections)) == _answer(verdict, says, play)


def test_coating_on_the_wall_is_in_the_way_of_what_passes() -> None:
    rear = [_round(20, 0, 5), _round(21.9, 5, 12)]
    says = "The part does not go in: behind the panel it is 21.9 mm, 0.1 mm too big for the hole it has to pass."
    assert told("goes-in", fit(None, panel=sheet(coating=0.1), rear=rear)) == _answer(FAILS, says, -0.1)


@pytest.mark.parametrize("side", ["front", "rear"])
def test_a_part_of_which_nothing_passes_the_sheet_goes_straight_in(side: str) -> None:
    answers = told("goes-in", fit(None, side=side, rear=None, front=None))
    assert answers == _answer(FITS, "The part goes straight in.", None)


def test_of_steps_that_pass_one_by_one_the_tightest_is_told() -> None:
    for rear in (
        [_round(20, 0, 5), _round(16, 5, 12), _round(21, 12, 20)],
        [_round(20, 0, 5), _round(21, 5, 12), _round(16, 12, 20)],
        [_round(16, 0, 5), _round(21, 5, 6), _round(18, 6, 20)],  # both in the sheet together
        [_round(16, 0, 5), _round(18, 5, 6), _round(21, 6, 20)],
    ):
        says = "What passes the hole on the way in, 21 mm, has 1 mm of play."
        assert told("goes-in", fit(None, rear=rear)) == _answer(FITS, says, 1)
    # both in the sheet together, one 1 mm to the right, one to the left: 22 mm wide
    aside = [
        {"outline": {"polygon": [[x - 10, -2], [x + 10, -2], [x + 10, 2], [x - 10, 2]]}, "from": start, "to": start + 1}
        for x, start in ((1, 4), (-1, 5))
    ]
    together = told("goes-in", fit(None, hole=box(23, 23), rear=[_round(16, 0, 4), *aside]))
    assert together[0].measured == pytest.approx(1, abs=1e-3)
    like = [_round(20, 0, 5), _round(16, 5, 12), _round(20, 12, 20)]
    assert told("goes-in", fit(None, rear=like))[0].measured == pytest.approx(2)


# --- heads, and washers under them -----------------------------------------------------------------------------------


def _head(verdict: Verdict, says: str, measured: float | None, *refs: Ref, view: Side = "front") -> tuple[Answer, ...]:
    return _answer(verdict, says, measured, *refs, view=view)


@pytest.mark.parametrize(
    ("y", "name", "gap", "verdict", "says"),
    [
        (6, "next part", 1.2, FITS, "The way of the screw head passes the next part with 1.2 mm."),
        (4.8, "next part", 0.0, FITS, "The way of the screw head passes the next part with 0 mm."),
        (4.5, "panel lip", -0.3, FAILS, "The panel lip is 0.3 mm in the way of the screw head: there is no way to "
                                        "drive it in."),
        (4.5, "next part", -0.3, TIGHT, "The next part is 0.3 mm in the way of the screw head: it has to be screwed "
                                        "down before that is mounted."),
    ],
)  # fmt: skip
@pytest.mark.parametrize("number", [1, 2])
def test_a_head_comes_straight_to_its_face(
    number: int, y: float, name: str, gap: float, verdict: Verdict, says: str
) -> None:
    beside = [post(0, 60, 4), post(-15 if number == 1 else 15, y, 4, name=name)]
    assert told("goes-in", fit(beside=beside, **LARGE)) == _head(verdict, says, gap, f"screw {number}", 1)


@pytest.mark.parametrize(
    ("z0", "z1", "meets"), [(0, 2, False), (0, 2.1, True), (990, 1100, True), (1001.9, 1100, True), (1002, 1100, False)]
)
def test_a_head_comes_from_a_metre_before_its_face(z0: float, z1: float, meets: bool) -> None:
    (answer,) = told("goes-in", fit(beside=[post(15, 4.5, 4, z0, z1)], **LARGE))
    assert (answer.verdict is TIGHT) is meets


def test_the_own_body_before_a_head_leaves_no_way() -> None:
    front = [_round(20, 0, 5), _round(25, 5, 9)]
    says = "The body is 0.3 mm in the way of the screw head: there is no way to drive it in."
    assert told("goes-in", fit(front=front, **LARGE)) == _head(FAILS, says, 15 - 12.5 - 2.8, "screw 1")


def test_plugs_come_later_than_heads() -> None:
    assert told("goes-in", fit(beside=[post(15, 4.5, 4, 2, name="next plug")])) == told("goes-in", fit())


@pytest.mark.parametrize(("side", "view", "low", "high"), [("rear", "front", 0.5, 0.6), ("front", "rear", -3.6, -3.5)])
@pytest.mark.parametrize(
    ("washers", "y", "gap", "ref", "what", "does"),
    [
        ((), 4.5, -0.3, "screw", "screw head", "drive it in"),
        (("plain",), 4.5, -1.0, "plain washer", "washer", "put it on"),
        (("split", "plain"), 4.5, -1.0, "plain washer", "washer", "put it on"),
        (("split",), 4.5, -0.6, "split washer", "washer", "put it on"),
    ],
)
@pytest.mark.parametrize("number", [1, 2])
def test_with_a_boss_head_and_washers_come_from_the_heads_side(
    number: int, washers: tuple[str, ...], y: float, gap: float, ref: str, what: str, does: str, side: str, view: Side,
    low: float, high: float,
) -> None:  # fmt: skip
    boss = fixings(boss=BOSS)
    screwed = Fasteners(6, nut=None, washers=washers)
    deeper = sum({"plain": 0.5, "split": 0.8}[kind] for kind in washers)
    ends = (low - 0.5 + deeper, 60) if side == "rear" else (-60, high + 0.5 - deeper)
    near = post(-15 if number == 1 else 15, y, 4, ends[0], ends[1], "rack rail")
    says = f"The rack rail is {-gap:g} mm in the way of the {what}: there is no way to {does}."
    answers = told("goes-in", fit(screwed, side=side, fixings=boss, beside=[near], **LARGE))
    assert answers == _answer(FAILS, says, gap, f"{ref} {number}", 0, view=view)
    below = (-60.0, ends[0]) if side == "rear" else (ends[1], 60.0)
    under = post(-15, y, 4, below[0], below[1], "rack rail")
    (clear,) = told("goes-in", fit(screwed, side=side, fixings=boss, beside=[under], **LARGE))
    assert clear.verdict is FITS


# --- nuts, and washers under them ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("washers", "end", "gap", "ref", "what"),
    [
        ((), -5.4, -0.25, "nut", "nut"),
        (("plain",), -5.9, -1.0, "plain washer", "washer"),
        (("split", "plain"), -6.7, -1.0, "plain washer", "washer"),
        (("split",), -6.2, -0.6, "split washer", "washer"),
    ],
)
@pytest.mark.parametrize("number", [1, 2])
def test_nuts_and_washers_come_from_behind(
    number: int, washers: tuple[str, ...], end: float, gap: float, ref: str, what: str
) -> None:
    screwed, x = Fasteners(washers=washers), -15 if number == 1 else 15
    for z0, z1, meets in (
        (-1100, end, True), (end - 0.1, 1, True), (end, 1, False), (-1100, end - 999.9, True),
        (-1100, end - 1000, False),
    ):  # fmt: skip
        answers = told("goes-in", fit(screwed, beside=[post(x, 4.5, 4, z0, z1, "rack rail")], **LARGE))
        if meets:
            says = f"The rack rail is {-gap:g} mm in the way of the {what}: there is no way to put it on."
            assert answers == _answer(FAILS, says, gap, f"{ref} {number}", 0, view="rear"), (z0, z1)
        else:
            assert answers[0].verdict is FITS, (z0, z1)


def test_a_sunk_head_comes_to_the_surface_it_sinks_into() -> None:
    sunk = fixings(seat={"diameter": 7.4, "angle": 90})  # 0.55 mm deep
    made = fit(Fasteners(head="countersunk"), fixings=sunk, beside=[post(15, 4.5, 4, 0, 2, "rack rail")], **LARGE)
    assert told("goes-in", made)[0].verdict is FITS
    # on a washer the cone stands 1.55 mm proud: what is beside it before that is in its way all the same
    boss, low = fixings(boss=BOSS), post(15, 4, 4, 0.6, 1, "rack rail")
    proud = fit(Fasteners(6, "countersunk", None, ("plain",)), side="rear", fixings=boss, beside=[low], **LARGE)
    says = "The rack rail is 1.5 mm in the way of the washer: there is no way to put it on."
    assert told("goes-in", proud) == _answer(FAILS, says, -1.5, "plain washer 2", 0)
    beside = post(15, 4.7, 4, 0.6, 1, "rack rail")  # of M3 the sunk head is 5.5 mm across
    alone = fit(Fasteners(6, "countersunk", None), side="rear", fixings=boss, beside=[beside], **LARGE)
    assert told("goes-in", alone)[0].measured == pytest.approx(4.7 - 2 - 2.75)


def test_washers_under_the_nut_do_not_come_from_the_front() -> None:
    made = fit(Fasteners(washers=("plain",)), beside=[post(15, 5.9, 4, 3)], **LARGE)
    says = "The way of the screw head passes the next part with 1.1 mm."
    assert told("goes-in", made) == _answer(FITS, says, 1.1, "screw 2", 0)


def test_the_way_of_a_nut_is_as_wide_as_the_nut_whatever_its_driver_is() -> None:
    made = fit(**LARGE)
    assert made.stack is not None
    assert made.stack.nut is not None
    small = replace(made.stack, nut=replace(made.stack.nut, across_flats=5.0))
    assert told("goes-in", made.with_stack(small))[0].measured == pytest.approx(15 - 10 - 2.5)


@pytest.mark.parametrize(
    ("screwed", "gap", "ref", "what"),
    [
        (Fasteners(), 15 - 10 - 2.75, "nut 1", "nut"),
        (Fasteners(washers=("plain",)), 15 - 10 - 3.5, "plain washer 1", "washer"),
    ],
)
def test_where_all_is_clear_the_least_room_is_told(screwed: Fasteners, gap: float, ref: str, what: str) -> None:
    says = f"The way of the {what} passes the body with {gap:g} mm."
    assert told("goes-in", fit(screwed, **LARGE)) == _answer(FITS, says, gap, ref, view="rear")
    (part,) = told("goes-in", fit(screwed, hole=round_(20.3)))
    assert part.measured == pytest.approx(0.3)


def test_where_nothing_can_be_measured_nothing_is_in_the_way() -> None:
    bare: dict[str, Any] = {"rear": None, "flange": {"outline": {"box": [40, 40]}, "thick": 2}}
    assert told("goes-in", fit(**bare)) == _answer(FITS, "The part goes straight in.", None)
    # of all that is clear one is told: the part where it has sections, else the first that was asked of
    (answer,) = told("goes-in", fit(Fasteners(nut=None)))
    assert answer.says.startswith("What passes the hole on the way in")


def test_a_clear_way_says_so_with_what_it_is_of() -> None:
    from dryfit.generators.checks.goes_in import Way, _clear

    nut = Way(prism(round_(5), -50, -9), "nut 2", "nut", "put it on", "rear")
    far = fit(None, rear=None)
    assert (_clear(far, nut),) == _answer(FITS, "Nothing is in the way of the nut.", None, "nut 2", view="rear")


def test_the_worst_way_of_all_is_told() -> None:
    rear, front = [_round(20, 0, 10), _round(25, 10, 20)], [_round(20, 0, 10), _round(27, 10, 20)]
    (answer,) = told("goes-in", fit(rear=rear, front=front, hole=round_(26)))
    # the nut is 0.25 mm in the barrel's way, the head 1.3
    assert (answer.bodies, answer.measured) == (("screw 1",), about(12.2 - 13.5, 1e-9))
    (failing,) = told("goes-in", fit(rear=rear, beside=[post(15, 2, 4, 3, 9)], hole=round_(26)))
    assert (failing.verdict, failing.bodies) == (FAILS, ("nut 1",))  # 0.25, worse than 2.8 that only is tight


# --- the nut of a bush -----------------------------------------------------------------------------------------------

BUSH = {"thread": 12, "length": 9, "nut_across": 14, "nut_height": 2}
WIDER = "The nut of the bush does not go on: what stands out on its side is {:g} mm too wide for it."
OVER = "The nut of the bush goes over all that stands out on its side."


@pytest.mark.parametrize(
    ("thread", "more", "room", "verdict"),
    [
        (12.3, [], 0.3, FITS),
        (12, [], 0, FITS),
        (11.8, [], -0.2, FAILS),
        (12.5, [13], -0.5, FAILS),
        (12.5, [11, 13], -0.5, FAILS),
        (12.5, [13, 11], -0.5, FAILS),
    ],
)
@pytest.mark.parametrize(("side", "nut_side", "body"), [("rear", "front", "front"), ("front", "rear", "rear")])
def test_the_nut_of_a_bush_goes_over_all_that_stands_out_on_its_side(
    side: str, nut_side: Side, body: str, thread: float, more: list[float], room: float, verdict: Verdict
) -> None:
    sections = [_round(12, 0, 9), *(_round(d, 9 + n, 10 + n) for n, d in enumerate(more))]
    behind: dict[str, Any] = {"front": None, "rear": None, body: sections}
    made = fit(None, side=side, hole=round_(30), fixings=None,
               bush={**BUSH, "thread": thread, "nut_side": nut_side}, **behind)  # fmt: skip
    says = OVER if verdict is FITS else WIDER.format(-room)
    assert told("goes-in", made) == _answer(verdict, says, room, "bush nut", view=nut_side)


@pytest.mark.parametrize(("side", "nut_side", "body"), [("rear", "front", "front"), ("front", "rear", "rear")])
@pytest.mark.parametrize(("coating", "long", "reaches"), [(0, 3, False), (0, 3.1, True), (0.1, 3.1, False)])
def test_a_bush_must_reach_through_the_coated_panel(
    side: str, nut_side: str, body: str, coating: float, long: float, reaches: bool
) -> None:
    behind: dict[str, Any] = {"front": None, "rear": None, body: [_round(12, 0, long)]}
    made = fit(None, panel=sheet(coating=coating), side=side, hole=round_(30), fixings=None,
               bush={**BUSH, "nut_side": nut_side}, **behind)  # fmt: skip
    (answer,) = told("goes-in", made)
    if reaches:
        assert answer.verdict is FITS
    else:
        assert (answer,) == _answer(FAILS, "The bush does not reach through the panel.", None)


# --- one part past another -------------------------------------------------------------------------------------------


def _hook(tongue: float, cap: float, low: float = 1.0, cap_low: float = -5.0, cap_high: float = -1.0) -> dict[str, Any]:
    """Return a part with a tongue behind the panel and a cap well before it, both to the right, one above the other."""

    def to(x: float, y0: float, y1: float, start: float, stop: float) -> dict[str, Any]:
        return {"outline": {"polygon": [[0, y0], [x, y0], [x, y1], [0, y1]]}, "from": start, "to": stop}

    return {"flange": {"outline": {"box": [8, 8]}, "thick": 2}, "fixings": None, "cutout": {"round": 6},
            "rear": [_round(4, 0, 3), to(tongue, low, 5, 3, 13)],
            "front": [to(cap, cap_low, cap_high, 6, 16)]}  # fmt: skip


def _past(
    one: dict[str, Any], other: dict[str, Any], sides: tuple[str, str] = ("front", "front"), apart: float = 30.0,
    names: tuple[str, str] = ("A", "B"),
) -> list[Finding]:  # fmt: skip
    """Return what is told of two such parts, the second to the right and turned about."""
    panel = sheet()
    places = tuple(
        Place(name, x, 0.0, turn, replace(mounted(side=side, **part), kind=f"kind {name}"))
        for name, x, turn, side, part in zip(names, (0.0, apart), (0.0, 180.0), sides, (one, other), strict=True)
    )
    job = Job("Test", "test.yaml", panel, places)
    assembly = Assembly("Test", tuple(part_instance(place, panel) for place in places))
    return list(past_each_other(Fitting(job, {}, assembly)))


@pytest.mark.parametrize(
    ("one", "other", "lap"),
    [
        ((17, 17), (17, 17), 4),  # 13 to 17 mm
        ((17, 16), (17, 17), 3),  # the second's tongue begins at 13, the first's cap ends at 16
        ((16, 17), (17, 17), 3),
        ((17, 17), (17, 16), 3),
    ],
)
def test_two_parts_of_which_each_lies_under_the_other_cannot_both_be_put_in(
    one: tuple[float, float], other: tuple[float, float], lap: float
) -> None:
    (found,) = _past(_hook(*one), _hook(*other))
    says = f"Neither part can be put in past the other: B is in its way by {lap} mm."
    assert found == Finding(
        "goes-in", "A", FAILS, says, about(-lap, 1e-9), "mm", about(-lap, 1e-9), 0.0, ("A: kind A", "B: kind B"),
        ("B",), "front", SOURCE,
    )  # fmt: skip


def test_parts_that_touch_where_they_rest_are_asked_for_their_way_in() -> None:
    (found,) = _past(_hook(17, 17, 0), _hook(17, 17, 0))
    assert found.measured == about(-4, 1e-9)


def test_parts_that_share_no_level_at_rest_are_asked_for_their_way_in() -> None:
    # one from the front lies at 0 to 2 mm and from -15 on, the other from behind at -5 to -3 and from 3 on
    below = {"rear": [{"outline": {"box": [17, 10]}, "from": 5, "to": 15}], "front": None}
    above = {"front": [{"outline": {"box": [17, 10]}, "from": 6, "to": 16}], "rear": None}
    bare = {"flange": {"outline": {"box": [8, 8]}, "thick": 2}, "fixings": None, "cutout": {"round": 6}}
    (found,) = _past({**bare, **below}, {**bare, **above}, ("front", "rear"), apart=14.0)
    assert found.measured == about(-3, 1e-9)


def test_parts_from_behind_are_seen_from_behind() -> None:
    # from behind, a cap before the panel has to pass the other's tongue
    (found,) = _past(_hook(17, 17), _hook(17, 17), ("rear", "rear"))
    assert (found.view, found.measured) == ("rear", about(-4, 1e-9))
    (mixed,) = _past(_hook(17, 17), _hook(17, 17), ("rear", "front"), names=("B", "A"))
    assert (mixed.place, mixed.beside, mixed.view) == ("A", ("B",), "front")


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ((17, 9), (17, 17), 30.0),  # the second is put in first
        ((17, 17), (17, 9), 30.0),
        ((9, 17), (17, 17), 30.0),
        ((17, 17), (17, 17), 34.0),  # they only touch
        ((17, 17), (17, 17), 50.0),
        ((17, 17, 1, -9, -5), (17, 17, 1, -9, -5), 30.0),  # along a side
        ((17, 17, -5), (17, 17, -5), 30.0),  # tongues clash where they rest: body-room tells
    ],
)
def test_where_one_can_be_put_in_first_or_they_clash_at_rest_nothing_is_told(
    one: tuple[float, ...], other: tuple[float, ...], apart: float
) -> None:
    assert _past(_hook(*one), _hook(*other), apart=apart) == []


def test_what_a_body_sweeps_is_drawn_out_a_metre_to_where_it_comes_from() -> None:
    ring = prism(box(20, 10), 0, 2, (round_(3),))
    assert swept((ring,), "front") == (prism(box(20, 10), 0, 1002),)
    assert swept((ring,), "rear") == (prism(box(20, 10), -1000, 2),)
