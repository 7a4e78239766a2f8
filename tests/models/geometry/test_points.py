"""Points: turning and arithmetic, against complex numbers."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.models.geometry.points import Point, cos_sin, distinct

COORDINATES = st.floats(-1000, 1000)
POINTS = st.builds(Point, COORDINATES, COORDINATES)


@given(POINTS, st.floats(-720, 720))
def test_turning_multiplies_by_a_unit_complex_number(point: Point, degrees: float) -> None:
    expected = complex(*point) * cmath.exp(1j * math.radians(degrees))
    assert point.turned(degrees) == pytest.approx((expected.real, expected.imag), abs=1e-9)


@pytest.mark.parametrize(
    ("degrees", "there"), [(90, (-2, 3)), (180, (-3, -2)), (270, (2, -3)), (-90, (2, -3)), (360, (3, 2))]
)
def test_quarter_turns_are_exact(degrees: float, there: tuple[float, float]) -> None:
    assert Point(3, 2).turned(degrees) == there


def test_only_quarter_turns_are_rounded() -> None:
    assert cos_sin(45) == pytest.approx((math.sqrt(0.5), math.sqrt(0.5)))
    assert cos_sin(89.999) != (0.0, 1.0)


@given(POINTS, POINTS, st.floats(-10, 10))
def test_points_add_and_scale_as_vectors(a: Point, b: Point, by: float) -> None:
    assert complex(*(a + b)) == complex(*a) + complex(*b)
    assert complex(*(a - b)) == complex(*a) - complex(*b)
    assert complex(*-a) == -complex(*a)
    assert a * by == pytest.approx((a.x * by, a.y * by))


@given(POINTS, POINTS)
def test_the_way_between_points_is_as_long_as_they_are_apart(a: Point, b: Point) -> None:
    assert (b - a).length == pytest.approx(a.distance_to(b))
    assert a.distance_to(b) == pytest.approx(abs(complex(*a) - complex(*b)))


def test_the_direction_runs_anticlockwise_from_x() -> None:
    assert [Point(*p).direction for p in ((1, 0), (0, 2), (-1, 0), (0, -1))] == [0, 90, 180, -90]


def test_a_mirrored_point_keeps_its_height() -> None:
    assert Point(3, 2).mirrored() == (-3, 2)


def test_a_point_unpacks_and_equals_its_pair() -> None:
    x, y = Point(3, 2)
    assert (x, y) == Point(3, 2)


def test_repeated_points_of_a_ring_are_dropped() -> None:
    ring = [Point(0, 0), Point(0, 0), Point(1, 0), Point(1, 0.01), Point(0, 1), Point(0, 0)]
    assert distinct(ring) == ((1, 0), (1, 0.01), (0, 1), (0, 0))
    assert distinct(ring, 0.1) == ((1, 0), (0, 1), (0, 0))


def test_points_by_hand() -> None:
    a, b = Point(3, 4), Point(-1, 1)
    assert (a + b, a - b, a * 2, -a) == ((2, 5), (4, 3), (6, 8), (-3, -4))
    assert (a.length, a.distance_to(b), Point(0, 0).length) == (5, 5, 0)
    assert Point(1, 1).direction == pytest.approx(45)
    assert Point(-1, -1).direction == pytest.approx(-135)
    assert a.turned(30) == pytest.approx((3 * math.sqrt(0.75) - 2, 1.5 + 4 * math.sqrt(0.75)))


def test_turns_by_hand() -> None:
    assert [cos_sin(a) for a in (0, 90, 180, 270, -90, 450)] == [(1, 0), (0, 1), (-1, 0), (0, -1), (0, -1), (0, 1)]
    assert cos_sin(30) == pytest.approx((math.sqrt(0.75), 0.5))
    assert cos_sin(60) == pytest.approx((0.5, math.sqrt(0.75)))


def test_points_of_a_ring_within_a_distance_are_one_and_its_ends_meet() -> None:
    ring = [Point(0, 0), Point(1, 0), Point(1.5, 0), Point(1.5, 1), Point(0, 0.5)]
    assert distinct(ring, 0.5) == (ring[1], ring[3], ring[4])  # just as far as that counts as the same
    assert distinct(ring, 0.4) == tuple(ring)
