"""What is drawn: layers, which are rings of points from one level to another, and profiles turned about an axis.

Rings are drawn within ``FACET`` of the true outline. Nothing here is measured: gaps come from bodies alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import signed_area

if TYPE_CHECKING:
    import manifold3d

FACET = 0.05  # mm a chord may stray from its arc: far below what a screen shows
RIB_SHARE = 0.06  # depth of a rib beside the radius of what is ribbed: looks like a milled edge, common practice
RIDGE = 1.25  # mm from ridge to ridge of a thread as it is drawn, at least: finer ones would run into each other
CORE = 0.45  # depth of a ridge beside the distance between two

Ring = tuple[tuple[float, float], ...]


class Spot(NamedTuple):
    """Where a piece stands, mm, and how far it is turned, degrees."""

    x: float = 0.0
    y: float = 0.0
    turn: float = 0.0


HOME = (Spot(),)


@dataclass(frozen=True)
class Layer:
    """An area from one level to another: its outer ring first, anticlockwise, then the holes in it, clockwise."""

    finish: str
    z0: float
    z1: float
    rings: tuple[Ring, ...]
    spots: tuple[Spot, ...] = HOME


@dataclass(frozen=True)
class Turning:
    """A closed profile (radius, z) turned about an axis, anticlockwise with the axis to its left."""

    finish: str
    profile: Ring
    spots: tuple[Spot, ...] = HOME


Drawn = tuple[Layer | Turning, ...]


def area_of(outlines: Iterable[Outline | Ring]) -> manifold3d.CrossSection:
    """Return the area that outlines and rings cover together."""
    import manifold3d

    return manifold3d.CrossSection([np.array(ring_of(one)) for one in outlines], manifold3d.FillRule.NonZero)


def ring_of(outline: Outline | Ring) -> Ring:
    """Return an outline as a ring of points."""
    if not isinstance(outline, Outline):
        return outline
    return tuple((p.x, p.y) for p in outline.path(FACET, outside=False))


def layers(finish: str, area: manifold3d.CrossSection, z0: float, z1: float) -> Iterator[Layer]:
    """Yield an area from one level to another, each part of it that hangs together."""
    for piece in area.decompose():
        rings = [tuple((float(x), float(y)) for x, y in ring) for ring in piece.to_polygons()]
        if rings:
            yield Layer(finish, z0, z1, tuple(sorted(rings, key=lambda ring: -signed_area(ring))))


def turning(finish: str, corners: Iterable[tuple[float, float]], spots: tuple[Spot, ...] = HOME) -> Turning:
    """Return corners (radius, z) in either sense as a turned piece."""
    ring = tuple(corners)
    return Turning(finish, ring if signed_area(ring) > 0 else ring[::-1], spots)


def cone(
    finish: str, diameters: tuple[float, float], levels: tuple[float, float], bore: float = 0.0, at: Spot = HOME[0]
) -> Turning:
    """Return a cone between two diameters at two levels, with a straight bore."""
    (low, high), (z0, z1) = diameters, levels
    return turning(finish, ((bore / 2, z0), (low / 2, z0), (high / 2, z1), (bore / 2, z1)), (at,))


def threaded(
    finish: str,
    diameters: tuple[float, float],
    pitch: float,
    levels: tuple[float, float],
    spots: tuple[Spot, ...] = HOME,
) -> Turning:
    """Return a thread as rings about a bore: as many ridges as its pitch, or as can be told apart, allows."""
    (crest, bore), (z0, z1) = (d / 2 for d in diameters), levels
    count = max(1, round((z1 - z0) / max(pitch, RIDGE)))
    step = (z1 - z0) / count
    root = max(bore, crest - CORE * step)
    outside = [p for n in range(count) for p in ((root, z0 + n * step), (crest, z0 + (n + 0.5) * step))]
    return turning(finish, ((bore, z0), *outside, (root, z1), (bore, z1)), spots)


def ribbed(diameter: float, count: int) -> Ring:
    """Return a round ring with a milled edge."""
    radii = (diameter / 2, diameter / 2 * (1 - RIB_SHARE))
    turns = (math.pi * n / count for n in range(2 * count))
    return tuple((radii[n % 2] * math.cos(a), radii[n % 2] * math.sin(a)) for n, a in enumerate(turns))
