"""The lettering: one typeface for drawings and for legends, its widths and its outlines.

DejaVu Sans 2.35 as shipped inside the package matplotlib (which the CAD kernel's viewer brings along): Bitstream Vera
licence, changes in the public domain, free to use, embed and pass on. It is chosen over the Vera that comes with the
PDF library because it also holds Greek, Cyrillic, the Latin letters of middle Europe and the diameter sign. The file
is read as data: matplotlib itself is never imported. Heights are heights of capital letters, mm, as drawing standards
count them.
"""

from __future__ import annotations

import importlib.util
import struct
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from dryfit.generators.lettering.shaping import runs_to_the_left, shaped, united
from dryfit.models.geometry.points import Point, distinct
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.errors import DryfitError

FONT_NAME = "DejaVu Sans"
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
def _font(file: str) -> Any:
    """Return a typeface: that of a file, or ours where it is empty.

    Raises:
        DryfitError: if the file holds none that can be drawn.
    """
    from fontTools.ttLib import TTFont, TTLibError  # type: ignore[import-untyped]

    try:
        font = TTFont(file or font_path(), lazy=True)
        if font.getBestCmap() and "hmtx" in font and ("glyf" in font or "CFF " in font):
            return font
    except (TTLibError, OSError, AssertionError, struct.error) as error:
        raise DryfitError(f"the font file {Path(file).name} cannot be read") from error
    raise DryfitError(f"the font file {Path(file).name} has no outlines that can be drawn")


@cache
def _tables(file: str) -> tuple[dict[int, str], dict[str, tuple[int, int]], float]:
    """Return glyph names by character, (advance, left bearing) by glyph name, and units per height of a capital."""
    font = _font(file)
    glyphs, size = font.getBestCmap(), font["head"].unitsPerEm
    capital = _rise(glyphs[ord("H")], file)[1] if file and ord("H") in glyphs else CAP_SHARE * size
    return glyphs, dict(font["hmtx"].metrics), capital


@dataclass(frozen=True)
class _Line:
    """A line of text as glyphs by name, from left to right, each where it stands; and its whole advance: font units."""

    glyphs: tuple[tuple[str, Point], ...]
    advance: float


@lru_cache(maxsize=4096)
def _line(text: str, file: str) -> _Line:
    """Return a line's glyphs: letter by letter, or shaped where it runs from right to left."""
    placed, x = [], 0.0
    for name, shift, advance in _shaped(text, file) if runs_to_the_left(text) else _by_letter(text, file):
        placed.append((name, shift + Point(x, 0.0)))
        x += advance
    return _Line(tuple(placed), x)


def _by_letter(text: str, file: str) -> Iterator[tuple[str, Point, float]]:
    glyphs, metrics, _ = _tables(file)
    for letter in text:
        name = glyphs.get(ord(letter), ".notdef")
        yield name, Point(0.0, 0.0), metrics[name][0]


def _shaped(text: str, file: str) -> Iterator[tuple[str, Point, float]]:
    names = _font(file).getGlyphOrder()
    return ((names[number], shift, advance) for number, shift, advance in shaped(text, file or str(font_path())))


def text_width(text: str, height: float, file: str = "") -> float:
    """Return how wide a line of text is, mm, in capitals ``height`` mm high; ``file`` may be that of another font."""
    return height * _line(text, file).advance / _tables(file)[2]


def text_rise(text: str, height: float, file: str = "") -> tuple[float, float]:
    """Return how far below (negative) and above the line the text's ink reaches, mm."""
    unit = height / _tables(file)[2]
    rises = [(low + at.y, high + at.y) for name, at in _line(text, file).glyphs for low, high in [_rise(name, file)]]
    return unit * min((r[0] for r in rises), default=0.0), unit * max((r[1] for r in rises), default=0.0)


@cache
def _rise(name: str, file: str) -> tuple[float, float]:
    if file:
        heights = [point.y for loop in _glyph(name, file) for point in loop]
        return min(heights, default=0.0), max(heights, default=0.0)
    glyph = _font(file)["glyf"][name]
    return getattr(glyph, "yMin", 0), getattr(glyph, "yMax", 0)


def text_box(text: str, height: float, file: str = "") -> Rectangle:
    """Return the rectangle that the text's ink fills, its line starting at (0, 0); as wide as the line."""
    low, high = text_rise(text, height, file)
    return Rectangle(0.0, low, text_width(text, height, file), high)


def type_size(height: float) -> float:
    """Return the type size (mm) that gives capitals ``height`` mm high."""
    return height / CAP_SHARE


def missing(text: str, file: str = "") -> str:
    """Return the characters that the typeface does not hold; they would come out as empty boxes."""
    glyphs, _, _ = _tables(file)
    return "".join(sorted({letter for letter in text if ord(letter) not in glyphs}))


def outlines(text: str, height: float, file: str = "") -> tuple[Loop, ...]:
    """Return the letters as closed loops of points (last joins first), the line starting at (0, 0).

    They turn clockwise around what is inked, as those of TrueType do.
    """
    unit = height / _tables(file)[2]
    placed = ((loop, at) for name, at in _line(text, file).glyphs for loop in _glyph(name, file))
    loops = tuple(tuple(Point((at.x + px) * unit, (at.y + py) * unit) for px, py in loop) for loop, at in placed)
    if file:  # a stranger's letters may overlap, and turn either way
        return tuple(loop[::-1] for loop in united(loops))
    return united(loops) if runs_to_the_left(text) else loops  # joined letters overlap: a cutter wants one line around


def loops_at(start: Point, text: str, height: float, file: str = "") -> tuple[Loop, ...]:
    """Return the letters as closed loops, the line starting at a point."""
    return tuple(tuple(point + start for point in loop) for loop in outlines(text, height, file))


@cache
def _glyph(name: str, file: str) -> tuple[Loop, ...]:
    """Return one letter as loops in font units, curves broken into chords."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen  # type: ignore[import-untyped]

    glyph_set = _font(file).getGlyphSet()
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
        elif step == "curveTo":
            loops[-1].extend(_cubic(loops[-1][-1], *(Point(*p) for p in points)))
    # a glyph may hold single points, to which accents are hung: they draw nothing
    return tuple(tidy for loop in loops if len(tidy := distinct(loop)) > 2)


def _cubic(start: Point, one: Point, two: Point, end: Point) -> Iterable[Point]:
    """Yield chords of a cubic curve, as OpenType fonts have them."""
    for n in range(1, CURVE_STEPS + 1):
        t = n / CURVE_STEPS
        s = 1 - t
        yield start * s**3 + one * (3 * s * s * t) + two * (3 * s * t * t) + end * t**3


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
