"""Boxes in space: what bounds a body. All lengths mm, panel axes."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from typing import NamedTuple

from dryfit.models.geometry.rectangles import Rectangle


class Box(NamedTuple):
    """A box by its lowest and its highest corner."""

    x0: float
    y0: float
    z0: float
    x1: float
    y1: float
    z1: float

    @classmethod
    def around(cls, parts: Iterable[Box]) -> Box:
        """Return the least box that holds all parts (at least one)."""
        x0, y0, z0, x1, y1, z1 = zip(*parts, strict=True)
        return cls(min(x0), min(y0), min(z0), max(x1), max(y1), max(z1))

    @property
    def plan(self) -> Rectangle:
        """What it covers, seen from the front."""
        return Rectangle(self.x0, self.y0, self.x1, self.y1)

    def overlaps(self, other: Box) -> bool:
        """Whether two boxes share room."""
        return self.plan.overlaps(other.plan) and self.z0 < other.z1 and other.z0 < self.z1

    @property
    def corners(self) -> tuple[tuple[float, float, float], ...]:
        """Its eight corners."""
        return tuple(itertools.product((self.x0, self.x1), (self.y0, self.y1), (self.z0, self.z1)))
