"""Whether slices hold a solid: every corner of its mesh lies in one of them."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from dryfit.generators.intake.measuring.hulls import outside
from dryfit.generators.intake.measuring.turned import Numbers
from dryfit.models.geometry.bodies import Slice, Straight

LEVEL = 0.003  # mm by which a corner may miss the level it is written at


def strays(points: Numbers, slices: Iterable[Slice]) -> float:
    """Return how far (mm) the furthest of points (n, 3) lies out of the slice that comes closest to holding it."""
    least = np.full(len(points), np.inf)
    for one in slices:
        level = np.maximum(np.maximum(one.z0 - points[:, 2], points[:, 2] - one.z1) - LEVEL, 0.0)
        least = np.minimum(least, np.maximum(off(points, one), level))
    return float(max(least.max(initial=0.0), 0.0))


def off(points: Numbers, one: Slice) -> Numbers:
    """Return how far points lie out of the profile of a slice, at their own height; below zero within."""
    if isinstance(one.profile, Straight):
        return outside(points[:, :2], one.profile.outline)
    share = np.clip((points[:, 2] - one.z0) / (one.z1 - one.z0), 0.0, 1.0)
    radius = (one.profile.low + (one.profile.high - one.profile.low) * share) / 2
    return np.asarray(np.hypot(points[:, 0] - one.profile.x, points[:, 1] - one.profile.y) - radius)
