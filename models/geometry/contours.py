"""Contours: outlines as closed curves of straight lines and true arcs, as cutting machines and drawings want them.

A vertex carries the bulge of the segment that follows it: the tangent of a quarter of the arc's angle, positive
anticlockwise, 0 for a straight line (the convention of DXF polylines). All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from dryfit.models.geometry.once import kept
from dryfit.models.geometry.outlines import Corner, Outline
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.units import format_mm

Vertex = tuple[float, float, float]

SAME_POINT = 1e-7  # mm; arc ends are computed twice, by two corners, and may differ by rounding
SAME_SHAPE = 5  # decimals of a mm within which two outlines are one shape to a workshop
EXACT = 1e-4  # thousandths of a mm a value may miss a whole one by and still be meant as it
RIGHT_ANGLE = 1e-6  # degrees a computed angle may miss a right angle by

ShapeKind = Literal["round", "slot", "box", "d", "hexagon", "polygon"]


@dataclass(frozen=True)
class Curve:
    """A chain of lines and arcs, closed or open."""

    vertices: tuple[Vertex, ...]
    closed: bool = True

    def moved(self, dx: float, dy: float) -> Curve:
        """Return the curve shifted by (dx, dy)."""
        return replace(self, vertices=tuple((x + dx, y + dy, b) for x, y, b in self.vertices))

    def scaled(self, by: float) -> Curve:
        """Return the curve scaled about the origin; bulges stay as they are."""
        return replace(self, vertices=tuple((x * by, y * by, b) for x, y, b in self.vertices))

    def mirrored(self) -> Curve:
        """Return the curve mirrored left to right."""
        return replace(self, vertices=tuple((-x, y, -b) for x, y, b in self.vertices))

    def segments(self) -> Iterator[tuple[Point, Point, float]]:
        """Yield start, end and bulge of every segment."""
        following = self.vertices[1:] + self.vertices[:1] if self.closed else self.vertices[1:]
        for (x0, y0, bulge), (x1, y1, _) in zip(self.vertices, following, strict=False):
            yield Point(x0, y0), Point(x1, y1), bulge

    @kept
    def box(self) -> Rectangle:
        """The bounding box, to a hundredth of a mm."""
        return Rectangle.around_points(polygon_of(self))


@dataclass(frozen=True)
class Circle:
    """A whole circle."""

    x: float
    y: float
    radius: float

    @property
    def box(self) -> Rectangle:
        """The bounding box."""
        return Rectangle(self.x - self.radius, self.y - self.radius, self.x + self.radius, self.y + self.radius)

    def moved(self, dx: float, dy: float) -> Circle:
        """Return the circle shifted by (dx, dy)."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def scaled(self, by: float) -> Circle:
        """Return the circle scaled about the origin."""
        return Circle(self.x * by, self.y * by, self.radius * by)

    def mirrored(self) -> Circle:
        """Return the circle mirrored left to right."""
        return replace(self, x=-self.x)


Contour = Curve | Circle


def contour(outline: Outline) -> Contour:
    """Return an outline as one circle or one closed curve with true arcs."""
    if outline.is_circle:
        (c,) = outline.corners
        return Circle(c.x, c.y, c.radius)
    vertices = [v for c in outline.corners for v in _vertices(c)]
    return Curve(tuple(_without_repeats(vertices)))


def _vertices(c: Corner) -> Iterator[Vertex]:
    if not c.is_round:
        yield (c.x, c.y, 0.0)
        return
    start, stop = c.ends
    yield (*start, math.tan((math.radians(c.stop) - math.radians(c.start)) / 4))
    yield (*stop, 0.0)


def _without_repeats(vertices: list[Vertex]) -> Iterator[Vertex]:
    """Drop every vertex that only repeats the next one; a bulge is never lost, as no arc has its ends together."""
    for here, after in zip(vertices, vertices[1:] + vertices[:1], strict=True):
        if math.dist(here[:2], after[:2]) > SAME_POINT:
            yield here


def arc_centre(start: Point, end: Point, bulge: float) -> tuple[Point, float]:
    """Return centre and radius of the arc that a bulge (not zero) makes of a segment."""
    (x0, y0), (x1, y1) = start, end
    offset = (1 / bulge - bulge) / 4  # distance of the centre from the chord, in chords, to the left
    centre = Point((x0 + x1) / 2 - (y1 - y0) * offset, (y0 + y1) / 2 + (x1 - x0) * offset)
    return centre, start.distance_to(end) * (1 + bulge * bulge) / 4 / abs(bulge)


