"""Folds: the section of a bent edge by hand, with and without radii, and its arcs as chords."""

from __future__ import annotations

import itertools
import math

import pytest

from dryfit.models.geometry.folds import Fold

SHARP = Fold(turn=0, low=-50, high=50, edge=40, thick=2, inside=0, outside=2, end=-15)
ROUND = Fold(turn=90, low=-30, high=50, edge=40, thick=2, inside=3, outside=5, end=-15)
COATED = Fold(turn=0, low=0, high=10, edge=40, thick=2.5, inside=0, outside=2.25, end=-15)
"""A bend sharp enough to be closed by its coating: its outside begins later than its wall is thick."""


def test_the_section_begins_where_the_bend_leaves_the_flat_sheet() -> None:
    assert (SHARP.start, SHARP.wall) == (38, 38)
    assert (ROUND.start, ROUND.wall) == (35, 38)
    assert (COATED.start, COATED.wall) == (37.5, 37.5)  # not 37.75: the sheet is flat on both faces only from there
    narrowed = Fold(0, 0, 1, 40, 2.5, 1, 3.25, -15)
    assert narrowed.start == 36.5
    wide = Fold(0, 0, 1, 40, 2, 1, 4, -15)
    assert wide.start == 36  # 4 outside, though only 2 + 1 within


def test_the_outside_runs_from_the_front_face_to_the_wall_and_the_inside_from_the_rear_face() -> None:
    half = math.sqrt(0.5)
    assert ROUND.outer(0) == pytest.approx((35, 0))
    assert ROUND.outer(1) == pytest.approx((40, -5))
    assert ROUND.outer(0.5) == pytest.approx((40 - 5 * (1 - half), -5 * (1 - half)))
    assert ROUND.outer(1 / 3) == pytest.approx((40 - 5 * 0.5, -5 * (1 - math.sqrt(0.75))))
    assert ROUND.inner(0) == pytest.approx((35, -2))
    assert ROUND.inner(1) == pytest.approx((38, -5))
    assert ROUND.inner(0.5) == pytest.approx((38 - 3 * (1 - half), -2 - 3 * (1 - half)))
    assert ROUND.inner(1 / 3) == pytest.approx((38 - 3 * 0.5, -2 - 3 * (1 - math.sqrt(0.75))))


def test_area_and_volume_have_their_closed_forms() -> None:
    # the wall, 2 x 15, and what is left of the sheet inside of it; the outer corner cut off, the inner one filled
    corner = 1 - math.pi / 4
    assert SHARP.area == pytest.approx(2 * 15 - corner * 4)
    assert ROUND.area == pytest.approx(2 * 15 + 3 * 2 - corner * (25 - 9))
    assert ROUND.volume == pytest.approx(ROUND.area * 80)
    assert SHARP.volume == pytest.approx(SHARP.area * 100)


def _area(ring: tuple[tuple[float, float], ...]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1], strict=True)) / 2


@pytest.mark.parametrize("fold", [SHARP, ROUND, COATED])
def test_the_ring_encloses_the_section_clockwise(fold: Fold) -> None:
    assert _area(fold.ring(0.0001)) == pytest.approx(-fold.area, abs=0.001)


def test_the_ring_goes_around_the_section_corner_by_corner() -> None:
    ring = ROUND.ring(10.0)  # one chord an arc
    assert [tuple(p) for p in ring] == [
        pytest.approx(p)
        for p in ((35, -2), (35, 0), (35, 0), (40, -5), (40, -15), (38, -15), (38, -5), (35, -2))
    ]  # fmt: skip
    sharp = SHARP.ring(10.0)
    assert [tuple(p) for p in sharp] == [
        pytest.approx(p) for p in ((38, -2), (38, 0), (38, 0), (40, -2), (40, -15), (38, -15), (38, -2))
    ]


@pytest.mark.parametrize(("facet", "chords"), [(5.0, 1), (1.5, 1), (1.4, 2), (0.381, 2), (0.38, 3), (0.01, 13)])
def test_arcs_have_as_many_chords_as_their_facet_asks_for(facet: float, chords: int) -> None:
    # a chord over 90, 45, 30 degrees of a radius of 5 strays 5 (1 - cos 45) = 1.46, 0.381, 0.170; 13 over 90: 0.0091
    lone = Fold(0, 0, 1, 40, 2, 0, 5, -15)
    assert len(lone.ring(facet)) == 2 + (chords + 1) + 2 + 1
    outside = lone.ring(facet)[2 : 2 + chords + 1]
    assert all(math.dist(p, (35, -5)) == pytest.approx(5) for p in outside)
    steps = [math.dist(a, b) for a, b in itertools.pairwise(outside)]
    assert steps == pytest.approx([steps[0]] * chords)
