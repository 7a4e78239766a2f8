"""Where a dimension comes from, how far that can be trusted, and how far its sources differ.

A part file writes ``flange: name of a source``, with a name of ``data/sources.csv`` or in words of its own, or
``flange: {source: ..., least: ..., greatest: ...}`` where sources differ.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args

from pydantic import model_validator

from dryfit.models.reading.errors import said
from dryfit.models.reading.fields import PositiveLength, Record, Text
from dryfit.models.reading.tables import read_table

Confidence = Literal["confirmed", "quoted", "common practice", "as stated", "from memory"]
CONFIDENCES: tuple[Confidence, ...] = get_args(Confidence)
"""From the best to the poorest: read in a source that anybody can open; a standard as quoted second hand; what the
trade does; in the words of a user's own part file; nobody has looked it up: measure first."""

SOURCE = "source"  # the key that tells a source with its range from a mapping of dimensions
_IN_WORDS: dict[str, Confidence] = {
    "standard:": "quoted",
    "common practice": "common practice",
    "from memory": "from memory",
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
    """Where a dimension comes from; ``least`` and ``greatest`` (mm) where sources differ on it."""

    source: Text
    confidence: Confidence
    least: PositiveLength | None = None
    greatest: PositiveLength | None = None

    @model_validator(mode="before")
    @classmethod
    def _looked_up(cls, value: object) -> object:
        written = {SOURCE: value} if isinstance(value, str) else value
        if not isinstance(written, Mapping) or SOURCE not in written:
            raise ValueError(f"{said(value)} names no source; write it in words, or source, least and greatest")
        return {**_known(str(written[SOURCE])), **{k: v for k, v in written.items() if k != SOURCE}}

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