def polygon_of(shape: Contour, facet: float = 0.01) -> tuple[Point, ...]:
    """Return a contour as points whose chords stay within ``facet`` mm of it."""
    if isinstance(shape, Circle):
        count = max(12, math.ceil(math.pi / math.acos(max(-1.0, 1 - min(facet / shape.radius, 1.0)))))
        angles = (2 * math.pi * i / count for i in range(count))
        return tuple(Point(shape.x + shape.radius * math.cos(a), shape.y + shape.radius * math.sin(a)) for a in angles)
    points = [p for start, end, bulge in shape.segments() for p in _chords(start, end, bulge, facet)]
    if not shape.closed:
        points.append(Point(*shape.vertices[-1][:2]))
    return tuple(points)


def _chords(start: Point, end: Point, bulge: float, facet: float) -> Iterator[Point]:
    yield start
    if bulge == 0:
        return
    (cx, cy), radius = arc_centre(start, end, bulge)
    sweep = 4 * math.atan(bulge)
    half = math.acos(max(-1.0, 1 - min(facet / radius, 1.0)))
    count = max(1, math.ceil(abs(sweep) / (2 * half)))
    first = math.atan2(start.y - cy, start.x - cx)
    for i in range(1, count):
        angle = first + sweep * i / count
        yield Point(cx + radius * math.cos(angle), cy + radius * math.sin(angle))


# --- what a shape is called ---------------------------------------------------------------------------------------


def shape_kind(outline: Outline) -> ShapeKind:
    """Return what a workshop calls the shape; anything without a name of its own is a polygon."""
    corners, arcs = outline.corners, [c for c in outline.corners if c.is_round]
    if outline.is_circle:
        return "round"
    if len(corners) == 2:
        return "slot"
    if outline.is_d:
        return "d"
    square = all(
        abs(c.stop - c.start - 90) < RIGHT_ANGLE and (c.start + RIGHT_ANGLE) % 90 < 2 * RIGHT_ANGLE for c in corners
    )
    if len(corners) == 4 and square and len({round(c.radius, SAME_SHAPE) for c in corners}) == 1:
        return "box"
    regular = {round(c.centre.distance_to(outline.centre), SAME_SHAPE) for c in corners}
    return "hexagon" if len(corners) == 6 and not arcs and len(regular) == 1 else "polygon"


def number(mm: float, digits: int = 2) -> str:
    """Return a length as drawings print it: no unit, no trailing zeros."""
    return format_mm(mm, digits).removesuffix(" mm")


def dimension(mm: float) -> str:
    """Return a length as dimensions print it: a third decimal only where it says something exactly (12.495)."""
    return number(mm, 3 if abs(mm * 1000 - round(mm * 1000)) < EXACT else 2)


def describe(outline: Outline, write: Callable[[float], str] = dimension) -> str:
    """Return the size of a shape as a hole chart prints it, its lengths written by a function of mm."""
    width, height = (write(v) for v in outline.size)
    kind, radius = shape_kind(outline), max(c.radius for c in outline.corners)
    if kind == "round":
        return f"⌀{write(2 * radius)}"
    if kind == "slot":
        a, b = outline.corners
        return f"{write(a.centre.distance_to(b.centre) + 2 * radius)} × {write(2 * radius)} slot"
    if kind == "d":
        return f"⌀{write(2 * radius)}, flat {write(flat_from_axis(outline))} from axis"
    if kind == "hexagon":
        return f"{write(math.sqrt(3) * outline.centre.distance_to(outline.corners[0].centre))} A/F"
    corner = f" R{write(radius)}" if radius > 0 else ""
    return f"{width} × {height}{corner}" + (f", {len(outline.corners)} sides" if kind == "polygon" else "")


def flat_from_axis(outline: Outline) -> float:
    """Return how far the flat of a D lies from the axis of its arc."""
    (arc,) = (c for c in outline.corners if c.is_round)
    ends = [c for c in outline.corners if not c.is_round]
    return arc.centre.distance_to(Rectangle.around_points(c.centre for c in ends).centre)


def shape_key(outline: Outline) -> tuple[tuple[float, ...], ...]:
    """Return what tells one shape from another wherever it stands; the same for equal shapes."""
    x, y = outline.centre
    corners = [(c.x - x, c.y - y, c.radius, c.start % 360, c.stop - c.start) for c in outline.corners]
    return tuple(sorted(tuple(round(v, SAME_SHAPE) + 0.0 for v in corner) for corner in corners))
