"""Screws, nuts and washers by name: as an order has them, and as people write them on a drawer.

``Pan head screw ISO 7045 - M3 x 10 - H``, ``M3 x 10 pan``, ``4-40 x 3/8 in slotted flat head screw``, ``M3 nut``,
``M3 toothed washer``. What could mean two things is no name: a screw says its head, and nothing else is guessed but the
usual drive, the hexagon nut and, of several standards, the one that comes first in the tables.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import SAME_WRITTEN, parse_length
from dryfit.models.tables.heads import Head, heads
from dryfit.models.tables.nuts import Nut, nuts
from dryfit.models.tables.rivets import rivets
from dryfit.models.tables.screws import Screw, length_name, riveted
from dryfit.models.tables.threads import Thread, lengths, thread, threads
from dryfit.models.tables.washers import Washer, washers

Article = Screw | Nut | Washer
METALS = ("steel", "zinc", "stainless", "brass", "nickel")  # that may stand after a comma, as the parts list has it
PLAIN_NUT = "hexagon"

_THREAD = re.compile(
    r"\b(?:m\d+(?:\.\d+)?|st\d\.\d)(?=\b|x)|(?:\bno\.?\s*|#)?\b\d{1,2}\s*-\s*\d{2}\b|(?:\bno\.?\s*|#)\d{1,2}\b"
)
_LENGTH = re.compile(r"^\s*(?:[x×*]\s*)((?:\d+\s+)?\d+(?:/\d+|\.\d+)?)\s*(mm|inch|in\b|\")?")
_STANDARD = re.compile(r"\b(?:iso|din|asme)\s*[a-z]?\d[\d.]*(?:-\d+)?")


@dataclass(frozen=True)
class Named:
    """An article and, where one is said, the metal it is of: ``name`` is that of the parts list."""

    article: Article
    metal: str = ""

    @property
    def name(self) -> str:
        """The designation, with the metal after a comma."""
        return f"{self.article.designation}{', ' * bool(self.metal)}{self.metal}"


@cache
def articles() -> dict[str, Article]:
    """Return every screw in every length sold, every nut, washer and rivet, by its designation."""
    return {article.designation: article for article in _all()}


def _all() -> Iterator[Article]:
    for row in threads():
        for head in heads(row.name):
            yield from (Screw(row, head, length) for length in lengths(row.name))
        yield from nuts(row.name)
        yield from washers(row.name)
    for name in dict.fromkeys(row.name for row in rivets()):
        yield from riveted(name)


def named(text: str) -> Named:
    """Return what a name means.

    Raises:
        UnknownName: if it is none, or could mean several things, with the nearest that there is.
    """
    found = understood(text)
    if found is None:
        raise UnknownName("screw, nut or washer", text, _near(text))
    return found


def understood(text: str) -> Named | None:
    """Return what a name means; None where it is none, or could mean several things."""
    body, metal = _without_metal(" ".join(text.split()))
    exact = _by_folded().get(body.casefold())
    article = exact if exact is not None else _spelled(body.casefold())
    return None if article is None else Named(article, metal)


@cache
def _by_folded() -> dict[str, Article]:
    """Return the articles by all that names them whole; of several with one short name the first is the usual one."""
    usual = {short(article).casefold(): article for article in reversed(articles().values())}
    return usual | {name.casefold(): article for name, article in articles().items()}


def _without_metal(text: str) -> tuple[str, str]:
    """Return a name without the metal that it ends with, and that metal; with or without a comma between them."""
    words = text.split(" ")
    last = words[-1].casefold()
    return (" ".join(words[:-1]).rstrip(","), last) if last in METALS and len(words) > 1 else (text, "")


def _near(text: str) -> tuple[str, ...]:
    """Return the short names of all articles of the thread that a text names; without one nothing is near."""
    found = _THREAD.search(text.casefold())
    row = _thread(found.group()) if found is not None else None
    return tuple(dict.fromkeys(short(of) for of in articles().values() if row is not None and _of(of) == row.name))


def _of(article: Article) -> str:
    return article.thread.name if isinstance(article, Screw) else article.thread


def short(article: Article) -> str:
    """Return an article as people say it: ``M3 x 10 mm pan screw``, ``M3 hexagon nut``, ``No. 4-40 split washer``."""
    if isinstance(article, Screw) and article.rivet is not None:
        return article.designation
    if isinstance(article, Screw):
        length = length_name(article.length, article.thread.system)
        return f"{article.thread.name} x {length} {article.head.kind} screw"
    item = "washer" if isinstance(article, Washer) else "nut"
    return f"{article.thread} {article.kind}{'' if article.kind.endswith(item) else f' {item}'}"


# --- as people write it ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Words:
    """Words of the trade and what they say: of which item, of what kind, with what drive."""

    words: str
    item: str
    kind: str | None
    drive: str | None
    source: str
    confidence: str


@cache
def _words() -> tuple[_Words, ...]:
    """Return the words, the longest first: ``tooth washer nut`` is no washer."""
    return tuple(sorted(read_table("fasteners/words", _Words), key=lambda row: -len(row.words)))


def _spelled(text: str) -> Article | None:
    """Return the article that a text describes by thread, length and words."""
    at = _THREAD.search(text)
    row = _thread(at.group()) if at is not None else None
    if at is None or row is None:
        return None
    length = _LENGTH.match(text[at.end() :])
    rest = f"{text[: at.start()]} {text[at.end() + (length.end() if length else 0) :]}"
    standard = _STANDARD.search(rest)
    said = _said(_STANDARD.sub(" ", rest))
    if said is None:
        return None
    made = standard.group() if standard is not None else ""
    return _screw(row, length, said, made) if length else _other(row, said, made)


def _thread(text: str) -> Thread | None:
    try:
        return thread(text)
    except UnknownName:
        return None


def _said(text: str) -> tuple[_Words, ...] | None:
    """Return what the words of a text say; None where one is not known."""
    left, said = f" {' '.join(re.sub('[,;()]', ' ', text).split())} ", []
    for row in _words():
        if f" {row.words} " in left:
            left = left.replace(f" {row.words} ", " ", 1)
            said.append(row)
    return None if left.strip(" -") else tuple(said)


def _only(values: Iterator[str | None]) -> tuple[bool, str | None]:
    """Return whether values do not speak against each other, and the one that is said, if any."""
    told = {value for value in values if value is not None}
    return len(told) <= 1, next(iter(told), None)


def _screw(row: Thread, length: re.Match[str], said: Sequence[_Words], standard: str) -> Screw | None:
    agree, kind = _only(words.kind for words in said)
    of_drive, drive = _only(words.drive for words in said)
    if not agree or not of_drive or any(words.item != "screw" for words in said):
        return None
    wanted = [h for h in heads(row.name, kind) if drive in (None, h.drive_kind) and _is_made_by(h, standard)]
    if len({head.kind for head in wanted}) != 1:
        return None
    inches = row.system == "inch" and not length[2]
    size = parse_length(f"{length[1]} {'in' if inches else length[2] or 'mm'}")
    sold = next((one for one in lengths(row.name) if abs(one - size) < SAME_WRITTEN), None)
    return None if sold is None else Screw(row, wanted[0], sold)


def _other(row: Thread, said: Sequence[_Words], standard: str) -> Nut | Washer | None:
    agree, kind = _only(words.kind for words in said)
    of_one, item = _only(words.item for words in said)
    if not agree or not of_one or (kind is None and not standard and item != "nut"):
        return None
    if item == "washer":
        wanted: list[Nut | Washer] = [w for w in washers(row.name, kind) if _is_made_by(w, standard)]
    elif item == "nut" or (item is None and standard):
        of_kind = nuts(row.name, kind or (None if standard else PLAIN_NUT))
        wanted = [nut for nut in of_kind if _is_made_by(nut, standard)]
    else:
        return None
    return wanted[0] if wanted and len({one.kind for one in wanted}) == 1 else None


def _is_made_by(row: Head | Nut | Washer, standard: str) -> bool:
    """Whether a row is of a standard, said with or without its part; of any where none is said."""
    name = "".join(standard.split())
    own = "".join(row.standard.casefold().split())
    return not name or own == name or own.startswith(f"{name}-")
