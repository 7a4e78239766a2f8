"""Marks: what a sheet is made of, whatever file it ends in: strokes, text and clipped groups, in mm on the paper.

x right, y up, from the lower left corner of the sheet. Lines have a pen, never a width or a colour of their own; the
sheet's line group (ISO 128-2: the width of its wide lines) turns pens into widths and dashes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from typing import Literal

from dryfit.generators.lettering.typeface import text_rise, text_width
from dryfit.models.geometry.contours import Circle, Contour, Curve
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle, Size

Align = Literal["left", "centre", "right"]
Fill = Literal["", "black", "white", "pale", "grey", "fits", "tight", "fails"]
"""What fills a shape: ink or paper, a shade to tell bodies apart, or the colour of a verdict, which a sign always tells
as well."""
_SHARES: dict[Align, float] = {"left": 0.0, "centre": 0.5, "right": 1.0}

# ISO 128-2 line elements, in line widths: dash 12, long dash 24, gap 3, dot at most 0.5
_DASHED = (12.0, 3.0)
_CHAIN = (24.0, 3.0, 0.5, 3.0)
_DOUBLE_CHAIN = (24.0, 3.0, 0.5, 3.0, 0.5, 3.0)


class Pen(Enum):
    """What a line means: whether it is wide, and its dashes in line widths."""

    OUTLINE = (True, ())
    THIN = (False, ())
    HATCH = (False, (), "hatch")
    HIDDEN = (False, _DASHED)
    CENTRE = (False, _CHAIN)
    FOLD = (False, _DOUBLE_CHAIN)
    FRAME = (True, (), "frame")

    def width(self, group: float) -> float:
        """Return the line's width (mm) in a line group named by its wide lines: narrow ones are half of it."""
        if self is Pen.FRAME:
            return 0.7  # ISO 5457, whatever the group
        return group if self.value[0] else NARROW[group]

    def dashes(self, group: float) -> tuple[float, ...]:
        """Return lengths of dashes and gaps in turn, mm; empty for a whole line."""
        return tuple(round(n * self.width(group), 4) for n in self.value[1])


NARROW = {0.25: 0.13, 0.35: 0.18, 0.5: 0.25, 0.7: 0.35, 1.0: 0.5}
"""ISO 128-2 line groups: widths step by the square root of 2, and narrow lines are two steps under wide ones."""


@dataclass(frozen=True)
class Stroke:
    """A contour drawn with a pen, filled or not; without a pen it is only filled."""

    shape: Contour
    pen: Pen | None = Pen.OUTLINE
    fill: Fill = ""

    @property
    def box(self) -> Rectangle:
        """The extent of the geometry, line width not counted."""
        return self.shape.box

    def moved(self, dx: float, dy: float) -> Stroke:
        """Return the stroke shifted by (dx, dy)."""
        return replace(self, shape=self.shape.moved(dx, dy))


@dataclass(frozen=True)
class Text:
    """A line of text: (x, y) on its base line, capitals ``height`` high; ``upright`` runs from bottom to top.

    ``masked`` text has white paper behind it, so that lines stop short of it.
    """

    x: float
    y: float
    text: str
    height: float = 2.5
    align: Align = "left"
    upright: bool = False
    masked: bool = False

    @property
    def width(self) -> float:
        """Length of the line."""
        return text_width(self.text, self.height)

    @property
    def box(self) -> Rectangle:
        """The extent of its ink."""
        low, high = text_rise(self.text, self.height)
        start = -_SHARES[self.align] * self.width
        if self.upright:
            return Rectangle(self.x - high, self.y + start, self.x - low, self.y + start + self.width)
        return Rectangle(self.x + start, self.y + low, self.x + start + self.width, self.y + high)

    def moved(self, dx: float, dy: float) -> Text:
        """Return the text shifted by (dx, dy)."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True)
class Clip:
    """Marks of which only what lies in the window is seen."""

    window: Rectangle
    marks: tuple[Mark, ...]

    @property
    def box(self) -> Rectangle:
        """The window."""
        return self.window

    def moved(self, dx: float, dy: float) -> Clip:
        """Return the group and its window shifted by (dx, dy)."""
        return Clip(self.window.moved(dx, dy), tuple(m.moved(dx, dy) for m in self.marks))


@dataclass(frozen=True)
class Picture:
    """A picture, PNG, that fills ``box``; ``says`` is what it shows."""

    box: Rectangle
    png: bytes
    says: str

    def moved(self, dx: float, dy: float) -> Picture:
        """Return the picture shifted by (dx, dy)."""
        return replace(self, box=self.box.moved(dx, dy))


Mark = Stroke | Text | Clip | Picture


@dataclass(frozen=True)
class Block:
    """Marks that belong together and take up ``box`` on the sheet: a view, a table, a title block."""

    name: str
    marks: tuple[Mark, ...]
    box: Rectangle

    @property
    def size(self) -> Size:
        """Width and height."""
        return self.box.size

    def at(self, left: float, top: float) -> Block:
        """Return the block with the upper left corner of its box at (left, top)."""
        dx, dy = left - self.box.left, top - self.box.top
        return Block(self.name, tuple(m.moved(dx, dy) for m in self.marks), self.box.moved(dx, dy))


@dataclass(frozen=True)
class Sheet:
    """One page: its size, its line group (width of the wide lines) and its blocks."""

    width: float
    height: float
    group: float
    blocks: tuple[Block, ...]
    name: str = ""

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All marks, in the order they are drawn."""
        return tuple(mark for block in self.blocks for mark in block.marks)


