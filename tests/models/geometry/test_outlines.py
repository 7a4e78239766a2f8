"""Outlines: sizes against closed forms, gaps and clearances against sampling and against known cases."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.models.geometry import outlines as o
from dryfit.models.geometry.outlines import Outline, clearance, gap

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
