"""Plain solids for the dry run: prisms and cones as manifolds, still or swept along z.

Nothing here is shared with the program past the records it reads. Solids are inscribed and the holes cut from them
circumscribed, so that a facet alone never makes a clash; what the facets hide is less than ``SAGITTA`` a side.
All lengths mm, panel axes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from manifold3d import CrossSection, JoinType, Manifold, OpType
from numpy.typing import NDArray

from dryfit.models.geometry.outlines import Outline

Polygon = NDArray[np.float64]

SAGITTA = 0.008  # mm between an arc and its chords
FAR = 300.0  # mm a body travels to its place: longer than anything on a panel
LEAST_VOLUME = 1e-4  # mm3; what single faces that touch seem to share through rounding
POINT = 1e-6  # mm: radius of a cone's tip
SKIN = 1e-3  # mm of height taken off a body before it is tried: faces that touch are no clash


def ring(x: float, y: float, radius: float) -> Polygon:
    """Return a circle as an inscribed polygon."""
    count = max(24, math.ceil(math.pi / math.acos(max(0.0, 1 - SAGITTA / radius)))) if radius > SAGITTA else 8
    angles = 2 * math.pi * np.arange(count) / count
    return np.stack([x + radius * np.cos(angles), y + radius * np.sin(angles)], axis=1)


@lru_cache(maxsize=4096)
def polygon(outline: Outline) -> Polygon:
    """Return the corners and arcs of an outline record as an inscribed polygon."""
    if len(outline.corners) == 1:
        (only,) = outline.corners
        return ring(only.x, only.y, only.radius)
    points: list[tuple[float, float]] = []
    for c in outline.corners:
        if c.radius <= SAGITTA:
            points.append((c.x, c.y))
            continue
        sweep = math.radians(c.stop - c.start)
        count = max(1, math.ceil(sweep / (2 * math.acos(max(0.0, 1 - SAGITTA / c.radius)))))
        for step in range(count + 1):
            angle = math.radians(c.start) + sweep * step / count
            points.append((c.x + c.radius * math.cos(angle), c.y + c.radius * math.sin(angle)))
    return np.array(points)


def hexagon(across: float, degrees: float) -> Polygon:
    """Return a hexagon about the origin by its size across flats, one corner at an angle."""
    angles = math.radians(degrees) + math.pi / 3 * np.arange(6)
    return across / math.sqrt(3) * np.stack([np.cos(angles), np.sin(angles)], axis=1)


@dataclass(frozen=True)
class Spot:
    """Where something stands: turned about the origin, then shifted."""

    x: float = 0.0
    y: float = 0.0
    degrees: float = 0.0

    def put(self, points: Polygon) -> Polygon:
        """Return points of the own frame on the panel."""
        a = math.radians(self.degrees)
        turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
        placed: Polygon = np.asarray(points, dtype=float) @ turn.T + (self.x, self.y)
        return placed

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Return one point of the own frame on the panel."""
        (placed,) = self.put(np.array([[x, y]]))
        return float(placed[0]), float(placed[1])


@dataclass(frozen=True, eq=False)
class Prism:
    """A section that stays the same between two heights."""

    section: Polygon
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Cone:
    """A round body whose radius goes evenly from ``r_low`` at ``low`` to ``r_high`` at ``high``."""

    x: float
    y: float
    r_low: float
    r_high: float
    low: float
    high: float


Piece = Prism | Cone


