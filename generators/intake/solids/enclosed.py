"""Whether slices hold a solid, everywhere: its skin is cut at the levels of the slices, and each piece lies in one.

Slices are convex, so that a piece whose corners lie in one lies in it whole. Holes in slices are not asked about: what
fills a hole is met by what goes there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from dryfit.generators.intake.measuring.held import LEVEL, off
from dryfit.generators.intake.measuring.turned import Numbers
from dryfit.models.geometry.bodies import Slice

FIRST, SECOND = (0, 1, 2), (1, 2, 0)  # the ends of the sides of a triangle, by its corners


@dataclass(frozen=True)
class Stray:
    """The point of a solid that stands furthest out of slices, mm, and by how much."""

    by: float
    x: float
    y: float
    z: float


def furthest_stray(corners: Numbers, triangles: NDArray[np.int64], slices: Sequence[Slice]) -> Stray:
    """Return where a solid's skin stands furthest out of slices; by 0 mm or less where they hold it."""
    levels = sorted({level for one in slices for level in (one.z0, one.z1)})
    skin = corners[triangles]
    worst = _beyond(corners, levels[0], levels[-1])
    for low, high in pairwise(levels):
        within = skin[(skin[:, :, 2].min(axis=1) < high - LEVEL) & (skin[:, :, 2].max(axis=1) > low + LEVEL)]
        if len(within):
            here = [one for one in slices if one.z0 <= low and high <= one.z1]
            pieces = _between(within, low, high)
            found = _out_of(pieces, here) if here else _in_a_gap(pieces, low, high)
            worst = max(worst, found, key=lambda stray: stray.by)
    return worst


def _beyond(corners: Numbers, low: float, high: float) -> Stray:
    """Return the corner that stands furthest above or below all slices."""
    return _stray(np.maximum(low - corners[:, 2], corners[:, 2] - high) - LEVEL, corners)


def _between(skin: Numbers, low: float, high: float) -> Numbers:
    """Return of each triangle (m, 3, 3) the corners of what of it lies between two levels: (m, 9, 3), some of them
    nan, which are none.
    """
    cuts = [np.where(_inside(skin, low, high)[:, :, None], skin, np.nan)]
    start, end = skin[:, FIRST], skin[:, SECOND]
    for level in (low, high):
        rise = end[:, :, 2] - start[:, :, 2]
        with np.errstate(divide="ignore", invalid="ignore"):
            share = (level - start[:, :, 2]) / rise
        share = np.where((share >= 0) & (share <= 1), share, np.nan)  # elsewhere the side does not cross it
        cuts.append(start + (end - start) * share[:, :, None])
    return np.concatenate(cuts, axis=1)


def _inside(skin: Numbers, low: float, high: float) -> NDArray[np.bool_]:
    level = skin[:, :, 2]
    return np.asarray((level >= low) & (level <= high))


def _out_of(pieces: Numbers, slices: Sequence[Slice]) -> Stray:
    """Return the point that stands furthest out of the slice that comes closest to holding its whole piece."""
    points = pieces.reshape(-1, 3)
    known = ~np.isnan(points[:, 0])
    best, at = np.full(len(pieces), np.inf), np.zeros(len(pieces), int)
    for one in slices:
        far = np.full(len(points), -np.inf)
        far[known] = off(points[known], one)
        furthest = far.reshape(len(pieces), -1)
        nearer = furthest.max(axis=1) < best
        best = np.where(nearer, furthest.max(axis=1), best)
        at = np.where(nearer, furthest.argmax(axis=1), at)
    return _stray(best, pieces[np.arange(len(pieces)), at])


def _in_a_gap(pieces: Numbers, low: float, high: float) -> Stray:
    """Return a point between two levels where there is no slice at all."""
    points = pieces[0][~np.isnan(pieces[0][:, 0])]
    return _stray(np.full(len(points), high - low), points)


def _stray(by: Numbers, points: Numbers) -> Stray:
    furthest = int(np.argmax(by))
    return Stray(float(by[furthest]), *(float(v) for v in points[furthest]))
