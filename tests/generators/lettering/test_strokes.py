"""Single-stroke lettering: where outlines stand, as high as they are, never outside the room that was checked."""

from __future__ import annotations

import pytest

from dryfit.generators.lettering.legends import Legend
from dryfit.generators.lettering.strokes import strokes, unstroked
from dryfit.models.geometry.points import Point

PRINTABLE = "".join(map(chr, range(33, 127)))


@pytest.mark.parametrize(
    "text", ["MIC 1", "WWWWWW", "iiii", "H", "RETURN 12", "Größe Ø", "ÉCRAN", "Señal", "Ç", "Ångström"]
)
def test_strokes_stand_within_the_room_of_the_outlines(text: str) -> None:
    legend = Legend("A", text, 10.0, 5.0, 3.0)
    points = [point for chain in strokes(legend) for point in chain]
    room = legend.outline.box.grown(0.45)  # brackets and marks reach a little further than the outlines' own
    assert all(room.left <= p.x <= room.right and room.bottom <= p.y <= room.top for p in points)
    assert len(strokes(legend)) >= len(text.replace(" ", "").replace("WWWWWW", "W"))


def test_a_capital_is_as_high_as_asked() -> None:
    levels = [point.y for chain in strokes(Legend("A", "H", 0.0, 1.0, 4.0)) for point in chain]
    assert (min(levels), max(levels)) == pytest.approx((1.0, 5.0))


def test_every_sign_of_a_keyboard_has_strokes_and_others_are_told() -> None:
    assert unstroked(PRINTABLE + " ÄÖÜäöüßéèêçñåøØµ°±×–Ω") == ""
    assert unstroked("Ж A א") == "Жא"
    assert strokes(Legend("A", "Ж", 0.0, 0.0, 3.0)) == ()


def test_a_letter_with_a_mark_is_the_letter_and_the_mark_above_it() -> None:
    plain, marked = (strokes(Legend("A", text, 0.0, 0.0, 3.0)) for text in ("O", "Ö"))
    assert len(marked) == len(plain) + 2
    top = max(point.y for chain in plain for point in chain)
    assert min(min(p.y for p in chain) for chain in marked[-2:]) > top
    assert all(isinstance(point, Point) for chain in marked for point in chain)
