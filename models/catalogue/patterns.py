"""Hole patterns of pre-punched blank panels: a record of ``data/patterns.yaml``, or of a part file of a user's own."""

from __future__ import annotations

from dryfit.models.geometry.points import Point
from dryfit.models.reading.fields import Length, PositiveLength, Record

TO_SUIT = "to suit"  # instead of a pattern: cut for each part


class Pattern(Record):
    """A pre-punched pattern: main hole, and two fixing holes ``across`` and ``up`` apart on a diagonal."""

    hole: PositiveLength
    fixings: PositiveLength
    across: Length
    up: Length
    mirror: bool = False


def diagonal(across: float, up: float, mirror: bool) -> tuple[Point, Point]:
    """Return two fixing holes on a diagonal: upper left and lower right, or the other one if mirrored."""
    hand = 1 if mirror else -1
    return (Point(hand * across / 2, up / 2), Point(-hand * across / 2, -up / 2))
