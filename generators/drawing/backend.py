"""What draws a sheet in one file format: one method a primitive. All formats are fed by the one walk over the marks.

Whatever is the same in every file is settled here: which pen gives which line in the sheet's group, and how much
white paper stands around masked text.
"""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Protocol

from dryfit.generators.drawing.marks import Clip, Fill, Mark, Picture, Sheet, Stroke, Text
from dryfit.models.geometry.contours import Circle, Curve
from dryfit.models.geometry.rectangles import Rectangle

MASK = 0.4  # mm of white paper around masked text


PAINTS: dict[Fill, str] = {
    "black": "black", "white": "white", "pale": "#eef0f2", "grey": "#c9ced4",
    "fits": "#12664c", "tight": "#8a5200", "fails": "#a81f1a",
}  # fmt: skip
"""What fills come out as on a screen or in a colour print; in black and white they stay apart by their signs."""


@dataclass(frozen=True)
class Ink:
    """How a shape comes on paper: width of its line and lengths of its dashes and gaps (mm), and what fills it."""

    width: float  # 0: no line
    dashes: tuple[float, ...]
    fill: Fill


class Backend(Protocol):
    """A sheet as it is written: x right, y up, mm from its lower left corner."""

    def block(self, name: str) -> AbstractContextManager[None]:
        """What is drawn within belongs together."""

    def clip(self, window: Rectangle) -> AbstractContextManager[None]:
        """Of what is drawn within only what lies in the window is seen."""

    def circle(self, shape: Circle, ink: Ink) -> None:
        """Draw a whole circle."""

    def curve(self, shape: Curve, ink: Ink) -> None:
        """Draw a chain of lines and arcs."""

    def blank(self, box: Rectangle) -> None:
        """Put white paper over what is drawn."""

    def letters(self, text: Text) -> None:
        """Draw a line of text."""

    def picture(self, picture: Picture) -> None:
        """Draw a picture."""


def draw(sheet: Sheet, on: Backend) -> None:
    """Draw a sheet, mark by mark."""
    for block in sheet.blocks:
        with on.block(block.name):
            for mark in block.marks:
                _draw(mark, sheet.group, on)


def _draw(mark: Mark, group: float, on: Backend) -> None:
    match mark:
        case Stroke(Circle() as shape):
            on.circle(shape, _ink(mark, group))
        case Stroke(Curve() as shape):
            on.curve(shape, _ink(mark, group))
        case Text():
            if mark.masked:
                on.blank(mark.box.grown(MASK))
            on.letters(mark)
        case Picture():
            on.picture(mark)
        case Clip():
            with on.clip(mark.window):
                for inner in mark.marks:
                    _draw(inner, group, on)


def _ink(stroke: Stroke, group: float) -> Ink:
    if stroke.pen is None:
        return Ink(0.0, (), stroke.fill)
    return Ink(stroke.pen.width(group), stroke.pen.dashes(group), stroke.fill)
