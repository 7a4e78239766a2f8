"""DXF files as other programs write them, made with the library for that format."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import Any


def dxf(draw: Callable[[Any], None], units: int = 4) -> bytes:
    """Return a DXF file with what ``draw`` puts into the document."""
    from ezdxf.filemanagement import new

    document = new("R2010", units=units)
    draw(document)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def plate(space: Any, width: float = 200.0, height: float = 100.0) -> None:
    """Draw the outline of a panel as four lines, its lower left corner at the origin."""
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        space.add_line(start, end)


def d_hole(space: Any, x: float, y: float, turn: float = 0.0, *, hole: float = 24.0, across: float = 19.0) -> None:
    """Draw the common D pattern about a point, turned."""
    space.add_circle((x, y), hole / 2)
    for dx, dy in ((-across / 2, 12.0), (across / 2, -12.0)):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        space.add_circle((x + dx * c - dy * s, y + dx * s + dy * c), 1.6)
