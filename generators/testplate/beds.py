"""Bedfuls: the pieces of a test plate laid out so that each lot lies within the bed as it is opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.testplate.seams import BED_EDGE

APART = 8.0  # mm between pieces: room for their brims (common practice)


@dataclass(frozen=True)
class Laid:
    """A piece and where its lower left corner lies on the bed, mm from the bed's."""

    piece: Piece
    x: float
    y: float


@dataclass
class _Shelf:
    """A row of pieces across a bed: where it begins, how deep it is, how far it is filled."""

    y: float
    depth: float
    filled: float = BED_EDGE


def bedfuls(pieces: Sequence[Piece], bed: tuple[float, float, float]) -> tuple[tuple[Laid, ...], ...]:
    """Return all pieces, as many of each as are printed, on as few beds as rows of them fill, the deepest first.

    A piece that is larger than the bed has one to itself; the cutting of the plate leaves none.
    """
    single = [piece for piece in pieces for _ in range(piece.count)]
    beds: list[tuple[list[_Shelf], list[Laid]]] = []
    for piece in sorted(single, key=lambda piece: -piece.size[1]):
        if not any(_takes(piece, bed, shelves, laid) for shelves, laid in beds):
            beds.append(([_Shelf(BED_EDGE, piece.size[1], BED_EDGE + piece.size[0] + APART)], []))
            beds[-1][1].append(Laid(piece, BED_EDGE, BED_EDGE))
    return tuple(tuple(laid) for _, laid in beds)


def _takes(piece: Piece, bed: tuple[float, float, float], shelves: list[_Shelf], laid: list[Laid]) -> bool:
    """Whether a bed has room for one more piece, which is put there."""
    width, depth, _ = piece.size
    for shelf in shelves:
        if depth <= shelf.depth and shelf.filled + width <= bed[0] - BED_EDGE:
            laid.append(Laid(piece, shelf.filled, shelf.y))
            shelf.filled += width + APART
            return True
    last = shelves[-1]
    y = last.y + last.depth + APART
    if width > bed[0] - 2 * BED_EDGE or y + depth > bed[1] - BED_EDGE:
        return False
    shelves.append(_Shelf(y, depth, BED_EDGE + width + APART))
    laid.append(Laid(piece, BED_EDGE, y))
    return True
