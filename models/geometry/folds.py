"""Folds: sheet bent back by 90 degrees along an edge, by its section across the bend. All lengths mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from dryfit.models.geometry.points import Point

QUARTER = math.pi / 2


@dataclass(frozen=True)
class Fold:
    """A wall with its bend. Its section lies across the edge: y outwards, z out of the sheet, the front face at 0.

    The section runs from ``low`` to ``high`` along x, in a frame that is turned by ``turn`` degrees about z. ``edge``
    is the outer face of the wall, ``end`` where it ends, ``thick`` the sheet, ``inside`` and ``outside`` the radii of
    the bend. Under a coating the radii may have two centres: on the inside it narrows a bend down to a sharp one.
    """

    turn: float
    low: float
    high: float
    edge: float
    thick: float
    inside: float
    outside: float
    end: float

    @property
    def start(self) -> float:
        """Where the section begins: y; from there inwards the sheet is flat on both faces."""
        return self.edge - max(self.outside, self.thick + self.inside)

    @property
    def wall(self) -> float:
        """The inner face of the wall: y."""
        return self.edge - self.thick

    @property
    def area(self) -> float:
        """The area of the section, mm2."""
        square = self.thick * -self.end + (self.wall - self.start) * self.thick
        return square - (1 - math.pi / 4) * (self.outside**2 - self.inside**2)

    @property
    def volume(self) -> float:
        """The volume, mm3."""
        return self.area * (self.high - self.low)

    def outer(self, share: float) -> Point:
        """Return a point (y, z) of the outside of the bend: 0 where it leaves the front face, 1 at the wall."""
        angle = QUARTER * share
        return Point(self.edge - self.outside * (1 - math.sin(angle)), -self.outside * (1 - math.cos(angle)))

    def inner(self, share: float) -> Point:
        """Return a point (y, z) of the inside of the bend: 0 where it leaves the rear face, 1 at the wall."""
        angle = QUARTER * share
        r = self.inside
        return Point(self.wall - r * (1 - math.sin(angle)), -self.thick - r * (1 - math.cos(angle)))

    def ring(self, facet: float) -> tuple[Point, ...]:
        """Return the section as points (y, z), arcs as chords that stay within ``facet`` mm of them."""
        outer = [self.outer(share) for share in _shares(self.outside, facet)]
        inner = [self.inner(share) for share in _shares(self.inside, facet)]
        start = [Point(self.start, -self.thick), Point(self.start, 0.0)]
        ends = [Point(self.edge, self.end), Point(self.wall, self.end)]
        return (*start, *outer, *ends, *reversed(inner))


def _shares(radius: float, facet: float) -> tuple[float, ...]:
    """Return shares of a quarter turn between chords that stray at most ``facet`` from an arc."""
    if radius == 0:
        return (0.0,)
    count = max(1, math.ceil(QUARTER / (2 * math.acos(max(0.0, 1 - facet / radius)))))
    return tuple(n / count for n in range(count + 1))
