"""Parts found by the words that people have for them: those of their names and titles, and the everyday ones.

An everyday word (``data/part_words.csv``) stands for words of names and titles, so that it finds a user's own parts as
well: who asks for ``ethernet`` finds all that is called ``8P8C``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.reading.errors import nearest_name
from dryfit.models.reading.tables import read_table

MOST_TOLD = 3  # parts named in a message; more would bury it
SLIP, FAR = 0.75, 0.5  # share of letters that a slip of the pen leaves; and what still reads a little like a name
LONGEST_QUERY = 200  # letters looked at; nobody means more
_WORD = re.compile(r"\w+(?:[./]\w+)*")
_LETTERS_AND_NUMBER = re.compile(r"([^\W\d]+)([\d./]+)")

Words = tuple[str, ...]


@dataclass(frozen=True)
class Everyday:
    """A row of the table: an everyday word, or a few that belong together, and the words of names that it finds."""

    word: str
    finds: str
    source: str


@dataclass(frozen=True)
class Found:
    """The names that most of the words lead to, and the words that lead to none of these."""

    names: tuple[str, ...]
    missed: tuple[str, ...] = ()

    @property
    def whole(self) -> tuple[str, ...]:
        """The names, if every word leads to them."""
        return () if self.missed else self.names


@cache
def everyday() -> Mapping[Words, tuple[Words, ...]]:
    """Return what each everyday word stands for: one or more sets of words of a name or title."""
    found: dict[Words, tuple[Words, ...]] = {}
    for row in read_table("part_words", Everyday):
        found[split(row.word)] = (*found.get(split(row.word), ()), split(row.finds))
    return found


def split(text: str) -> Words:
    """Return the words of a text: ``6.35 mm jack, D-sub`` gives 6.35, mm, jack, d, sub."""
    return tuple(_WORD.findall(text.casefold()[:LONGEST_QUERY]))


def texts(records: Mapping[str, Part | Plug]) -> dict[str, str]:
    """Return what parts or plugs are looked for in: name, title and family."""
    return {name: f"{name} {one.title} {getattr(one, 'family', '')}" for name, one in records.items()}


def find(query: str, among: Mapping[str, str]) -> Found:
    """Return the names that most words of a query lead to, by the text of each name."""
    clauses = tuple(_clauses(split(query)))
    held = {name: frozenset(_with_halves(split(text))) for name, text in among.items()}
    hits = {name: [any(words.issuperset(way) for way in ways) for _, ways in clauses] for name, words in held.items()}
    best = max(map(sum, hits.values()), default=0)
    if best == 0:
        return Found((), tuple(word for word, _ in clauses))
    names = tuple(name for name, hit in hits.items() if sum(hit) == best)
    missed = (word for n, (word, _) in enumerate(clauses) if not any(hits[name][n] for name in names))
    return Found(names, tuple(missed))


def _with_halves(words: Words) -> Iterator[str]:
    """Yield words, and of letters with a number behind them both halves: ``xlr3`` is found as xlr, ``M16`` as 16."""
    for word in words:
        yield word
        halves = _LETTERS_AND_NUMBER.fullmatch(word)
        yield from halves.groups() if halves is not None else ()


def _clauses(words: Words) -> Iterator[tuple[str, tuple[Words, ...]]]:
    """Yield the parts of a query as they are written, each with all the ways in which it can be found."""
    longest = max(map(len, everyday()))
    while words:
        for count in range(min(longest, len(words)), 0, -1):
            ways = _ways(words[:count])
            if ways or count == 1:
                yield " ".join(words[:count]), (words[:count], *ways)
                words = words[count:]
                break


def _ways(words: Words) -> tuple[Words, ...]:
    """Return what an everyday word stands for, be it one or more of the thing: ``speakers``."""
    one = (*words[:-1], words[-1].removesuffix("s"))
    return everyday().get(words) or everyday().get(one) or ()


def suggested(name: str, among: Mapping[str, str]) -> str:
    """Return what may be meant by a name that is none: parts that its words lead to, or the one that reads most alike.

    Of many parts the first are told, and how to see all of them.
    """
    found = find(name, among)
    slip = "" if found.whole else nearest_name(name, tuple(among), SLIP if found.names else FAR)
    if slip or not found.names:
        return slip
    names = found.names
    more = f" or more: `dryfit parts --find {' '.join(split(name))}`"
    return _or(names) if len(names) <= MOST_TOLD else ", ".join(names[:MOST_TOLD]) + more


def _or(names: Sequence[str]) -> str:
    return " or ".join(filter(None, (", ".join(names[:-1]), names[-1])))
