"""What a place sees about it, every body and hole of it by hand, on panels of 200 x 100 mm, 3 mm thick.

The plain part has a flange of 40 x 40 mm, 2 mm thick, and a barrel of 20 mm, 20 mm deep: from the middle it reaches 20
mm, and what begins 14 mm beyond that is no more seen. M3: nut 5.5 mm across flats, from -5.4 to -3.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from dryfit.generators.clearance.surroundings import Around, Obstacle, around
from dryfit.generators.joints.stacks import Stack
from dryfit.models.geometry.bodies import Slice, prism
from dryfit.models.geometry.outlines import Outline, box, hexagon, round_
from dryfit.models.job import Job, Place
from dryfit.models.panel import Panel
from tests.fits import OVER_CORNERS, Fasteners, mounted, sheet
from tests.plain import about, fixings

LARGE = {"width": 400.0, "height": 400.0}
PLUG = {"body": [{"outline": {"round": 30}, "from": 0, "to": 40}]}


def _place(name: str, x: float, y: float = 0.0, turn: float = 0.0, **given: Any) -> Place:
    return Place(name, x, y, turn, mounted(**given))


def _around(*places: Place, panel: Panel | None = None, screwed: Fasteners | None = None) -> tuple[Around, ...]:
    made = panel or sheet(**LARGE)
    stacks: dict[str, Stack] = {}
    if screwed is not None:
        stacks = {p.name: screwed.stack(p.mounting, made) for p in places if p.part.fixings is not None}
    return around(Job("Test", "test.yaml", made, places), stacks)


def _seen(here: Around) -> list[str]:
    return [obstacle.name for obstacle in here.surroundings.obstacles]


def _box(slices: tuple[Slice, ...]) -> tuple[float, ...]:
    lows, highs = [s.box[:3] for s in slices], [s.box[3:] for s in slices]
    ends = (*map(min, zip(*lows, strict=True)), *map(max, zip(*highs, strict=True)))
    return tuple(round(end, 6) + 0.0 for end in ends)


def _spot(outline: Outline) -> tuple[float, ...]:
    return tuple(round(end, 6) + 0.0 for end in outline.box)


# --- bodies ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("x", "y", "seen"),
    [
        (53.9, 0, True), (54, 0, False), (-53.9, 0, True), (-54, 0, False), (0, 53.9, True), (0, 54, False),
        (0, -53.9, True), (0, -54, False), (53.9, 53.9, True), (53.9, 54, False),
    ],
)  # fmt: skip
def test_what_begins_14_mm_from_a_place_is_not_seen(x: float, y: float, seen: bool) -> None:
    for here in _around(_place("A", 0), _place("B", x, y)):
        assert _seen(here) == (["next part"] if seen else [])


def test_nobody_is_an_obstacle_to_itself() -> None:
    (here,) = _around(_place("A", 0, plug=PLUG), screwed=Fasteners(washers=("plain",)))
    assert (here.surroundings.obstacles, here.surroundings.holes, here.names, here.places) == ((), (), (), ())


def test_everything_of_a_neighbour_is_named_and_told_in_the_order_in_which_it_stands() -> None:
    aside = fixings(at=[[-15, 0]])
    one, other = _around(
        _place("A", 0, fixings=None), _place("B", 45, 0, plug=PLUG, seat=1, fixings=aside),
        screwed=Fasteners(washers=("plain",)),
    )  # fmt: skip
    assert one.names == ("B: nut 1", "B: plain washer 1", "B: screw 1", "B: plain", "B: plain-plug")
    assert one.places == ("B",) * 5
    assert _seen(one) == ["next nut", "next washer", "next screw", "next part", "next plug"]
    assert other.names == ("A: plain",)
    kinds = [(o.is_neighbour, o.is_plug) for o in one.surroundings.obstacles]
    assert kinds == [(True, False)] * 4 + [(True, True)]


def test_of_several_neighbours_the_left_one_comes_first_and_of_those_the_lower() -> None:
    (here, *_) = _around(
        _place("A", 0), _place("B", 50, 10), _place("C", -50, 10), _place("D", -50, -10), _place("E", 50, -10)
    )
    assert here.places == ("D", "C", "E", "B")
    stacked = _around(_place("A", 0), _place("B", 50), _place("C", 50, turn=90), _place("D", 50, side="rear"))[0]
    assert stacked.places == ("D", "B", "C")  # what stands lower, then what is turned less


@pytest.mark.parametrize(
    ("turn", "x", "y", "fixing"),
    [(0, 42, 0, (27, 0)), (90, 0, -42, (0, -27)), (180, -42, 0, (-27, 0)), (270, 0, 42, (0, 27))],
)
def test_a_turned_place_sees_its_neighbour_turned_back(
    turn: float, x: float, y: float, fixing: tuple[float, float]
) -> None:
    here = _around(_place("A", 10, 5, turn), _place("B", 52, 5, fixings=fixings(at=[[-15, 0]])), screwed=Fasteners())[0]
    part = next(o for o in here.surroundings.obstacles if o.name == "next part")
    assert _box(part.slices) == (x - 20, y - 20, -20, x + 20, y + 20, 2)
    nut = next(o for o in here.surroundings.obstacles if o.name == "next nut")
    assert nut.slices[0].profile.widest.centre == (about(fixing[0], 1e-6), about(fixing[1], 1e-6))
    assert [_spot(h) for h in here.surroundings.holes] == [
        _spot(hole) for hole in sorted((round_(22).moved(x, y), round_(3.4).moved(*fixing)), key=lambda h: h.box)
    ]


def test_a_neighbour_turned_more_is_seen_turned_by_the_difference() -> None:
    oblong = {"outline": {"box": [30, 10]}, "thick": 2}
    for own, other, upright in ((0, 0, False), (0, 90, True), (90, 0, True), (90, 90, False), (0, 180, False)):
        here = _around(_place("A", 0, 0, own), _place("B", 25, 0, other, flange=oblong, fixings=None))[0]
        left, bottom, _, right, top, _ = here.surroundings.obstacles[0].slices[-1].box
        assert (round(right - left), round(top - bottom)) == ((10, 30) if upright else (30, 10)), (own, other)


# --- nuts ------------------------------------------------------------------------------------------------------------


def test_a_nut_may_be_turned_out_of_the_way_or_spin() -> None:
    here = _around(_place("A", 0), _place("B", 42, fixings=fixings(at=[[-15, 0]])), screwed=Fasteners())[0]
    nut = next(o for o in here.surroundings.obstacles if o.name == "next nut")
    assert nut.slices == (prism(hexagon(5.5).moved(27, 0), -5.4, -3, (round_(3).moved(27, 0),)),)
    for slices, across in ((nut.least, 5.5), (nut.most, 5.5 / math.cos(math.radians(30)))):
        (ring,) = slices
        outline = ring.profile.widest
        assert outline.is_circle
        assert (outline.size.width, outline.centre) == (about(across, 1e-9), (27, 0))
        assert (ring.z0, ring.z1, ring.holes) == (-5.4, -3, nut.slices[0].holes)
    assert abs(OVER_CORNERS - 5.5 / math.cos(math.radians(30))) < 1e-4
    assert _box(nut.slices) == (24.25, -3.175426, -5.4, 29.75, 3.175426, -3)
    screw = next(o for o in here.surroundings.obstacles if o.name == "next screw")
    assert screw.least is screw.slices is screw.most


def test_the_washer_under_a_bush_nut_is_as_wide_however_it_is_turned() -> None:
    bush = {"thread": 12, "length": 9, "nut_across": 14, "nut_height": 2, "washer": 0.5, "washer_across": 18}
    here = _around(_place("A", 0), _place("B", 40, fixings=None, bush=bush))[0]
    nut = next(o for o in here.surroundings.obstacles if o.name == "next nut")
    assert [s.profile.widest.size.width for s in nut.least] == [about(18), about(14)]
    assert [s.profile.widest.size.width for s in nut.most] == [about(18), about(14 / math.cos(math.radians(30)))]
    assert [(s.z0, s.z1) for s in nut.least] == [(0, 0.5), (0.5, 2.5)]


def test_what_an_obstacle_covers_is_all_of_it_however_it_is_turned() -> None:
    slices = (prism(box(4, 2), 0, 1), prism(box(2, 6), 1, 2))
    assert Obstacle("next nut", slices, (prism(round_(8), 0, 1),), slices).plan == (-4, -4, 4, 4)
    assert Obstacle("next nut", slices, slices, (prism(round_(9), 0, 1),)).plan == (-2, -3, 2, 3)


# --- how far a place reaches -----------------------------------------------------------------------------------------


def test_a_place_reaches_beyond_its_plug_its_fixings_and_its_latch() -> None:
    small = {"outline": {"box": [8, 8]}, "thick": 2}
    given: dict[str, Any] = {"flange": small, "rear": None, "fixings": None, "cutout": {"round": 6}}
    post: dict[str, Any] = {"flange": small, "rear": None, "fixings": None, "cutout": {"round": 6}}

    def sees(apart: float, up: float = 0.0, turn: float = 0.0, **more: Any) -> bool:
        return bool(_seen(_around(_place("A", 0, 0, turn, **{**given, **more}), _place("B", apart, up, **post))[0]))

    assert (sees(21.9), sees(22.1)) == (True, False)  # 4 + 14 + 4
    assert (sees(32.9, plug=PLUG), sees(33.1, plug=PLUG)) == (True, False)  # 15 + 14 + 4
    latch = {"on": "part", "at": [0, 30], "height": 2, "finger": {"box": [10, 20]}}
    assert (sees(0, 57.9, latch=latch), sees(0, 58.1, latch=latch)) == (True, False)  # 30 + 10 + 14 + 4
    assert (sees(-57.9, 0, 90, latch=latch), sees(57.9, 0, 90, latch=latch)) == (True, False)  # turned with it
    assert not sees(0, -57.9, latch=latch)
    wide: dict[str, Any] = {
        "flange": {"outline": {"box": [40, 8]}, "thick": 2},
        "fixings": fixings(at=[[-19, 0], [19, 0]]),
    }
    assert (sees(37.9, **wide), sees(38.1, **wide)) == (True, False)  # its flange, 20 mm


# --- holes -----------------------------------------------------------------------------------------------------------


def test_finished_holes_of_others_are_seen_in_order_and_its_own_are_not() -> None:
    coated = sheet(coating=0.1, **LARGE)
    here = _around(_place("A", 0), _place("B", 0, 35, fixing_hole=3.6), panel=coated)[0]
    expected = [round_(3.4).moved(-15, 35), round_(21.8).moved(0, 35), round_(3.4).moved(15, 35)]
    assert [_spot(h) for h in here.surroundings.holes] == [_spot(h) for h in expected]
    # the main hole begins 43 - 11 mm up, the fixing holes 43 - 1.7: beyond the reach of 34
    far = _around(_place("A", 0), _place("B", 0, 43), panel=sheet(**LARGE))[0]
    assert [_spot(h) for h in far.surroundings.holes] == [_spot(round_(22).moved(0, 43))]


def test_slots_of_the_rack_are_holes_of_others() -> None:
    slotted = sheet(rack_holes=(round_(6).moved(-30, 0), round_(6).moved(-37.1, 0)), coating=0.1, **LARGE)
    here = _around(_place("A", 0), panel=slotted)[0]
    assert [_spot(h) for h in here.surroundings.holes] == [_spot(round_(5.8).moved(-30, 0))]


# --- edges, rails and lips -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        (0, 0, None), (66, 0, None), (66.1, 0, (-35, -35, 33.9, 35)), (-66.1, 0, (-33.9, -35, 35, 35)),
        (0, 16.1, (-35, -35, 35, 33.9)), (0, -16.1, (-35, -33.9, 35, 35)), (80, 30, (-35, -35, 20, 20)),
    ],
)  # fmt: skip
def test_the_edge_of_the_sheet_is_seen_where_it_is_near_and_a_millimetre_beyond_reach(
    x: float, y: float, expected: tuple[float, ...] | None
) -> None:
    edge = _around(_place("A", x, y), panel=sheet())[0].surroundings.edge
    assert (None if edge is None else _spot(edge)) == expected


def test_of_a_sheet_with_lips_the_edge_is_that_of_its_flat() -> None:
    edge = _around(_place("A", 0, 20), panel=sheet(lip=20.0, bend_radius=2.0))[0].surroundings.edge
    assert edge is not None
    assert _spot(edge) == (-35, -35, 35, 25)  # the bend begins 3 and 2 mm before the edge, which is 30 mm off


def test_a_round_corner_of_the_sheet_is_left_whole() -> None:
    edge = _around(_place("A", 80, 30), panel=sheet(corner=5.0))[0].surroundings.edge
    assert edge is not None
    assert _spot(edge) == (-180, -80, 20, 20)
    turned = _around(_place("A", 80, 30, 90), panel=sheet(corner=5.0))[0].surroundings.edge
    assert turned is not None
    assert _spot(turned) == (-80, -20, 20, 180)


@pytest.mark.parametrize(("x", "sides"), [(0, ()), (56, ()), (56.1, (1,)), (-56.1, (-1,)), (-70, (-1,))])
def test_rails_stand_beside_the_clear_width(x: float, sides: tuple[int, ...]) -> None:
    here = _around(_place("A", x), panel=sheet(clear_width=180.0, coating=0.1))[0]
    rails = [o for o in here.surroundings.obstacles if o.name == "rack rail"]
    assert [o.is_neighbour for o in rails] == [False] * len(sides)
    for rail, side in zip(rails, sides, strict=True):
        near = 90 - abs(x)
        ends = (near, 35) if side > 0 else (-35, -near)
        assert _box(rail.slices) == (ends[0], -35, -1000, ends[1], 35, -3.2)
        assert rail.least is rail.slices is rail.most
    assert (here.names, here.places) == (("rack rail",) * len(sides), ("",) * len(sides))


def test_a_rail_is_50_mm_wide_and_as_high_as_two_panels() -> None:
    tall: dict[str, Any] = {"flange": {"outline": {"box": [40, 400]}, "thick": 2}}
    here = _around(_place("A", 60, 0, **tall), panel=sheet(clear_width=150.0))[0]
    (rail,) = (o for o in here.surroundings.obstacles if o.name == "rack rail")
    assert _box(rail.slices) == (15, -100, -1000, 35, 100, -3)
    wide: dict[str, Any] = {"flange": {"outline": {"box": [200, 40]}, "thick": 2}}
    near = _around(_place("A", 60, 0, **wide), panel=sheet(clear_width=150.0))[0]
    (beyond,) = (o for o in near.surroundings.obstacles if o.name == "rack rail")
    assert _box(beyond.slices) == (15, -35, -1000, 65, 35, -3)


def test_between_narrow_rails_both_are_seen_the_left_one_first() -> None:
    here = _around(_place("A", 2), panel=sheet(clear_width=60.0))[0]
    left, right = here.surroundings.obstacles
    assert (_box(left.slices)[3], _box(right.slices)[0]) == (-32, 28)


@pytest.mark.parametrize(("y", "turn", "seen"), [(20, 0, True), (-20, 0, True), (20, 90, True), (0, 0, False)])
def test_lips_are_seen_in_the_frame_of_the_place(y: float, turn: float, seen: bool) -> None:
    panel = sheet(lip=20.0, lips=("top", "bottom"), width=200.0, height=120.0 if y == 0 else 100.0)
    here = _around(_place("A", 0, y, turn), panel=panel)[0]
    assert _seen(here) == (["panel lip"] if seen else [])
    if not seen:
        return
    found = _box(here.surroundings.obstacles[0].slices)  # 3 mm thick: from 47 to 50 mm up
    if turn == 90:
        assert found == (27, -35, -23, 30, 35, -3)
    else:
        assert found == ((-35, 27, -23, 35, 30, -3) if y > 0 else (-35, -30, -23, 35, -27, -3))
    assert here.names == ("panel lip",)


def test_like_places_in_like_company_see_the_same_whatever_rounding_does() -> None:
    spots = [0.1 * n + 45 * n for n in range(4)]
    seen = [
        here.surroundings for here in _around(*(_place(f"P{n}", x) for n, x in enumerate(spots)), screwed=Fasteners())
    ]
    assert seen[1] == seen[2]
    assert hash(seen[1]) == hash(seen[2])
    third = 1 / 3
    one = _around(_place("A", third, third, 30), _place("B", third + 50, third, 75))[0].surroundings
    moved = _around(_place("A", 10 + third, 7 - third, 30), _place("B", 60 + third, 7 - third, 75))[0].surroundings
    assert one == moved
