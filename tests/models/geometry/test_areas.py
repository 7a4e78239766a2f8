"""Shared areas against closed forms and against counting the points of a fine grid."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.models.geometry.areas import shared_area
from dryfit.models.geometry.outlines import Outline, box, d_shape, hexagon, polygon, round_, slot


def _counted(a: Outline, b: Outline, step: float = 0.04) -> float:
    """Return the shared area by counting the points of a fine grid that lie in both: independent of edges and arcs."""
    left, bottom, right, top = a.box
    xs, ys = np.arange(left, right, step) + step / 2, np.arange(bottom, top, step) + step / 2
    points = np.array(np.meshgrid(xs, ys)).reshape(2, -1)
    inside = np.ones(points.shape[1], dtype=bool)
    for outline in (a, b):
        ring = np.array(outline.path(0.001, outside=False))
        for (x0, y0), (x1, y1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            inside &= (x1 - x0) * (points[1] - y0) >= (y1 - y0) * (points[0] - x0)
    return float(inside.sum()) * step**2


@pytest.mark.parametrize("apart", [0.2, 1.0, 2.5, 3.9])
def test_the_lens_of_two_circles_is_the_integral_of_its_height(apart: float) -> None:
    one, other = round_(4.0), round_(5.0).moved(apart, 0.0)
    xs = np.linspace(-3.0, 7.0, 200_001)
    heights = np.minimum(
        np.sqrt(np.clip(2.0**2 - xs**2, 0, None)), np.sqrt(np.clip(2.5**2 - (xs - apart) ** 2, 0, None))
    )
    assert shared_area(one, other) == pytest.approx(float(2 * np.trapezoid(heights, xs)), abs=1e-4)
    assert shared_area(other, one) == pytest.approx(shared_area(one, other))


def test_the_lens_is_the_same_wherever_the_circles_stand() -> None:
    flat = shared_area(round_(4.0), round_(5.0).moved(2.5, 0.0))
    for turn in (30.0, 137.0, 270.0):
        turned = round_(5.0).moved(2.5, 0.0).turned(turn)
        assert shared_area(round_(4.0).moved(7, -3), turned.moved(7, -3)) == pytest.approx(flat)


def test_circles_of_one_size_share_the_lens_of_the_textbook() -> None:
    r, d = 3.0, 2.0  # 2 r^2 acos(d / 2r) - d/2 sqrt(4 r^2 - d^2)
    expected = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    assert shared_area(round_(6.0), round_(6.0).moved(d, 0.0)) == pytest.approx(expected)


def test_what_lies_apart_or_only_touches_shares_nothing() -> None:
    assert shared_area(round_(4.0), round_(4.0).moved(4.0, 0.0)) == 0
    assert shared_area(box(2, 2), box(2, 2).moved(2.0, 0.5)) == 0
    assert shared_area(box(2, 2), box(2, 2).moved(5.0, 0.0)) == 0


@pytest.mark.parametrize("small", [round_(2.0), hexagon(2.0), box(2.0, 1.0)])
def test_what_lies_within_shares_its_own_area_whichever_is_named_first(small: Outline) -> None:
    large = box(10.0, 8.0, 1.0)
    assert shared_area(small, large) == pytest.approx(small.area)
    assert shared_area(large, small) == pytest.approx(small.area)
    assert shared_area(small, small) == pytest.approx(small.area)


def test_boxes_share_the_rectangle_between_their_sides() -> None:
    assert shared_area(box(4, 4), box(4, 4).moved(1.0, 3.0)) == pytest.approx(3.0 * 1.0)
    assert shared_area(box(4, 4), box(4, 4).moved(-1.0, -3.0)) == pytest.approx(3.0 * 1.0)
    assert shared_area(box(10, 2), box(2, 10)) == pytest.approx(4.0)  # a cross: neither holds the other


def test_an_edge_through_the_middle_halves_a_hexagon_and_a_circle() -> None:
    plate = box(20.0, 20.0).moved(10.0, 0.0)
    assert shared_area(hexagon(5.5), plate) == pytest.approx(5.5**2 * math.sqrt(3) / 2 / 2)
    assert shared_area(round_(6.0), plate) == pytest.approx(math.pi * 9 / 2, abs=0.05)
    assert shared_area(plate, round_(6.0)) == pytest.approx(math.pi * 9 / 2, abs=0.05)


def test_a_segment_of_a_circle_is_cut_off_at_its_chord() -> None:
    # a chord 1 mm from the middle of a circle of radius 3: r^2 acos(d/r) - d sqrt(r^2 - d^2)
    segment = 9 * math.acos(1 / 3) - math.sqrt(8)
    assert shared_area(round_(6.0), box(20.0, 20.0).moved(11.0, 0.0)) == pytest.approx(segment, abs=0.05)


SHAPES = [box(6, 4), box(6, 4, 1), slot(7, 3), d_shape(6, 5), polygon([(0, 0), (6, 0), (2, 5)]), hexagon(5), round_(5)]


@pytest.mark.parametrize("a", SHAPES, ids=range(len(SHAPES)))
def test_any_two_outlines_share_what_a_fine_grid_counts(a: Outline) -> None:
    for b in SHAPES[::2]:
        moved = b.turned(20).moved(2.1, 0.7)
        assert shared_area(a, moved) == pytest.approx(_counted(a, moved), abs=0.12)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 9), st.tuples(st.floats(-8, 8), st.floats(-8, 8)), st.sampled_from(SHAPES), st.floats(0, 360))
def test_no_more_is_shared_than_either_has_and_the_order_does_not_matter(
    width: float, at: tuple[float, float], b: Outline, turn: float
) -> None:
    a, b = box(width, 3.0), b.turned(turn).moved(*at)
    shared = shared_area(a, b)
    assert -1e-9 <= shared <= min(a.area, b.area) + 1e-9
    assert shared_area(b, a) == pytest.approx(shared, abs=0.1)


@pytest.mark.parametrize("turn", [0, 1, 90, 180, 270])
def test_a_d_hole_takes_as_much_of_a_washer_however_it_is_turned(turn: float) -> None:
    hole, washer = d_shape(24, 22.5), round_(7.0).moved(11.5, 0.3)
    flat = shared_area(hole, washer)
    assert flat == pytest.approx(_counted(washer, hole, 0.01), abs=0.05)
    assert shared_area(washer.turned(turn), hole.turned(turn)) == pytest.approx(flat, abs=0.05)


def test_circles_apart_share_nothing_however_far() -> None:
    for apart in (4.5, 4.99, 5.0, 7.0, 50.0):
        assert shared_area(round_(4.0), round_(4.0).moved(0.0, apart)) == 0
        assert shared_area(round_(4.0).moved(1, 2), round_(4.0).moved(1, 2 + apart)) == 0
    assert shared_area(box(2, 2), round_(2.0).moved(2.5, 0.0)) == 0


def test_chords_of_arcs_take_off_less_than_their_facet_and_add_nothing() -> None:
    # half of a circle of radius 3, its arc of 9.42 mm as chords that stray at most 0.005
    whole, plate = math.pi * 9 / 2, box(20.0, 20.0).moved(10.0, 0.0)
    for shared in (shared_area(round_(6.0), plate), shared_area(plate, round_(6.0))):
        assert whole - 0.005 * math.pi * 3 < shared < whole - 0.003 * math.pi * 3 * 0.8


def test_corners_that_lie_on_an_edge_count_once() -> None:
    # two squares of 4 mm, the second with its left side along the middle of the first, flush with it above
    assert shared_area(box(4, 4), box(4, 2).moved(2, 1)) == pytest.approx(2 * 2)
    diamond = polygon([(0, -2), (2, 0), (0, 2), (-2, 0)])
    assert shared_area(diamond, box(4, 4).moved(2, 0)) == pytest.approx(4)  # right half of 8
    assert shared_area(box(4, 4).moved(2, 2), diamond) == pytest.approx(2)


def test_a_lens_of_unlike_circles_has_a_segment_of_each() -> None:
    # radii 3 and 4, 5 apart: their arcs cross at right angles, at 1.8 and 3.2 from the middles, 2.4 off the line
    segments = 9 * math.acos(0.6) - 1.8 * 2.4 + 16 * math.acos(0.8) - 3.2 * 2.4
    assert shared_area(round_(6.0), round_(8.0).moved(3.0, 4.0)) == pytest.approx(segments)
    assert shared_area(round_(8.0).moved(3.0, 4.0), round_(6.0)) == pytest.approx(segments)
