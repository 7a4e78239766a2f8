"""Points of the plane, and the one way to turn them. All lengths mm, all angles degrees anticlockwise."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple


class Point(NamedTuple):
    """A point, or the way from one to another: it unpacks into x and y, and adds and scales as a vector."""

    x: float
    y: float

    def __add__(self, other: tuple[float, float]) -> Point:  # type: ignore[override]  # a vector, not a longer tuple
        """Return the point shifted by a vector."""
        return Point(self.x + other[0], self.y + other[1])

    def __sub__(self, other: tuple[float, float]) -> Point:
        """Return the way from another point to this one."""
        return Point(self.x - other[0], self.y - other[1])

    def __mul__(self, by: float) -> Point:  # type: ignore[override]  # a scaled vector, not a repeated tuple
        """Return the point scaled about the origin."""
        return Point(self.x * by, self.y * by)

    def __neg__(self) -> Point:
        """Return the point on the other side of the origin."""
        return Point(-self.x, -self.y)

    @property
    def length(self) -> float:
        """How far it is from the origin."""
        return math.hypot(self.x, self.y)

    @property
    def direction(self) -> float:
        """The angle of the way to it, degrees from -180 to 180."""
        return math.degrees(math.atan2(self.y, self.x))

    def distance_to(self, other: tuple[float, float]) -> float:
        """Return how far another point is."""
        return math.dist(self, other)

    def turned(self, degrees: float) -> Point:
        """Return the point turned about the origin."""
        cos, sin = cos_sin(degrees)
        return Point(self.x * cos - self.y * sin, self.x * sin + self.y * cos)

    def mirrored(self) -> Point:
        """Return the point mirrored left to right, as seen from the other side of the panel."""
        return Point(-self.x, self.y)


def distinct(ring: Sequence[Point], within: float = 0.0) -> tuple[Point, ...]:
    """Return a closed ring without the points that only repeat the one before, the closing point included."""
    return tuple(p for p, before in zip(ring, [ring[-1], *ring[:-1]], strict=True) if p.distance_to(before) > within)


ORIGIN = Point(0.0, 0.0)


def signed_area(ring: Sequence[tuple[float, float]]) -> float:
    """Return the area (mm2) of a polygon by its corners, above zero where they run anticlockwise."""
    following = [*ring[1:], *ring[:1]]
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, following, strict=True)) / 2


def cos_sin(degrees: float) -> tuple[float, float]:
    """Return cosine and sine of an angle; quarter turns are exact, so that what is turned keeps its round numbers."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return (float(round(cos)), float(round(sin))) if degrees % 90 == 0 else (cos, sin)
