"""Outlines as a part file writes them: the plainest shape that is the outline measured, or one that just holds it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from dryfit.generators.intake.measuring.hulls import ring_of, stands_out
from dryfit.generators.intake.written import DIGITS, Written
from dryfit.models.geometry.outlines import SQRT3_2, Corner, Outline
from dryfit.models.geometry.points import Point, distinct
from dryfit.models.reading.fields import MOST_POINTS, read_outline

SAME = 0.003
"""mm that a shape written to a thousandth may differ from what was measured: a third of what measuring promises."""
MOST_RADII = 3  # radii of its arcs that are tried as that of its corners
PARALLEL = 1e-6  # sine of the angle between lines that meet nowhere near
CENTRED = 0.0006  # mm off the axis that is no more than rounding
FINE = 0.002  # mm that the polygon stands off arcs from which sides are taken away
NEAR = 0.01  # mm that a corner may stand out where a side is taken away, though there is room for more corners


@dataclass(frozen=True)
class Fitted:
    """An outline as it is written, and as the project's reader reads that; ``off`` mm it may stand off the true one."""

    written: Written
    outline: Outline
    off: float = 0.0


def fitted(measured: Outline, slack: float = SAME) -> Fitted:
    """Return the plainest shape that holds an outline and stands off it by ``slack`` mm at most; else a polygon."""
    for written in _shapes(measured):
        found = _read(written)
        if found is not None and _holds(found, measured, SAME) and _holds(measured, found, slack):
            return Fitted(written, found)
    return _around(measured)


def alike(one: Outline, other: Outline, slack: float = SAME) -> bool:
    """Whether two outlines are the same but for ``slack`` mm."""
    apart = abs(one.area - other.area) > slack * max(one.perimeter, other.perimeter)
    return not apart and _holds(other, one, slack) and _holds(one, other, slack)


def _holds(outer: Outline, inner: Outline, slack: float) -> bool:
    """Whether an outline holds another but for ``slack`` mm; their boxes are asked first, which tells most apart."""
    left, bottom, right, top = inner.box
    x0, y0, x1, y1 = outer.box
    within = left >= x0 - slack and bottom >= y0 - slack and right <= x1 + slack and top <= y1 + slack
    return within and stands_out(inner, outer) <= slack


def _read(written: Written) -> Outline | None:
    try:
        return read_outline(written)
    except ValueError:
        return None


def _around(measured: Outline) -> Fitted:
    """Return a polygon that holds an outline, with as few corners as that takes."""
    ring, off = _fewer_corners(list(distinct(measured.path(FINE, outside=True), SAME)))
    rounded = ring_of(np.array([_pair(p) for p in ring]))  # rounding may leave a corner in line, or behind the line
    written = {"polygon": [_pair(Point(*p)) for p in rounded.tolist()]}
    found = _read(written)
    if found is not None:
        return Fitted(written, found, off)
    width, height = measured.size
    boxed = _at({"box": [_number(width), _number(height)]}, measured.centre)
    return Fitted(boxed, read_outline(boxed), min(width, height) / 2)


def _fewer_corners(ring: list[Point]) -> tuple[list[Point], float]:
    """Return a ring with sides taken away, their neighbours drawn out until they meet, and how far that stands out.

    The side whose neighbours meet nearest goes first, while they meet near or while there are too many corners.
    """
    off, meets = 0.0, [_meet(ring, n) for n in range(len(ring))]
    while len(ring) > 3:
        least = min(range(len(ring)), key=lambda n: meets[n][1])
        spot, far = meets[least]
        if spot is None or (far > NEAR and len(ring) <= MOST_POINTS):
            break
        after = (least + 1) % len(ring)
        ring[least] = spot
        del ring[after], meets[after]
        here = least - (after < least)
        for number in range(here - 2, here + 2):  # the sides whose neighbours are others now
            meets[number % len(ring)] = _meet(ring, number % len(ring))
        off = max(off, far)
    return ring, round(off, DIGITS)


def _meet(ring: list[Point], number: int) -> tuple[Point | None, float]:
    """Return where the neighbours of a side meet beyond it, and how far out; nowhere where they part."""
    count = len(ring)
    a, b, c, d = (ring[(number + n) % count] for n in (-1, 0, 1, 2))
    spot = _crossing((a, b), (c, d))
    if spot is None or _distance(spot, b, c) > 0:
        return None, math.inf
    return spot, -_distance(spot, b, c)


