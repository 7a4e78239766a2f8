"""Metals of fasteners and parts: where each stands in the anodic index, and what a screw of it bears.

The anodic index is the voltage below gold, in V: of two metals in contact the one with the larger index corrodes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table


@dataclass(frozen=True)
class Metal:
    """A metal by what its surface is; ``proof`` is the stress in MPa that a screw of it bears, None if none is made."""

    name: str
    words: str
    anodic_index: float
    property_class: str | None
    proof: float | None
    source: str
    confidence: str


@dataclass(frozen=True)
class Environment:
    """Where a panel hangs, and how far apart two metals in contact may stand in the anodic index there, V."""

    name: str
    words: str
    apart: float
    source: str
    confidence: str


@cache
def metals() -> dict[str, Metal]:
    """Return the metals by name."""
    rows = read_table("fasteners/metals", Metal, plain=("anodic_index", "proof"))
    return {row.name: row for row in rows}


@cache
def environments() -> dict[str, Environment]:
    """Return the environments by name."""
    return {row.name: row for row in read_table("fasteners/environments", Environment, plain=("apart",))}
