"""Screw heads, at their largest unless a name says ``_min``, and what turns them. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from dryfit.models.reading.tables import read_table
from dryfit.models.tables.threads import of_thread

PAIRS_KEPT = 256  # of thread and kind: all there are, with room to spare


@dataclass(frozen=True)
class Head:
    """A screw head. ``theoretical`` is where the cone would be sharp; ``crown`` is what a raised head adds."""

    thread: str
    kind: str
    standard: str
    drive_kind: str  # cross recess, slot, hexagon socket
    drive_size: str | None  # H size 1, 2 mm; a slot has none
    angle: float | None  # degrees; None: flat underneath
    angle_min: float | None
    angle_max: float | None
    diameter: float
    diameter_min: float
    theoretical: float | None
    height: float
    height_min: float | None
    crown: float
    source: str
    confidence: str

    @property
    def drive(self) -> str:
        """The drive in words: ``cross recess H size 1``."""
        return self.drive_kind if self.drive_size is None else f"{self.drive_kind} {self.drive_size}"

    @property
    def tool(self) -> str:
        """What turns it: ``cross-recess driver No. 1 (type H, ISO 4757)``."""
        return _tools()[self.drive_kind, self.drive_size]


@dataclass(frozen=True)
class _Drive:
    kind: str
    size: str | None
    tool: str
    source: str
    confidence: str


@lru_cache(PAIRS_KEPT)
def heads(thread: str | None = None, kind: str | None = None) -> tuple[Head, ...]:
    """Return the heads of a thread and kind (None: all), those with a cross recess first."""
    rows = _heads() if thread is None else of_thread(_heads(), thread)
    return tuple(head for head in rows if kind in (None, head.kind))


@cache
def _heads() -> tuple[Head, ...]:
    return read_table("fasteners/heads", Head, plain=("angle", "angle_min", "angle_max"), zero=("crown",))


@cache
def _tools() -> dict[tuple[str, str | None], str]:
    return {(row.kind, row.size): row.tool for row in read_table("fasteners/drives", _Drive)}
