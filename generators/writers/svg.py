"""SVG of one sheet, in real millimetres: width and height in mm, one user unit per mm, y turned to point down.

Text stays text, so that it can be searched; each line carries its length, so that a reader without the typeface
squeezes its own into the same room.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from dryfit.generators.drawing.marks import Clip, Mark, Sheet, Stroke, Text
from dryfit.generators.lettering.typeface import FONT_NAME, type_size
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.contours import Circle, Contour, arc_centre
from dryfit.models.geometry.rectangles import Rectangle

FAMILY = f"'{FONT_NAME}', 'Bitstream Vera Sans', Verdana, sans-serif"
DIGITS = 4  # of a mm; finer than any plotter
MASK = 0.4  # mm of white paper around masked text


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
    return head + "\n".join(_Writer(sheet).all()) + "\n</svg>\n"


def _n(value: float) -> str:
    text = f"{value:.{DIGITS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _plain(text: str) -> str:
    """Return text without what XML forbids, markup escaped."""
    return escape("".join(letter if letter.isprintable() else " " for letter in text))


class _Writer:
    """Turns the marks of one sheet into elements; counts the clipping windows it has named."""

    def __init__(self, sheet: Sheet):
        self.sheet = sheet
        self.windows = 0

    def all(self) -> Iterator[str]:
        for block in self.sheet.blocks:
            yield f"<g><title>{_plain(block.name)}</title>"
            for mark in block.marks:
                yield from self.mark(mark)
            yield "</g>"

    def mark(self, mark: Mark) -> Iterator[str]:
        if isinstance(mark, Text):
            yield from self.text(mark)
        elif isinstance(mark, Stroke):
            yield self.stroke(mark)
        else:
            yield from self.clip(mark)

    def clip(self, group: Clip) -> Iterator[str]:
        self.windows += 1
        name = f"window{self.windows}"
        yield f'<clipPath id="{name}">{self.rect(group.window)}</clipPath><g clip-path="url(#{name})">'
        for mark in group.marks:
            yield from self.mark(mark)
        yield "</g>"

    def rect(self, box: Rectangle, style: str = "") -> str:
        width, height = box.size
        return f'<rect x="{_n(box.left)}" y="{_n(self.y(box.top))}" width="{_n(width)}" height="{_n(height)}"{style}/>'

    def y(self, y: float) -> float:
        return self.sheet.height - y

    def stroke(self, stroke: Stroke) -> str:
        style = f' fill="{stroke.fill}"' if stroke.fill else ""
        if stroke.pen is None:
            style += ' stroke="none"'
        else:
            style += f' stroke-width="{_n(stroke.pen.width(self.sheet.group))}"'
            dashes = " ".join(_n(d) for d in stroke.pen.dashes(self.sheet.group))
            style += f' stroke-dasharray="{dashes}"' if dashes else ""
        shape = stroke.shape
        if isinstance(shape, Circle):
            return f'<circle cx="{_n(shape.x)}" cy="{_n(self.y(shape.y))}" r="{_n(shape.radius)}"{style}/>'
        return f'<path d="{self.path(shape)}"{style}/>'

    def path(self, shape: Contour) -> str:
        assert not isinstance(shape, Circle)  # drawn as a circle
        steps = [f"M{_n(shape.vertices[0][0])} {_n(self.y(shape.vertices[0][1]))}"]
        for start, end, bulge in shape.segments():
            at = f"{_n(end.x)} {_n(self.y(end.y))}"
            if bulge == 0:
                steps.append(f"L{at}")
                continue
            radius = _n(arc_centre(start, end, bulge)[1])
            # anticlockwise with y up is anticlockwise on screen: sweep flag 0
            steps.append(f"A{radius} {radius} 0 {int(abs(bulge) > 1)} {int(bulge < 0)} {at}")
        return "".join(steps) + ("Z" if shape.closed else "")

    def text(self, text: Text) -> Iterator[str]:
        if text.masked:
            yield self.rect(text.box.grown(MASK), ' fill="white" stroke="none"')
        x, y = _n(text.x), _n(self.y(text.y))
        anchor = {"left": "", "centre": ' text-anchor="middle"', "right": ' text-anchor="end"'}[text.align]
        turn = f' transform="rotate(-90 {x} {y})"' if text.upright else ""
        yield (
            f'<text x="{x}" y="{y}" font-size="{_n(type_size(text.height))}" fill="black" stroke="none"'
            f' textLength="{_n(text.width)}" lengthAdjust="spacingAndGlyphs"{anchor}{turn}>{_plain(text.text)}</text>'
        )
