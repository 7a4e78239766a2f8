"""Scripts that run from right to left: the order in which signs stand, and how letters join.

Order is that of the Unicode bidirectional algorithm (UAX #9), by python-bidi, a line's direction being that of its
first strong letter; joining and ligatures are the typeface's own rules, by HarfBuzz. Both libraries are loaded only
when such text occurs.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import groupby
from typing import Any

from dryfit.models.geometry.points import Point

PAIRS = {"(": ")", "[": "]", "{": "}", "\u00ab": "\u00bb", "\u2039": "\u203a"}
"""Brackets that come in pairs: from right to left they show their mirror image (UAX #9, rule L4)."""

_RIGHT_TO_LEFT = {"R", "AL"}

Glyph = tuple[int, Point, float]  # its number in the typeface, its shift, its advance: font units


def runs_to_the_left(text: str) -> bool:
    """Whether text holds letters that run from right to left."""
    return not text.isascii() and any(unicodedata.bidirectional(sign) in _RIGHT_TO_LEFT for sign in text)


def shaped(text: str, path: str) -> Iterator[Glyph]:
    """Yield the glyphs of a line from left to right, in the typeface of a file."""
    for to_the_left, run in visual_runs(text):
        yield from _shaped(run, path, to_the_left)


def visual_runs(text: str) -> Iterator[tuple[bool, str]]:
    """Yield the runs of one direction from left to right: whether it runs to the left, and its signs as they are read.

    Only letters run to the left here: what stands between them is in its place already.
    """
    from bidi import get_display

    seen = _mirrored(str(get_display(text)))
    for to_the_left, signs in groupby(seen, key=_is_letter_to_the_left):
        run = "".join(signs)
        yield to_the_left, run[::-1] if to_the_left else run


def _is_letter_to_the_left(sign: str) -> bool:
    kind = unicodedata.bidirectional(sign)
    return kind in _RIGHT_TO_LEFT or (kind == "NSM" and unicodedata.name(sign, "").startswith(("ARABIC", "HEBREW")))


def _mirrored(seen: str) -> str:
    """Return a line with those pairs of brackets turned that its reordering left facing away from each other."""
    opening = {right: left for left, right in PAIRS.items()}
    out, open_now = [], list[tuple[str, str]]()  # what is awaited, and what is then to be shown
    for sign in seen:
        if open_now and sign == open_now[-1][0]:
            out.append(open_now.pop()[1])
        elif sign in PAIRS:
            open_now.append((PAIRS[sign], PAIRS[sign]))
            out.append(sign)
        elif sign in opening:
            open_now.append((opening[sign], sign))
            out.append(opening[sign])
        else:
            out.append(sign)
    return "".join(out) if not open_now else seen


def _shaped(run: str, path: str, to_the_left: bool) -> Iterator[Glyph]:
    import uharfbuzz

    buffer = uharfbuzz.Buffer()
    buffer.add_str(run)
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if to_the_left else "ltr"
    uharfbuzz.shape(_typeface(path), buffer)
    for info, where in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        yield info.codepoint, Point(where.x_offset, where.y_offset), where.x_advance


def united(loops: Iterable[Iterable[Point]]) -> tuple[tuple[Point, ...], ...]:
    """Return loops that overlap as loops around all that they fill together."""
    from manifold3d import CrossSection, FillRule

    filled = CrossSection([[tuple(point) for point in loop] for loop in loops], FillRule.NonZero)
    return tuple(tuple(Point(float(x), float(y)) for x, y in loop) for loop in filled.to_polygons())


@cache
def _typeface(path: str) -> Any:
    import uharfbuzz

    return uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(path)))
