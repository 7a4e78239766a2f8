"""Outlines: sizes against closed forms, gaps and clearances against sampling and against known cases."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.models.geometry import outlines as o
from dryfit.models.geometry.contours import shape_key
from dryfit.models.geometry.outlines import Outline, clearance, gap
from dryfit.models.geometry.rectangles import Rectangle

SHAPES = {
    "round": (o.round_(10), math.pi * 25, math.pi * 10),
    "box": (o.box(10, 4, 1), 40 - (4 - math.pi), 2 * (8 + 2) + 2 * math.pi),
    "slot": (o.slot(10, 4), 24 + 4 * math.pi, 12 + 4 * math.pi),
    "hexagon": (o.hexagon(2), 2 * math.sqrt(3), 4 * math.sqrt(3)),
    "polygon": (o.polygon(((0, 0), (4, 0), (4, 3))), 6.0, 12.0),
}


@pytest.mark.parametrize("name", SHAPES)
def test_area_and_perimeter_have_their_closed_forms(name: str) -> None:
    shape, area, perimeter = SHAPES[name]
    assert shape.area == pytest.approx(area)
    assert shape.perimeter == pytest.approx(perimeter)


@pytest.mark.parametrize("name", SHAPES)
def test_area_and_size_survive_turning_and_mirroring(name: str) -> None:
    shape, area, _ = SHAPES[name]
    moved = shape.turned(37).mirrored().moved(3, -4)
    assert moved.area == pytest.approx(area)
    assert shape.turned(90).size == pytest.approx(tuple(reversed(shape.size)))


def test_a_d_shape_is_a_circle_less_its_segment() -> None:
    r, across = 5.0, 8.0
    half = math.acos((across - r) / r)
    assert o.d_shape(10, across).area == pytest.approx(
        math.pi * r * r - r * r * (half - math.sin(half) * math.cos(half))
    )


def test_a_hexagon_is_wider_over_corners() -> None:
    width, height = o.hexagon(5.5).size
    assert (width, height) == pytest.approx((5.5, 5.5 / math.cos(math.pi / 6)))


def test_gaps_of_known_cases() -> None:
    assert gap(o.round_(10), o.round_(10).moved(12, 0)) == pytest.approx(2)
    assert gap(o.box(2, 2), o.box(2, 2).moved(5, 5)) == pytest.approx(3 * math.sqrt(2))
    assert gap(o.box(4, 4), o.round_(2).moved(2.5, 0)) == pytest.approx(-0.5)
    assert gap(o.hexagon(7.9375), o.round_(23.8).moved(math.hypot(9.5, 12), 0)) == pytest.approx(-0.563, abs=1e-3)


def test_clearances_of_known_cases() -> None:
    assert clearance(o.round_(23.876), o.round_(24.003)) == pytest.approx(0.0635)
    assert clearance(o.box(10, 10), o.round_(20)) == pytest.approx(10 - 5 * math.sqrt(2))
    assert clearance(o.round_(4).moved(1, 0), o.round_(6)) == pytest.approx(0)


def test_shrinking_undoes_growing() -> None:
    sharp = o.polygon(((0, 0), (4, 0), (4, 3), (0, 3)))
    assert sharp.grown(-0.5).area == pytest.approx(3 * 2)
    for shape, area, _ in SHAPES.values():
        assert shape.grown(0.3).grown(-0.3).area == pytest.approx(area)
    with pytest.raises(ValueError, match="cannot shrink"):
        o.box(4, 1).grown(-0.5)


@pytest.mark.parametrize(
    "points",
    [((0, 0), (1, 0)), ((0, 0), (4, 0), (1, 1), (0, 4)), ((0, 0), (1, 1), (2, 2)), ((0, 0), (2, 2), (2, 0), (0, 2))],
)
def test_what_is_not_convex_is_refused(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(ValueError, match=r"convex|three points|crosses"):
        o.polygon(points)


sizes = st.floats(0.5, 20)


@st.composite
def shapes(draw: st.DrawFn) -> Outline:
    a, b = sorted((draw(sizes), draw(sizes)))
    kind = draw(st.sampled_from(["round", "box", "slot", "hexagon", "d"]))
    made = {
        "round": lambda: o.round_(a),
        "box": lambda: o.box(a, b, draw(st.floats(0, 0.5)) * a),
        "slot": lambda: o.slot(b + 0.1, a),
        "hexagon": lambda: o.hexagon(a),
        "d": lambda: o.d_shape(a, a * draw(st.floats(0.55, 0.95))),
    }[kind]()
    return made.turned(draw(st.floats(-180, 180))).moved(draw(st.floats(-15, 15)), draw(st.floats(-15, 15)))


FACET = 1e-4  # mm a sampled arc strays; the sampled gap is that close


def _sampled_distance(a: Outline, b: Outline) -> float:
    """Return the distance of two boundaries from points on one and segments of the other, both ways."""
    rings = [np.array(x.path(FACET, outside=False)) for x in (a, b)]
    return min(_points_to_ring(rings[0], rings[1]), _points_to_ring(rings[1], rings[0]))


def _points_to_ring(points: np.ndarray, ring: np.ndarray) -> float:
    start, end = ring, np.roll(ring, -1, axis=0)
    best = math.inf
    for chunk in np.array_split(points, max(1, len(points) // 64)):
        along = end - start
        length = np.maximum((along**2).sum(axis=1), 1e-30)
        t = np.clip(((chunk[:, None] - start) * along).sum(axis=2) / length, 0, 1)
        best = min(best, float(np.linalg.norm(chunk[:, None] - start - t[..., None] * along, axis=2).min()))
    return best


@settings(max_examples=60, deadline=None)
@given(shapes(), shapes())
def test_a_positive_gap_is_the_sampled_distance(a: Outline, b: Outline) -> None:
    exact = gap(a, b)
    assert gap(b, a) == pytest.approx(exact, abs=1e-9)
    if exact > 0:
        assert _sampled_distance(a, b) == pytest.approx(exact, abs=3 * FACET)


@settings(max_examples=100, deadline=None)
@given(shapes(), shapes())
def test_moving_by_the_overlap_parts_two_shapes(a: Outline, b: Outline) -> None:
    exact = gap(a, b)
    if exact < 0:
        ways = (b.moved(-exact * math.cos(t), -exact * math.sin(t)) for t in np.linspace(0, 2 * math.pi, 721))
        assert max(gap(a, moved) for moved in ways) == pytest.approx(0, abs=1e-3 * max(1, -exact))


# --- corners and paths -----------------------------------------------------------------------------------------------


def test_a_corner_faces_the_directions_of_its_fan_its_ends_included() -> None:
    corner = o.Corner(0.0, 0.0, 1.0, 30.0, 120.0)
    assert all(corner.faces(a) for a in (30, 75, 120, 390, -330, 480))
    assert not any(corner.faces(a) for a in (29.9, 120.1, 200, -60))
    assert corner.middle == 75


def test_a_corner_has_its_arc_between_its_ends() -> None:
    corner = o.Corner(2.0, 3.0, 1.0, 0.0, 90.0)
    assert [tuple(p) for p in corner.ends] == [pytest.approx((3, 3)), pytest.approx((2, 4))]
    assert corner.on_arc(45, 2.0) == pytest.approx((2 + math.sqrt(2), 3 + math.sqrt(2)))
    assert corner.on_arc(180) == pytest.approx((1, 3))
    point = o.Corner(2.0, 3.0, 0.0, 0.0, 90.0)
    assert point.ends == ((2, 3), (2, 3))
    assert (point.is_round, corner.is_round) == (False, True)


def test_turning_and_mirroring_a_corner_carries_its_fan_along() -> None:
    corner = o.Corner(2.0, 3.0, 1.0, 10.0, 90.0)
    assert corner.turned(90) == (-3, 2, 1, 100, 180)
    assert corner.mirrored() == (-2, 3, 1, 90, 170)
    assert corner.moved(1, -1) == (3, 2, 1, 10, 90)


@pytest.mark.parametrize("name", SHAPES)
def test_the_box_is_that_of_a_fine_path(name: str) -> None:
    shape = SHAPES[name][0].turned(23).moved(5, -7)
    path = np.array(shape.path(1e-6, outside=False))
    assert shape.box == pytest.approx((*path.min(axis=0), *path.max(axis=0)), abs=1e-4)
    assert shape.centre == pytest.approx(
        ((shape.box.left + shape.box.right) / 2, (shape.box.bottom + shape.box.top) / 2)
    )


@pytest.mark.parametrize("name", ["round", "box", "slot"])
@pytest.mark.parametrize("facet", [0.3, 0.01])
def test_paths_stay_within_their_facet_of_the_outline_on_the_side_asked_for(name: str, facet: float) -> None:
    shape = SHAPES[name][0].moved(3, 1)
    inside, outside = np.array(shape.path(facet, outside=False)), np.array(shape.path(facet, outside=True))
    for angle in np.radians(np.arange(0, 360, 1.7)):
        way = (math.cos(angle), math.sin(angle))
        reach = shape.reach(*way)
        assert reach - facet - 1e-9 <= float((inside @ way).max()) <= reach + 1e-9
        assert reach - 1e-9 <= float((outside @ way).max()) <= reach + facet + 1e-9


@pytest.mark.parametrize("outside", [False, True])
def test_a_circle_has_at_least_twelve_points_and_no_more_than_its_facet_needs(outside: bool) -> None:
    assert len(o.round_(0.01).path(1.0, outside)) == 12
    half = math.degrees(math.acos(1 - 0.01 / (5 + (0.01 if outside else 0))))
    assert len(o.round_(10).path(0.01, outside)) == math.ceil(180 / half)


def test_a_rounded_corner_keeps_both_ends_of_its_arc_on_its_path() -> None:
    shape = o.box(10, 4, 1)
    for outside in (False, True):
        path = [tuple(p) for p in shape.path(0.05, outside)]
        for end in ((5, 1), (4, 2), (-4, 2), (-5, 1)):
            assert any(math.dist(p, end) < 1e-9 for p in path), (end, outside)


def test_inset_uses_up_a_radius_before_it_walks_back() -> None:
    assert o.box(10, 4, 1).grown(-0.4).corners[0] == pytest.approx((4, 1, 0.6, 0, 90))
    assert o.box(10, 4, 1).grown(-1.5).size == pytest.approx((7, 1))
    assert o.box(10, 4, 1).grown(-1.5).corners[0] == pytest.approx((3.5, 0.5, 0, 0, 90))
    assert o.hexagon(6).grown(-1).size == pytest.approx((4, 4 / math.cos(math.pi / 6)))
    with pytest.raises(ValueError, match="cannot shrink"):
        o.box(10, 2).grown(-1)


# --- constructors ----------------------------------------------------------------------------------------------------


def test_constructors_refuse_what_is_no_such_shape() -> None:
    with pytest.raises(ValueError, match="more than half"):
        o.box(10, 4, 2.01)
    assert o.box(10, 4, 2).area == pytest.approx(24 + 4 * math.pi)
    for length in (4, 3.9):
        with pytest.raises(ValueError, match="longer than its width"):
            o.slot(length, 4)
    for across in (5, 10, 4, 11):
        with pytest.raises(ValueError, match="across the flat"):
            o.d_shape(10, across)


def test_the_flat_of_a_d_lies_at_the_bottom() -> None:
    shape = o.d_shape(10, 8)
    assert shape.box == pytest.approx((-5, -3, 5, 5))
    assert [len(o.d_shape(10, 8).corners), shape.corners[1].radius] == [3, 5]
    assert gap(shape, o.round_(1).moved(0, -4)) == pytest.approx(0.5)
    assert gap(shape, o.round_(1).moved(0, 6)) == pytest.approx(0.5)


def test_a_hexagon_has_flats_left_and_right() -> None:
    assert gap(o.hexagon(6), o.round_(2).moved(5, 0)) == pytest.approx(1)
    assert gap(o.hexagon(6), o.round_(2).moved(0, 5)) == pytest.approx(4 - 3 / math.cos(math.pi / 6))


def test_a_polygon_is_the_same_in_either_sense_and_rounds_its_corners_inside() -> None:
    points = ((0, 0), (4, 0), (4, 3))
    assert o.polygon(points[::-1]).area == pytest.approx(o.polygon(points).area)
    rounded = o.polygon(((0, 0), (4, 0), (4, 4), (0, 4)), 1.0)
    assert rounded.area == pytest.approx(16 - (4 - math.pi))
    assert rounded.box == pytest.approx((0, 0, 4, 4))
    assert gap(rounded, o.round_(2).moved(6, 6)) == pytest.approx(math.hypot(3, 3) - 2)


def test_a_polygon_with_a_straight_corner_is_refused() -> None:
    with pytest.raises(ValueError, match="not convex"):
        o.polygon(((0, 0), (2, 0), (4, 0), (4, 3)))


def test_a_rectangle_is_filled_where_it_stands() -> None:
    assert o.filled(Rectangle(1, 2, 4, 8)).box == (1, 2, 4, 8)


def test_a_whole_turn_changes_nothing_and_any_other_does() -> None:
    shape = o.box(4, 2)
    assert shape.turned(360) is shape
    assert shape.turned(0) is shape
    assert shape.turned(1).box != shape.box
    assert shape.turned(361).box == pytest.approx(shape.turned(1).box)


# --- nearness --------------------------------------------------------------------------------------------------------


def test_boxes_decide_at_once_and_the_exact_gap_decides_at_last() -> None:
    one, other = o.round_(4), o.round_(4).moved(4, 4)  # the boxes touch, the circles are 1.66 mm apart
    assert o.near(one, other, 0.1)
    assert not o.near(one, other, 0)
    assert not o.too_near(one, other, 1.65)
    assert o.too_near(one, other, 1.66)
    assert not o.too_near(o.box(2, 2), o.box(2, 2).moved(3, 0), 1.0)


@pytest.mark.parametrize("turn", [0, 40])
@pytest.mark.parametrize(("dx", "dy"), [(1, 0), (-1, 0), (0, 1), (0.6, -0.8)])
def test_circles_keep_their_distance_in_every_direction(turn: float, dx: float, dy: float) -> None:
    inner, outer = o.round_(4).moved(dx, dy).turned(turn), o.round_(10)
    assert clearance(inner, outer) == pytest.approx(5 - 2 - 1)
    assert clearance(inner.moved(7, 3), outer.moved(7, 3)) == pytest.approx(2)
    assert gap(o.round_(4).moved(6 * dx, 6 * dy), o.round_(4)) == pytest.approx(2)
    assert gap(o.round_(4).moved(6 * dx + 5, 6 * dy + 9), o.round_(4).moved(5, 9)) == pytest.approx(2)


@settings(max_examples=40, deadline=None)
@given(shapes(), shapes())
def test_the_clearance_in_a_hole_is_how_much_less_it_reaches_anywhere(inside: Outline, hole: Outline) -> None:
    angles = np.radians(np.arange(0, 360, 0.5))
    sampled = min(hole.reach(x, y) - inside.reach(x, y) for x, y in zip(np.cos(angles), np.sin(angles), strict=True))
    exact = clearance(inside, hole)
    assert exact <= sampled + 1e-9
    across = math.hypot(*hole.centre) + math.hypot(*inside.centre) + hole.box.width + hole.box.height
    assert exact == pytest.approx(sampled, abs=0.01 * (1 + across))  # half a step of 0.5 degrees is 0.0044 of a radius


@pytest.mark.parametrize("turn", [0, 30, 90, 137, 180])
@pytest.mark.parametrize("apart", [-0.5, 0.0, 0.3, 15.0])
def test_what_stands_in_line_with_a_slot_is_as_far_as_its_end(turn: float, apart: float) -> None:
    long, round_one = o.slot(8, 4).turned(turn), o.round_(2).moved(5 + apart, 0).turned(turn)
    assert gap(long, round_one) == pytest.approx(apart)
    assert gap(round_one, long) == pytest.approx(apart)
    other = o.slot(6, 2).moved(7 + apart, 0).turned(turn)
    assert gap(long, other) == pytest.approx(apart)


@pytest.mark.parametrize("turn", [0, 30, 90, 137, 180])
@pytest.mark.parametrize(("x", "air"), [(0, 0.5), (2, 0.5), (2.5, 0.0), (3, -0.5), (50, -47.5), (-3, -0.5)])
def test_what_lies_beyond_the_end_of_a_slot_does_not_pass_it(turn: float, x: float, air: float) -> None:
    assert clearance(o.round_(3).moved(x, 0).turned(turn), o.slot(8, 4).turned(turn)) == pytest.approx(air)


@pytest.mark.parametrize("shape", [o.polygon(((0, 0), (6, 0), (1, 3))), o.d_shape(10, 8).turned(70), o.box(4, 2, 0.5)])
def test_a_mirrored_outline_reaches_left_as_far_as_it_reached_right(shape: Outline) -> None:
    seen = shape.moved(2, 1).mirrored()
    for angle in np.radians(np.arange(0, 360, 7)):
        x, y = math.cos(angle), math.sin(angle)
        assert seen.reach(-x, y) == pytest.approx(shape.moved(2, 1).reach(x, y))


# --- corner by corner -----------------------------------------------------------------------------------


def _corners(outline: Outline) -> list[tuple[float, ...]]:
    return [tuple(round(v, 6) + 0.0 for v in corner) for corner in outline.corners]


EDGE = 36.869898  # degrees: 3 down and 4 across


@pytest.mark.parametrize(
    ("outline", "corners"),
    [
        (o.round_(7), [(0, 0, 3.5, 0, 360)]),
        (o.box(10, 4), [(5, 2, 0, 0, 90), (-5, 2, 0, 90, 180), (-5, -2, 0, 180, 270), (5, -2, 0, 270, 360)]),
        (o.box(10, 4, 1), [(4, 1, 1, 0, 90), (-4, 1, 1, 90, 180), (-4, -1, 1, 180, 270), (4, -1, 1, 270, 360)]),
        (o.filled(Rectangle(1, 2, 5, 10)), [
            (5, 10, 0, 0, 90), (1, 10, 0, 90, 180), (1, 2, 0, 180, 270), (5, 2, 0, 270, 360),
        ]),
        (o.slot(10, 4), [(3, 0, 2, -90, 90), (-3, 0, 2, 90, 270)]),
        (o.d_shape(10, 8), [(4, -3, 0, -90, -EDGE), (0, 0, 5, -EDGE, 180 + EDGE), (-4, -3, 0, 180 + EDGE, 270)]),
        (o.d_shape(10, 9), [
            (3, -4, 0, -90, EDGE - 90), (0, 0, 5, EDGE - 90, 270 - EDGE), (-3, -4, 0, 270 - EDGE, 270),
        ]),
        (o.hexagon(6), [
            (0, 3.464102, 0, 60, 120), (-3, 1.732051, 0, 120, 180), (-3, -1.732051, 0, 180, 240),
            (0, -3.464102, 0, 240, 300), (3, -1.732051, 0, 300, 360), (3, 1.732051, 0, 360, 420),
        ]),
        (o.polygon(((0, 0), (4, 0), (0, 3))), [
            (0, 0, 0, 180, 270), (4, 0, 0, -90, 90 - EDGE), (0, 3, 0, 90 - EDGE, 180),
        ]),
        (o.polygon(((0, 0), (9, 0), (9, 6), (0, 6)), 2), [
            (2, 2, 2, 180, 270), (7, 2, 2, -90, 0), (7, 4, 2, 0, 90), (2, 4, 2, 90, 180),
        ]),
    ],
)  # fmt: skip
def test_outlines_have_these_corners(outline: Outline, corners: list[tuple[float, ...]]) -> None:
    turned = [(x, y, r, start % 360, stop - start) for x, y, r, start, stop in _corners(outline)]
    assert turned == [pytest.approx((x, y, r, start % 360, stop - start), abs=2e-6) for x, y, r, start, stop in corners]


CORNER = o.Corner(2.0, 3.0, 1.0, 10.0, 70.0)


@pytest.mark.parametrize(
    ("changed", "corner"),
    [
        (CORNER.moved(5, 7), (7, 10, 1, 10, 70)),
        (CORNER.turned(90), (-3, 2, 1, 100, 160)),
        (CORNER.mirrored(), (-2, 3, 1, 110, 170)),
        (CORNER.inset(0.4), (2, 3, 0.6, 10, 70)),
        (CORNER.inset(1.0), (2, 3, 0, 10, 70)),
        # 1 mm past its radius, back along 40 degrees by 1 / cos 30
        (CORNER.inset(2.0), (2 - math.cos(math.radians(40)) / math.cos(math.radians(30)),
                             3 - math.sin(math.radians(40)) / math.cos(math.radians(30)), 0, 10, 70)),
        (o.Corner(2.0, 3.0, 0.0, 0.0, 90.0).rounded(1), (1, 2, 1, 0, 90)),
        (o.Corner(2.0, 3.0, 0.0, 90.0, 180.0).rounded(2), (4, 1, 2, 90, 180)),
    ],
    ids=["moved", "turned", "mirrored", "inset", "to a point", "past its radius", "rounded", "rounded left"],
)  # fmt: skip
def test_a_corner_changed_by_hand(changed: o.Corner, corner: tuple[float, ...]) -> None:
    assert tuple(changed) == pytest.approx(corner)


def test_what_a_corner_is_asked() -> None:
    assert CORNER.centre == (2, 3)
    assert CORNER.middle == 40
    assert CORNER.on_arc(0) == pytest.approx((3, 3))
    assert CORNER.on_arc(90, 0.0) == pytest.approx((2, 3))
    assert CORNER.on_arc(90, 2.5) == pytest.approx((2, 5.5))
    assert [CORNER.faces(a) for a in (10, 70, 10 - 1e-10, 70 + 1e-10, 9.999, 70.001)] == [True] * 4 + [False] * 2
    assert o.round_(2).corners[0].faces(359.9)


# --- outlines as a whole --------------------------------------------------------------------------------

MIXED = Outline((o.box(8, 4, 1).corners[0], *o.box(8, 4).corners[1:]))
"""A box of 8 by 4 mm of which only the corner at the upper right is rounded, by 1 mm."""


def test_a_box_with_one_round_corner_by_hand() -> None:
    assert MIXED.area == pytest.approx(32 - (1 - math.pi / 4))
    assert MIXED.perimeter == pytest.approx(24 - 2 + math.pi / 2)
    assert MIXED.box == (-4, -2, 4, 2)
    assert MIXED.reach(1, 0) == pytest.approx(4)
    half = math.sqrt(0.5)
    assert MIXED.reach(half, half) == pytest.approx((3 + 1) * half + 1)
    assert MIXED.reach(-half, half) == pytest.approx((4 + 2) * half)
    assert not MIXED.is_circle


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        (o.round_(4), o.round_(6).moved(3, 4), 0.0),
        (o.round_(4).moved(1, 1), o.round_(6).moved(7, 9), 5.0),
        (o.round_(4), o.round_(6), -5.0),
        (o.box(4, 4), o.box(2, 2).moved(2.5, 0.5), -0.5),
        (o.box(4, 4), o.box(2, 2).moved(0.5, -2.75), -0.25),
        (o.box(4, 4), o.box(2, 2).moved(6, 7), 5.0),  # 3 across, 4 up
        (o.box(4, 4), o.box(2, 2).moved(3, 0), 0.0),
        (o.box(4, 4, 1), o.box(2, 2, 0.5).moved(6, 7), math.hypot(4.5, 5.5) - 1.5),
        (o.box(4, 4, 1), o.round_(2).moved(0, 5), 2.0),
        (o.slot(8, 4), o.slot(8, 4).turned(90).moved(8, 0), 2.0),
        (o.slot(8, 4), o.slot(8, 4).turned(90).moved(5, 0), -1.0),
        (o.hexagon(6), o.hexagon(6).moved(7, 0), 1.0),
        (o.hexagon(6), o.hexagon(6).moved(5, 0), -1.0),
        (o.polygon(((0, 0), (4, 0), (0, 3))), o.round_(2).moved(2 + 3 * 0.6, 1.5 + 3 * 0.8), 2.0),  # off its long side
        (MIXED, o.round_(2).moved(3 + 3, 1 + 4), 3.0),  # 5 from the centre of its arc
        (MIXED, o.round_(2).moved(-7, 6), 4.0),  # 5 from its corner
        (MIXED, o.round_(2).moved(5.5, 0), 0.5),
        (MIXED, o.round_(2).moved(4.5, 0), -0.5),
        (MIXED, o.box(2, 2).moved(0, 4), 1.0),
        (MIXED, MIXED.turned(180).moved(6 + 3, 2 + 4), 3.0),  # arc to arc: 5 between centres
        (MIXED, o.d_shape(10, 8).moved(0, 6), 1.0),  # flat over flat: 6 - 3 - 2
        (o.d_shape(10, 8), o.round_(2).moved(9 * 0.6, 9 * 0.8), 3.0),
    ],
)  # fmt: skip
@pytest.mark.parametrize("turn", [0, 90, 33])
def test_two_outlines_are_so_far_apart(one: Outline, other: Outline, apart: float, turn: float) -> None:
    a, b = one.turned(turn).moved(7, -5), other.turned(turn).moved(7, -5)
    assert gap(a, b) == pytest.approx(apart)
    assert gap(b, a) == pytest.approx(apart)


@pytest.mark.parametrize(
    ("inside", "hole", "air"),
    [
        (o.round_(4).moved(3, 4), o.round_(20), 10 - 2 - 5),
        (o.round_(4).moved(6, 8), o.round_(20), -2.0),
        (o.box(4, 2), o.box(10, 4), 1.0),
        (o.box(4, 2).moved(2.5, 0), o.box(10, 4), 0.5),
        (o.box(4, 2).moved(-3.5, 0), o.box(10, 4), -0.5),
        (o.box(4, 2).moved(0, 1.25), o.box(10, 4), -0.25),
        (o.box(4, 4), o.box(10, 10, 4), 4 - math.hypot(1, 1)),  # its corners are nearer to the arcs than its sides, 3
        (o.box(9, 9), o.box(10, 10, 4), 4 - 3.5 * math.sqrt(2)),
        (o.round_(4), o.slot(10, 6), 1.0),
        (o.round_(4).moved(2.5, 0), o.slot(10, 6), 0.5),
        (o.slot(8, 4), o.slot(10, 6), 1.0),
        (o.hexagon(6), o.hexagon(8), 1.0),
        (o.hexagon(6), o.round_(8), 4 - 2 * math.sqrt(3)),
        (o.round_(2).moved(2.5, 0.5), MIXED, 0.5),
        (o.round_(2).moved(2.5, 0), MIXED, 0.5),
        (o.box(2, 2).moved(2.5, 0.5), MIXED, 1 - math.hypot(0.5, 0.5)),  # past the arc's centre
        (MIXED, o.box(10, 10), 1.0),
        (MIXED, o.round_(12), 6 - math.hypot(4, 2)),
        (o.d_shape(10, 8), o.d_shape(12, 10), 1.0),
        (o.d_shape(10, 8).moved(0, 0.25), o.d_shape(12, 10), 0.75),
        (o.d_shape(10, 8).moved(0, -0.25), o.d_shape(12, 10), 0.75),
        (o.round_(6).moved(0, 1), o.d_shape(10, 8), 1.0),
        (o.round_(6).moved(0, -1), o.d_shape(10, 8), -1.0),
    ],
)  # fmt: skip
@pytest.mark.parametrize("turn", [0, 90, 33])
def test_an_outline_has_so_much_air_in_a_hole(inside: Outline, hole: Outline, air: float, turn: float) -> None:
    assert clearance(inside.turned(turn).moved(7, -5), hole.turned(turn).moved(7, -5)) == pytest.approx(air)


def test_an_outline_grown_and_moved_keeps_its_edges() -> None:
    shape = o.polygon(((0, 0), (9, 0), (9, 6), (0, 6)), 2)
    assert _corners(shape.grown(0.5))[0] == (2, 2, 2.5, -180, -90)
    assert _corners(shape.grown(-0.5))[0] == (2, 2, 1.5, -180, -90)
    assert _corners(shape.grown(0)) == _corners(shape)
    assert shape.moved(10, 20).box == (10, 20, 19, 26)
    gap(shape, shape.moved(1, 1))  # remembers its edges, which what is moved later takes along
    assert gap(shape.moved(12, 0), shape) == pytest.approx(3)
    assert shape.mirrored().box == pytest.approx((-9, 0, 0, 6))
    assert [c.start for c in o.slot(10, 4).mirrored().corners] == [-90, 90]
    with pytest.raises(ValueError, match="6 mm across cannot shrink by 3 mm on every side"):
        shape.grown(-3)
    assert shape.grown(-2.9).size == pytest.approx((3.2, 0.2))


STAR = [(math.cos(a), math.sin(a)) for a in (0.8 * math.pi * i for i in range(5))]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: o.polygon(((0, 0), (1, 0))), "at least three points"),
        (lambda: o.polygon(((0, 0), (4, 0), (1, 1), (0, 4))), r"not convex at \(1, 1\)"),
        (lambda: o.polygon(((0, 0), (0, 4), (1, 1), (4, 0))), r"not convex at \(1, 1\)"),
        (lambda: o.polygon(STAR), "crosses itself"),
        (lambda: o.box(10, 4, 2.5), "a corner of 2.5 mm is more than half of 4 mm"),
        (lambda: o.slot(4, 4), "a slot 4 mm long must be longer than its width 4 mm"),
        (lambda: o.d_shape(10, 5), "between 5 and 10 mm, not 5 mm"),
        (lambda: o.d_shape(10, 10), "between 5 and 10 mm, not 10 mm"),
    ],
)  # fmt: skip
def test_what_is_no_outline_is_refused_in_words(make: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        make()  # type: ignore[operator]


# --- paths ----------------------------------------------------------------------------------------------


def test_a_quarter_arc_as_two_chords_and_as_two_tangents() -> None:
    # radius 5: two chords over 90 degrees stray 5 (1 - cos 22.5) = 0.381, one 1.464
    arc = Outline((o.Corner(1.0, 2.0, 5.0, 0.0, 90.0),))
    half = 5 * math.sqrt(0.5)
    inside = [(6, 2), (1 + half, 2 + half), (1, 7)]
    assert [tuple(p) for p in arc.path(0.39, outside=False)] == [pytest.approx(p) for p in inside]
    assert [tuple(p) for p in arc.path(1.47, outside=False)] == [pytest.approx(inside[0]), pytest.approx(inside[2])]
    # outside the tangents meet 5 / cos 22.5 from the middle: 0.412 outside
    far = 5 / math.cos(math.radians(22.5))
    spots = [(1 + far * math.cos(math.radians(a)), 2 + far * math.sin(math.radians(a))) for a in (22.5, 67.5)]
    outside = [(6, 2), *spots, (1, 7)]
    assert [tuple(p) for p in arc.path(0.42, outside=True)] == [pytest.approx(p) for p in outside]
    assert len(arc.path(0.41, outside=True)) == 5


@pytest.mark.parametrize("outside", [False, True])
def test_a_circle_as_twelve_points(outside: bool) -> None:
    points = o.round_(10).moved(1, 2).path(5.0, outside)
    radius = 5 / math.cos(math.radians(15)) if outside else 5
    assert [tuple(p) for p in points] == [
        pytest.approx((1 + radius * math.cos(math.radians(a)), 2 + radius * math.sin(math.radians(a))))
        for a in range(0, 360, 30)
    ]


def test_points_of_a_sharp_outline_are_its_corners() -> None:
    assert o.box(10, 4).path(0.01, outside=True) == [(5, 2), (-5, 2), (-5, -2), (5, -2)]


@pytest.mark.parametrize(("margin", "near"), [(2.0, False), (2.01, True), (0.0, False)])
def test_boxes_are_near_within_a_distance(margin: float, near: bool) -> None:
    assert o.near(o.box(2, 2), o.round_(2).moved(4, 1), margin) is near
    assert o.near(o.box(2, 2), o.round_(2).moved(1, -4), margin) is near
    assert o.too_near(o.box(2, 2), o.round_(2).moved(4, 0), margin) is near


HALF = 5 * math.sqrt(0.5)  # of a radius of 5 at 45 degrees


@pytest.mark.parametrize(("corner", "box"), [
    (o.Corner(1.0, 2.0, 5.0, 0.0, 90.0), (1, 2, 6, 7)),
    (o.Corner(1.0, 2.0, 5.0, 45.0, 135.0), (1 - HALF, 2 + HALF, 1 + HALF, 7)),
    (o.Corner(1.0, 2.0, 5.0, 135.0, 225.0), (-4, 2 - HALF, 1 - HALF, 2 + HALF)),
    (o.Corner(1.0, 2.0, 5.0, 225.0, 315.0), (1 - HALF, -3, 1 + HALF, 2 - HALF)),
    (o.Corner(1.0, 2.0, 5.0, 0.0, 360.0), (-4, -3, 6, 7)),
    (o.Corner(1.0, 2.0, 5.0, 30.0, 390.0), (-4, -3, 6, 7)),
])  # fmt: skip
def test_an_arc_reaches_to_its_ends_and_to_the_sides_it_faces(
    corner: o.Corner, box: tuple[float, float, float, float]
) -> None:
    assert Outline((corner,)).box == pytest.approx(box)


# --- holes cut larger -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("turn", [0.0, 37.0, 90.0, 215.0])
@pytest.mark.parametrize(
    ("shape", "larger"),
    [
        (o.box(20, 10), o.box(20.2, 10.2)),
        (o.box(20, 10, 2), o.box(20.2, 10.2, 2.1)),
        (o.slot(10.3, 6.8), o.slot(10.5, 7.0)),
        (o.round_(24), o.round_(24.2)),
        (o.d_shape(12.9, 12.0), o.d_shape(13.1, 12.2)),
        (o.hexagon(8), o.hexagon(8.2)),
    ],
    ids=["square box", "round box", "slot", "circle", "d", "hexagon"],
)
def test_a_hole_cut_larger_keeps_its_shape(shape: Outline, larger: Outline, turn: float) -> None:
    """What a workshop dimensions: a square corner has no radius of a tenth, a D keeps its two sizes."""
    opened = shape.turned(turn).moved(3, -4).opened(0.1)
    assert shape_key(opened) == shape_key(larger.turned(turn))
    assert shape_key(opened.grown(-0.1)) == shape_key(shape.turned(turn))


def test_a_polygon_cut_larger_keeps_its_sharp_corners() -> None:
    corners = ((-13.5, -9.5), (13.5, -9.5), (13.5, 4.5), (8.5, 9.5), (-8.5, 9.5), (-13.5, 4.5))
    shape = o.polygon(corners)
    opened = shape.opened(0.08)
    assert not any(corner.is_round for corner in opened.corners)
    for x, y in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (math.sqrt(0.5), math.sqrt(0.5))):
        assert opened.reach(x, y) == pytest.approx(shape.reach(x, y) + 0.08)


@pytest.mark.parametrize("across", [0.2, 0.6, 1.0])
def test_a_small_circle_reaches_as_far_as_its_radius_on_all_sides(across: float) -> None:
    assert o.round_(across).moved(3, -4).box == pytest.approx(
        (3 - across / 2, -4 - across / 2, 3 + across / 2, -4 + across / 2)
    )
