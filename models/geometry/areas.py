"""Areas that outlines share: how much of one lies on another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from dryfit.models.geometry.outlines import Corner, Outline, clearance, gap
from dryfit.models.geometry.points import distinct, signed_area

FACET = 0.005  # mm an arc may stray: rings under small heads are then right to a few hundredths of a mm2
SAME_POINT = (
    1e-9  # mm; where an arc meets a corner its end is there twice, and rounding gives such an edge any direction
)
PAIRS_KEPT = 4096  # pairs remembered: the same heads and washers are tried on the same holes again and again

Ring = Sequence[tuple[float, float]]


@lru_cache(maxsize=PAIRS_KEPT)
def shared_area(a: Outline, b: Outline) -> float:
    """Return the area that two (convex) outlines share, mm2."""
    if gap(a, b) >= 0:
        return 0.0
    if clearance(a, b) >= 0:
        return a.area
    if clearance(b, a) >= 0:
        return b.area
    if a.is_circle and b.is_circle:
        return _lens(a.corners[0], b.corners[0])
    return signed_area(_clipped(a.path(FACET, outside=False), distinct(b.path(FACET, outside=False), SAME_POINT)))


def _lens(a: Corner, b: Corner) -> float:
    """Return the area that two circles share which cross each other: two segments on their common chord."""
    apart = a.centre.distance_to(b.centre)
    return sum(
        one.radius**2 * (angle - math.sin(2 * angle) / 2)
        for one, other in ((a, b), (b, a))
        for angle in [math.acos((apart**2 + one.radius**2 - other.radius**2) / (2 * apart * one.radius))]
    )


def _clipped(ring: Ring, window: Ring) -> Ring:
    """Return what of a ring lies in a convex window, both anticlockwise (Sutherland and Hodgman's way)."""
    for start, end in zip(window, [*window[1:], window[0]], strict=True):
        ring = _on_the_left(ring, start, end)
    return ring


def _on_the_left(ring: Ring, start: tuple[float, float], end: tuple[float, float]) -> Ring:
    """Return what of a ring lies to the left of the line from start to end."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    sides = [dx * (y - start[1]) - dy * (x - start[0]) for x, y in ring]
    kept: list[tuple[float, float]] = []
    for i, (point, side) in enumerate(zip(ring, sides, strict=True)):
        before, side_before = ring[i - 1], sides[i - 1]
        if (side >= 0) is not (side_before >= 0):
            share = side_before / (side_before - side)
            kept.append((before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1])))
        if side >= 0:
            kept.append(point)
    return kept
