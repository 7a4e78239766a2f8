"""What a file draws, in its own unit: lines, arcs and circles by layer, and what was left out, in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from dryfit.models.geometry.contours import Contour


@dataclass(frozen=True)
class Piece:
    """A circle, or a chain of lines and arcs, and the layer it is drawn on."""

    layer: str
    shape: Contour


@dataclass(frozen=True)
class Drawn:
    """All that a drawing draws flat; ``unit`` is the code of its unit, 0 where it names none."""

    pieces: tuple[Piece, ...]
    unit: int = 0
    left_out: Mapping[str, int] = field(default_factory=dict)  # what was no line of metal, and how many of it
