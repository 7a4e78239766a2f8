"""Letters for the dimensions of a part and of its plug, the same on its sheet and in its file."""

from __future__ import annotations

from dataclasses import dataclass

from dryfit.models.catalogue.dimensions import dimensions
from dryfit.models.catalogue.parts import Part, Plug

LETTERS = "ABCDEFGHJKMNPRSTUVWXYZ"  # none that reads like a number or another letter, large or small


@dataclass(frozen=True)
class Lettered:
    """A dimension with its letter and its value (mm; degrees of what turns)."""

    letter: str
    path: str
    value: float
    is_angle: bool


def lettered(record: Part | Plug) -> tuple[Lettered, ...]:
    """Return every dimension with its letter: capitals for a part, small letters for a plug."""
    small = isinstance(record, Plug)
    found = enumerate(dimensions(record))
    return tuple(Lettered(_letter(n, small), one.path, one.value, one.is_angle) for n, one in found)


def _letter(number: int, small: bool) -> str:
    times, which = divmod(number, len(LETTERS))
    letter = LETTERS[which] + (str(times + 1) if times else "")
    return letter.lower() if small else letter
