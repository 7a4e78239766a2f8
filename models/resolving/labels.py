"""What places are called and numbered by, and what is written at them."""

from __future__ import annotations

from collections.abc import Sequence

from dryfit.models.legends import PLAIN, LegendWish, Lettering
from dryfit.models.reading.spellings import meant
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.resolving.faults import Faults
from dryfit.models.tables.finishes import colours
from dryfit.models.wishes.places import PlaceWish

NUMBERED = "{n}"  # in a label: the number of the place
NO_LEGEND = "none"


def first_numbers(places: Sequence[PlaceWish]) -> list[int]:
    """Return the first number of each entry: the one it names, or the next after those made from the same pattern."""
    following: dict[str, int] = {}
    numbers = []
    for entry in places:
        first = following.get(_pattern(entry), 1) if entry.first is None else entry.first
        following[_pattern(entry)] = first + entry.places
        numbers.append(first)
    return numbers


def label(entry: PlaceWish, number: int) -> str:
    """Return what a place of an entry is called by its number; empty where that leaves nothing."""
    return _numbered(_pattern(entry), number)


def legend(entry: PlaceWish, name: str, number: int) -> str:
    """Return what is written at a place: its name, where nothing else is asked for; `none` writes nothing."""
    text = entry.legend.text if isinstance(entry.legend, LegendWish) else entry.legend
    return "" if text == NO_LEGEND else _numbered(text, number) or name


def lettering(entry: PlaceWish, number: int) -> Lettering:
    """Return what is asked for of the legend of a place."""
    wish = entry.legend
    if not isinstance(wish, LegendWish):
        return PLAIN
    return Lettering(_numbered(wish.second, number), wish.height, wish.side, meant("colour", wish.colour, colours()))


def judge_colour(key: KeyPath, entry: PlaceWish, faults: Faults) -> None:
    """Note a colour of a legend that there is none of."""
    wish = entry.legend
    if isinstance(wish, LegendWish) and wish.colour:
        faults.row((*key, "legend", "colour"), "colour", wish.colour, colours())


def _numbered(text: str, number: int) -> str:
    return text.replace(NUMBERED, str(number))


def _pattern(entry: PlaceWish) -> str:
    """Return what the names of an entry's places are made from; its label, or its part, numbered if it has several."""
    text = entry.label or entry.part
    return text if entry.places == 1 or NUMBERED in text else f"{text} {NUMBERED}"
