"""Designations: how each standard has a fastener ordered."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table


@dataclass(frozen=True)
class _Designation:
    item: str  # screw, nut, washer, rivet
    kind: str
    drive: str | None
    standard: str
    system: str
    pattern: str  # with {size}, {form}, ... where they go
    source: str
    confidence: str


def designation(
    item: str, kind: str, standard: str, system: str, drive_kind: str | None = None, **sizes: str | None
) -> str:
    """Return a fastener as an order names it, by the pattern of its standard.

    Raises:
        KeyError: where no row of the table says how.
    """
    return _patterns()[item, kind, drive_kind, standard, system].format(**sizes)


@cache
def _patterns() -> dict[tuple[str, str, str | None, str, str], str]:
    rows = read_table("fasteners/designations", _Designation)
    return {(row.item, row.kind, row.drive, row.standard, row.system): row.pattern for row in rows}
