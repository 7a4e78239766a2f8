"""Letters that run from right to left, against the Unicode Standard: order by UAX #9, forms by its chart of Arabic.

The glyphs of the typeface are named by code points, so that the forms can be read off: U+FEB3 is SEEN INITIAL FORM,
U+FEFC LIGATURE LAM WITH ALEF FINAL FORM (The Unicode Standard, chart "Arabic Presentation Forms-B"); U+0645 that stands
alone has its isolated form.
"""

from __future__ import annotations

import subprocess
import sys
import unicodedata
from itertools import combinations

import pytest

from dryfit.generators.lettering.shaping import visual_runs
from dryfit.generators.lettering.typeface import _line, outlines, text_box, text_width


def glyphs(text: str) -> list[str]:
    return [name for name, _ in _line(text, "").glyphs]


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("\u0633\u0644\u0627\u0645", ["uni0645", "uniFEFC", "uniFEB3"]),  # salaam
        ("\u0628\u0628\u0628", ["uniFE90", "uniFE92", "uniFE91"]),  # BEH: final, medial, initial, from left to right
        ("\u062f\u0628", ["uni0628", "uni062F"]),  # DAL joins to the right only: BEH after it stands alone
        ("\u05e9\u05dc\u05d5\u05dd", ["uni05DD", "uni05D5", "uni05DC", "uni05E9"]),  # Hebrew does not join
    ],
)
def test_letters_stand_from_right_to_left_in_their_joined_forms(text: str, seen: list[str]) -> None:
    assert glyphs(text) == seen


def test_the_forms_are_those_that_their_names_say() -> None:
    for code, name in {"FEB3": "SEEN INITIAL FORM", "FE90": "BEH FINAL FORM", "FE92": "BEH MEDIAL FORM"}.items():
        assert unicodedata.name(chr(int(code, 16))) == f"ARABIC LETTER {name}"
    assert unicodedata.name("\ufefc") == "ARABIC LIGATURE LAM WITH ALEF FINAL FORM"


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("MIC 1 \u05d0\u05d1", "MIC 1 \u05d1\u05d0"),
        ("\u05d0\u05d1 12", "12 \u05d1\u05d0"),  # numbers run to the right
        ("\u05d0\u05d1 (\u05d2)", "(\u05d2) \u05d1\u05d0"),  # brackets are mirrored, rule L4
        ("\u05d0\u05d1 (MIC) 12", "12 (MIC) \u05d1\u05d0"),  # and belong to the line, rule N0
        ("A (\u05d0\u05d1) B", "A (\u05d1\u05d0) B"),
    ],
)
def test_mixed_lines_are_ordered_by_the_bidirectional_algorithm(text: str, seen: str) -> None:
    shown = "".join(run[::-1] if to_the_left else run for to_the_left, run in visual_runs(text))
    assert shown == seen


def test_joined_letters_have_one_outline_that_nothing_crosses() -> None:
    loops = outlines("\u0628\u0628\u0628\u0628", 3.0)
    tall = [loop for loop in loops if max(p.x for p in loop) - min(p.x for p in loop) > 3.0]
    assert len(tall) == 1  # the letters; the rest are their dots
    assert len(loops) == 5
    for a, b in combinations(loops, 2):
        assert not _inside(a[0], b)


def _inside(point: tuple[float, float], loop: tuple[tuple[float, float], ...]) -> bool:
    x, y = point
    pairs = zip(loop, (*loop[1:], loop[0]), strict=True)
    return (
        sum((y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0) for (x0, y0), (x1, y1) in pairs) % 2 == 1
    )


def test_ink_stays_in_its_box() -> None:
    for text in ("\u0633\u0644\u0627\u0645", "\u05e9\u05dc\u05d5\u05dd 12", "MIC 1"):
        ink, points = text_box(text, 3.0), [point for loop in outlines(text, 3.0) for point in loop]
        assert min(p.y for p in points) >= ink.bottom - 1e-6
        assert max(p.y for p in points) <= ink.top + 1e-6
        assert max(p.x for p in points) <= text_width(text, 3.0) + 0.1


def test_the_libraries_are_loaded_only_for_such_text() -> None:
    code = (
        "import sys\nfrom dryfit.generators.lettering.typeface import outlines\noutlines('MIC 1 \u00dc', 3.0)\n"
        "assert not {'bidi', 'uharfbuzz', 'manifold3d'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
