"""Faces, heights and lengths of joints and stacks, every one of them, by hand.

A flange 2 mm thick with holes of 3.6 mm on a panel of 3 mm, coated by 0.1 on each face, with holes of 3.4 punched: 3.2
are left. The front face of the panel is z = 0, its rear face z = -3.2. M3: pan head 5.6 mm across, nut 2.4 high, its
driver 8.3 across; plain washer 0.5 thick, 7 across, hole 3.2; split washer 0.8 thick, hole 3.1.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

import pytest

from dryfit.generators.joints.joint import Face, Joint, flange_front, joint, panel_hole, part_base
from dryfit.generators.joints.stacks import Stack, lengths_to_try, needed_length
from dryfit.models.catalogue.parts import Boss, Side
from dryfit.models.reading.fields import Countersink
from tests.fits import PLASTIC, Fasteners, fit, mounted, sheet
from tests.plain import about, fixings

COATED = sheet(coating=0.1)
HOLES = fixings(hole=3.6)
BOSS = {"thread": "M3", "depth": 6, "material": "plastic"}
BOSSED = fixings(hole=3.6, boss=BOSS)
SEAT = {"diameter": 6.4, "angle": 90}
SINK = Countersink(diameter=6.0, angle=90)


# --- joints ----------------------------------------------------------------------------------------------------------


def _flange(z: float, sink: Any = None, plastic: bool = False) -> Face:
    return Face("flange", about(z), 3.6, sink, 2.0, plastic)


def _panel(z: float, sink: Any = None, plastic: bool = False) -> Face:
    return Face("panel", about(z), about(3.2), sink, 3.2, plastic)


@pytest.mark.parametrize(
    ("side", "fixed", "expected"),
    [
        ("front", HOLES, Joint("front", _flange(2), _panel(-3.2))),
        ("rear", HOLES, Joint("front", _panel(0), _flange(-5.2))),
        ("front", BOSSED, Joint("rear", _panel(-3.2), _flange(0), Boss.model_validate(BOSS))),
        ("rear", BOSSED, Joint("front", _panel(0), _flange(-3.2), Boss.model_validate(BOSS))),
    ],
    ids=["flange before the panel", "flange behind it", "boss before it", "boss behind it"],
)
def test_a_joint_has_the_faces_that_head_and_nut_bear_on(side: str, fixed: dict[str, Any], expected: Joint) -> None:
    found = joint(mounted(side=side, fixings=fixed), COATED)
    assert found == expected
    assert found is not None
    assert found.points == (-1 if expected.side == "front" else 1)


def test_a_part_without_fixing_holes_has_no_joint() -> None:
    assert joint(mounted(fixings=None), COATED) is None


@pytest.mark.parametrize(
    ("side", "boss", "from_side", "on_head", "on_far"),
    [
        ("front", False, "front", False, False),  # the front face of the panel lies under the flange
        ("front", False, "rear", False, True),
        ("rear", False, "front", True, False),
        ("rear", False, "rear", False, False),
        ("front", True, "rear", True, False),
        ("front", True, "front", False, False),
        ("rear", True, "front", True, False),
    ],
)
def test_a_countersink_of_the_panel_is_in_the_face_that_it_was_cut_from(
    side: str, boss: bool, from_side: Side, on_head: bool, on_far: bool
) -> None:
    made = mounted(side=side, fixings=BOSSED if boss else HOLES, sink=SINK)
    made = replace(made, cutout=replace(made.cutout, sunk_from=from_side))
    found = joint(made, COATED)
    assert found is not None
    assert found.head.sink == (SINK.coated(0.1) if on_head else None)
    assert found.far.sink == (SINK.coated(0.1) if on_far else None)


@pytest.mark.parametrize(
    ("side", "boss", "sunk"),
    [("front", None, True), ("rear", None, False), ("front", BOSS, False), ("rear", BOSS, False)],
)
def test_the_seat_of_a_flange_is_in_its_front_face(side: str, boss: Any, sunk: bool) -> None:
    more = {"boss": boss} if boss else {}
    found = joint(mounted(side=side, fixings=fixings(seat=SEAT, **more)), COATED)
    assert found is not None
    assert [f.sink for f in (found.head, found.far) if f.of == "flange"] == [
        Countersink.model_validate(SEAT) if sunk else None
    ]


def test_faces_are_of_plastic_as_flange_and_panel_are() -> None:
    for metal, material, expected in (
        ("plastic", None, (True, False)), ("steel", PLASTIC, (False, True)), ("plastic", PLASTIC, (True, True)),
    ):  # fmt: skip
        panel = sheet(material=material) if material is not None else sheet()
        found = joint(mounted(metal=metal), panel)
        assert found is not None
        assert (found.head.plastic, found.far.plastic) == expected


@pytest.mark.parametrize(("side", "front", "base"), [("front", 2, 0), ("rear", -3.2, -5.2)])
def test_a_flange_lies_before_the_panel_or_behind_it(side: str, front: float, base: float) -> None:
    made = mounted(side=side)
    assert (flange_front(made, COATED), part_base(made, COATED)) == (about(front), about(base))
    assert panel_hole(made, COATED) == about(3.2)


# --- stacks ----------------------------------------------------------------------------------------------------------

NUMBERS = (
    "surface", "head_hole", "head_plane", "tip", "grip", "nut_face", "nut_end", "protrusion", "engagement",
    "floor_left", "is_centred", "widest",
)  # fmt: skip


@pytest.mark.parametrize(
    ("screwed", "given", "expected"),
    [
        (Fasteners(washers=("plain",)), {}, (2, 3.6, 2, -10, 5.7, -3.7, -6.1, 3.9, 2.4, None, False, 8.3)),
        (Fasteners(washers=("plain", "split")), {}, (2, 3.6, 2, -10, 6.5, -4.5, -6.9, 3.1, 2.4, None, False, 8.3)),
        (Fasteners(), {"side": "rear"}, (0, 3.2, 0, -12, 5.2, -5.2, -7.6, 4.4, 2.4, None, False, 8.3)),
        (Fasteners(nut=None), {}, (2, 3.6, 2, -10, 5.2, -3.2, -3.2, 6.8, 0, None, False, 5.6)),
        (Fasteners(8), {}, (2, 3.6, 2, -6, 5.2, -3.2, -5.6, 0.4, 2.4, None, False, 8.3)),
        (Fasteners(7), {}, (2, 3.6, 2, -5, 5.2, -3.2, -5.6, -0.6, 1.8, None, False, 8.3)),
        (Fasteners(5), {}, (2, 3.6, 2, -3, 5.2, -3.2, -5.6, -2.6, 0, None, False, 8.3)),
        (Fasteners(6, nut=None, washers=("plain", "split")), {"fixings": BOSSED},
         (-4.5, 3.1, -4.5, 1.5, 4.5, 0, 0, 1.5, 1.5, 4.5, False, 7)),
        (Fasteners(6, nut=None, washers=("plain",)), {"fixings": BOSSED, "side": "rear"},
         (0.5, 3.2, 0.5, -5.5, 3.7, -3.2, -3.2, 2.3, 2.3, 3.7, False, 7)),
        (Fasteners(10, nut=None), {"fixings": BOSSED, "side": "rear"},
         (0, 3.2, 0, -10, 3.2, -3.2, -3.2, 6.8, 6, -0.8, False, 5.6)),
        (Fasteners(head="countersunk", washers=("plain",)), {"fixings": fixings(hole=3.6, seat=SEAT)},
         (2, 3.6, 1.95, -10.05, 5.7, -3.7, -6.1, 3.95, 2.4, None, True, 8.3)),  # half of 6.4 less 6.3 deep
        (Fasteners(head="countersunk"), {}, (2, 3.6, 3.35, -8.65, 5.2, -3.2, -5.6, 3.05, 2.4, None, False, 8.3)),
        (Fasteners(8, rivet="3.2 mm"), {}, (2, 3.6, 2, -6, 5.2, -3.2, -3.2, 2.8, 0, None, False, 6.7)),
    ],
)  # fmt: skip
def test_every_number_of_a_stack_follows_from_what_it_is_made_of(
    screwed: Fasteners, given: dict[str, Any], expected: tuple[Any, ...]
) -> None:
    made = fit(screwed, panel=COATED, **{"fixings": HOLES, **given}).stack
    assert made is not None
    found = tuple(getattr(made, name) for name in NUMBERS)
    told = dict(zip(NUMBERS, found, strict=True))
    assert told == {n: about(v) if isinstance(v, float | int) else v for n, v in zip(NUMBERS, expected, strict=True)}


def _plain(screwed: Fasteners | None = None, **given: Any) -> Stack:
    made = fit(screwed or Fasteners(), panel=COATED, **{"fixings": HOLES, **given}).stack
    assert made is not None
    return made


def test_a_head_sits_on_the_hole_under_it() -> None:
    assert _plain().seat.land == about((5.6 - 3.6) / 2)
    assert _plain(side="rear").seat.land == about((5.6 - 3.2) / 2)
    washed = _plain(Fasteners(6, nut=None, washers=("plain", "split")), fixings=BOSSED)
    assert washed.seat.land == about((5.6 - 3.1) / 2)
    sunk = _plain(Fasteners(washers=("plain",)), fixings=fixings(hole=3.6, seat={"diameter": 4.6, "angle": 90}))
    assert sunk.seat.land == about(0.5)


def test_the_widest_of_all_is_told_whichever_it_is() -> None:
    made = _plain(Fasteners(washers=("plain", "split")))
    assert made.nut is not None
    assert replace(made, screw=replace(made.screw, head=replace(made.screw.head, diameter=9.0))).widest == 9
    assert replace(made, nut=replace(made.nut, corners=9.5)).widest == 9.5
    for number in (0, 1):
        wide = [replace(w, outer=10.0) if n == number else w for n, w in enumerate(made.washers)]
        assert replace(made, washers=tuple(wide)).widest == 10
    rivet = _plain(Fasteners(8, rivet="3.2 mm"))
    small = replace(rivet.screw.head, diameter=4.0)
    assert replace(rivet, screw=replace(rivet.screw, head=small)).widest == about(1.5 * 3.28)  # when it is set


@pytest.mark.parametrize("points", ["front", "rear"])
def test_what_lies_further_on_lies_where_the_screw_points(points: str) -> None:
    made = _plain(fixings=HOLES if points == "front" else BOSSED)
    way = -1 if points == "front" else 1
    assert made.joint.side == cast(Side, points)
    assert (made.along(3.0), made.beyond(1.0, 0.5)) == (3 * way, 1 + 0.5 * way)
    assert made.in_pitches(1.25) == 2.5


def test_lengths_are_sought_from_the_face_under_the_head() -> None:
    made = _plain(Fasteners(washers=("plain",)))  # 2 + 3.2 + 0.5 + 2.4
    assert (needed_length(made), needed_length(made, 2.5)) == (about(8.6), about(9.35))
    assert list(lengths_to_try(made, (8, 8.5, 8.65, 9, 10, 12))) == [9, 10, 8.65, 12, 8.5, 8]
    least = needed_length(made)
    assert list(lengths_to_try(made, (least - 0.01, least, 10.5))) == [least, 10.5, least - 0.01]  # it is long enough
    sunk = _plain(Fasteners(head="countersunk"), fixings=fixings(hole=3.6, seat=SEAT))
    assert needed_length(sunk) == about(1.95 + 3.2 + 2.4 + 0.5)
    boss = _plain(Fasteners(6, nut=None, washers=("plain",)), side="rear", fixings=BOSSED)
    assert needed_length(boss) == about(0.5 + 3.2 + 3.0)  # a diameter of thread
    # the floor lies 0.5 + 3.2 + 6 below the head, and a pitch is left above it: 9.2
    assert list(lengths_to_try(boss, (5, 6, 6.6, 6.8, 8, 9.1, 9.3, 10))) == [9.1, 8, 6.8, 6.6, 6, 5, 10, 9.3]
    sunk_boss = _plain(Fasteners(6, "countersunk", None), side="rear", fixings=BOSSED, sink=Countersink(diameter=6.5))
    plane = -sunk_boss.head_plane
    assert plane > 0
    ends = (8.7 - plane + 0.05, 8.7 - plane - 0.05)
    assert tuple(lengths_to_try(sunk_boss, ends)) == (ends[1], ends[0])


def test_what_is_bought_is_told_piece_by_piece() -> None:
    made = replace(_plain(Fasteners(washers=("plain", "split"))), metal="brass")
    assert made.items == (
        ("screw", f"{made.screw.designation}, brass"), ("washer", "Plain washer ISO 7089 - 3, brass"),
        ("washer", f"{made.washers[1].designation}, brass"), ("nut", "Hexagon nut ISO 4032 - M3, brass"),
    )  # fmt: skip
    rivet = replace(_plain(Fasteners(8, rivet="3.2 mm")), metal="brass")
    assert rivet.items == (("screw", rivet.screw.designation),)  # a rivet is of what it is of
    assert made.hardware == (made.screw, made.nut, made.washers)
    boss = _plain(Fasteners(6, nut=None, washers=("plain",)), fixings=BOSSED)
    assert boss.items == (("screw", boss.screw.designation), ("washer", "Plain washer ISO 7089 - 3"))
    assert boss.hardware == (boss.screw, None, boss.washers)
