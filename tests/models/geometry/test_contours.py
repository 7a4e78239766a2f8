"""Contours: true arcs of the right radius, and names that a workshop would use."""

from __future__ import annotations

import itertools
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
from dryfit.models.geometry.outlines import Corner, Outline, box, d_shape, hexagon, polygon, round_, slot
from dryfit.models.geometry.points import Point
from tests.plain import about

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
        ("d", "d", "⌀12.9, flat 5.55 from axis"),
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


# --- curves ----------------------------------------------------------------------------------------------------------


def test_an_open_curve_ends_where_a_closed_one_returns() -> None:
    corners = ((0.0, 0.0, 0.0), (4.0, 0.0, 0.0), (4.0, 3.0, 0.0))
    closed, open_ = Curve(corners), Curve(corners, closed=False)
    assert [(tuple(a), tuple(b)) for a, b, _ in open_.segments()] == [((0, 0), (4, 0)), ((4, 0), (4, 3))]
    assert [(tuple(a), tuple(b)) for a, b, _ in closed.segments()][-1] == ((4, 3), (0, 0))
    assert len(list(closed.segments())) == 3
    assert polygon_of(open_) == ((0, 0), (4, 0), (4, 3))
    assert polygon_of(closed) == ((0, 0), (4, 0), (4, 3))


@pytest.mark.parametrize("name", SHAPES)
def test_moved_scaled_and_mirrored_contours_have_the_box_that_follows(name: str) -> None:
    outline = SHAPES[name].moved(3, 1)
    left, bottom, right, top = outline.box
    shape = contour(outline)
    assert shape.box == pytest.approx((left, bottom, right, top), abs=0.02)
    assert shape.moved(10, -20).box == pytest.approx((left + 10, bottom - 20, right + 10, top - 20), abs=0.02)
    assert shape.scaled(2).box == pytest.approx((2 * left, 2 * bottom, 2 * right, 2 * top), abs=0.03)
    assert shape.mirrored().box == pytest.approx((-right, bottom, -left, top), abs=0.02)


@pytest.mark.parametrize("turn", [0, 33, 90, 215])
def test_a_half_circle_bulges_to_the_right_of_its_way(turn: float) -> None:
    start, end = Point(1, 0).turned(turn), Point(-1, 0).turned(turn)
    centre, radius = arc_centre(start, end, 1.0)  # a quarter of 180 degrees has the tangent 1: anticlockwise
    assert centre == pytest.approx((0, 0), abs=1e-12)
    assert radius == pytest.approx(1)
    points = polygon_of(Curve(((*start, 1.0), (*end, 0.0))), 0.001)
    far = Point(0, 1).turned(turn)
    assert min(p.distance_to(far) for p in points) < 0.05
    assert all(p.length <= 1 + 1e-9 for p in points)


def test_a_clockwise_arc_runs_the_other_way() -> None:
    points = polygon_of(Curve(((1.0, 0.0, -1.0), (-1.0, 0.0, 0.0))), 0.001)
    assert min(y for _, y in points) == pytest.approx(-1, abs=0.01)
    assert max(y for _, y in points) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("facet", [0.1, 0.01])
def test_points_lie_on_the_arc_and_chords_stay_within_the_facet(facet: float) -> None:
    for points in (polygon_of(Circle(3, 4, 5), facet), polygon_of(Curve(((8.0, 4.0, 1.0), (-2.0, 4.0, 1.0))), facet)):
        assert all(math.dist(p, (3, 4)) == pytest.approx(5) for p in points)
        ring = [*points, points[0]]
        longest = max(math.dist(a, b) for a, b in itertools.pairwise(ring))
        sag = 5 - math.sqrt(25 - longest**2 / 4)
        assert facet / 2 < sag <= facet + 1e-9


def test_a_small_circle_has_twelve_points() -> None:
    assert len(polygon_of(Circle(0, 0, 0.01), 0.1)) == 12


def test_straight_corners_have_no_bulge_and_repeated_points_are_dropped() -> None:
    sharp, round_ended = contour(box(4, 2)), contour(slot(6, 2))
    assert isinstance(sharp, Curve)
    assert isinstance(round_ended, Curve)
    assert [b for _, _, b in sharp.vertices] == [0, 0, 0, 0]
    assert sharp.vertices[0] == (2, 1, 0)
    assert [round(b, 9) for _, _, b in round_ended.vertices] == [1, 0, 1, 0]
    full = contour(box(2, 4, 1))  # its short sides have no length left: two half circles of two arcs each
    assert isinstance(full, Curve)
    assert len(full.vertices) == 6
    assert sum(4 * math.atan(b) for _, _, b in full.vertices) == pytest.approx(2 * math.pi)


