"""SVG of one sheet, in real millimetres: width and height in mm, one user unit per mm, y turned to point down.

Text stays text, so that it can be searched; each line carries its length, so that a reader without the typeface
squeezes its own into the same room.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from dryfit.generators.drawing.backend import PAINTS, Ink, draw
from dryfit.generators.drawing.marks import Picture, Sheet, Text
from dryfit.generators.lettering.shaping import runs_to_the_left
from dryfit.generators.lettering.typeface import FONT_NAME, loops_at, type_size
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.contours import Circle, Curve, arc_centre
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.errors import printable
from dryfit.models.reading.units import decimals

FAMILY = f"'{FONT_NAME}', 'Bitstream Vera Sans', Verdana, sans-serif"
DIGITS = 4  # of a mm; finer than any plotter


def write_svg(sheet: Sheet, path: Path) -> None:
    """Write one sheet; nothing is left behind if it cannot be written whole."""
    write_whole(path, svg_text(sheet).encode("utf-8"))


def svg_text(sheet: Sheet) -> str:
    """Return one sheet as SVG."""
    width, height = _n(sheet.width), _n(sheet.height)
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family={quoteattr(FAMILY)} '
        'fill="none" stroke="black" stroke-linecap="round" stroke-linejoin="round">\n'
        f"<title>{_plain(sheet.name)}</title>\n"
        f'<rect width="{width}" height="{height}" fill="white" stroke="none"/>\n'
    )
    page = _Page(sheet.height)
    draw(sheet, page)
    return head + "\n".join(page.lines) + "\n</svg>\n"


def _n(value: float) -> str:
    return decimals(value, DIGITS)


def _plain(text: str) -> str:
    """Return text without what XML forbids, markup escaped."""
    return escape(printable(text))


class _Page:
    """One sheet: the backend that gathers elements; counts the clipping windows it has named."""

    def __init__(self, height: float):
        self.height = height
        self.lines: list[str] = []
        self.windows = 0

    @contextmanager
    def block(self, name: str) -> Iterator[None]:
        self.lines.append(f"<g><title>{_plain(name)}</title>")
        yield
        self.lines.append("</g>")

    @contextmanager
    def clip(self, window: Rectangle) -> Iterator[None]:
        self.windows += 1
        name = f"window{self.windows}"
        self.lines.append(f'<clipPath id="{name}">{self._rect(window)}</clipPath><g clip-path="url(#{name})">')
        yield
        self.lines.append("</g>")

    def circle(self, shape: Circle, ink: Ink) -> None:
        spot = f'cx="{_n(shape.x)}" cy="{_n(self._y(shape.y))}" r="{_n(shape.radius)}"'
        self.lines.append(f"<circle {spot}{_style(ink)}/>")

    def curve(self, shape: Curve, ink: Ink) -> None:
        self.lines.append(f'<path d="{self._path(shape)}"{_style(ink)}/>')

    def blank(self, box: Rectangle) -> None:
        self.lines.append(self._rect(box, ' fill="white" stroke="none"'))

    def letters(self, text: Text) -> None:
        x, y = _n(text.x), _n(self._y(text.y))
        anchor = {"left": "", "centre": ' text-anchor="middle"', "right": ' text-anchor="end"'}[text.align]
        turn = f' transform="rotate(-90 {x} {y})"' if text.upright else ""
        if runs_to_the_left(text.text):
            start = text.x - {"left": 0.0, "centre": text.width / 2, "right": text.width}[text.align]
            self.lines.append(f'<path d="{self._loops(Point(start, text.y), text)}" fill="black" stroke="none"{turn}/>')
            return
        self.lines.append(
            f'<text x="{x}" y="{y}" font-size="{_n(type_size(text.height))}" fill="black" stroke="none"'
            f' textLength="{_n(text.width)}" lengthAdjust="spacingAndGlyphs"{anchor}{turn}>{_plain(text.text)}</text>'
        )

    def picture(self, picture: Picture) -> None:
        data = base64.b64encode(picture.png).decode()
        x0, y0, x1, y1 = picture.box
        room = f'x="{_n(x0)}" y="{_n(self._y(y1))}" width="{_n(x1 - x0)}" height="{_n(y1 - y0)}"'
        says = f"<title>{_plain(picture.says)}</title>"
        self.lines.append(f'<image {room} href="data:image/png;base64,{data}">{says}</image>')

    def _loops(self, start: Point, text: Text) -> str:
        """Return a line's outlines: every reader would order and join its letters in a way of its own."""
        loops = loops_at(start, text.text, text.height)
        return " ".join("M" + "L".join(f"{_n(x)} {_n(self._y(y))}" for x, y in loop) + "Z" for loop in loops)

    def _rect(self, box: Rectangle, style: str = "") -> str:
        x0, y0, x1, y1 = box
        return f'<rect x="{_n(x0)}" y="{_n(self._y(y1))}" width="{_n(x1 - x0)}" height="{_n(y1 - y0)}"{style}/>'

    def _y(self, y: float) -> float:
        return self.height - y

    def _path(self, shape: Curve) -> str:
        steps = [f"M{_n(shape.vertices[0][0])} {_n(self._y(shape.vertices[0][1]))}"]
        for start, end, bulge in shape.segments():
            at = f"{_n(end[0])} {_n(self._y(end[1]))}"
            if bulge == 0:
                steps.append(f"L{at}")
                continue
            radius = _n(arc_centre(start, end, bulge)[1])
            # anticlockwise with y up is anticlockwise on screen: sweep flag 0
            steps.append(f"A{radius} {radius} 0 {int(abs(bulge) > 1)} {int(bulge < 0)} {at}")
        return "".join(steps) + ("Z" if shape.closed else "")


def _style(ink: Ink) -> str:
    fill = f' fill="{PAINTS[ink.fill]}"' if ink.fill else ""
    if not ink.width:
        return f'{fill} stroke="none"'
    dashes = " ".join(_n(d) for d in ink.dashes)
    return f'{fill} stroke-width="{_n(ink.width)}"' + (f' stroke-dasharray="{dashes}"' if dashes else "")
