"""Rows: places at even distances worked out, so that a layout says what is meant and not where each place comes to lie.

What is said in centres (``from``, ``to``, ``pitch``) spaces centres evenly; what is said in metal (``margin``, ``gap``)
spaces flanges evenly. Entries may share a row: it is then worked out over all of them, from left to right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.units import SAME_LENGTH, format_mm
from dryfit.models.wishes.places import PlaceWish
from dryfit.models.wishes.rows import RowWish

DIGITS = 3  # decimals of a mm in what is worked out, as people would write it; far below any tolerance

Flange = Callable[[PlaceWish], Rectangle | None]
"""What a part covers about its axis, as it is turned; None where nobody knows the part."""


class RowError(ValueError):
    """A row that cannot be worked out: at which entry, what is wrong and what would be right."""

    def __init__(self, entry: int, what: str, expected: str):
        self.entry, self.what, self.expected = entry, what, expected
        super().__init__(entry, what, expected)


@dataclass(frozen=True)
class Room:
    """What a row is laid out in: the panel, in the coordinates of the layout."""

    whole: Rectangle

    @property
    def middle(self) -> float:
        """The middle across."""
        return self.whole.centre.x

    def levels(self, lines: int) -> tuple[float, ...]:
        """Return so many lines from the top down, each in the middle of its share of the height."""
        share = self.whole.size.height / lines
        return tuple(self.whole.top - share * (line + 0.5) for line in range(lines))


@dataclass(frozen=True)
class Column:
    """One column of a row: how far it reaches left and right of its axis, and the metal asked for before it."""

    left: float
    right: float
    after: float | None = None


@dataclass(frozen=True)
class Row:
    """The entries that share a row, by their numbers; the first says how."""

    entries: tuple[tuple[int, PlaceWish], ...]

    @property
    def number(self) -> int:
        """The number of the entry that says how."""
        return self.entries[0][0]

    @property
    def wish(self) -> RowWish:
        """How."""
        wish = self.entries[0][1].row
        assert wish is not None  # it is a row
        return wish

    @property
    def lines(self) -> int:
        """How many lines it has."""
        return max(self.wish.lines, len(self.wish.y))

    def across(self, entry: PlaceWish) -> int:
        """Return how many columns an entry takes."""
        return -(-entry.count // self.lines)

    def columns(self, flange: Flange) -> tuple[Column, ...] | None:
        """Return its columns; None where nobody knows one of the parts."""
        boxes = [flange(entry) for _, entry in self.entries]
        if any(box is None for box in boxes):
            return None
        return tuple(
            Column(-box.left, box.right, entry.row.after if entry.row is not None and column == 0 else None)
            for (_, entry), box in zip(self.entries, boxes, strict=True)
            if box is not None
            for column in range(self.across(entry))
        )

    def spots(self, room: Room, columns: Sequence[Column]) -> Iterator[tuple[int, tuple[Point, ...]]]:
        """Yield the number of each entry with its places: along the lines, the top one first.

        Raises:
            RowError: where it cannot be worked out.
        """
        if len(self.wish.y) not in (0, self.lines):
            what = f"a row of {self.lines} lines has {len(self.wish.y)} y"
            raise RowError(self.number, what, "one y for each line, from the top")
        xs, ys = centres(self, room, columns), self.wish.y or room.levels(self.lines)
        over = max(room.whole.left - xs[0], xs[-1] - room.whole.right)
        if over > 0:
            what = f"{len(xs)} in a line reach {format_mm(over)} over the edge of the panel"
            raise RowError(self.number, what, "fewer, more lines, or less between them")
        done = 0
        for number, entry in self.entries:
            across = self.across(entry)
            mine = xs[done : done + across]
            spots = [Point(round(mine[n % across], DIGITS), round(ys[n // across], DIGITS)) for n in range(entry.count)]
            yield number, tuple(spots)
            done += across


def rows(places: Sequence[PlaceWish]) -> Iterator[Row]:
    """Yield the rows among the entries of a layout.

    Raises:
        RowError: if an entry goes on with the row of one that has none.
    """
    found: list[tuple[int, PlaceWish]] = []
    for number, entry in enumerate(places):
        if entry.row is not None and entry.row.goes_on:
            if not found:
                raise RowError(number, "the entry before stands in no row", "a row that says how, such as {gap: 3 mm}")
            found.append((number, entry))
            continue
        if found:
            yield Row(tuple(found))
        found = [(number, entry)] if entry.row is not None else []
    if found:
        yield Row(tuple(found))


def centres(row: Row, room: Room, columns: Sequence[Column]) -> tuple[float, ...]:
    """Return where the columns of a row stand across the panel.

    Raises:
        RowError: if nothing says how far apart, or there is no room for them.
    """
    wish, steps = row.wish, _Steps(columns, row.wish.counts_metal)
    first, last = columns[0], columns[-1]
    if wish.margin is not None:
        start, stop = room.whole.left + wish.margin[0] + first.left, room.whole.right - wish.margin[1] - last.right
        return _between(row, steps, start, stop)
    if wish.start is not None and wish.to is not None:
        return _between(row, steps, wish.start, wish.to)
    step = wish.pitch if wish.pitch is not None else wish.gap
    if step is None and steps.even:
        raise RowError(row.number, "nothing says how far apart", "a gap, a pitch, a margin, or from and to")
    offsets = steps.offsets(step or 0.0)
    if wish.start is not None:
        return tuple(wish.start + x for x in offsets)
    if wish.to is not None:
        return tuple(wish.to - offsets[-1] + x for x in offsets)
    middle = wish.centre if wish.centre is not None else room.middle
    return tuple(middle - (offsets[-1] + last.right - first.left) / 2 + x for x in offsets)


def _between(row: Row, steps: _Steps, start: float, stop: float) -> tuple[float, ...]:
    """Return where columns stand whose first and last are given; steps that are asked for stand in the middle."""
    left = stop - start - steps.offsets(0.0)[-1]
    if left < -SAME_LENGTH:
        what = f"{len(steps.columns)} in a line are {format_mm(-left)} too many for the room"
        raise RowError(row.number, what, "fewer, more lines, or more room")
    if not steps.even:
        return tuple(start + left / 2 + x for x in steps.offsets(0.0))
    return tuple(start + x for x in steps.offsets(left / steps.even))


@dataclass(frozen=True)
class _Steps:
    """The steps from each column to the next: even ones, counted in metal or in centres, and those asked for."""

    columns: Sequence[Column]
    in_metal: bool

    @property
    def even(self) -> int:
        """How many are even."""
        return sum(column.after is None for column in self.columns[1:])

    def offsets(self, step: float) -> tuple[float, ...]:
        """Return how far each column is from the first, with even steps of so much."""
        at = [0.0]
        for before, here in zip(self.columns, self.columns[1:], strict=False):
            metal = step if here.after is None else here.after
            flanges = before.right + here.left if self.in_metal or here.after is not None else 0.0
            at.append(at[-1] + metal + flanges)
        return tuple(at)
