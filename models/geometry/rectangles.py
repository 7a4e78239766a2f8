"""Upright rectangles: what bounds an outline, a mark on a drawing, a tile. All lengths mm, x right, y up."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from dryfit.models.geometry.points import Point


class Size(NamedTuple):
    """How wide and how high something is."""

    width: float
    height: float

    def scaled(self, by: float) -> Size:
        """Return the size scaled."""
        return Size(self.width * by, self.height * by)

    def fits(self, room: tuple[float, float]) -> bool:
        """Whether something of this size goes into a room of that size."""
        return self.width <= room[0] and self.height <= room[1]


class Rectangle(NamedTuple):
    """An upright rectangle by its four sides."""

    left: float
    bottom: float
    right: float
    top: float

    @classmethod
    def around(cls, parts: Iterable[Rectangle]) -> Rectangle:
        """Return the least rectangle that holds all parts (at least one)."""
        left, bottom, right, top = zip(*parts, strict=True)
        return cls(min(left), min(bottom), max(right), max(top))

    @classmethod
    def around_points(cls, points: Iterable[tuple[float, float]]) -> Rectangle:
        """Return the least rectangle that holds all points (at least one)."""
        xs, ys = zip(*points, strict=True)
        return cls(min(xs), min(ys), max(xs), max(ys))

    @classmethod
    def at(cls, corner: tuple[float, float], size: tuple[float, float]) -> Rectangle:
        """Return the rectangle of a size that has its lower left corner at a point."""
        return cls(corner[0], corner[1], corner[0] + size[0], corner[1] + size[1])

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    @property
    def size(self) -> Size:
        """Width and height."""
        return Size(self.right - self.left, self.top - self.bottom)

    @property
    def corner(self) -> Point:
        """The lower left corner."""
        return Point(self.left, self.bottom)

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing between its sides."""
        return not (self.right > self.left and self.top > self.bottom)

    def span(self, axis: int) -> tuple[float, float]:
        """Return from where to where it reaches along x (0) or y (1)."""
        return (self.bottom, self.top) if axis else (self.left, self.right)

    def moved(self, dx: float, dy: float) -> Rectangle:
        """Return the rectangle shifted by (dx, dy)."""
        return Rectangle(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)

    def scaled(self, by: float) -> Rectangle:
        """Return the rectangle scaled about the origin."""
        return Rectangle(self.left * by, self.bottom * by, self.right * by, self.top * by)

    def mirrored(self) -> Rectangle:
        """Return the rectangle mirrored left to right."""
        return Rectangle(-self.right, self.bottom, -self.left, self.top)

    def grown(self, by: float) -> Rectangle:
        """Return the rectangle with every side moved outwards; negative moves inwards."""
        return Rectangle(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def overlaps(self, other: Rectangle, margin: float = 0.0) -> bool:
        """Whether two rectangles come closer than a margin to each other, along both axes."""
        return (
            self.left < other.right + margin and other.left < self.right + margin
            and self.bottom < other.top + margin and other.bottom < self.top + margin
        )  # fmt: skip

    def holds(self, other: Rectangle, margin: float = 0.0) -> bool:
        """Whether another rectangle lies within this one and keeps a margin to its sides."""
        return (
            self.left + margin <= other.left and other.right <= self.right - margin
            and self.bottom + margin <= other.bottom and other.top <= self.top - margin
        )  # fmt: skip

    def gap_to(self, other: Rectangle) -> float:
        """Return how far apart two rectangles are; minus infinity where they overlap."""
        across = max(other.left - self.right, self.left - other.right)
        up = max(other.bottom - self.top, self.bottom - other.top)
        if across < 0 and up < 0:
            return -math.inf
        return math.hypot(max(across, 0.0), max(up, 0.0))
