"""Pieces laid out on beds: in rows, as many to a bed as go, beds side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.testplate.seams import BED_MARGIN

APART = 5.0  # mm between two pieces on a bed
BEDS_APART = 30.0  # mm between two beds where they are shown side by side


@dataclass(frozen=True, eq=False)
class Laid:
    """One piece where it lies: on which bed, turned a quarter or not, and where its lower left corner is there."""

    piece: Piece
    number: int  # 1 for the first of its kind
    bed: int
    turned: bool
    left: float
    bottom: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and depth as it lies."""
        width, depth, _ = self.piece.size
        return (depth, width) if self.turned else (width, depth)

    def moves(self, bed_width: float) -> tuple[bool, float, float]:
        """Return whether the piece is turned anticlockwise, and then how far it is shifted, all beds in a row."""
        points, _ = self.piece.mesh
        (u0, v0, _), (_, v1, _) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        corner = (-v1, u0) if self.turned else (u0, v0)
        across = self.bed * (bed_width + BEDS_APART)
        return self.turned, round(self.left - corner[0] + across, 4), round(self.bottom - corner[1], 4)


def laid_out(pieces: Sequence[tuple[Piece, int]], bed: tuple[float, float]) -> tuple[Laid, ...]:
    """Return every piece so many times where it lies; rows of a bed fill from the lower left."""
    done: list[Laid] = []
    number, left, bottom, row = 0, BED_MARGIN, BED_MARGIN, 0.0
    for piece, count in pieces:
        turned = not _fits(piece.size[:2], bed)
        width, depth = piece.size[:2][::-1] if turned else piece.size[:2]
        for copy in range(1, count + 1):
            if left + width > bed[0] - BED_MARGIN + 1e-6:  # a new row
                left, bottom, row = BED_MARGIN, bottom + row + APART, 0.0
            if bottom + depth > bed[1] - BED_MARGIN + 1e-6:  # a new bed
                number, left, bottom, row = number + 1, BED_MARGIN, BED_MARGIN, 0.0
            done.append(Laid(piece, copy, number, turned, left, bottom))
            left, row = left + width + APART, max(row, depth)
    return tuple(done)


def _fits(size: tuple[float, float], bed: tuple[float, float]) -> bool:
    return all(across <= room - 2 * BED_MARGIN + 1e-6 for across, room in zip(size, bed, strict=True))
