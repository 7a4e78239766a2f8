"""Where a dimension comes from, how far that can be trusted, and how far its sources differ.

A part file writes ``flange: name of a source``, with a name of ``data/sources.csv`` or in words of its own, or
``flange: {source: ..., least: ..., greatest: ...}`` where sources differ. What follows from another dimension of the
same record says so: ``seat: {of: front.0.depth, plus: 0.2 mm}``; it is as good as that one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args

from pydantic import model_validator

from dryfit.models.reading.errors import said
from dryfit.models.reading.fields import Coordinate, PositiveLength, Record, Text
from dryfit.models.reading.tables import read_table

Confidence = Literal["confirmed", "quoted", "common practice", "as stated", "from memory", "allowance", "reckoned"]
CONFIDENCES: tuple[Confidence, ...] = get_args(Confidence)
"""From the best to the poorest: read in a source that anybody can open; a standard as quoted second hand; what the
trade does; in the words of a user's own part file; nobody has looked it up: measure first. Beside these: room that is
asked for, which is no dimension of the part; and what follows from another dimension."""

HOLES = ("cutout", "fixings.at", "fixings.panel")  # dimensions of what a shop cuts, by the beginning of their paths
SOURCES = "sources"  # the key of a record under which they stand
SOURCE = "source"  # the keys that tell a source, or what a dimension follows from, from a mapping of dimensions
OF = "of"
_IN_WORDS: dict[str, Confidence] = {
    "standard:": "quoted",
    "common practice": "common practice",
    "from memory": "from memory",
    "allowance": "allowance",
}


@dataclass(frozen=True)
class KnownSource:
    """One row of the table of sources: its short name, where to find it, and its confidence."""

    name: str
    source: str
    confidence: str


@cache
def known_sources() -> Mapping[str, KnownSource]:
    """Return the sources of the catalogue by their short names."""
    return {row.name: row for row in read_table("sources", KnownSource)}


class Source(Record):
    """Where a dimension comes from; ``least`` and ``greatest`` (mm) where sources differ on it.

    ``of`` is the path of the dimension that it follows from, ``plus`` (mm) what is added to that.
    """

    source: Text
    confidence: Confidence
    least: PositiveLength | None = None
    greatest: PositiveLength | None = None
    of: Text | None = None
    plus: Coordinate = 0.0

    @model_validator(mode="before")
    @classmethod
    def _looked_up(cls, value: object) -> object:
        written = {SOURCE: value} if isinstance(value, str) else value
        if not isinstance(written, Mapping) or (SOURCE in written) == (OF in written):
            raise ValueError(f"{said(value)} names no source; write it in words, or source, least and greatest")
        rest = {key: found for key, found in written.items() if key != SOURCE}
        return {**(_known(str(written[SOURCE])) if SOURCE in written else _reckoned(written)), **rest}

    @model_validator(mode="after")
    def _ordered(self) -> Source:
        if self.least is not None and self.greatest is not None and self.least > self.greatest:
            raise ValueError(f"the least, {self.least:g} mm, is more than the greatest, {self.greatest:g} mm")
        return self


def _known(words: str) -> dict[str, Any]:
    row = known_sources().get(words)
    if row is not None:
        return {SOURCE: row.source, "confidence": row.confidence}
    found = [grade for start, grade in _IN_WORDS.items() if words.startswith(start)]
    return {SOURCE: words, "confidence": found[0] if found else "as stated"}


def _reckoned(written: Mapping[Any, Any]) -> dict[str, Any]:
    """Return the words for what follows from another dimension."""
    return {SOURCE: f"follows from {written[OF]}", "confidence": "reckoned"}
