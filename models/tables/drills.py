"""Drills, hole saws and punches as sold. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import SAME_LENGTH


@dataclass(frozen=True)
class Drill:
    """A drill, hole saw or punch as sold."""

    name: str
    family: str  # metric, fraction, number or letter
    diameter: float
    source: str
    confidence: str


@cache
def drills(family: str | None = None) -> tuple[Drill, ...]:
    """Return the drills of a family (None: all), in order of diameter."""
    rows = sorted(read_table("fasteners/drills", Drill), key=lambda drill: drill.diameter)
    return tuple(drill for drill in rows if family in (None, drill.family))


def next_drill_at_least(diameter: float, family: str | None = None) -> Drill:
    """Return the smallest drill that is no smaller than ``diameter``.

    Raises:
        UnknownName: where none is sold as large.
    """
    for drill in drills(family):
        if drill.diameter >= diameter - SAME_LENGTH:
            return drill
    raise UnknownName("drill", f"{diameter:.2f} mm", ())