# --- shapes with names -----------------------------------------------------------------------------------------------


def _shapes(measured: Outline) -> Iterator[Written]:
    """Yield shapes that the outline might be, the plainest first."""
    width, height = measured.size
    arcs = [c for c in measured.corners if c.is_round]
    yield _at({"round": _number(max(width, height))}, measured.centre)
    told = Counter(_number(c.radius) for c in arcs if 2 * c.radius < min(width, height))
    radii = [radius for radius, _ in told.most_common(MOST_RADII)]
    for corner in (0.0, *radii):
        yield _at({"box": [_number(width), _number(height)], **_corner(corner)}, measured.centre)
    yield from _slots(arcs)
    sides = list(_sides(measured))
    if arcs and sides:
        yield from _ds(max(arcs, key=lambda c: c.radius), sides)
    if len(sides) == 6:
        yield from _hexagon(measured, sides)
    for corner in (0.0, *radii):
        ring = list(_crossings(sides))
        if 3 <= len(ring) <= MOST_POINTS:
            yield {"polygon": [_pair(p) for p in ring], **_corner(corner)}


Side = tuple[Point, Point]


def _sides(measured: Outline) -> Iterator[Side]:
    """Yield the straight sides, from where they start to where they end."""
    corners = measured.corners
    for here, after in pairwise([*corners, corners[0]]):
        start, end = here.ends[1], after.ends[0]
        if start.distance_to(end) > SAME:
            yield start, end


def _slots(arcs: list[Corner]) -> Iterator[Written]:
    if len(arcs) == 2:
        (a, b) = arcs
        way, width = b.centre - a.centre, a.radius + b.radius
        middle = (a.centre + b.centre) * 0.5
        turn = way.direction % 180.0
        yield _at({"slot": [_number(way.length + width), _number(width)], **_turn(turn)}, middle)


def _ds(arc: Corner, sides: list[Side]) -> Iterator[Written]:
    for start, end in sides:
        normal = (end - start).direction - 90.0
        flat = _distance(arc.centre, start, end)
        written = {"d": [_number(2 * arc.radius), _number(arc.radius + flat)], **_turn((normal + 90.0) % 360.0)}
        yield _at(written, arc.centre)


def _hexagon(measured: Outline, sides: list[Side]) -> Iterator[Written]:
    centre = Point(*(sum(p[axis] for p, _ in sides) / len(sides) for axis in (0, 1)))
    across = 2 * sum(_distance(centre, *side) for side in sides) / len(sides)
    turn = min((side[1] - side[0]).direction % 60.0 for side in sides) - 30.0
    yield _at({"hexagon": _number(across), **_turn(turn)}, centre)
    yield _at({"round": _number(across / SQRT3_2)}, centre)


def _crossings(sides: list[Side]) -> Iterator[Point]:
    """Return where each side would meet the next one."""
    met = (_crossing(*pair) for pair in pairwise([*sides, *sides[:1]]))
    return (spot for spot in met if spot is not None)


def _crossing(one: Side, other: Side) -> Point | None:
    """Return where two lines meet, or None if they are all but parallel."""
    (a, b), (c, d) = one, other
    along, way = b - a, d - c
    across = along.x * way.y - along.y * way.x
    if abs(across) < PARALLEL * along.length * way.length:
        return None
    return a + along * (((c.x - a.x) * way.y - (c.y - a.y) * way.x) / across)


def _distance(point: Point, start: Point, end: Point) -> float:
    """Return how far a point lies inside of a side."""
    way, off = end - start, point - start
    return (way.x * off.y - way.y * off.x) / way.length


# --- numbers ---------------------------------------------------------------------------------------------------------


def _number(mm: float) -> float:
    return round(mm, DIGITS) + 0.0


def _pair(point: Point) -> list[float]:
    return [_number(point.x), _number(point.y)]


def _corner(radius: float) -> dict[str, Any]:
    return {"corner": radius} if radius else {}


def _turn(degrees: float) -> dict[str, Any]:
    plain = round(degrees, 4)
    return {"turn": plain} if not math.isclose(plain % 360.0, 0.0, abs_tol=1e-3) else {}


def _at(written: dict[str, Any], centre: Point) -> Written:
    """Return a shape where it stands."""
    if max(abs(centre.x), abs(centre.y)) < CENTRED:
        return written
    return {**written, "at": _pair(centre)}
