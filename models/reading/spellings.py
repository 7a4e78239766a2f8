"""Spellings: what people write for a name, be it in British or American, in capitals or in the trade's short forms."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache

from dryfit.models.reading.tables import read_table

_APART = re.compile(r"[\s_-]+")


@dataclass(frozen=True)
class Spelling:
    """What may be written for a name, by the kind of name; ``means`` is empty where it is a word by itself."""

    kind: str
    written: str
    means: str | None


def plainly(text: str) -> str:
    """Return text without what makes no difference: capitals, hyphens, underscores, more than one space."""
    return _APART.sub(" ", text.strip()).casefold()


def meant(kind: str, written: str, names: Iterable[str]) -> str:
    """Return the name of a kind that is meant by what is written; what is written, where it means none of them."""
    known = tuple(names)
    return written if written in known else by_spelling(kind, known).get(plainly(written), written)


@lru_cache(maxsize=64)
def by_spelling(kind: str, names: tuple[str, ...]) -> dict[str, str]:
    """Return the names of a kind by all that may be written for them, plainly."""
    own = {plainly(name): name for name in names}
    other = {written: own[plainly(name)] for written, name in _spellings(kind).items() if plainly(name) in own}
    return other | own


_COUNTED = re.compile(r"\s*(?P<number>.*?)\s*(?P<word>[a-z]+\.?|[%°])\s*", re.ASCII | re.IGNORECASE)


def counted(value: object, kind: str) -> str | None:
    """Return the number before a word of a kind (``2U``, ``16 ga``); None where no such word is written."""
    match = _COUNTED.fullmatch(value) if isinstance(value, str) else None
    return match["number"] if match is not None and plainly(match["word"]) in _spellings(kind) else None


def whole(value: object, kind: str) -> object:
    """Return how many of a kind are meant, a whole number below a thousand; the value itself where that is not said."""
    number = counted(value, kind)
    return int(number) if number is not None and number.isdigit() and len(number) < 4 else value


@cache
def _spellings(kind: str) -> dict[str, str]:
    """Return the spellings of a kind, plainly written, with the names they mean."""
    return {plainly(row.written): row.means or "" for row in read_table("spellings", Spelling) if row.kind == kind}
