"""Rings as outlines: circles, slots, boxes, D-holes and convex polygons, with the sizes they were drawn with."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from dryfit.generators.intake.plates.rings import LEAST_BULGE
from dryfit.models.geometry.contours import Circle, Contour, Curve, arc_centre, flat_from_axis, polygon_of
from dryfit.models.geometry.outlines import Corner, Outline, box, d_shape, polygon, round_, slot
from dryfit.models.geometry.points import Point

COARSE = 0.05  # mm that the hull of a curve may stray from it
MOST_CORNERS = 60  # of a hull; a layout's polygon has 64 at most
IN_LINE = 1e-6  # mm2, of a corner that is none
TANGENT = 0.6  # degrees that the ways into and out of a point may differ by and still go on smoothly
SAME_SIZE = 0.006  # mm within which a shape is the plain one: its corners alike, its sides parallel
SAME_ANGLE = 0.06  # degrees, likewise
HALF_TURN, WHOLE_TURN = 180.0, 360.0


def outline_of(ring: Contour) -> Outline | None:
    """Return a closed contour (anticlockwise) as an outline; None where it is of no shape that a layout can say."""
    if isinstance(ring, Circle):
        return round_(2 * ring.radius).moved(ring.x, ring.y)
    corners = tuple(_corners(ring))
    if None in corners or abs(sum(c.stop - c.start for c in corners if c) - WHOLE_TURN) > len(corners) * TANGENT:
        return None
    found = Outline(tuple(c for c in corners if c is not None))
    return next((plain for make in PLAIN if (plain := make(found)) is not None), None)


def _corners(ring: Curve) -> Iterator[Corner | None]:
    """Yield the corners of a ring, those of arcs and those between segments; None for one that turns inwards."""
    segments = list(ring.segments())
    normals = [_normals(*segment) for segment in segments]
    for n, (start, _end, bulge) in enumerate(segments):
        into, (first, last) = normals[n - 1][1], normals[n]
        turn = (first - into + HALF_TURN) % WHOLE_TURN - HALF_TURN
        if turn <= -TANGENT:
            yield None
        if turn >= TANGENT:
            yield Corner(*start, 0.0, into, into + turn)
        if bulge < -LEAST_BULGE:
            yield None
        if bulge > LEAST_BULGE:
            centre, radius = arc_centre(start, _end, bulge)
            yield Corner(*centre, radius, first, last)


def _normals(start: Point, end: Point, bulge: float) -> tuple[float, float]:
    """Return the directions (degrees) that look outwards at both ends of a segment."""
    chord, half = (end - start).direction - 90.0, math.degrees(2 * math.atan(bulge))
    return chord - half, chord + half


def hull(ring: Contour) -> Outline:
    """Return the convex outline about a contour, of few enough corners to be written."""
    facet = COARSE
    while len(corners := _hull(polygon_of(ring, facet))) > MOST_CORNERS:
        facet *= 2
    return polygon(corners)


def _hull(points: Sequence[Point]) -> list[Point]:
    """Return the corners of the convex hull, anticlockwise (Andrew's monotone chain)."""
    ring: list[Point] = []
    for run in (sorted(set(points)), sorted(set(points), reverse=True)):
        half: list[Point] = []
        for point in run:
            while len(half) > 1 and _turn(half[-2], half[-1], point) <= IN_LINE:
                half.pop()
            half.append(point)
        ring += half[:-1]
    return ring


def _turn(a: Point, b: Point, c: Point) -> float:
    """Return twice the area of a triangle, above zero where it turns anticlockwise."""
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)


# --- plain shapes ----------------------------------------------------------------------------------------------------


def _slot(found: Outline) -> Outline | None:
    arcs = found.corners
    if len(arcs) != 2 or not _alike([c.radius for c in arcs]) or any(abs(c.stop - c.start - 180) > 1 for c in arcs):
        return None
    a, b = (c.centre for c in arcs)
    width = arcs[0].radius + arcs[1].radius
    whole = slot(a.distance_to(b) + width, width)
    return whole.turned(_upright((b - a).direction, HALF_TURN)).moved(*((a + b) * 0.5))


def _box(found: Outline) -> Outline | None:
    corners = found.corners
    if len(corners) != 4 or any(abs(c.stop - c.start - 90) > SAME_ANGLE * 10 for c in corners):
        return None
    if not _alike([c.radius for c in corners]):
        return None
    radius = sum(c.radius for c in corners) / 4
    a, b, c, d = (corner.centre for corner in corners)
    turn = _upright(min((b - a).direction, (c - b).direction, key=_off_axis), 90.0)
    span = Outline(tuple(corner.turned(-turn) for corner in corners)).size
    whole = box(*span, min(radius, min(span) / 2)).turned(turn).moved(*((a + b + c + d) * 0.25))
    return whole if _close(whole, found) else None


def _d(found: Outline) -> Outline | None:
    if not found.is_d:
        return None
    (arc,) = (c for c in found.corners if c.is_round)
    turn = _upright(arc.middle - 90.0, WHOLE_TURN)
    return d_shape(2 * arc.radius, arc.radius + flat_from_axis(found)).turned(turn).moved(*arc.centre)


def _polygon(found: Outline) -> Outline | None:
    if len(found.corners) < 3 or not _alike([c.radius for c in found.corners]):
        return None
    if any(c.stop - c.start > 150 for c in found.corners):
        return None
    try:
        whole = polygon([tip(c) for c in found.corners], sum(c.radius for c in found.corners) / len(found.corners))
    except ValueError:
        return None
    return whole if _close(whole, found) else None


PLAIN: tuple[Callable[[Outline], Outline | None], ...] = (_slot, _box, _d, _polygon)


def tip(corner: Corner) -> Point:
    """Return where the sides of a corner would meet if it were not rounded; the centre of what turns half about."""
    half = (corner.stop - corner.start) / 2
    if half >= 80:
        return corner.centre
    return corner.sharp


def middle(outline: Outline) -> Point:
    """Return the axis of a D, else the middle of the corners: it stays where it is in a shape that is turned."""
    if outline.is_d:
        return next(corner.centre for corner in outline.corners if corner.is_round)
    tips = [tip(corner) for corner in outline.corners]
    return Point(sum(p.x for p in tips) / len(tips), sum(p.y for p in tips) / len(tips))


def _alike(values: list[float]) -> bool:
    return max(values) - min(values) <= 2 * SAME_SIZE


def _close(one: Outline, other: Outline) -> bool:
    """Whether two outlines have their corners at the same points, whichever comes first."""
    theirs = [tip(c) for c in other.corners]
    return all(min(tip(c).distance_to(p) for p in theirs) <= SAME_SIZE for c in one.corners)


def _off_axis(degrees: float) -> float:
    return abs((degrees + 45.0) % 90.0 - 45.0)


def _upright(degrees: float, period: float) -> float:
    """Return an angle within half a period of zero, right angles exact."""
    angle = (degrees + period / 2) % period - period / 2
    right = round(angle / 90.0) * 90.0
    return right if abs(angle - right) < SAME_ANGLE / 3 else angle
