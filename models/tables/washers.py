"""Washers at their largest unless a name says ``_min``, and which of them bite. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from dryfit.models.geometry.once import hashed_once
from dryfit.models.reading.tables import read_table
from dryfit.models.tables.designations import designation
from dryfit.models.tables.threads import of_thread, thread

PAIRS_KEPT = 256  # of thread and kind: all there are, with room to spare


@hashed_once
@dataclass(frozen=True)
class Washer:
    """A washer, its thickness as clamped. ``form`` is the letter or words by which its standard tells forms apart."""

    thread: str
    kind: str
    standard: str
    form: str | None
    size: str  # as an order writes it: 3, No. 4
    inner: float
    inner_max: float | None
    outer: float
    outer_min: float | None
    thickness: float
    thickness_min: float | None
    thickness_max: float | None
    source: str
    confidence: str

    @property
    def designation(self) -> str:
        """The washer as an order names it: ``Plain washer ISO 7089 - 3``, ``No. 4 internal tooth lock washer, ...``."""
        system = thread(self.thread).system
        return designation("washer", self.kind, self.standard, system, form=self.form, size=self.size)


@dataclass(frozen=True)
class WasherKind:
    """A kind of washer; one that ``bites`` goes through a coating to the metal under it."""

    kind: str
    bites: bool
    source: str
    confidence: str


@lru_cache(PAIRS_KEPT)
def washers(thread: str | None = None, kind: str | None = None) -> tuple[Washer, ...]:
    """Return the washers of a thread and kind (None: all)."""
    rows = _washers() if thread is None else of_thread(_washers(), thread)
    return tuple(washer for washer in rows if kind in (None, washer.kind))


@cache
def _washers() -> tuple[Washer, ...]:
    return read_table("fasteners/washers", Washer)


@cache
def washer_kinds() -> dict[str, WasherKind]:
    """Return the kinds of washers by name."""
    return {row.kind: row for row in read_table("fasteners/washer_kinds", WasherKind)}
