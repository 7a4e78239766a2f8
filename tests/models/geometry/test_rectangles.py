"""Rectangles and boxes: overlap, holding and distance, against a raster of points."""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.models.geometry.boxes import Box
from dryfit.models.geometry.outlines import box, filled
from dryfit.models.geometry.rectangles import Rectangle, Size

WHOLE = st.integers(-6, 6)
RECTANGLES = st.builds(
    lambda x, y, w, h: Rectangle(x, y, x + w, y + h), WHOLE, WHOLE, st.integers(1, 5), st.integers(1, 5)
)


def _cells(r: Rectangle) -> set[tuple[int, int]]:
    """Return the unit squares of the raster that a rectangle with whole sides is made of."""
    return set(product(range(int(r.left), int(r.right)), range(int(r.bottom), int(r.top))))


@given(RECTANGLES, RECTANGLES)
def test_rectangles_overlap_where_they_share_ground(a: Rectangle, b: Rectangle) -> None:
    assert a.overlaps(b) == bool(_cells(a) & _cells(b))


@given(RECTANGLES, RECTANGLES, st.integers(1, 3))
def test_a_margin_counts_as_if_one_had_grown(a: Rectangle, b: Rectangle, margin: int) -> None:
    assert a.overlaps(b, margin) == bool(_cells(a.grown(margin)) & _cells(b))
    assert a.holds(b, margin) == (_cells(b.grown(margin)) <= _cells(a))


@given(RECTANGLES, RECTANGLES)
def test_a_rectangle_holds_what_has_no_ground_outside_it(a: Rectangle, b: Rectangle) -> None:
    assert a.holds(b) == (_cells(b) <= _cells(a))


@given(RECTANGLES, RECTANGLES)
def test_the_gap_is_the_shortest_way_between_two(a: Rectangle, b: Rectangle) -> None:
    grid = [list(product(range(int(r.left), int(r.right) + 1), range(int(r.bottom), int(r.top) + 1))) for r in (a, b)]
    shortest = min(math.dist(p, q) for p in grid[0] for q in grid[1])  # whole sides: nearest points are on the grid
    assert a.gap_to(b) == (-math.inf if _cells(a) & _cells(b) else pytest.approx(shortest))


@given(st.lists(RECTANGLES, min_size=1, max_size=5))
def test_the_least_rectangle_around_some_holds_each_and_touches_one_on_every_side(parts: list[Rectangle]) -> None:
    whole = Rectangle.around(parts)
    assert all(whole.holds(part) for part in parts)
    assert all(whole[side] in {part[side] for part in parts} for side in range(4))
    assert whole == Rectangle.around_points(p for part in parts for p in (part[:2], part[2:]))


def test_sides_give_size_centre_and_spans() -> None:
    one = Rectangle(1, 2, 5, 10)
    assert (one.width, one.height, one.size) == (4, 8, (4, 8))
    assert (one.corner, one.centre) == ((1, 2), (3, 6))
    assert (one.span(0), one.span(1)) == ((1, 5), (2, 10))
    assert Rectangle.at((1, 2), (4, 8)) == one


def test_moving_scaling_and_mirroring_keep_the_sides_in_order() -> None:
    one = Rectangle(1, 2, 5, 10)
    assert one.moved(10, -2) == (11, 0, 15, 8)
    assert one.scaled(0.5) == (0.5, 1, 2.5, 5)
    assert one.mirrored() == (-5, 2, -1, 10)
    assert one.grown(-1) == (2, 3, 4, 9)


def test_what_has_no_width_is_empty() -> None:
    assert Rectangle(1, 1, 1, 4).is_empty
    assert Rectangle(1, 4, 2, 3).is_empty
    assert not Rectangle(1, 1, 2, 4).is_empty


def test_a_size_fits_only_where_both_sides_do() -> None:
    assert Size(4, 3).fits((4, 3))
    assert not Size(4, 3).fits((3, 4))
    assert not Size(4, 3).fits((4, 2.9))
    assert Size(4, 3).scaled(2) == (8, 6)


@given(RECTANGLES)
def test_a_filled_rectangle_is_an_outline_with_the_same_box(one: Rectangle) -> None:
    assert filled(one).box == pytest.approx(one)
    assert filled(one).area == pytest.approx(one.width * one.height)
    assert box(4, 2).moved(1, 1).box == (-1, 0, 3, 2)


def test_a_box_around_boxes_reaches_as_far_as_any_of_them() -> None:
    whole = Box.around([Box(0, 1, 2, 3, 4, 5), Box(-1, 2, 0, 2, 6, 4)])
    assert whole == (-1, 1, 0, 3, 6, 5)
    assert len(set(whole.corners)) == 8
    assert {min(axis) for axis in zip(*whole.corners, strict=True)} == {-1, 1, 0}
    assert {max(axis) for axis in zip(*whole.corners, strict=True)} == {3, 6, 5}


