"""A plate from a solid: its front face, what goes through it, countersinks, thickness and folded lips. All lengths mm.

The front is the larger of the two widest faces that look away from each other; where they are alike, the one that looks
as front views do. Lips lie behind it. Seen so, a hole is what both faces have; where it is wider on one of them, it is
countersunk from there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.intake.plates.figures import outline_of
from dryfit.generators.intake.plates.plate import Folded, Opening, Plate, Sink, centred
from dryfit.generators.intake.plates.rings import rings
from dryfit.generators.intake.reading.shapes import Edge as SolidEdge
from dryfit.generators.intake.reading.shapes import Face, Shapes, Solid, Vector
from dryfit.models.geometry.contours import Circle, Contour, contour
from dryfit.models.geometry.contours import Curve as Chain
from dryfit.models.geometry.outlines import filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.panel import Edge
from dryfit.models.reading.errors import Fault, InputError

PARALLEL = 1e-6  # by which the cosine of two directions may miss one
SAME_LEVEL = 1e-4  # mm that faces of one plane may be apart
SAME_HOLE = 0.02  # mm that the two ends of a straight hole may differ, in place and in size
LEAST_LIP = 1.0  # mm behind the rear face: less is no lip
THICKEST = 25.0  # mm; a block is no panel
REAR_SHARE = 0.3  # of the front face's area that the rear face has at least
FRONTS = (Vector(0.0, 0.0, 1.0), Vector(0.0, -1.0, 0.0), Vector(1.0, 0.0, 0.0))
"""Where fronts look: drawings lie flat, models stand and are seen along y, or from the right."""


def plate_of_solid(found: Shapes, file: str) -> Plate:
    """Return the plate that the largest solid of a file is.

    Raises:
        InputError: if it has not two wide faces close to each other.
    """
    solid = max(found.solids, key=lambda one: one.volume)
    seen = _seen(solid)
    if seen is None:
        raise InputError([Fault(file, None, "holds no plate: no two wide faces close to each other", "a flat panel")])
    others = len(found.solids) - 1
    said = [f"{others} other solids are left out: the largest is taken as the panel"] if others else []
    return _plate(solid, seen, said)


@dataclass(frozen=True)
class _View:
    """A solid seen from the front: its two faces, the directions right, up and out, and its thickness."""

    front: Face
    rear: Face
    right: Vector
    up: Vector
    out: Vector
    thickness: float

    def flat(self, at: Vector) -> Point:
        """Return a point as it is seen."""
        return Point(at.dot(self.right), at.dot(self.up))

    def depth(self, at: Vector) -> float:
        """Return how far a point lies behind the front face."""
        return self.front.at.dot(self.out) - at.dot(self.out)


def _seen(solid: Solid) -> _View | None:
    planes = sorted((face for face in solid.faces if face.kind == "plane"), key=lambda face: -face.area)
    if not planes:
        return None
    one = planes[0]
    behind = [
        face for face in planes
        if face.axis.dot(one.axis) < PARALLEL - 1 and face.area >= REAR_SHARE * one.area
        and SAME_LEVEL < (one.at.dot(one.axis) - face.at.dot(one.axis)) <= THICKEST
    ]  # fmt: skip
    if not behind:
        return None
    other = max(behind, key=lambda face: face.at.dot(one.axis))
    thickness = one.at.dot(one.axis) - other.at.dot(one.axis)
    tries = [_view(one, other, thickness), _view(other, one, thickness)]
    return min(tries, key=lambda view: (_sticks_out(solid, view), -_rank(view.out)))


def _view(front: Face, rear: Face, thickness: float) -> _View:
    out = front.axis
    up = Vector(0.0, 1.0, 0.0) if abs(out.z) > abs(out.x) + abs(out.y) else Vector(0.0, 0.0, 1.0)
    right = _unit(_cross(up, out))
    return _View(front, rear, right, _cross(out, right), out, thickness)


def _sticks_out(solid: Solid, view: _View) -> bool:
    """Whether something of a solid lies before its front: then it is seen from behind."""
    return min(view.depth(at) for at in _corners(solid.box)) < -LEAST_LIP


def _rank(out: Vector) -> float:
    return max(out.dot(way) for way in FRONTS)


def _cross(a: Vector, b: Vector) -> Vector:
    return Vector(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x)


def _unit(way: Vector) -> Vector:
    length = math.sqrt(way.dot(way))
    return Vector(way.x / length, way.y / length, way.z / length)


def _corners(box: tuple[Vector, Vector]) -> list[Vector]:
    low, high = box
    return [Vector(x, y, z) for x in (low.x, high.x) for y in (low.y, high.y) for z in (low.z, high.z)]


# --- the plate -------------------------------------------------------------------------------------------------------


def _plate(solid: Solid, view: _View, said: list[str]) -> Plate:
    front, rear = (_loops(face, view) for face in (view.front, view.rear))
    whole = Rectangle.around_points(view.flat(at) for at in _corners(solid.box))
    folded = _folded(solid, view, whole)
    outer = contour(filled(whole)) if folded.depth else front[0]
    openings, rest = _through(front[1:], rear[1:], solid, view)
    openings += [Opening(ring, outline_of(ring)) for ring in rest[0] if _is_bored(ring, solid, view)]
    merged, blind = _merged(([ring for ring in rest[0] if not _is_bored(ring, solid, view)], rest[1]))
    merged = [replace(one, sink=_cone_sink(one.contour, solid, view)) for one in merged]
    if merged:
        said.append(f"{len(merged)} holes run into each other or into a countersink on one face: look at them")
    if blind:
        said.append(f"left out: {blind} openings of one face that do not go through")
    openings += merged
    return centred(Plate(outer, tuple(openings), round(view.thickness, 6), (), tuple(said), folded))


def _loops(face: Face, view: _View) -> list[Contour]:
    """Return the loops of a face as they are seen, the outer one first."""
    found = [rings(_piece(edge, view) for edge in loop).closed for loop in face.loops]
    return [ring for closed in found for ring in closed]


def _piece(edge: SolidEdge, view: _View) -> Contour:
    points = [view.flat(at) for at in edge.points]
    if edge.kind == "circle" and edge.centre is not None:
        return Circle(*view.flat(edge.centre), edge.radius)
    if edge.kind == "arc":
        start, middle, end = points
        chord = end - start
        aside = (middle - (start + end) * 0.5).turned(-chord.direction)  # an anticlockwise arc lies right of its chord
        return Chain(((*start, -2 * aside.y / chord.length), (*end, 0.0)), closed=False)
    return Chain(tuple((*point, 0.0) for point in points), closed=False)


Rest = tuple[list[Contour], list[Contour]]
"""Openings of the front and of the rear face that the other has not alike."""


def _through(
    front: Sequence[Contour], rear: Sequence[Contour], solid: Solid, view: _View
) -> tuple[list[Opening], Rest]:
    """Return what goes through both faces, and the openings of each that do not plainly."""
    left, alone = list(rear), []
    found: list[Opening] = []
    for ring in front:
        other = min(left, key=lambda one: one.box.centre.distance_to(ring.box.centre), default=None)
        if other is not None and _one_hole(ring, other):
            left.remove(other)
            found.append(_opening(ring, other, solid, view))
        else:
            alone.append(ring)
    return found, (alone, left)


def _is_bored(ring: Contour, solid: Solid, view: _View) -> bool:
    """Whether a round opening of the front goes through, though the rear has it not alike: a bore reaches there."""
    return isinstance(ring, Circle) and any(
        face.hollow
        and face.kind == "cylinder"
        and abs(face.axis.dot(view.out)) > 1 - PARALLEL
        and abs(face.radius - ring.radius) <= SAME_HOLE
        and view.flat(face.at).distance_to((ring.x, ring.y)) <= SAME_HOLE
        and max(view.depth(at) for at in _corners(face.box)) >= view.thickness - SAME_HOLE
        for face in solid.faces
    )


def _merged(rest: Rest) -> tuple[list[Opening], int]:
    """Return the openings of one face that lie within one of the other, and how many lead nowhere."""
    found: list[Opening] = []
    within: set[int] = set()
    for own, others in (rest, rest[::-1]):
        for ring in own:
            holders = [n for n, other in enumerate(others) if other.box.grown(SAME_HOLE).holds(ring.box)]
            if holders:
                found.append(Opening(ring, outline_of(ring)))
                within |= {id(ring), *(id(others[n]) for n in holders)}
    return found, sum(id(ring) not in within for side in rest for ring in side)


def _one_hole(a: Contour, b: Contour) -> bool:
    near = a.box.centre.distance_to(b.box.centre) <= SAME_HOLE
    return near and ((isinstance(a, Circle) and isinstance(b, Circle)) or _same_size(a, b))


def _same_size(a: Contour, b: Contour) -> bool:
    return all(abs(p - q) <= SAME_HOLE for p, q in zip(a.box.size, b.box.size, strict=True))


def _opening(front: Contour, rear: Contour, solid: Solid, view: _View) -> Opening:
    if _same_size(front, rear):
        return Opening(front, outline_of(front))
    wide, hole = (front, rear) if front.box.width > rear.box.width else (rear, front)
    sink = Sink(wide.box.width, "front" if wide is front else "rear", _angle(hole.box.centre, solid, view))
    return Opening(hole, outline_of(hole), sink)


def _angle(at: Point, solid: Solid, view: _View) -> float | None:
    """Return the full angle of the cone about an axis, degrees."""
    cone = _cone(at, solid, view)
    return None if cone is None else round(2 * abs(cone.second), 4)


def _cone_sink(ring: Contour, solid: Solid, view: _View) -> Sink | None:
    """Return the countersink about a round hole by its cone alone, where its circle runs into something."""
    cone = _cone(ring.box.centre, solid, view)
    if cone is None:
        return None
    front, rear = (2 * _radius_at(cone, depth, view) for depth in (0.0, view.thickness))
    return Sink(max(front, rear), "front" if front > rear else "rear", round(2 * abs(cone.second), 4))


def _radius_at(cone: Face, depth: float, view: _View) -> float:
    along = (view.depth(cone.at) - depth) * cone.axis.dot(view.out)
    return cone.radius + math.tan(math.radians(cone.second)) * along


def _cone(at: Point, solid: Solid, view: _View) -> Face | None:
    """Return the hollow cone about an axis."""
    cones = (f for f in solid.faces if f.kind == "cone" and f.hollow and abs(f.axis.dot(view.out)) > 1 - PARALLEL)
    return next((cone for cone in cones if view.flat(cone.at).distance_to(at) <= SAME_HOLE), None)


# --- lips ------------------------------------------------------------------------------------------------------------


def _folded(solid: Solid, view: _View, whole: Rectangle) -> Folded:
    """Return the lips of a solid: how deep behind the rear face, along which edges, how tight they are bent."""
    deepest = max(view.depth(at) for at in _corners(solid.box)) - view.thickness
    if deepest < LEAST_LIP:
        return Folded()
    walls = tuple(_walls(solid, view, whole))
    bends = [
        f.radius for f in solid.faces if f.kind == "cylinder" and f.hollow and abs(f.axis.dot(view.out)) < PARALLEL
    ]
    return Folded(round(deepest, 6), walls, round(min(bends, default=0.0), 6))


def _walls(solid: Solid, view: _View, whole: Rectangle) -> Iterator[Edge]:
    """Yield the edges along which a wall as thick as the sheet stands behind it, by the inner faces of walls."""
    left, down = (Vector(*(-v for v in way)) for way in (view.right, view.up))
    ways: tuple[tuple[Edge, Vector, float], ...] = (
        ("right", view.right, whole.right), ("top", view.up, whole.top),
        ("left", left, -whole.left), ("bottom", down, -whole.bottom),
    )  # fmt: skip
    for edge, way, reach in ways:
        inner = (f for f in solid.faces if f.kind == "plane" and f.axis.dot(way) < PARALLEL - 1)
        if any(abs(f.at.dot(way) - (reach - view.thickness)) <= SAME_HOLE and _is_behind(f, view) for f in inner):
            yield edge


def _is_behind(face: Face, view: _View) -> bool:
    """Whether a face lies behind the rear of the sheet."""
    return min(view.depth(at) for at in _corners(face.box)) > view.thickness - SAME_HOLE
