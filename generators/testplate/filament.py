"""How much filament a piece takes.

Shells first: the area of the walls times the width of the walls, and the area of floors and lids times their closed
layers, but no more than the volume of the piece; then the share of the inside that is filled. Skirts, supports and
waste are not counted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from dryfit.generators.testplate.pieces import Piece
from dryfit.models.printer import Printer

FORMULA = (
    "plastic = shell + infill x (volume - shell); shell = wall area x walls x nozzle + area of floors and lids x "
    "solid layers x layer, at most the volume; grams = plastic x density; metres = plastic / section of the filament"
)


@dataclass(frozen=True)
class Filament:
    """What is used: grams and metres."""

    grams: float
    metres: float

    def __add__(self, other: Filament) -> Filament:
        """Return both together."""
        return Filament(self.grams + other.grams, self.metres + other.metres)


def filament(piece: Piece, printer: Printer) -> Filament:
    """Return what one piece takes, times how many there are of it."""
    walls, flats = piece.areas
    shell = walls * printer.walls * printer.nozzle + flats * printer.solid_layers * printer.layer
    shell = min(shell, piece.volume)
    plastic = (shell + printer.infill * (piece.volume - shell)) * piece.count
    section = math.pi * printer.filament.diameter**2 / 4
    return Filament(plastic * printer.filament.density / 1000, plastic / section / 1000)
