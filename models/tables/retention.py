"""What keeps screws from working loose, and what builders have at hand."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table


@dataclass(frozen=True)
class Retention:
    """A way of keeping a screw from working loose, and what to know of it."""

    keeps: str
    advice: str
    source: str
    confidence: str


@dataclass(frozen=True)
class RetentionWay:
    """What a way of keeping a screw is made of: the kind of its nut, and of its washers from the panel outwards."""

    keeps: str
    nut: str
    washer: str | None
    second_washer: str | None
    source: str
    confidence: str

    @property
    def washers(self) -> tuple[str, ...]:
        """The kinds of its washers, from the panel outwards."""
        return tuple(kind for kind in (self.washer, self.second_washer) if kind is not None)


@dataclass(frozen=True)
class _Usual:
    item: str
    name: str
    source: str
    confidence: str


@cache
def retentions() -> dict[str, Retention]:
    """Return what there is to know of each way that keeps a screw from working loose."""
    return {row.keeps: row for row in read_table("fasteners/retention", Retention)}


@cache
def retention_ways() -> dict[str, tuple[RetentionWay, ...]]:
    """Return what each way of keeping a screw may be made of, the better first."""
    rows = read_table("fasteners/retention_ways", RetentionWay)
    return {keeps: tuple(row for row in rows if row.keeps == keeps) for keeps in dict.fromkeys(r.keeps for r in rows)}


@cache
def usual(item: str) -> tuple[str, ...]:
    """Return the threads (``thread``) or kinds of heads (``head``) that builders have at hand, best first."""
    return tuple(row.name for row in read_table("fasteners/usual", _Usual) if row.item == item)
