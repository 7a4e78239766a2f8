"""Openings found by where they are: those about a point, without looking at all others."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator

from dryfit.generators.intake.plates.plate import Opening
from dryfit.models.geometry.points import Point


class Near:
    """Openings in cells as wide as one looks about."""

    def __init__(self, openings: Iterable[tuple[int, Opening]], reach: float):
        self.reach = reach
        self.cells: dict[tuple[int, int], list[tuple[int, Opening]]] = defaultdict(list)
        for number, opening in openings:
            self.cells[self._cell(opening.centre)].append((number, opening))

    def about(self, at: Point) -> Iterator[tuple[int, Opening]]:
        """Yield the openings (and their numbers) whose middle is within reach of a point."""
        column, row = self._cell(at)
        for i, j in itertools.product((-1, 0, 1), repeat=2):
            for number, opening in self.cells.get((column + i, row + j), ()):
                if opening.centre.distance_to(at) <= self.reach:
                    yield number, opening

    def _cell(self, at: Point) -> tuple[int, int]:
        return int(at.x // self.reach), int(at.y // self.reach)