@dataclass(frozen=True, eq=False)
class Solid:
    """What is there (``pieces``) less what is bored from it (``cuts``), and what is bored as it slides (``bores``)."""

    pieces: tuple[Piece, ...]
    cuts: tuple[Piece, ...] = ()
    bores: tuple[Piece, ...] = ()

    @property
    def low(self) -> float:
        """The lowest height."""
        return min(p.low for p in self.pieces)

    @property
    def high(self) -> float:
        """The greatest height."""
        return max(p.high for p in self.pieces)

    def lifted(self, by: float) -> Solid:
        """Return the solid shifted along z."""
        pieces, cuts, bores = (
            tuple(replace(p, low=p.low + by, high=p.high + by) for p in group)
            for group in (self.pieces, self.cuts, self.bores)
        )
        return Solid(pieces, cuts, bores)

    def still(self, grow: float = 0.0, skin: float = SKIN) -> Manifold:
        """Return the solid where it is, grown sideways and made lower by a skin at both ends of each piece."""
        body = _union(_solid(p, grow, skin, 0.0) for p in self.pieces)
        return body - _union(_solid(p, SAGITTA, -SKIN, 0.0) for p in self.cuts) if self.cuts else body

    def swept(self, side: float, grow: float = 0.0, skin: float = SKIN) -> Manifold:
        """Return all that the solid passes on its way home from ``side`` (+1: from the front, -1: from the rear).

        A straight slide along z sweeps a prism to a prism and a cone to a cone and a prism, so this is exact.
        """
        body = _union(_solid(p, grow, skin, side * FAR) for p in self.pieces)
        return body - _union(_solid(p, SAGITTA, -SKIN, side * FAR) for p in self.bores) if self.bores else body


def _union(bodies: Iterable[Manifold]) -> Manifold:
    found = list(bodies)
    return found[0] if len(found) == 1 else Manifold.batch_boolean(found, OpType.Add)


def _solid(piece: Piece, grow: float, skin: float, travel: float) -> Manifold:
    """Return one piece, grown and skinned, with the way it came by (``travel`` signed, 0: none)."""
    low, high = piece.low + skin, piece.high - skin
    if high <= low:
        return Manifold()
    if isinstance(piece, Prism):
        return _prism(piece.section, grow, low + min(0.0, travel), high + max(0.0, travel))
    slope = (piece.r_high - piece.r_low) / (piece.high - piece.low)
    r_low, r_high = piece.r_low + slope * skin + grow, piece.r_high - slope * skin + grow
    body = _frustum((r_low, r_high), low, high).translate((piece.x, piece.y, 0.0))
    if travel > 0:
        widest = max(r_low, r_high)
        start = low if r_low >= r_high else high
        return body + _disc(piece.x, piece.y, widest, start, high + travel)
    if travel < 0:
        widest = max(r_low, r_high)
        end = high if r_high >= r_low else low
        return body + _disc(piece.x, piece.y, widest, low + travel, end)
    return body


def _prism(section: Polygon, grow: float, low: float, high: float) -> Manifold:
    flat = CrossSection([section])
    if grow:
        flat = flat.offset(grow, JoinType.Miter, 4.0, 8)
    return Manifold() if flat.is_empty() else flat.extrude(high - low).translate((0.0, 0.0, low))


def _disc(x: float, y: float, radius: float, low: float, high: float) -> Manifold:
    return Manifold() if radius <= 0 else _prism(ring(x, y, radius), 0.0, low, high)


def _frustum(radii: tuple[float, float], low: float, high: float) -> Manifold:
    if max(radii) <= 0:
        return Manifold()
    count, (r_low, r_high) = len(ring(0, 0, max(radii))), (max(r, POINT) for r in radii)
    return Manifold.cylinder(high - low, r_low, r_high, count).translate((0.0, 0.0, low))


def shared(a: Manifold, b: Manifold) -> float:
    """Return the volume that two solids share, mm3; 0 where their boxes do not meet."""
    ax0, ay0, az0, ax1, ay1, az1 = a.bounding_box()
    bx0, by0, bz0, bx1, by1, bz1 = b.bounding_box()
    if ax0 >= bx1 or bx0 >= ax1 or ay0 >= by1 or by0 >= ay1 or az0 >= bz1 or bz0 >= az1:
        return 0.0
    volume = float((a ^ b).volume())
    return volume if volume > LEAST_VOLUME else 0.0
