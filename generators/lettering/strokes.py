"""Single-stroke lettering, for engravers whose tool follows the middle of each line: legends as open chains of points.

The signs are described in ``data/strokes.yaml``, in tenths of the height of a capital; letters with accents are put
together from letter and mark. A legend keeps its height, and is narrowed where the strokes would be wider than the
outlines of its letters: the room of these is what was checked. All lengths mm.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from dryfit.generators.lettering.legends import Legend
from dryfit.models.geometry.points import Point
from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.fields import Record
from dryfit.models.reading.records import parse_record

Chain = tuple[Point, ...]

FILE = "strokes.yaml"
CHORD = (
    0.01  # tenths of the height between a curve and its chords: 0.01 mm in capitals of 10 mm, finer than a tool runs
)
BELOW = 202  # combining class of marks attached below (Unicode character database)


class Proportions(Record):
    """Measures of the lettering, tenths of the height of a capital; spaces are from line to line."""

    capital: float
    line: float
    space: float
    words: float


class Alphabet(Record):
    """Signs and marks as ``data/strokes.yaml`` describes them, and the signs that take half the space on a side."""

    source: str
    proportions: Proportions
    open_left: str
    open_right: str
    signs: dict[str, str]
    same: dict[str, str]
    dotless: dict[str, str]
    marks: dict[str, str]


@dataclass(frozen=True)
class Sign:
    """A sign: how wide it is with the room beside it, and its strokes from its lower left, in tenths of the height."""

    width: float
    strokes: tuple[Chain, ...]


@dataclass(frozen=True)
class _Node:
    """A point of a chain as it is described: one that the line goes through, or a corner that is rounded off."""

    at: Point
    rounded: bool = False


def strokes(legend: Legend) -> tuple[Chain, ...]:
    """Return a legend as open chains, where its outlines stand; nothing of a legend with signs that there are not."""
    if unstroked(legend.text):
        return ()
    placed, along = list[Chain](), 0.0
    for sign in map(_sign, legend.text):
        assert sign is not None  # else the legend has no strokes
        placed += (tuple(p + Point(along, 0.0) for p in chain) for chain in sign.strokes)
        along += sign.width
    return _in_room(placed, legend)


def _in_room(placed: Sequence[Chain], legend: Legend) -> tuple[Chain, ...]:
    """Return chains as large as a legend and in the middle of its outlines, narrowed where the lines would be wider."""
    unit, room = legend.height / alphabet().proportions.capital, legend.outline.box
    left, right = _across(placed)
    free = room.width / unit - alphabet().proportions.line
    narrow = min(1.0, max(0.0, free / (right - left))) if right > left else 1.0
    start = Point(room.centre.x - (left + right) / 2 * unit * narrow, legend.y)
    return tuple(tuple(Point(p.x * unit * narrow, p.y * unit) + start for p in chain) for chain in placed)


def _across(chains: Iterable[Chain]) -> tuple[float, float]:
    """Return how far chains reach to the left and to the right; nothing has no width."""
    across = [point.x for chain in chains for point in chain] or [0.0]
    return min(across), max(across)


def unstroked(text: str) -> str:
    """Return the signs of a text that have no single strokes."""
    return "".join(sorted({letter for letter in text if _sign(letter) is None}))


@cache
def alphabet() -> Alphabet:
    """Return the signs as they are described."""
    return parse_record(FILE, data_text(FILE), Alphabet)[0]


@cache
def _sign(letter: str) -> Sign | None:
    """Return a sign as it is described, or put together from a letter and its marks; None if there is none."""
    if letter.isspace():
        return Sign(alphabet().proportions.words - alphabet().proportions.space, ())
    drawn = drawing(letter)
    return _spaced(letter, drawn) if drawn is not None else None


def _spaced(letter: str, drawn: Sequence[Chain]) -> Sign:
    """Return strokes with the room beside them: half a line and half a space, or less on an open side."""
    size = alphabet().proportions
    base = unicodedata.normalize("NFD", letter)[0]
    left, right = (
        size.line / 2 + size.space / (4 if base in signs else 2)
        for signs in (alphabet().open_left, alphabet().open_right)
    )
    first, last = _across(drawn)
    moved = tuple(tuple(p + Point(left - first, 0.0) for p in chain) for chain in drawn)
    return Sign(left + last - first + right, moved)


@cache
def drawing(letter: str) -> tuple[Chain, ...] | None:
    """Return the strokes of a sign, tenths of the height up from the base line; None if there are none."""
    signs, marks = alphabet().signs, alphabet().marks
    base, *accents = list(unicodedata.normalize("NFD", alphabet().same.get(letter, letter)))
    if not accents and base in signs:
        return tuple(_chains(signs[base]))
    if base not in signs or not all(accent in marks for accent in accents):
        return None
    under = tuple(_chains(signs[alphabet().dotless.get(base, base)]))
    return (*under, *(chain for accent in accents for chain in _marked(under, accent)))


def _marked(under: Sequence[Chain], accent: str) -> Iterator[Chain]:
    """Yield the strokes of a mark where it stands: over a letter, or where it hangs below the line, there."""
    top = max(point.y for chain in under for point in chain)
    at = Point(sum(_across(under)) / 2, 0.0 if unicodedata.combining(accent) == BELOW else top)
    yield from (tuple(p + at for p in chain) for chain in _chains(alphabet().marks[accent]))


# --- from descriptions to points -----------------------------------------------------------------------------------


def _chains(described: str) -> Iterator[Chain]:
    """Yield the chains of points that a description tells of, curves as chords."""
    for chain in described.split("|"):
        words = chain.split()
        nodes = _ring(*_numbers(words[1])) if words[0] == "o" else [_node(word) for word in words]
        yield tuple(_points(list(_with_middles(nodes))))


def _numbers(word: str) -> Iterator[float]:
    return (float(number) for number in word.split(","))


def _node(word: str) -> _Node:
    return _Node(Point(*_numbers(word.removesuffix("~"))), word.endswith("~"))


def _ring(x: float, y: float, radius: float) -> list[_Node]:
    """Return a ring as the square around it with all corners rounded off."""
    top = _Node(Point(x, y + radius))
    corners = (_Node(Point(x + i * radius, y + j * radius), True) for i, j in ((-1, 1), (-1, -1), (1, -1), (1, 1)))
    return [top, *corners, top]


def _with_middles(nodes: Sequence[_Node]) -> Iterator[_Node]:
    """Yield nodes with a point in the middle of every two corners in a row."""
    yield nodes[0]
    for before, node in pairwise(nodes):
        if before.rounded and node.rounded:
            yield _Node((before.at + node.at) * 0.5)
        yield node


def _points(nodes: Sequence[_Node]) -> Iterator[Point]:
    """Yield the points of a chain, each corner to be rounded off between two points that the line goes through."""
    for n, node in enumerate(nodes):
        if node.rounded:
            yield from _curve(nodes[n - 1].at, node.at, nodes[n + 1].at)
        else:
            yield node.at


def _curve(start: Point, corner: Point, end: Point) -> Iterator[Point]:
    """Yield points between start and end on the curve that touches both legs of a corner there.

    It is the arc of a circle where the legs are equally long, else that arc in the slanted grid of the two legs.
    """
    into, out = start - corner, end - corner
    turn = math.radians(180.0 - abs((into.direction - out.direction + 180.0) % 360.0 - 180.0))
    radius = max(into.length, out.length) / math.tan(turn / 2)
    steps = math.ceil(turn * math.sqrt(radius / (8 * CHORD)))  # a chord of angle a is r a^2 / 8 off its arc
    for step in range(1, steps):
        done = turn * step / steps
        back, on = (1 - math.cos(turn - done)) / (1 - math.cos(turn)), (1 - math.cos(done)) / (1 - math.cos(turn))
        yield corner + into * back + out * on
