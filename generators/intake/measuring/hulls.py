"""Hulls: the smallest convex outline around points of a section, its arcs true where the solid's walls are round.

Points come from a mesh, whose corners lie on the true surface; the walls tell which of them lie on one circle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from dryfit.generators.intake.measuring.turned import Numbers
from dryfit.models.geometry.outlines import WHOLE_TURN, Corner, Outline
from dryfit.models.geometry.points import Point

ON_WALL = 2e-5  # mm by which a corner of the mesh may miss the wall that it lies on: rounding of files and of turning
IN_LINE = 1e-5  # mm by which a corner may stand out of a straight edge by rounding
WIDEST_STEP = 0.27  # radians between neighbouring corners of a mesh on one wall; the child meshes a little finer
FINE = 0.0005  # mm between an outline and the polygon that it is compared by
NO_CORNER = 0.02  # degrees by which an edge may miss the tangent of an arc and still run into it


class Wall(NamedTuple):
    """A circle that the side of a solid runs along, seen from the front, mm; ``whole`` if it goes all the way round."""

    x: float
    y: float
    radius: float
    whole: bool = False

    def holds(self, points: Numbers) -> Numbers:
        """Return how far points (n, 2) lie off the circle."""
        off: Numbers = np.abs(np.hypot(points[:, 0] - self.x, points[:, 1] - self.y) - self.radius)
        return off

    def angle(self, point: Point) -> float:
        """Return the direction of a point from the centre, degrees."""
        return math.degrees(math.atan2(point.y - self.y, point.x - self.x))


class _Piece(NamedTuple):
    """One run of the outline: a straight edge, or an arc along a wall."""

    start: Point
    end: Point
    wall: Wall | None

    @property
    def normals(self) -> tuple[float, float]:
        """The ways it faces where it starts and where it ends, degrees."""
        if self.wall is None:
            way = (self.end - self.start).direction - 90.0
            return way, way
        first, last = self.wall.angle(self.start), self.wall.angle(self.end)
        return first, first + (last - first) % WHOLE_TURN


@lru_cache(maxsize=1024)
def _sides(outline: Outline) -> tuple[Numbers, Numbers]:
    """Return a polygon about an outline: where its sides start (n, 2), and the unit vectors out of them (n, 2)."""
    ring = np.array(outline.path(FINE, outside=True))
    ways = np.roll(ring, -1, axis=0) - ring
    long = np.hypot(*ways.T)
    plain = long > IN_LINE  # where an arc begins at a corner, the two are one point but for rounding
    ways = ways[plain] / long[plain][:, None]
    return ring[plain], np.column_stack([ways[:, 1], -ways[:, 0]])


def outside(points: Numbers, outline: Outline) -> Numbers:
    """Return how far points (n, 2) lie out of an outline, over the side that they are furthest out of, mm."""
    far = np.full(len(points), -np.inf)
    for (x, y), (across, up) in zip(*_sides(outline), strict=True):
        far = np.maximum(far, (points[:, 0] - x) * across + (points[:, 1] - y) * up)
    return far


def stands_out(inner: Outline, outer: Outline) -> float:
    """Return how far one outline stands out of another, mm; below zero, what air is left about it."""
    return float(outside(np.array(inner.path(FINE, outside=False)), outer).max())


def hull(points: Numbers, walls: Sequence[Wall], facet: float) -> Outline | None:
    """Return the outline around points (n, 2), or None where they enclose nothing."""
    ring = ring_of(points)
    whole = [wall for wall in walls if wall.whole]
    if len(ring) >= 3 and whole and (met := _tangents(ring, _walls_of_edges(ring, walls, facet), whole)):
        ring = ring_of(np.vstack([ring, met]))
    if len(ring) < 3:
        return None
    on = _walls_of_edges(ring, walls, facet)
    return _outline(_pieces([Point(*map(float, p)) for p in ring], on))


def ring_of(points: Numbers) -> Numbers:
    """Return the corners of the hull, anticlockwise, without those in line with their neighbours."""
    from scipy.spatial import ConvexHull, QhullError

    distinct = np.unique(points.round(8), axis=0)
    if len(distinct) < 3:
        return distinct[:0]
    try:
        ring: Numbers = distinct[ConvexHull(distinct).vertices]
    except QhullError:  # all in one line
        return distinct[:0]
    while len(ring) > 3:
        before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
        way = after - before
        off = np.abs(way[:, 0] * (ring - before)[:, 1] - way[:, 1] * (ring - before)[:, 0])
        dull = off < IN_LINE * np.hypot(way[:, 0], way[:, 1])
        dull &= ~np.roll(dull, 1)  # one of two neighbours at a time: both may be ends of the same edge
        if dull.all() or not dull.any():
            break
        ring = ring[~dull]
    return ring


def _walls_of_edges(ring: Numbers, walls: Sequence[Wall], facet: float) -> list[Wall | None]:
    """Return of every edge the wall that it is a chord of: its ends lie on that, its arc hardly stands out."""
    chords = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    found: list[Wall | None] = [None] * len(ring)
    for wall in walls:
        on = wall.holds(ring) < ON_WALL
        half = np.arcsin(np.minimum(chords / 2 / wall.radius, 1.0))
        fine = (2 * half <= WIDEST_STEP) & (wall.radius * (1 - np.cos(half)) <= 2 * facet)
        for number in np.flatnonzero(on & np.roll(on, -1) & fine):
            found[number] = found[number] or wall
    return found


def _tangents(ring: Numbers, on: list[Wall | None], whole: list[Wall]) -> list[Point]:
    """Return where straight edges that meet whole circles truly touch them: between the corners of the mesh."""
    met = []
    for number, wall in enumerate(on):
        if wall is None:
            start, end = (_circle_at(ring[n % len(ring)], whole) for n in (number, number + 1))
            if start.radius or end.radius:
                met += _touching(start, end)
    return met


def _circle_at(corner: Numbers, whole: list[Wall]) -> Wall:
    """Return the whole circle that a corner lies on; the corner itself as one without a radius if it lies on none."""
    held = (wall for wall in whole if wall.holds(corner[None, :])[0] < ON_WALL)
    return next(held, Wall(float(corner[0]), float(corner[1]), 0.0))


def _touching(one: Wall, other: Wall) -> list[Point]:
    """Return the two points where a line touches circles that both lie to its left."""
    way = Point(other.x - one.x, other.y - one.y)
    if way.length <= abs(one.radius - other.radius):
        return []
    along = (one.radius - other.radius) / way.length
    unit = way * (1 / way.length)
    normal = unit * along + Point(unit.y, -unit.x) * math.sqrt(1 - along * along)
    return [Point(wall.x, wall.y) + normal * wall.radius for wall in (one, other)]


def _pieces(ring: list[Point], on: list[Wall | None]) -> list[_Piece]:
    """Return the runs of a ring: each straight edge, and edges along one wall together."""
    count = len(ring)
    starts = [n for n in range(count) if on[n] is None or on[n] != on[n - 1]]
    if not starts:
        return [_Piece(ring[0], ring[0], on[0])]
    ends = [*starts[1:], starts[0] + count]
    return [_Piece(ring[a], ring[b % count], on[a]) for a, b in zip(starts, ends, strict=True)]


def _outline(pieces: list[_Piece]) -> Outline:
    """Return runs as corners: an arc is one, and so is where two runs meet at an angle."""
    if len(pieces) == 1:
        wall = pieces[0].wall
        assert wall is not None  # one straight edge encloses nothing
        return Outline((Corner(wall.x, wall.y, wall.radius, 0.0, WHOLE_TURN),))
    corners = []
    for before, here in zip([pieces[-1], *pieces[:-1]], pieces, strict=True):
        first, last = before.normals[1], here.normals[0]
        fan = (last - first) % WHOLE_TURN
        if NO_CORNER < fan < WHOLE_TURN / 2:
            corners.append(Corner(*here.start, 0.0, first, first + fan))
        if here.wall is not None:
            corners.append(Corner(*here.wall[:3], *here.normals))
    return Outline(tuple(corners))
