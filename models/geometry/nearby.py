"""Things sorted into square cells of a plane, so that the few about a spot are found at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Generic, TypeVar

from dryfit.models.geometry.rectangles import Rectangle

T = TypeVar("T")
Cell = tuple[int, int]
CELL = 15.0  # mm: about half a flange


class Nearby(Generic[T]):
    """Things by the cells, ``side`` mm wide, that their rectangles reach into."""

    def __init__(self, things: Iterable[tuple[Rectangle, T]] = (), side: float = CELL):
        self._side = side
        self._cells: dict[Cell, list[T]] = {}
        for box, thing in things:
            self.add(box, thing)

    def add(self, box: Rectangle, thing: T) -> None:
        """Take one more thing in."""
        for cell in self._reached(box):
            self._cells.setdefault(cell, []).append(thing)

    def about(self, box: Rectangle) -> tuple[T, ...]:
        """Return every thing whose rectangle meets a rectangle, and some beside it; each once."""
        found = {id(thing): thing for cell in self._reached(box) for thing in self._cells.get(cell, ())}
        return tuple(found.values())

    def _reached(self, box: Rectangle) -> Iterator[Cell]:
        left, bottom, right, top = (math.floor(side / self._side) for side in box)
        return ((column, row) for column in range(left, right + 1) for row in range(bottom, top + 1))