# --- names -----------------------------------------------------------------------------------------------------------


def test_only_upright_boxes_with_one_radius_are_called_boxes() -> None:
    assert shape_kind(box(8, 4).turned(90)) == "box"
    assert shape_kind(box(8, 4).turned(30)) == "polygon"
    mixed = Outline((box(8, 4, 1).corners[0], *box(8, 4, 0).corners[1:]))
    assert shape_kind(mixed) == "polygon"
    assert shape_kind(polygon(((0, 0), (6, 0), (4, 3), (1, 3)))) == "polygon"
    assert shape_kind(polygon(((0, 0), (6, 0), (4, 3)))) == "polygon"


def test_only_regular_sharp_hexagons_are_called_so() -> None:
    assert shape_kind(hexagon(8).turned(17).moved(3, 4)) == "hexagon"
    assert shape_kind(hexagon(8).grown(1)) == "polygon"
    long = polygon([(6, 0), (2, 3), (-2, 3), (-6, 0), (-2, -3), (2, -3)])
    assert shape_kind(long) == "polygon"
    pentagon = polygon([(math.cos(a), math.sin(a)) for a in (2 * math.pi * i / 5 for i in range(5))])
    assert shape_kind(pentagon) == "polygon"


def test_a_d_has_more_than_half_a_circle() -> None:
    assert shape_kind(d_shape(12.9, 12.0).turned(200)) == "d"
    assert shape_kind(polygon(((0, 0), (6, 0), (3, 5)), 1.0)) == "polygon"  # three arcs
    one = Outline((o_corner(3, 0, 0, -90, 30), o_corner(0, 2, 1, 30, 150), o_corner(-3, 0, 0, 150, 270)))
    assert shape_kind(one) == "polygon"  # a single arc of 120 degrees


def o_corner(x: float, y: float, radius: float, start: float, stop: float) -> Corner:
    return Corner(float(x), float(y), float(radius), float(start), float(stop))


@pytest.mark.parametrize(
    ("outline", "text"),
    [
        (slot(10.3, 6.8).turned(37).moved(4, 5), "10.3 × 6.8 slot"),
        (d_shape(12.9, 12.0).turned(90).moved(4, 5), "⌀12.9, flat 5.55 from axis"),
        (hexagon(8).turned(10).moved(4, 5), "8 A/F"),
        (polygon(((0, 0), (6, 0), (4, 3), (1, 3))), "6 × 3, 4 sides"),
        (polygon(((0, 0), (6, 0), (4, 3), (1, 3)), 0.5), "5.31 × 3 R0.5, 4 sides"),
    ],
)
def test_sizes_are_told_wherever_a_shape_stands(outline: Outline, text: str) -> None:
    assert describe(outline).endswith(text.rsplit(" × ", maxsplit=1)[-1])
    if " sides" not in text or "R" not in text:
        assert describe(outline) == text


def test_a_shape_turned_is_another_shape() -> None:
    assert shape_key(box(8, 4).turned(90)) == shape_key(box(4, 8))
    assert shape_key(box(8, 4).turned(90)) != shape_key(box(8, 4))
    assert shape_key(round_(5)) != shape_key(round_(5.001))
    assert shape_key(box(8, 4).turned(360.0 * 3)) == shape_key(box(8, 4))


# --- by hand --------------------------------------------------------------------------------------------

QUARTER = math.tan(math.pi / 8)
CURVE = Curve(((1.0, 2.0, 0.5), (4.0, 2.0, 0.0), (4.0, 6.0, -0.25)), closed=False)


def test_a_curve_is_moved_scaled_and_mirrored_vertex_by_vertex() -> None:
    assert CURVE.moved(10, 20) == Curve(((11, 22, 0.5), (14, 22, 0), (14, 26, -0.25)), closed=False)
    assert CURVE.scaled(3) == Curve(((3, 6, 0.5), (12, 6, 0), (12, 18, -0.25)), closed=False)
    assert CURVE.mirrored() == Curve(((-1, 2, -0.5), (-4, 2, 0), (-4, 6, 0.25)), closed=False)
    assert list(CURVE.segments()) == [(Point(1, 2), Point(4, 2), 0.5), (Point(4, 2), Point(4, 6), 0.0)]
    closed = Curve(CURVE.vertices)
    assert list(closed.segments())[2:] == [(Point(4, 6), Point(1, 2), -0.25)]
    assert closed.closed


