"""Single-stroke lettering, for engravers whose tool follows the middle of each line: legends as open chains of points.

The strokes, with their source and licence, are in ``data/strokes.json``, in units of which a capital has 21; letters
with accents are put together from letter and mark. A legend keeps its height, and is narrowed where the strokes would
be wider than the outlines of its letters: the room of these is what was checked. All lengths mm.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from dryfit.generators.lettering.legends import Legend
from dryfit.models.geometry.points import Point
from dryfit.models.reading.datafiles import data_text

Chain = tuple[Point, ...]

SMALL = 14.0  # height of small letters without an ascender, in the units of the strokes
MARK_GAP = 3.0  # from a letter to the mark over it, in the same units
BELOW = 202  # combining class of marks attached below (Unicode character database)
ASCENDING = "bdfhklt"  # small letters as high as capitals


@dataclass(frozen=True)
class Sign:
    """A sign: how wide it is with the room beside it, and its strokes from its lower left, in units of its table."""

    width: float
    strokes: tuple[Chain, ...]


def strokes(legend: Legend) -> tuple[Chain, ...]:
    """Return a legend as open chains, where its outlines stand; nothing of a legend with signs that there are not."""
    if unstroked(legend.text):
        return ()
    unit = legend.height / _table()[2]
    placed, along = list[Chain](), 0.0
    for letter in legend.text:
        sign = _sign(letter)
        assert sign is not None  # else the legend has no strokes
        placed += (tuple(Point(p.x + along, p.y) for p in chain) for chain in sign.strokes)
        along += sign.width
    room = legend.outline.box
    narrow = min(1.0, room.width / (along * unit)) if along else 1.0
    start = Point(room.centre.x - along * unit * narrow / 2, legend.y)
    return tuple(tuple(Point(p.x * unit * narrow, p.y * unit) + start for p in chain) for chain in placed)


def unstroked(text: str) -> str:
    """Return the signs of a text that have no single strokes."""
    return "".join(sorted({letter for letter in text if _sign(letter) is None}))


@cache
def _sign(letter: str) -> Sign | None:
    """Return a sign as it is in the table, or put together from a letter and its marks; None if there is none."""
    signs, marks, capital = _table()
    base, *accents = list(unicodedata.normalize("NFD", letter))
    if letter in signs or base not in signs or not all(accent in marks for accent in accents):
        return signs.get(letter)
    low = base.islower() and base not in ASCENDING
    over = Point(signs[base].width / 2, (SMALL if low else capital) + MARK_GAP)
    raised = (tuple(p + _at(accent, over, capital) for p in chain) for accent in accents for chain in marks[accent])
    return Sign(signs[base].width, (*signs[base].strokes, *raised))


def _at(accent: str, over: Point, capital: float) -> Point:
    """Return where a mark stands: over its letter, or where it hangs below the line, there."""
    return Point(over.x, capital) if unicodedata.combining(accent) == BELOW else over


@cache
def _table() -> tuple[dict[str, Sign], dict[str, tuple[Chain, ...]], float]:
    """Return signs and marks, and the height of a capital."""
    data = json.loads(data_text("strokes.json"))
    signs = {
        sign: Sign(width, tuple(_chains(drawn))) for sign, (width, drawn) in {**data["signs"], **data["own"]}.items()
    }
    marks = {mark: tuple(_chains(drawn)) for mark, drawn in data["marks"].items()}
    return signs, marks, float(data["capital"])


def _chains(drawn: list[list[list[float]]]) -> Iterator[Chain]:
    yield from (tuple(Point(x, y) for x, y in chain) for chain in drawn)
