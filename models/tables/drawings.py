"""What drawings of others say by convention: their units, and what the names of their layers and line types mean."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table


@dataclass(frozen=True)
class DrawingUnit:
    """A unit that a DXF file may name, by its code."""

    code: int
    name: str
    mm: float
    source: str


@dataclass(frozen=True)
class LayerWord:
    """What a word that begins a part of a layer's name means: no metal, bend, countersink, rear."""

    word: str
    means: str
    source: str


@cache
def drawing_units() -> dict[int, DrawingUnit]:
    """Return the units of DXF files by their codes."""
    return {row.code: row for row in read_table("drawings/units", DrawingUnit, plain=("mm",))}


def meanings(name: str) -> frozenset[str]:
    """Return what a layer or line type is for, by the words of its name; of cut metal, nothing is said."""
    return frozenset(_meanings(name))


def _meanings(name: str) -> Iterator[str]:
    for part in re.findall(r"[^\W\d_]+", name.casefold()):
        yield from (row.means for row in _words() if part.startswith(row.word))


@cache
def _words() -> tuple[LayerWord, ...]:
    return read_table("drawings/words", LayerWord)
