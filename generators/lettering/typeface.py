"""The lettering: one typeface for drawings and for legends, its widths and its outlines.

DejaVu Sans 2.35 as shipped inside the package matplotlib (which the CAD kernel's viewer brings along): Bitstream Vera
licence, changes in the public domain, free to use, embed and pass on. It is chosen over the Vera that comes with the
PDF library because it also holds Greek, Cyrillic, the Latin letters of middle Europe and the diameter sign. The file
is read as data: matplotlib itself is never imported. Heights are heights of capital letters, mm, as drawing standards
count them.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from dryfit.models.geometry.points import Point, distinct
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.errors import DryfitError

FONT_NAME = "DejaVu Sans"
FONT_LICENCE = "Bitstream Vera licence; DejaVu changes in the public domain"
CAP_SHARE = 0.729  # height of a capital in units of the type size, from the glyph H (1493 of 2048)
CURVE_STEPS = 6  # chords per curve of a glyph: at 3 mm lettering they stay within 0.01 mm

Loop = tuple[Point, ...]


def font_path() -> Path:
    """Return where the typeface lies on this machine.

    Raises:
        DryfitError: if the package that ships it is not installed.
    """
    spec = importlib.util.find_spec("matplotlib")
    place = Path(spec.origin).parent / "mpl-data/fonts/ttf/DejaVuSans.ttf" if spec and spec.origin else None
    if place is None or not place.is_file():
        raise DryfitError("the typeface DejaVu Sans is missing: it is part of the package matplotlib; install that")
    return place


@cache
def _font() -> Any:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    return TTFont(font_path(), lazy=True)


@cache
def _tables() -> tuple[dict[int, str], dict[str, tuple[int, int]], float]:
    """Return glyph names by character, (advance, left bearing) by glyph name, and units per height of a capital."""
    font = _font()
    return font.getBestCmap(), dict(font["hmtx"].metrics), font["head"].unitsPerEm * CAP_SHARE


@cache
def _advance(letter: str) -> float:
    glyphs, metrics, capital = _tables()
    return metrics[glyphs.get(ord(letter), ".notdef")][0] / capital


def text_width(text: str, height: float) -> float:
    """Return how wide a line of text is, mm, in capitals ``height`` mm high."""
    return height * sum(_advance(letter) for letter in text)


def text_rise(text: str, height: float) -> tuple[float, float]:
    """Return how far below (negative) and above the line the text's ink reaches, mm."""
    rises = [_rise(letter) for letter in text]
    return height * min((r[0] for r in rises), default=0.0), height * max((r[1] for r in rises), default=0.0)


@cache
def _rise(letter: str) -> tuple[float, float]:
    glyphs, _, capital = _tables()
    glyph = _font()["glyf"][glyphs.get(ord(letter), ".notdef")]
    return getattr(glyph, "yMin", 0) / capital, getattr(glyph, "yMax", 0) / capital


def text_box(text: str, height: float) -> Rectangle:
    """Return the rectangle that the text's ink fills, its line starting at (0, 0); as wide as the line."""
    return Rectangle(0.0, text_rise(text, height)[0], text_width(text, height), text_rise(text, height)[1])


def type_size(height: float) -> float:
    """Return the type size (mm) that gives capitals ``height`` mm high."""
    return height / CAP_SHARE


def missing(text: str) -> str:
    """Return the characters that the typeface does not hold; they would come out as empty boxes."""
    glyphs, _, _ = _tables()
    return "".join(sorted({letter for letter in text if ord(letter) not in glyphs}))


def outlines(text: str, height: float) -> tuple[Loop, ...]:
    """Return the letters as closed loops of points (last joins first), the line starting at (0, 0)."""
    glyphs, _, capital = _tables()
    loops: list[Loop] = []
    x, unit = 0.0, height / capital
    for letter in text:
        name = glyphs.get(ord(letter), ".notdef")
        loops.extend(tuple(Point(x + px * unit, py * unit) for px, py in loop) for loop in _glyph(name))
        x += height * _advance(letter)
    return tuple(loops)


def loops_at(start: Point, text: str, height: float) -> tuple[Loop, ...]:
    """Return the letters as closed loops, the line starting at a point."""
    return tuple(tuple(point + start for point in loop) for loop in outlines(text, height))


@cache
def _glyph(name: str) -> tuple[Loop, ...]:
    """Return one letter as loops in font units, curves broken into chords."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen  # type: ignore[import-untyped]

    glyph_set = _font().getGlyphSet()
    pen = DecomposingRecordingPen(glyph_set)
    glyph_set[name].draw(pen)
    loops: list[list[Point]] = []
    for step, points in pen.value:
        if step == "moveTo":
            loops.append([Point(*points[0])])
        elif step == "lineTo":
            loops[-1].append(Point(*points[0]))
        elif step == "qCurveTo":
            loops[-1].extend(_chords(loops[-1][-1], [Point(*p) for p in points]))
    # a glyph may hold single points, to which accents are hung: they draw nothing
    return tuple(tidy for loop in loops if len(tidy := distinct(loop)) > 2)


def _chords(start: Point, points: Sequence[Point]) -> Iterable[Point]:
    """Yield chords of a run of quadratic curves; between two control points lies an implied point on the curve."""
    controls, end = points[:-1], points[-1]
    for i, control in enumerate(controls):
        stop = end if i == len(controls) - 1 else (control + controls[i + 1]) * 0.5
        for n in range(1, CURVE_STEPS + 1):
            t = n / CURVE_STEPS
            a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
            yield start * a + control * b + stop * c
        start = stop