@dataclass(frozen=True)
class Drawing:
    """All sheets under one title."""

    title: str
    sheets: tuple[Sheet, ...]


def around(marks: Iterable[Mark]) -> Rectangle:
    """Return the extent of marks (at least one)."""
    return Rectangle.around(mark.box for mark in marks)


def block(name: str, marks: Iterable[Mark]) -> Block:
    """Return marks as a block that is just as large as they are."""
    kept = tuple(marks)
    return Block(name, kept, around(kept))


CONTINUED = " (continued)"  # ends the name of what goes on from an earlier block


def in_pieces(whole: Block, height: float) -> Iterator[Block]:
    """Yield a block in pieces no higher than ``height``, cut where no mark is; where every cut meets one, higher."""
    rest, top, name = whole.marks, whole.box.top, whole.name
    while top - whole.box.bottom > height and (cut := _cut(rest, top - height)) is not None:
        yield Block(name, tuple(m for m in rest if m.box.top > cut), whole.box._replace(top=top, bottom=cut))
        rest = tuple(m for m in rest if m.box.top <= cut)
        top, name = max(m.box.top for m in rest), whole.name.removesuffix(CONTINUED) + CONTINUED
    yield Block(name, rest, whole.box._replace(top=top))


def _cut(marks: Iterable[Mark], lowest: float) -> float | None:
    """Return the lowest level from ``lowest`` up with marks above and below it and none across; None for none."""
    cut, reached = None, math.inf
    for mark in sorted(marks, key=lambda mark: -mark.box.top):
        if mark.box.top <= reached < math.inf and reached >= lowest:
            cut = reached
        reached = min(reached, mark.box.bottom)
    return cut


def line(start: tuple[float, float], end: tuple[float, float], pen: Pen = Pen.THIN) -> Stroke:
    """Return a straight line."""
    return chain((start, end), pen)


def chain(points: Iterable[tuple[float, float]], pen: Pen = Pen.THIN) -> Stroke:
    """Return an open chain of straight lines."""
    return Stroke(Curve(tuple((x, y, 0.0) for x, y in points), closed=False), pen)


def frame(box: Rectangle, pen: Pen | None = Pen.THIN, fill: Fill = "") -> Stroke:
    """Return a rectangle."""
    x0, y0, x1, y1 = box
    return Stroke(Curve(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0))), pen, fill)


def circle(x: float, y: float, radius: float, pen: Pen = Pen.OUTLINE) -> Stroke:
    """Return a circle."""
    return Stroke(Circle(x, y, radius), pen)


DATUM = 1.2  # mm; radius on paper of the circle round the point that all is measured from
ARROW = 2.5  # mm long: the height of the lettering; closed and filled, 20 degrees (ISO 129-1 annex A)
_ARROW_HALF = ARROW * math.tan(math.radians(10))


def arrow(tip: tuple[float, float], towards: tuple[float, float]) -> Stroke:
    """Return a filled arrowhead with its point at ``tip``, its back in the direction of ``towards``."""
    along = Point(*towards) - tip
    ux, uy = along.x / (along.length or 1.0), along.y / (along.length or 1.0)
    back = Point(ux, uy) * ARROW + tip
    sides = [(back.x - uy * s, back.y + ux * s, 0.0) for s in (_ARROW_HALF, -_ARROW_HALF)]
    return Stroke(Curve(((*tip, 0.0), *sides)), None, "black")
