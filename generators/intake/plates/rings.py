"""Lines and arcs joined to closed rings, and made plain: what a drawing cuts up is one line again, chords are one arc.

All lengths mm.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from dryfit.models.geometry.contours import Circle, Contour, Curve, Vertex, arc_centre, polygon_of
from dryfit.models.geometry.points import Point

JOINED = 0.02  # mm that ends may be apart and still meet: programs round to 0.001 mm or 0.0001 in, shops hold 0.05 mm
ON_ARC = 0.004  # mm that points may miss the arc they are chords of
LEAST_CHORDS = 5  # in a row that make an arc; polygons of fewer sides on a circle are meant as such
WIDEST_CHORD = 31.0  # degrees of arc under one chord: twelve to a circle; a hexagon has 60, an octagon 45
STRAIGHT = 1e-4  # radians that two lines may differ by and still be one
LEAST_BULGE = 1e-6  # below it an arc is a line

Segment = tuple[Point, Point, float]  # start, end, bulge


@dataclass(frozen=True)
class Rings:
    """Closed contours, circles first told as such, anticlockwise; and where lines end that close nothing."""

    closed: tuple[Contour, ...]
    loose: tuple[Point, ...] = ()


def rings(shapes: Iterable[Contour]) -> Rings:
    """Return what some shapes close, each contour once, and an end of every chain of lines that closes nothing."""
    closed: list[Contour] = []
    segments: list[Segment] = []
    for shape in shapes:
        if isinstance(shape, Circle):
            closed.append(shape)
        elif shape.closed:
            closed += _plain(list(shape.segments()))
        else:
            segments += shape.segments()
    loose: list[Point] = []
    for chain in _chains(_distinct(s for s in segments if s[0].distance_to(s[1]) > 0)):
        if chain[0][0].distance_to(chain[-1][1]) <= JOINED:
            closed += _plain(chain)
        else:
            loose.append(chain[0][0])
    return Rings(tuple(_once(closed)), tuple(loose))


def _distinct(segments: Iterable[Segment]) -> list[Segment]:
    """Return segments without those that are drawn over another, either way round."""
    found: dict[object, Segment] = {}
    for start, end, bulge in segments:
        there, back = (_key(start), _key(end), round(bulge, 4)), (_key(end), _key(start), round(-bulge, 4))
        if there not in found and back not in found:
            found[there] = (start, end, bulge)
    return list(found.values())


def _key(point: Point) -> tuple[int, int]:
    return round(point.x / JOINED), round(point.y / JOINED)


def _once(closed: Iterable[Contour]) -> Iterator[Contour]:
    """Yield contours without those that are drawn over another."""
    found: set[object] = set()
    for shape in closed:
        left, bottom, right, top = shape.box
        key = (*_key(Point(left, bottom)), *_key(Point(right, top)), isinstance(shape, Circle))
        if key not in found:
            found.add(key)
            yield shape


# --- chains --------------------------------------------------------------------------------------------------------


def _chains(segments: list[Segment]) -> Iterator[list[Segment]]:
    """Yield segments joined end to end; where more than two meet, a chain ends."""
    nodes = _nodes(segments)
    at: dict[int, list[int]] = defaultdict(list)
    for number, ends in enumerate(nodes):
        for node in ends:
            at[node].append(number)
    used: set[int] = set()
    starts = [n for n, ends in enumerate(nodes) if any(len(at[node]) != 2 for node in ends)]
    for first in (*starts, *range(len(segments))):
        if first not in used:
            yield _chain(first, segments, nodes, at, used)


def _chain(
    first: int, segments: list[Segment], nodes: Sequence[tuple[int, int]], at: dict[int, list[int]], used: set[int]
) -> list[Segment]:
    """Return the chain of a segment, from an end of it that nothing goes on from, if it has one."""
    start, end = nodes[first]
    turned = len(at[start]) == 2 and len(at[end]) != 2
    chain, here = [_reversed(segments[first]) if turned else segments[first]], start if turned else end
    used.add(first)
    while len(at[here]) == 2:
        following = [n for n in at[here] if n not in used]
        if not following:
            break
        (number,) = following
        ends = nodes[number]
        chain.append(segments[number] if ends[0] == here else _reversed(segments[number]))
        here = ends[1] if ends[0] == here else ends[0]
        used.add(number)
    return chain


def _reversed(segment: Segment) -> Segment:
    start, end, bulge = segment
    return end, start, -bulge


def _nodes(segments: list[Segment]) -> list[tuple[int, int]]:
    """Return the numbers of the points that each segment joins; ends within JOINED of each other are one point."""
    cells: dict[tuple[int, int], list[tuple[Point, int]]] = defaultdict(list)
    count = 0

    def node(point: Point) -> int:
        nonlocal count
        column, row = math.floor(point.x / JOINED), math.floor(point.y / JOINED)
        around = ((column + i, row + j) for i in (0, -1, 1) for j in (0, -1, 1))
        for other, number in (entry for cell in around for entry in cells.get(cell, ())):
            if point.distance_to(other) <= JOINED:
                return number
        cells[column, row].append((point, count))
        count += 1
        return count - 1

    return [(node(start), node(end)) for start, end, _ in segments]


# --- made plain ----------------------------------------------------------------------------------------------------


def _plain(segments: list[Segment]) -> list[Contour]:
    """Return a ring anticlockwise and made plain; nothing where it encloses nothing."""
    vertices = [(*start, bulge) for start, end, bulge in segments if start.distance_to(end) > JOINED / 100]
    if not vertices:
        return []
    ring = _anticlockwise(Curve(tuple(vertices)))
    if ring is None:
        return []
    merged = _merged(_with_arcs(list(ring.vertices)))
    circle = _circle(merged)
    return [circle] if circle is not None else [Curve(tuple(merged))] if len(merged) > 1 else []


def holds(outer: Contour, inner: Contour) -> bool:
    """Whether a ring lies in another: its middle does, as the corner of a slot may reach over a round corner."""
    if not outer.box.holds(inner.box):
        return False
    x, y = inner.box.centre
    if isinstance(outer, Circle):
        return math.dist((x, y), (outer.x, outer.y)) < outer.radius
    corners = polygon_of(outer)
    crossed = False
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (a.y > y) != (b.y > y) and x < a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x):
            crossed = not crossed
    return crossed


def area_of(ring: Contour) -> float:
    """Return the area in a closed contour, mm2, below zero where it runs clockwise."""
    if isinstance(ring, Circle):
        return math.pi * ring.radius**2
    total = 0.0
    for start, end, bulge in ring.segments():
        total += (start.x * end.y - end.x * start.y) / 2
        if abs(bulge) > LEAST_BULGE:
            sweep, radius = 4 * math.atan(bulge), arc_centre(start, end, bulge)[1]
            total += radius * radius * (sweep - math.sin(sweep)) / 2
    return total


def _anticlockwise(ring: Curve) -> Curve | None:
    area = area_of(ring)
    if abs(area) < JOINED * JOINED:
        return None
    if area > 0:
        return ring
    segments = [_reversed(segment) for segment in reversed(list(ring.segments()))]
    return Curve(tuple((*start, bulge) for start, _, bulge in segments))


def _with_arcs(vertices: list[Vertex]) -> list[Vertex]:
    """Return a ring whose rows of chords are arcs again."""
    count = len(vertices)
    if count < LEAST_CHORDS:
        return vertices
    begin = _a_corner(vertices)
    ring = [*vertices[begin:], *vertices[:begin]]
    closed = [*ring, ring[0]]
    made: list[Vertex] = []
    n = 0
    while n < count:
        stop = _arc_to(closed, n)
        if stop - n >= LEAST_CHORDS:
            made += _as_arcs(closed[n : stop + 1])
            n = stop
        else:
            made.append(closed[n])
            n += 1
    return made


def _a_corner(vertices: list[Vertex]) -> int:
    """Return a vertex that no row of chords runs through: after the longest segment."""
    count = len(vertices)
    lengths = [math.dist(vertices[n - 1][:2], vertices[n][:2]) for n in range(count)]
    return max(range(count), key=lambda n: (vertices[n - 1][2] != 0, lengths[n]))


def _arc_to(ring: list[Vertex], first: int) -> int:
    """Return how far the chords from a vertex on lie on one arc."""
    last = len(ring) - 1
    reach, step = first + 1, 1
    if first + LEAST_CHORDS > last or not _is_arc(ring[first : first + LEAST_CHORDS + 1]):
        return reach
    reach, step = first + LEAST_CHORDS, LEAST_CHORDS
    while step:
        while reach + step <= last and _is_arc(ring[first : reach + step + 1]):
            reach += step
            step *= 2
        step //= 2
    return reach


def _is_arc(run: Sequence[Vertex]) -> bool:
    """Whether vertices are chords of one arc, all turning the same way."""
    if any(abs(bulge) > LEAST_BULGE for _, _, bulge in run[:-1]):
        return False
    found = _circle_through(run)
    if found is None:
        return False
    centre, radius = found
    if any(abs(centre.distance_to(p[:2]) - radius) > ON_ARC for p in run):
        return False
    turns = [_between(centre, a, b) for a, b in itertools.pairwise(run)]
    widest = math.radians(WIDEST_CHORD)
    return all(0 < t < widest for t in turns) or all(-widest < t < 0 for t in turns)


def _between(centre: Point, a: Vertex, b: Vertex) -> float:
    """Return the angle from one point to another about a centre, radians, the shorter way."""
    (ax, ay), (bx, by) = Point(*a[:2]) - centre, Point(*b[:2]) - centre
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


def _circle_through(run: Sequence[Vertex]) -> tuple[Point, float] | None:
    """Return the circle through three points of a run that stand well apart."""
    third = (len(run) - 1) // 3
    a, b, c = (Point(*run[n][:2]) for n in (0, third, 2 * third))
    (bx, by), (cx, cy) = b - a, c - a
    twice = 2 * (bx * cy - by * cx)
    if abs(twice) < ON_ARC * ON_ARC:
        return None
    bb, cc = bx * bx + by * by, cx * cx + cy * cy
    off = Point((cy * bb - by * cc) / twice, (bx * cc - cx * bb) / twice)
    return a + off, off.length


def _as_arcs(run: Sequence[Vertex]) -> Iterator[Vertex]:
    """Yield the vertices of a run as two arcs, so that a whole circle has its ends apart."""
    found = _circle_through(run)
    assert found is not None  # it is an arc
    middle = len(run) // 2
    for part in (run[: middle + 1], run[middle:]):
        sweep = sum(_between(found[0], a, b) for a, b in itertools.pairwise(part))
        yield (*part[0][:2], math.tan(sweep / 4))


def _merged(vertices: list[Vertex]) -> list[Vertex]:
    """Return a ring whose lines and arcs that go on from each other are one."""
    ring = list(vertices)
    n = 0
    while len(ring) > 2 and n < len(ring):
        before, here, after = ring[n - 1], ring[n], ring[(n + 1) % len(ring)]
        bulge = _as_one(before, here, after)
        if bulge is None:
            n += 1
        else:
            ring[n - 1] = (*before[:2], bulge)
            del ring[n]
            n = max(0, n - 1)
    return ring


def _as_one(before: Vertex, here: Vertex, after: Vertex) -> float | None:
    """Return the bulge of two segments made one; None where they are not one line or one arc."""
    a, b, c = (Point(*v[:2]) for v in (before, here, after))
    if abs(before[2]) <= LEAST_BULGE and abs(here[2]) <= LEAST_BULGE:
        into, out = b - a, c - b
        turn = math.atan2(into.x * out.y - into.y * out.x, into.x * out.x + into.y * out.y)
        return 0.0 if abs(turn) < STRAIGHT else None
    if before[2] * here[2] <= 0 or min(abs(before[2]), abs(here[2])) <= LEAST_BULGE:
        return None
    (one, r), (other, s) = arc_centre(a, b, before[2]), arc_centre(b, c, here[2])
    sweep = 4 * math.atan(before[2]) + 4 * math.atan(here[2])
    if one.distance_to(other) > ON_ARC or abs(r - s) > ON_ARC or abs(sweep) > 1.9 * math.pi:
        return None
    return math.tan(sweep / 4)


def _circle(vertices: Sequence[Vertex]) -> Circle | None:
    """Return the circle that a ring of arcs is, if it is one."""
    ring = Curve(tuple(vertices))
    if len(vertices) < 2 or any(abs(bulge) <= LEAST_BULGE for *_, bulge in vertices):
        return None
    found = [arc_centre(*segment) for segment in ring.segments()]
    whole = sum(4 * math.atan(bulge) for *_, bulge in vertices)
    (centre, radius), *others = found
    alike = all(centre.distance_to(c) <= ON_ARC and abs(radius - r) <= ON_ARC for c, r in others)
    if not alike or abs(whole - 2 * math.pi) > STRAIGHT * len(vertices) * 10:
        return None
    return Circle(*_widest_arc(found, vertices), radius)


def _widest_arc(found: Sequence[tuple[Point, float]], vertices: Sequence[Vertex]) -> Point:
    return max(zip(found, vertices, strict=True), key=lambda pair: abs(pair[1][2]))[0][0]