# --- at the limits --------------------------------------------------------------------------------------

ONE = Rectangle(1, 2, 5, 10)


@pytest.mark.parametrize(
    ("other", "overlaps", "holds", "gap"),
    [
        (Rectangle(5, 2, 9, 10), False, False, 0.0),  # side by side
        (Rectangle(4.9, 2, 9, 10), True, False, -math.inf),
        (Rectangle(5.1, 2, 9, 10), False, False, 0.1),
        (Rectangle(-3, 2, 1, 10), False, False, 0.0),
        (Rectangle(-3, 2, 1.1, 10), True, False, -math.inf),
        (Rectangle(-3, 2, 0.9, 10), False, False, 0.1),
        (Rectangle(1, 10, 5, 12), False, False, 0.0),
        (Rectangle(1, 9.9, 5, 12), True, False, -math.inf),
        (Rectangle(1, 10.1, 5, 12), False, False, 0.1),
        (Rectangle(1, -3, 5, 2), False, False, 0.0),
        (Rectangle(1, -3, 5, 2.1), True, False, -math.inf),
        (Rectangle(1, -3, 5, 1.9), False, False, 0.1),
        (Rectangle(8, 14, 9, 15), False, False, 5.0),  # 3 across and 4 up
        (Rectangle(-3, -1, -2, -2), False, False, 5.0),
        (Rectangle(8, -5, 9, -2), False, False, 5.0),
        (ONE, True, True, -math.inf),
        (Rectangle(2, 3, 4, 9), True, True, -math.inf),
        (Rectangle(0.9, 3, 4, 9), True, False, -math.inf),
        (Rectangle(2, 1.9, 4, 9), True, False, -math.inf),
        (Rectangle(2, 3, 5.1, 9), True, False, -math.inf),
        (Rectangle(2, 3, 4, 10.1), True, False, -math.inf),
    ],
)
def test_sides_just_before_at_and_beyond_each_other(other: Rectangle, overlaps: bool, holds: bool, gap: float) -> None:
    assert ONE.overlaps(other) is overlaps
    assert other.overlaps(ONE) is overlaps
    assert ONE.holds(other) is holds
    assert ONE.gap_to(other) == (gap if gap == -math.inf else pytest.approx(gap))
    assert other.gap_to(ONE) == (gap if gap == -math.inf else pytest.approx(gap))


@pytest.mark.parametrize("side", range(4))
@pytest.mark.parametrize(("room", "kept"), [(0.5, True), (0.6, True), (0.4, False)])
def test_a_margin_is_kept_on_each_side(side: int, room: float, kept: bool) -> None:
    inner = list(ONE.grown(-1))
    inner[side] = ONE[side] + (room if side < 2 else -room)
    assert ONE.holds(Rectangle(*inner), 0.5) is kept


@pytest.mark.parametrize(("dx", "dy"), [(1, 0), (-1, 0), (0, 1), (0, -1)])
def test_a_margin_brings_neighbours_together_on_each_side(dx: int, dy: int) -> None:
    for apart, near in ((0.4, True), (0.5, False), (0.6, False)):
        other = ONE.moved(dx * (4 + apart), dy * (8 + apart))
        assert ONE.overlaps(other, 0.5) is near
        assert other.overlaps(ONE, 0.5) is near


def test_a_rectangle_moves_grows_and_scales_by_both_of_its_axes() -> None:
    assert ONE.moved(10, 20) == (11, 22, 15, 30)
    assert ONE.grown(0.5) == (0.5, 1.5, 5.5, 10.5)
    assert ONE.scaled(3) == (3, 6, 15, 30)
    assert ONE.centre == (3, 6)
    assert Rectangle.at((3, 4), (5, 6)) == (3, 4, 8, 10)
    assert (Rectangle(1, 2, 5, 2).is_empty, Rectangle(5, 2, 1, 9).is_empty, Rectangle(1, 9, 5, 2).is_empty) == (
        True,
    ) * 3


def test_a_size_of_just_the_room_fits_and_a_little_more_does_not() -> None:
    assert [Size(4, 3).fits(room) for room in ((4, 3), (5, 4), (3.9, 9), (9, 2.9))] == [True, True, False, False]


def test_a_box_in_space_has_its_plan_and_corners() -> None:
    one = Box(1, 2, 3, 4, 5, 7)
    assert one.plan == Rectangle(1, 2, 4, 5)
    assert set(one.corners) == {(x, y, z) for x in (1, 4) for y in (2, 5) for z in (3, 7)}
    assert Box.around([Box(0, 9, 1, 5, 10, 6), one]) == (0, 2, 1, 5, 10, 7)
    assert Box.around([Box(0, 1, 9, 5, 3, 10), one]) == (0, 1, 3, 5, 5, 10)
