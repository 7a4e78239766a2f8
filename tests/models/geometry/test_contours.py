"""Contours: true arcs of the right radius, and names that a workshop would use."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.models.geometry.contours import (
    Circle,
    Curve,
    arc_centre,
    contour,
    describe,
    dimension,
    number,
    polygon_of,
    shape_key,
    shape_kind,
)
from dryfit.models.geometry.outlines import Outline, box, d_shape, hexagon, polygon, round_, slot
from dryfit.models.geometry.points import Point

SHAPES = {
    "round": round_(24),
    "slot": slot(10.3, 6.8),
    "box": box(26, 31, 3),
    "sharp box": box(20, 10),
    "d": d_shape(12.9, 12.0),
    "hexagon": hexagon(8),
    "polygon": polygon(((-10.3, 5.5), (10.3, 5.5), (8.4, -5.5), (-8.4, -5.5)), 1.5),
}
outlines = st.sampled_from(list(SHAPES.values()))


def _area(points: tuple[tuple[float, float], ...]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2


@given(outlines, st.floats(-180, 180), st.floats(-500, 500), st.floats(-500, 500))
def test_a_contour_encloses_the_area_of_its_outline(outline: Outline, turn: float, x: float, y: float) -> None:
    """Chords within 0.001 mm of the arcs: the area is that of the outline to perimeter times a thousandth."""
    here = outline.turned(turn).moved(x, y)
    assert _area(polygon_of(contour(here), 0.001)) == pytest.approx(here.area, abs=0.001 * here.perimeter)


@given(outlines)
def test_mirroring_keeps_the_area_and_turns_the_sense(outline: Outline) -> None:
    shape = contour(outline)
    seen = _area(polygon_of(shape.mirrored(), 0.001))
    assert abs(seen) == pytest.approx(outline.area, abs=0.001 * outline.perimeter)
    assert seen < 0 or isinstance(shape, Circle)


@given(st.floats(0.05, 50), st.floats(0, 6.28), st.floats(0.01, 6.2))
def test_the_arc_of_a_bulge_has_its_centre_and_radius(radius: float, start: float, sweep: float) -> None:
    ends = [Point(radius * math.cos(a), radius * math.sin(a)) for a in (start, start + sweep)]
    centre, found = arc_centre(ends[0], ends[1], math.tan(sweep / 4))
    assert found == pytest.approx(radius, rel=1e-6)
    assert centre == pytest.approx((0, 0), abs=1e-6 * radius)


@pytest.mark.parametrize(
    ("name", "kind", "text"),
    [
        ("round", "round", "⌀24"),
        ("slot", "slot", "10.3 × 6.8 slot"),
        ("box", "box", "26 × 31 R3"),
        ("sharp box", "box", "20 × 10"),
        ("d", "d", "⌀12.9, flat 12"),
        ("hexagon", "hexagon", "8 A/F"),
    ],
)
def test_shapes_have_the_names_of_the_trade(name: str, kind: str, text: str) -> None:
    assert shape_kind(SHAPES[name]) == kind
    assert describe(SHAPES[name]) == text


@pytest.mark.parametrize("name", SHAPES)
def test_a_shape_is_known_again_elsewhere(name: str) -> None:
    assert shape_key(SHAPES[name].moved(123.4, -56.7)) == shape_key(SHAPES[name])
    assert shape_key(SHAPES[name].grown(0.1)) != shape_key(SHAPES[name])


def test_each_contour_is_one_closed_curve_or_circle() -> None:
    for outline in SHAPES.values():
        shape = contour(outline)
        assert isinstance(shape, Circle) == outline.is_circle
        if isinstance(shape, Curve):
            assert shape.closed
            assert all(math.dist(a, b) > 0 for a, b, _ in shape.segments())


def test_dimensions_print_a_third_decimal_only_where_it_is_exact() -> None:
    assert [dimension(v) for v in (3.175, 12.495, 24.0, 2 / 3)] == ["3.175", "12.495", "24", "0.67"]
    assert number(-0.001) == "0"