def test_a_circle_is_moved_scaled_and_mirrored() -> None:
    one = Circle(1, 2, 5)
    assert one.box == (-4, -3, 6, 7)
    assert (one.moved(10, 20), one.scaled(3), one.mirrored()) == (Circle(11, 22, 5), Circle(3, 6, 15), Circle(-1, 2, 5))


@pytest.mark.parametrize(
    ("outline", "vertices"),
    [
        (box(4, 2), ((2, 1, 0), (-2, 1, 0), (-2, -1, 0), (2, -1, 0))),
        (box(10, 6, 1), (
            (5, 2, QUARTER), (4, 3, 0), (-4, 3, QUARTER), (-5, 2, 0), (-5, -2, QUARTER), (-4, -3, 0), (4, -3, QUARTER),
            (5, -2, 0),
        )),
        (slot(10, 4).moved(1, 2), ((4, 0, 1), (4, 4, 0), (-2, 4, 1), (-2, 0, 0))),
        # three quarters of a turn and more: 180 + 2 x 36.87 = 253.74 degrees; arc ends and corners are one
        (d_shape(10, 8), ((4, -3, math.tan(math.radians(180 + 2 * 36.869898) / 4)), (-4, -3, 0))),
    ],
)  # fmt: skip
def test_an_outline_becomes_these_vertices(outline: Outline, vertices: tuple[tuple[float, ...], ...]) -> None:
    shape = contour(outline)
    assert isinstance(shape, Curve)
    assert [pytest.approx(v, abs=1e-6) for v in vertices] == list(shape.vertices)
    assert shape.closed


def test_a_round_outline_becomes_a_circle_where_it_stands() -> None:
    assert contour(round_(24).moved(3, -2)) == Circle(3, -2, 12)


@pytest.mark.parametrize(
    ("start", "end", "bulge", "centre", "radius"),
    [
        ((5, 0), (0, 5), QUARTER, (0, 0), 5),
        ((5, 0), (0, 5), -QUARTER, (5, 5), 5),
        ((5, 0), (0, 5), math.tan(math.radians(270) / 4), (5, 5), 5),  # the long way round
        ((6, 2), (-4, 2), 1.0, (1, 2), 5),
    ],
)
def test_arcs_have_their_centre_by_hand(
    start: tuple[float, float], end: tuple[float, float], bulge: float, centre: tuple[float, float], radius: float
) -> None:
    found, r = arc_centre(Point(*start), Point(*end), bulge)
    assert (found, r) == (about(centre, 1e-9), about(radius))


@pytest.mark.parametrize(("facet", "chords"), [(1.47, 1), (1.46, 2), (0.39, 2), (0.38, 3), (9.0, 1)])
def test_a_quarter_arc_has_as_many_chords_as_its_facet_asks_for(facet: float, chords: int) -> None:
    # of a radius of 5: one chord strays 1.464, two 0.381, three 0.170
    points = polygon_of(Curve(((6.0, 2.0, QUARTER), (1.0, 7.0, 0.0)), closed=False), facet)
    angles = [90 * n / chords for n in range(chords + 1)]
    assert [tuple(p) for p in points] == [
        pytest.approx((1 + 5 * math.cos(math.radians(a)), 2 + 5 * math.sin(math.radians(a)))) for a in angles
    ]


def test_a_clockwise_quarter_has_its_points_on_the_other_side() -> None:
    points = polygon_of(Curve(((6.0, 2.0, -QUARTER), (1.0, 7.0, 0.0)), closed=False), 0.39)
    half = 5 * math.sqrt(0.5)
    assert points[1] == pytest.approx((6 - half, 7 - half))


