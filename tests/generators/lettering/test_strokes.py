"""Single-stroke lettering: where outlines stand, as high as they are, never outside the room that was checked.

Proportions are those of ISO 3098 type B: capitals and figures 10/10 h, small letters 7/10 h, spaces between letters and
words 2/10 and 6/10 h, lines 1/10 h (ISO 3098-0, as tables for teaching print it); stems and tails of small letters
reach to 10/10 and -3/10 h (from memory).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from dryfit.generators.lettering.legends import Legend
from dryfit.generators.lettering.strokes import CHORD, Chain, alphabet, drawing, strokes, unstroked
from dryfit.models.geometry.points import Point

PRINTABLE = "".join(map(chr, range(33, 127)))
CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZÆŒØÐÞ"
FIGURES = "0123456789"
SMALL, STEMS, TAILS = "aceımnorsuvwxzæœø", "bdfhiklßð", "gȷpqyµ"  # t has a short stem, þ stem and tail
MARKED = "ÄÖÜäöüÉÈÊËéèêëÀÁÂàáâÍÎÏìíîïÓÔÕóôõÚÛùúûÝýÿÇçÑñÃãÅåŠšŽž"
OTHERS = "ÆæŒœØøßÐðÞþıȷΩµμ°±×÷−–—·…¡¿‘’‚“”„«»‹›§£€²³"
ROUNDING = 1e-9  # units; what sums of such numbers lose


@pytest.mark.parametrize(
    "text", ["MIC 1", "WWWWWW", "iiii", "H", "RETURN 12", "Größe Ø", "ÉCRAN", "Señal", "Ç", "Ångström", "fill", "J"]
)
def test_lines_stand_within_the_room_of_the_outlines(text: str) -> None:
    legend = Legend("A", text, 10.0, 5.0, 3.0)
    points = [point for chain in strokes(legend) for point in chain]
    room, line = legend.outline.box, 0.1 * legend.height
    assert all(room.left + line / 2 <= p.x + ROUNDING and p.x <= room.right - line / 2 + ROUNDING for p in points)
    tall = room.grown(0.3)  # marks reach a tenth further than the outlines' own
    assert all(tall.bottom <= p.y <= tall.top for p in points)
    assert len(strokes(legend)) >= len(text.replace(" ", ""))


def test_a_capital_is_as_high_as_asked() -> None:
    levels = [point.y for chain in strokes(Legend("A", "H", 0.0, 1.0, 4.0)) for point in chain]
    assert (min(levels), max(levels)) == pytest.approx((1.0, 5.0))


def test_every_sign_of_a_keyboard_has_strokes_and_others_are_told() -> None:
    assert unstroked(f"{PRINTABLE} \u00a0{MARKED}{OTHERS}") == ""
    assert unstroked("Ж A א") == "Жא"
    assert strokes(Legend("A", "Ж", 0.0, 0.0, 3.0)) == ()


@pytest.mark.parametrize(
    ("letters", "low", "high"),
    [(CAPITALS + FIGURES, 0, 10), (SMALL, 0, 7), (STEMS, 0, 10), (TAILS, -3, 7), ("þ", -3, 10), ("t", 0, 9.5)],
)
def test_letters_keep_the_proportions_of_the_standard(letters: str, low: float, high: float) -> None:
    for letter in letters:
        levels = [point.y for chain in _drawn(letter) for point in chain]
        slack = 0.3 if letter == "i" else 0.0  # its dot, a ring, stands a little lower than a stem's end
        assert min(levels) == pytest.approx(low, abs=ROUNDING), letter
        assert high - slack - ROUNDING <= max(levels) <= high + ROUNDING, letter


def test_nothing_reaches_out_of_a_line_of_lettering() -> None:
    levels = [p.y for letter in PRINTABLE + MARKED + OTHERS for chain in _drawn(letter) for p in chain]
    assert min(levels) >= -3  # of the pitch of 19/10 h with accents and tails, some is left between lines
    assert max(levels) <= 14


def test_every_chain_goes_from_point_to_point() -> None:
    for letter in PRINTABLE + MARKED + OTHERS:
        for chain in _drawn(letter):
            assert len(chain) >= 2, letter
            assert all(a.distance_to(b) > CHORD for a, b in pairwise(chain)), letter


def test_no_two_signs_are_the_same_strokes() -> None:
    seen: dict[frozenset[frozenset[Point]], str] = {}
    for letter in (*alphabet().signs, *MARKED):
        assert seen.setdefault(_legs(letter), letter) == letter


@pytest.mark.parametrize("pair", ["O0", "OQ", "Il", "I1", "l1", "I|", "l|", "5S", "8B", "2Z", "6b", "9g", "ßB", "-–"])
def test_letters_that_look_alike_can_be_told_apart(pair: str) -> None:
    one, other = (_centred(letter) for letter in pair)
    between = np.hypot(*(one[:, None] - other[None, :]).transpose(2, 0, 1))
    apart = max(between.min(axis=0).max(), between.min(axis=1).max())
    assert apart > 0.8  # tenths of the height: nearly a line's width somewhere


def test_letters_stand_a_space_apart_and_words_three_of_them() -> None:
    def gap(text: str, first: int) -> float:
        chains = strokes(Legend("A", text, 0.0, 0.0, 10.0))
        ends = (
            max(p.x for chain in chains[:first] for p in chain),
            min(p.x for chain in chains[first:] for p in chain),
        )
        return ends[1] - ends[0] - 1  # less two halves of a line

    assert gap("II", 1) == pytest.approx(2)
    assert gap("I I", 1) == pytest.approx(6)
    assert gap("LA", 1) == pytest.approx(1)  # half of it, where sides lean away


def test_curves_are_round() -> None:
    ring = _drawn("°")[0]
    assert {round(math.dist(p, (0.0, 8.5)), 9) for p in ring} == {1.5}
    sagittas = [1.5 - math.dist((a + b) * 0.5, (0.0, 8.5)) for a, b in pairwise(ring)]
    assert 0 < max(sagittas) <= CHORD
    assert ring[0] == ring[-1]


def test_a_letter_with_a_mark_is_the_letter_and_the_mark_above_it() -> None:
    plain, marked = (strokes(Legend("A", text, 0.0, 0.0, 3.0)) for text in ("O", "Ö"))
    assert len(marked) == len(plain) + 2
    top = max(point.y for chain in plain for point in chain)
    assert min(min(p.y for p in chain) for chain in marked[-2:]) > top
    assert all(isinstance(point, Point) for chain in marked for point in chain)


def test_a_mark_takes_the_place_of_the_dot_and_a_cedilla_hangs_below() -> None:
    assert len(_drawn("í")) == len(_drawn("i")) == 2
    assert max(p.y for p in _drawn("ç")[-1]) <= 0


def _drawn(letter: str) -> tuple[Chain, ...]:
    found = drawing(letter)
    assert found is not None, letter
    return found


def _legs(letter: str) -> frozenset[frozenset[Point]]:
    """Return the straight pieces of a sign from its left side, whichever way they are drawn."""
    left = min(p.x for chain in _drawn(letter) for p in chain)
    moved = [[Point(round(p.x - left, 6), round(p.y, 6)) for p in chain] for chain in _drawn(letter)]
    return frozenset(frozenset(leg) for chain in moved for leg in pairwise(chain))


def _centred(letter: str) -> NDArray[np.float64]:
    """Return points close together along the strokes of a letter, its middle at x = 0: (n, 2) float."""
    legs = [leg for chain in _drawn(letter) for leg in pairwise(chain)]
    points: NDArray[np.float64] = np.array([a + (b - a) * (n / 10) for a, b in legs for n in range(11)])
    points[:, 0] -= (points[:, 0].min() + points[:, 0].max()) / 2
    return points
