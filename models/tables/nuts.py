"""Nuts at their largest unless a name says ``_min``, how they are turned and whether they lock. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from dryfit.models.geometry.once import hashed_once
from dryfit.models.reading.tables import read_table
from dryfit.models.tables.designations import designation
from dryfit.models.tables.threads import of_thread, thread

PAIRS_KEPT = 256  # of thread and kind: all there are, with room to spare


@dataclass(frozen=True)
class Driver:
    """A nut driver: name, size across flats, and its outside diameter."""

    driver: str
    across: float
    outside: float
    source: str
    confidence: str


@hashed_once
@dataclass(frozen=True)
class Nut:
    """A hexagon nut, with any captive washer or insert in its height."""

    thread: str
    kind: str
    standard: str
    across_flats: float
    across_flats_min: float
    corners: float
    corners_min: float | None
    height: float
    height_min: float
    driver: str
    source: str
    confidence: str

    @property
    def driver_outside(self) -> float:
        """Outside diameter of the nut driver for this nut."""
        return drivers()[self.driver].outside

    @property
    def designation(self) -> str:
        """The nut as an order names it: ``Hexagon nut ISO 4032 - M3``, ``4-40 hex machine screw nut, ASME B18.2.2``."""
        of = thread(self.thread)
        return designation("nut", self.kind, self.standard, of.system, size=of.size)


@dataclass(frozen=True)
class NutKind:
    """A kind of nut; ``keeps`` is the way of keeping a screw from working loose that it is by itself, if it is one."""

    kind: str
    keeps: str | None
    source: str
    confidence: str


@lru_cache(PAIRS_KEPT)
def nuts(thread: str | None = None, kind: str | None = None) -> tuple[Nut, ...]:
    """Return the nuts of a thread and kind (None: all)."""
    rows = _nuts() if thread is None else of_thread(_nuts(), thread)
    return tuple(nut for nut in rows if kind in (None, nut.kind))


@cache
def _nuts() -> tuple[Nut, ...]:
    return read_table("fasteners/nuts", Nut)


@cache
def nut_kinds() -> dict[str, NutKind]:
    """Return the kinds of nuts by name."""
    return {row.kind: row for row in read_table("fasteners/nut_kinds", NutKind)}


@cache
def drivers() -> dict[str, Driver]:
    """Return the nut drivers by name."""
    return {row.driver: row for row in read_table("fasteners/nut_drivers", Driver)}
