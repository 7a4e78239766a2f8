"""Outlines: the 2D shapes of slices, with the exact gap between any two of them.

Every outline is convex: corners joined by straight edges, each corner a point or rounded by an arc. Such a shape is
known by its reach in every direction (its support function), and both questions a panel builder asks are questions
about reach:

* ``gap(a, b)``: how far two shapes stand apart. Over all directions, the widest strip that separates them; below
  zero, the shortest move that would separate them.
* ``clearance(inside, hole)``: how much air is left around a shape in a hole. Over all directions, the least by
  which the hole reaches further.

On a pair of corners either quantity is a sinusoid of the direction, so its extreme lies where the direction
runs along the line of the two corner centres or at the end of a corner's fan of directions, which is an edge normal.
Trying these few directions is exact, to rounding. Where all corners of an outline have one radius, as most do, it is
the polygon of their centres (its core) grown by that radius: then the question is asked of the cores, and of the
lines between centres only those matter that the edge normals leave open. References: support functions and the
separating axis theorem, e.g. C. Ericson, Real-Time Collision Detection (2005), ch. 5 and 9.

All lengths mm, all angles degrees anticlockwise seen from the front.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.geometry.points import Point, signed_area
from dryfit.models.geometry.rectangles import Rectangle, Size

Ways = Sequence[tuple[float, float]]  # points, or unit vectors
WHOLE_TURN = 360.0
SAME_ANGLE = 1e-9  # degrees; directions are computed, so a fan's own edge normal may miss it by rounding
IN_LINE = 1e-9
"""mm. The core of a slot is a line: what stands beyond its end, in line with it, is no way off along its edge normals,
but for rounding, and is told by the way between the corners."""
SQRT3_2 = math.sqrt(3) / 2


class Corner(NamedTuple):
    """A corner of an outline: an arc of ``radius`` (0: a point) about (x, y), facing ``start`` to ``stop`` degrees."""

    x: float
    y: float
    radius: float
    start: float
    stop: float

    @property
    def is_round(self) -> bool:
        """Whether the corner is an arc (a whole circle included), not a point."""
        return self.radius > 0

    @property
    def centre(self) -> Point:
        """The centre of its arc; the corner itself where it is not rounded."""
        return Point(self.x, self.y)

    def on_arc(self, degrees: float, radius: float | None = None) -> Point:
        """Return the point of its arc in a direction, or of another ``radius`` about the same centre."""
        r, angle = self.radius if radius is None else radius, math.radians(degrees)
        return Point(self.x + r * math.cos(angle), self.y + r * math.sin(angle))

    @property
    def ends(self) -> tuple[Point, Point]:
        """Where its arc starts and stops."""
        return (self.on_arc(self.start), self.on_arc(self.stop)) if self.radius else (self.centre, self.centre)

    def faces(self, degrees: float) -> bool:
        """Whether it faces a direction."""
        return (degrees - self.start + SAME_ANGLE) % WHOLE_TURN <= self.stop - self.start + 2 * SAME_ANGLE

    @property
    def middle(self) -> float:
        """The direction it points in, degrees."""
        return (self.start + self.stop) / 2

    @property
    def sharp(self) -> Point:
        """Where its sides would meet if it were not rounded; they do unless it turns half about."""
        return self.on_arc(self.middle, self.radius / math.cos(math.radians((self.stop - self.start) / 2)))

    def moved(self, dx: float, dy: float) -> Corner:
        """Return the corner shifted by (dx, dy) mm."""
        return Corner(self.x + dx, self.y + dy, self.radius, self.start, self.stop)

    def turned(self, degrees: float) -> Corner:
        """Return the corner turned anticlockwise about the origin."""
        return Corner(*self.centre.turned(degrees), self.radius, self.start + degrees, self.stop + degrees)

    def mirrored(self) -> Corner:
        """Return the corner mirrored left to right."""
        return Corner(*self.centre.mirrored(), self.radius, 180.0 - self.stop, 180.0 - self.start)

    def rounded(self, radius: float) -> Corner:
        """Return a right-angled corner that is a point as an arc, its sides where they were."""
        diagonal = radius * math.sqrt(2)
        turned = math.radians(self.middle)
        x, y = self.x - diagonal * math.cos(turned), self.y - diagonal * math.sin(turned)
        return self._replace(x=x, y=y, radius=radius)

    def outset(self, by: float) -> Corner:
        """Return the corner with its sides moved outwards: its arc is larger, a point stays a point."""
        if self.is_round:
            return self._replace(radius=self.radius + by)
        half = math.radians((self.stop - self.start) / 2)
        middle, out = math.radians(self.start) + half, by / math.cos(half)
        return self._replace(x=self.x + out * math.cos(middle), y=self.y + out * math.sin(middle))

    def inset(self, by: float) -> Corner:
        """Return the corner moved inwards: its radius is used up first, then it walks back along its middle.

        Below zero it is moved outwards: its radius grows.
        """
        if self.radius >= by:
            return self._replace(radius=self.radius - by)
        half = math.radians((self.stop - self.start) / 2)
        middle, back = math.radians(self.start) + half, (by - self.radius) / math.cos(half)
        return self._replace(x=self.x - back * math.cos(middle), y=self.y - back * math.sin(middle), radius=0.0)


@hashed_once
@dataclass(frozen=True)
class Outline:
    """A convex outline: its corners in anticlockwise order. Make one by the named constructors below."""

    corners: tuple[Corner, ...]

    # --- where it is -------------------------------------------------------------------------------------------

    def moved(self, dx: float, dy: float) -> Outline:
        """Return the outline shifted by (dx, dy) mm."""
        there = Outline(tuple([Corner(x + dx, y + dy, r, start, stop) for x, y, r, start, stop in self.corners]))
        if "_normals" in self.__dict__:  # a shift turns nothing
            there.__dict__["_normals"] = self._normals
        return there

    def turned(self, degrees: float) -> Outline:
        """Return the outline turned anticlockwise about the origin."""
        if degrees % WHOLE_TURN == 0:
            return self
        return Outline(tuple(c.turned(degrees) for c in self.corners))

    def mirrored(self) -> Outline:
        """Return the outline mirrored left to right (x becomes -x), as seen from the other side of the panel."""
        return Outline(tuple(c.mirrored() for c in reversed(self.corners)))

    def stretched(self, wider: float, higher: float) -> Outline:
        """Return the outline ``wider`` and ``higher`` by some mm, both more or both less, about where it stands.

        A box is drawn apart at its middle; any other shape grows or shrinks all about by the more of the two.
        """
        if wider == higher == 0:
            return self
        if not self._is_box:
            return self.grown(max(wider, higher, key=abs) / 2)
        x, y = self.centre
        right, up = wider / 2, higher / 2
        return Outline(
            tuple(c.moved(right * math.copysign(1, c.x - x), up * math.copysign(1, c.y - y)) for c in self.corners)
        )

    @property
    def _is_box(self) -> bool:
        """Whether it is a box that stands upright, its corners rounded or not, none of them half of it."""
        upright = all(c.start % 90.0 == 0 and c.stop - c.start == 90.0 for c in self.corners)
        return len(self.corners) == 4 and upright and all(2 * c.radius < min(self.size) for c in self.corners)

    def grown(self, by: float) -> Outline:
        """Return the outline with every edge moved outwards by ``by`` mm, corners rounded; negative moves inwards.

        Raises:
            ValueError: if the outline is too small to move inwards so far.
        """
        if min(self.size) <= -2 * by:
            raise ValueError(f"an outline {min(self.size):g} mm across cannot shrink by {-by:g} mm on every side")
        if self.is_d:
            return self._d_moved(by)
        return Outline(tuple(c.inset(-by) for c in self.corners))

    def opened(self, by: float) -> Outline:
        """Return the outline of a hole cut larger by ``by`` mm on every wall: square corners stay square.

        What :meth:`grown` is to the reach of a body, this is to a workshop: a corner is a corner, a D is a D.
        """
        if by <= 0:
            return self.grown(by)
        if self.is_d:
            return self._d_moved(by)
        return Outline(tuple(c.outset(by) for c in self.corners))

    def _d_moved(self, by: float) -> Outline:
        """Return a D with its wall moved outwards."""
        (arc,) = (c for c in self.corners if c.is_round)
        first, last = (c for c in self.corners if not c.is_round)
        flat = arc.centre.distance_to((first.centre + last.centre) * 0.5)
        turn = (arc.middle - 90.0) % WHOLE_TURN
        return d_shape(2 * (arc.radius + by), arc.radius + flat + 2 * by).turned(turn).moved(*arc.centre)

    @property
    def is_d(self) -> bool:
        """Whether it is a circle with one flat."""
        arcs = [c for c in self.corners if c.is_round]
        return len(self.corners) == 3 and len(arcs) == 1 and arcs[0].stop - arcs[0].start > 180

    # --- what it measures --------------------------------------------------------------------------------------

    @kept
    def box(self) -> Rectangle:
        """The exact bounding box."""
        return Rectangle.around_points([spot for c in self.corners for spot in _outermost(c)])

    @property
    def size(self) -> Size:
        """Width and height of the bounding box, mm."""
        return self.box.size

    @property
    def centre(self) -> Point:
        """The centre of the bounding box."""
        return self.box.centre

    @kept
    def is_circle(self) -> bool:
        """Whether the outline is one whole circle."""
        return len(self.corners) == 1

    @kept
    def area(self) -> float:
        """The exact area, mm2: the polygon of arc ends plus the circular segments on its arcs."""
        if self.is_circle:
            return math.pi * self.corners[0].radius ** 2
        ends = [p for c in self.corners for p in c.ends]
        sweeps = [(c.radius, math.radians(c.stop - c.start)) for c in self.corners]
        return signed_area(ends) + sum(r * r * (a - math.sin(a)) / 2 for r, a in sweeps)

    @kept
    def perimeter(self) -> float:
        """The exact length of the boundary, mm."""
        arcs = sum(c.radius * math.radians(c.stop - c.start) for c in self.corners)
        if self.is_circle:
            return arcs
        following = self.corners[1:] + self.corners[:1]
        return arcs + sum(a.ends[1].distance_to(b.ends[0]) for a, b in zip(self.corners, following, strict=True))

    def reach(self, x: float, y: float) -> float:
        """Return how far the outline reaches along a unit direction."""
        degrees = math.degrees(math.atan2(y, x))
        to_ends = [x * px + y * py for px, py in self._ends]
        return max(to_ends + [x * c.x + y * c.y + c.radius for c in self.corners if c.is_round and c.faces(degrees)])

    @kept
    def _ends(self) -> Ways:
        """Ends of all corners: what the outline reaches to where no arc faces; empty for a circle."""
        return () if self.is_circle else [p for c in self.corners for p in c.ends]

    @kept
    def _core(self) -> Ways:
        """Centres of all corners."""
        return [(c.x, c.y) for c in self.corners]

    @kept
    def _radius(self) -> float | None:
        """The radius that all corners have; None where they differ."""
        radius = self.corners[0].radius
        return radius if all(c.radius == radius for c in self.corners) else None

    @kept
    def _normals(self) -> Ways:
        """Outward normals of the straight edges: where the fans of the corners begin, which is where others end."""
        if self.is_circle:
            return ()
        angles = [math.radians(c.start) for c in self.corners]
        return [(math.cos(a), math.sin(a)) for a in angles]

    @kept
    def _edges(self) -> Sequence[tuple[float, float, float]]:
        """The outward normals, each with how far the core reaches along it."""
        return [(x, y, _furthest(self._core, x, y)) for x, y in self._normals]

    # --- as a path ---------------------------------------------------------------------------------------------

    def path(self, facet: float, outside: bool) -> list[Point]:
        """Return the outline as a closed polygon, anticlockwise, whose arcs leave at most ``facet`` mm.

        ``outside`` circumscribes the arcs (the polygon holds the outline), else they are inscribed.
        """
        return [p for c in self.corners for p in _facets(c, facet, outside)]


def _facets(c: Corner, facet: float, outside: bool) -> list[Point]:
    """Return the arc as points. Circumscribed: where the tangents at the facet ends meet; both ends kept exact."""
    if not c.is_round:
        return [c.centre]
    sweep = c.stop - c.start
    half_step = math.degrees(math.acos(max(0.0, 1 - facet / (c.radius + (facet if outside else 0)))))
    count = max(1, math.ceil(sweep / (2 * half_step))) if sweep < WHOLE_TURN else max(12, math.ceil(180 / half_step))
    step = sweep / count
    if sweep >= WHOLE_TURN:
        radius = c.radius / math.cos(math.radians(step / 2)) if outside else c.radius
        return [c.on_arc(c.start + i * step, radius) for i in range(count)]
    if not outside:
        return [c.on_arc(c.start + i * step) for i in range(count + 1)]
    tangents = c.radius / math.cos(math.radians(step / 2))
    middle = [c.on_arc(c.start + (i + 0.5) * step, tangents) for i in range(count)]
    return [c.on_arc(c.start), *middle, c.on_arc(c.stop)]


def _outermost(c: Corner) -> list[tuple[float, float]]:
    """Return the points of a corner that may lie furthest out along x and y."""
    x, y, r, start, stop = c
    if not r:
        return [(x, y)]
    if stop - start >= WHOLE_TURN:
        return [(x - r, y - r), (x + r, y + r)]
    found = [] if start % 90.0 == stop % 90.0 == 0 else [*c.ends]
    return found + [(x + dx * r, y + dy * r) for degrees, dx, dy in SIDES if c.faces(degrees)]


SIDES = ((0.0, 1.0, 0.0), (90.0, 0.0, 1.0), (180.0, -1.0, 0.0), (270.0, 0.0, -1.0))
"""The directions along x and y, degrees and unit vectors."""


# --- named constructors ------------------------------------------------------------------------------------------


def round_(diameter: float) -> Outline:
    """Return a circle about the origin."""
    return Outline((Corner(0.0, 0.0, diameter / 2, 0.0, WHOLE_TURN),))


def box(width: float, height: float, corner: float = 0.0) -> Outline:
    """Return a rectangle about the origin, its corners rounded by the radius ``corner``."""
    if 2 * corner > min(width, height):
        raise ValueError(f"a corner of {corner:g} mm is more than half of {min(width, height):g} mm")
    x, y = width / 2 - corner, height / 2 - corner
    spots = ((x, y, 0.0), (-x, y, 90.0), (-x, -y, 180.0), (x, -y, 270.0))
    return Outline(tuple(Corner(px, py, corner, a, a + 90.0) for px, py, a in spots))


def filled(rectangle: Rectangle) -> Outline:
    """Return a rectangle as an outline, where it stands."""
    return box(*rectangle.size).moved(*rectangle.centre)


def slot(length: float, width: float) -> Outline:
    """Return an obround about the origin, ``length`` over all along x."""
    if length <= width:
        raise ValueError(f"a slot {length:g} mm long must be longer than its width {width:g} mm")
    x, r = (length - width) / 2, width / 2
    return Outline((Corner(x, 0.0, r, -90.0, 90.0), Corner(-x, 0.0, r, 90.0, 270.0)))


def hexagon(across_flats: float) -> Outline:
    """Return a regular hexagon about the origin, corners up and down (flats left and right)."""
    corners = across_flats / SQRT3_2 / 2
    angles = [30.0 + 60.0 * i + 60.0 for i in range(6)]
    spots = [(corners * math.cos(math.radians(a)), corners * math.sin(math.radians(a)), a) for a in angles]
    return Outline(tuple(Corner(x, y, 0.0, a - 30.0, a + 30.0) for x, y, a in spots))


def d_shape(diameter: float, across: float) -> Outline:
    """Return a circle with one flat, at the bottom; ``across`` is measured from the flat to the far side."""
    r = diameter / 2
    if not r < across < diameter:
        raise ValueError(f"across the flat must lie between {r:g} and {diameter:g} mm, not {across:g} mm")
    y = r - across
    edge = math.degrees(math.asin(y / r))
    x = math.sqrt(r * r - y * y)
    return Outline(
        (
            Corner(x, y, 0.0, -90.0, edge),
            Corner(0.0, 0.0, r, edge, 180.0 - edge),
            Corner(-x, y, 0.0, 180.0 - edge, 270.0),
        )
    )


def polygon(points: Sequence[tuple[float, float]], corner: float = 0.0) -> Outline:
    """Return a convex polygon, given in either sense; ``corner`` rounds its corners inside the same edges.

    Raises:
        ValueError: if there are fewer than three points or the polygon is not convex.
    """
    ring = [Point(*p) for p in (points if signed_area(points) > 0 else reversed(points))]
    if len(ring) < 3:
        raise ValueError("a polygon has at least three points")
    before, after = ring[-1:] + ring[:-1], ring[1:] + ring[:1]
    corners = tuple(_polygon_corner(*trio, corner) for trio in zip(before, ring, after, strict=True))
    if sum(c.stop - c.start for c in corners) > WHOLE_TURN + SAME_ANGLE * len(ring):
        raise ValueError("the polygon crosses itself")
    return Outline(corners)


def _polygon_corner(before: Point, here: Point, after: Point, radius: float) -> Corner:
    """Return the corner at ``here``, its fan from the normal of the edge before to that of the edge after."""
    into, out = (here - before).direction - 90.0, (after - here).direction - 90.0
    fan = (out - into) % WHOLE_TURN
    if not 0 < fan < 180.0:
        raise ValueError(f"the polygon is not convex at ({here.x:g}, {here.y:g})")
    middle, back = math.radians(into + fan / 2), radius / math.cos(math.radians(fan / 2))
    return Corner(here.x - back * math.cos(middle), here.y - back * math.sin(middle), radius, into, into + fan)


# --- the two questions -------------------------------------------------------------------------------------------


def gap(a: Outline, b: Outline) -> float:
    """Return the exact gap between two outlines, mm; below zero, the shortest move that would part them."""
    if a.is_circle and b.is_circle:
        (ca,), (cb,) = a.corners, b.corners
        return math.hypot(cb.x - ca.x, cb.y - ca.y) - ca.radius - cb.radius
    if a._radius is not None and b._radius is not None:
        return _cores_apart(a, b) - a._radius - b._radius
    between = [(qx - px, qy - py) for px, py in a._core for qx, qy in b._core]
    directions = [*_units(between), *a._normals, *((-x, -y) for x, y in b._normals)]
    return max(-b.reach(-x, -y) - a.reach(x, y) for x, y in directions)


def _cores_apart(a: Outline, b: Outline) -> float:
    """Return the gap of two cores: along an edge normal, or between the two corners that are closest."""
    ours, theirs = a._core, b._core
    apart = [min([x * px + y * py for px, py in theirs]) - far for x, y, far in a._edges]
    apart += [min([x * px + y * py for px, py in ours]) - far for x, y, far in b._edges]
    best = max(apart)
    if best < -IN_LINE:  # they lap: the way out is square to an edge
        return best
    _, dx, dy = min([((qx - px) ** 2 + (qy - py) ** 2, qx - px, qy - py) for px, py in ours for qx, qy in theirs])
    ((x, y),) = _units([(dx, dy)])
    return max(best, -_furthest(theirs, -x, -y) - _furthest(ours, x, y))


def near(a: Outline, b: Outline, within: float) -> bool:
    """Whether the boxes of two outlines come within a distance of each other: a quick no to the exact question."""
    return a.box.overlaps(b.box, within)


def too_near(a: Outline, b: Outline, margin: float) -> bool:
    """Whether two outlines come closer than a margin to each other, exactly."""
    return near(a, b, margin) and gap(a, b) < margin


def clearance(inside: Outline, hole: Outline) -> float:
    """Return the least air around an outline within a hole, mm; below zero it does not pass."""
    if inside.is_circle and hole.is_circle:
        (ci,), (ch,) = inside.corners, hole.corners
        return ch.radius - ci.radius - math.hypot(ci.x - ch.x, ci.y - ch.y)
    if inside._radius is not None and hole._radius is not None:
        return _core_within(inside, hole) + hole._radius - inside._radius
    between = [(px - qx, py - qy) for px, py in inside._core for qx, qy in hole._core]
    directions = [*_units(between), *inside._normals, *hole._normals]
    return min(hole.reach(x, y) - inside.reach(x, y) for x, y in directions)


def _core_within(inside: Outline, hole: Outline) -> float:
    """Return the air around a core within another; between centres where there is none at the edges."""
    ours, theirs = inside._core, hole._core
    air = [far - _furthest(ours, x, y) for x, y, far in hole._edges]
    air += [_furthest(theirs, x, y) - far for x, y, far in inside._edges]
    least = min(air)
    if least > IN_LINE:
        return least
    ways = _units([(px - qx, py - qy) for px, py in ours for qx, qy in theirs])
    return min(least, *(_furthest(theirs, x, y) - _furthest(ours, x, y) for x, y in ways))


def _furthest(points: Ways, x: float, y: float) -> float:
    """Return how far points reach along a direction."""
    return max([x * px + y * py for px, py in points])


def _units(vectors: Ways) -> list[tuple[float, float]]:
    """Return unit vectors; where two centres coincide any direction will do, so take x."""
    lengths = [math.hypot(x, y) for x, y in vectors]
    return [(x / d, y / d) if d > 0 else (1.0, 0.0) for (x, y), d in zip(vectors, lengths, strict=True)]