@pytest.mark.parametrize(("facet", "count"), [(0.01, 50), (0.171, 12), (0.17, 13), (5.0, 12), (50.0, 12)])
def test_a_circle_has_as_many_points_as_its_facet_asks_for(facet: float, count: int) -> None:
    # of a radius of 5: n chords stray 5 (1 - cos (180 / n)): 12 stray 0.1704, 13 0.1453, 49 0.0103, 50 0.0099
    points = polygon_of(Circle(1, 2, 5), facet)
    assert len(points) == count
    assert points[0] == pytest.approx((6, 2))
    assert points[1] == pytest.approx((1 + 5 * math.cos(2 * math.pi / count), 2 + 5 * math.sin(2 * math.pi / count)))


RIGHT_TRAPEZE = polygon(((0, 0), (6, 0), (4, 3), (0, 3)))


@pytest.mark.parametrize(
    ("outline", "kind"),
    [
        (RIGHT_TRAPEZE, "polygon"),
        (RIGHT_TRAPEZE.turned(90), "polygon"),
        (box(8, 4).turned(45), "polygon"),
        (box(8, 4).turned(0.3).turned(-0.2).turned(-0.1), "box"),  # a rounding below a right angle
        (box(8, 4).turned(0.1).turned(0.2).turned(-0.3), "box"),
        (box(8, 4).turned(-90), "box"),
        (box(8, 4, 1).grown(0.5), "box"),
        (polygon(((0, 0), (6, 0), (6, 2), (3, 4), (0, 2))), "polygon"),
        (slot(10, 4).turned(20), "slot"),
        (d_shape(10, 8).grown(0.5), "d"),
        (d_shape(10, 8).mirrored(), "d"),
        (hexagon(8).grown(-0.5), "hexagon"),
    ],
)
def test_a_shape_is_called_so(outline: Outline, kind: str) -> None:
    assert shape_kind(outline) == kind


@pytest.mark.parametrize(
    ("outline", "text"),
    [
        (round_(24).moved(3, 1), "⌀24"),
        (box(26, 31, 3).moved(1, 1), "26 × 31 R3"),
        (box(26, 31).turned(90), "31 × 26"),
        (box(26, 31, 3).grown(0.25), "26.5 × 31.5 R3.25"),
        (polygon(((0, 0), (6, 0), (6, 3), (3, 5), (0, 3))), "6 × 5, 5 sides"),
        (Outline((box(8, 4, 1).corners[0], *box(8, 4).corners[1:])), "8 × 4 R1, 4 sides"),
        (d_shape(12.9, 12.0).turned(200).moved(5, 9), "⌀12.9, flat 5.55 from axis"),  # 12 - 12.9 / 2
        (hexagon(8).moved(4, 5), "8 A/F"),
        (slot(10.3, 6.8).moved(4, 5), "10.3 × 6.8 slot"),
    ],
)
def test_a_hole_chart_prints(outline: Outline, text: str) -> None:
    assert describe(outline) == text


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (12.495, "12.495"),
        (12.4951, "12.5"),
        (12.49500001, "12.495"),
        (12.494, "12.494"),
        (-3.175, "-3.175"),
        (2.0, "2"),
    ],
)
def test_a_dimension_has_a_third_decimal_where_it_is_meant(mm: float, text: str) -> None:
    assert dimension(mm) == text


def test_numbers_are_printed_to_as_many_decimals_as_asked_for() -> None:
    assert [number(1.23456), number(1.23456, 3), number(1.5), number(-0.5)] == ["1.23", "1.235", "1.5", "-0.5"]


def test_the_key_of_a_shape_by_hand() -> None:
    assert shape_key(round_(4).moved(7, -3)) == ((0, 0, 2, 0, 360),)
    assert shape_key(box(4, 2).moved(7, -3)) == (
        (-2, -1, 0, 180, 90), (-2, 1, 0, 90, 90), (2, -1, 0, 270, 90), (2, 1, 0, 0, 90),
    )  # fmt: skip
    assert shape_key(slot(10, 4)) == ((-3, 0, 2, 90, 180), (3, 0, 2, 270, 180))
    assert shape_key(round_(4)) == shape_key(round_(4.000001)) != shape_key(round_(4.0001))


@pytest.mark.parametrize(("apart", "kept"), [(5e-8, 4), (2e-7, 5)])
def test_vertices_nearer_than_rounding_are_one(apart: float, kept: int) -> None:
    corners = [Corner(*c) for c in box(4, 2).corners]
    near = corners[0]._replace(x=corners[0].x - apart)
    shape = contour(Outline((corners[0], near, *corners[1:])))
    assert isinstance(shape, Curve)
    assert len(shape.vertices) == kept
