"""Hole patterns of pre-punched blank panels, by name."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from dryfit.models.geometry.points import Point
from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.fields import Length, PositiveLength, Record
from dryfit.models.reading.records import parse_record


class Pattern(Record):
    """A pre-punched pattern: main hole, and two fixing holes ``across`` and ``up`` apart on a diagonal."""

    hole: PositiveLength
    fixings: PositiveLength
    across: Length
    up: Length
    mirror: bool = False


class _PatternFile(Record):
    patterns: dict[str, Pattern]


@cache
def patterns() -> Mapping[str, Pattern]:
    """Return the patterns by name."""
    text = data_text("patterns.yaml")
    record, _ = parse_record("patterns.yaml", text, _PatternFile)
    return record.patterns


def diagonal(across: float, up: float, mirror: bool) -> tuple[Point, Point]:
    """Return two fixing holes on a diagonal: upper left and lower right, or the other one if mirrored."""
    hand = 1 if mirror else -1
    return (Point(hand * across / 2, up / 2), Point(-hand * across / 2, -up / 2))
