"""PDF of a drawing, at true scale: one page per sheet, the typeface embedded, the same bytes for the same drawing."""

from __future__ import annotations

import io
import math
import os
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from pathlib import Path
from typing import Any

from dryfit.generators.drawing.backend import PAINTS, Ink, draw
from dryfit.generators.drawing.marks import Drawing, Fill, Picture, Text
from dryfit.generators.lettering.shaping import runs_to_the_left
from dryfit.generators.lettering.typeface import FONT_NAME, Loop, font_path, loops_at, type_size
from dryfit.generators.writers.borrowed import attributes, entries
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.contours import Circle, Curve, arc_centre
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle

POINT = 72 / 25.4  # PDF units per mm
TYPE = FONT_NAME.replace(" ", "")
SETTINGS = {"useA85": 1, "wrapA85": 0, "pdfMultiLine": 0, "pdfComments": 0, "documentLang": None}
"""Of the library, as it comes; a user may have others for the whole machine."""
QUARTER = math.pi / 2 + 1e-9  # longest arc that one curve follows closely


def write_pdf(drawing: Drawing, path: Path) -> None:
    """Write the drawing; nothing is left behind if it cannot be written whole."""
    write_whole(path, pdf_bytes(drawing))


def pdf_bytes(drawing: Drawing) -> bytes:
    """Return the drawing as a PDF file."""
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    with _library_as_wanted():
        canvas = Canvas(stream, invariant=1, pageCompression=1, initialFontName=TYPE)
        _draw_all(canvas, drawing)
        canvas.save()
    return stream.getvalue()


def _draw_all(canvas: Any, drawing: Drawing) -> None:
    canvas.setTitle(drawing.title)
    canvas.setCreator("dryfit")
    for sheet in drawing.sheets:
        canvas.setPageSize((sheet.width * POINT, sheet.height * POINT))
        canvas.scale(POINT, POINT)  # from here on everything is in mm
        canvas.setLineJoin(1)
        canvas.setLineCap(1)
        draw(sheet, _Page(canvas))
        canvas.showPage()


@contextmanager
def _library_as_wanted() -> Iterator[None]:
    """Borrow the library's settings that a file depends on, with our typeface among its fonts and no time told."""
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    font = TTFont(TYPE, str(font_path()), asciiReadable=True)
    with (
        attributes(rl_config, **SETTINGS),
        entries(os.environ, {"SOURCE_DATE_EPOCH": None}),
        entries(pdfmetrics._fonts, {TYPE: font}),
        entries(pdfmetrics._dynFaceNames, {font.face.name: font}),
    ):
        yield


class _Page:
    """One page: the backend over the library's canvas."""

    def __init__(self, canvas: Any):
        self.canvas = canvas

    def block(self, name: str) -> AbstractContextManager[None]:
        return nullcontext()

    @contextmanager
    def clip(self, window: Rectangle) -> Iterator[None]:
        self.canvas.saveState()
        x0, y0, x1, y1 = window
        path = self.canvas.beginPath()
        path.rect(x0, y0, x1 - x0, y1 - y0)
        self.canvas.clipPath(path, stroke=0, fill=0)
        yield
        self.canvas.restoreState()

    def circle(self, shape: Circle, ink: Ink) -> None:
        path = self.canvas.beginPath()
        path.circle(shape.x, shape.y, shape.radius)
        self._put(path, ink)

    def curve(self, shape: Curve, ink: Ink) -> None:
        path = self.canvas.beginPath()
        path.moveTo(*shape.vertices[0][:2])
        segments = list(shape.segments())
        for start, end, bulge in segments[:-1] if shape.closed and segments[-1][2] == 0 else segments:
            if bulge == 0:
                path.lineTo(*end)
                continue
            for curve in arc_curves(start, end, bulge):
                path.curveTo(*(v for point in curve for v in point))
        if shape.closed:
            path.close()
        self._put(path, ink)

    def _put(self, path: Any, ink: Ink) -> None:
        if ink.width:
            self.canvas.setLineWidth(ink.width)
            self.canvas.setDash(*([list(ink.dashes)] if ink.dashes else []))
        self._fill(ink.fill)
        self.canvas.drawPath(path, stroke=int(ink.width > 0), fill=int(bool(ink.fill)))

    def _fill(self, fill: Fill) -> None:
        if fill in ("", "black", "white"):
            self.canvas.setFillGray(1.0 if fill == "white" else 0.0)
        else:
            self.canvas.setFillColorRGB(*(int(PAINTS[fill][n : n + 2], 16) / 255 for n in (1, 3, 5)))

    def blank(self, box: Rectangle) -> None:
        x0, y0, x1, y1 = box
        self.canvas.setFillGray(1.0)
        self.canvas.rect(x0, y0, x1 - x0, y1 - y0, stroke=0, fill=1)

    def letters(self, text: Text) -> None:
        self.canvas.setFillGray(0.0)
        self.canvas.saveState()
        self.canvas.translate(text.x, text.y)
        if text.upright:
            self.canvas.rotate(90)
        self.canvas.setFont(TYPE, type_size(text.height))
        start = {"left": 0.0, "centre": -text.width / 2, "right": -text.width}[text.align]
        if runs_to_the_left(text.text):
            self._outlined(loops_at(Point(start, 0.0), text.text, text.height))
        else:
            self.canvas.drawString(start, 0.0, text.text)
        self.canvas.restoreState()

    def picture(self, picture: Picture) -> None:
        from reportlab.lib.utils import ImageReader

        x0, y0, x1, y1 = picture.box
        self.canvas.drawImage(ImageReader(io.BytesIO(picture.png)), x0, y0, x1 - x0, y1 - y0, mask="auto")

    def _outlined(self, loops: Iterable[Loop]) -> None:
        """Draw letters by their outlines: the library can neither order nor join them."""
        path = self.canvas.beginPath()
        for first, *rest in loops:
            path.moveTo(*first)
            for point in rest:
                path.lineTo(*point)
            path.close()
        self.canvas.drawPath(path, stroke=0, fill=1)


def arc_curves(start: Point, end: Point, bulge: float) -> list[tuple[Point, Point, Point]]:
    """Return an arc as cubic curves (two control points and an end), each of a quarter turn at most."""
    (cx, cy), radius = arc_centre(start, end, bulge)
    sweep = 4 * math.atan(bulge)
    count = max(1, math.ceil(abs(sweep) / QUARTER))
    first, step = math.atan2(start.y - cy, start.x - cx), sweep / count
    reach = 4 / 3 * math.tan(step / 4) * radius
    curves = []
    for i in range(count):
        a, b = first + i * step, first + (i + 1) * step
        p0 = Point(cx + radius * math.cos(a), cy + radius * math.sin(a))
        p3 = Point(cx + radius * math.cos(b), cy + radius * math.sin(b))
        p1 = Point(p0.x - reach * math.sin(a), p0.y + reach * math.cos(a))
        p2 = Point(p3.x + reach * math.sin(b), p3.y - reach * math.cos(b))
        curves.append((p1, p2, p3))
    return curves
