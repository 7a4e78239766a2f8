"""Letters and words for the dimensions of a part and of its plug, the same on its sheet and in its file."""

from __future__ import annotations

from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache

from dryfit.models.catalogue.dimensions import dimensions
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.reading.tables import read_table

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


@dataclass(frozen=True)
class Measuring:
    """A row of the table: dimensions by their paths, what they are, and how the caliper takes them."""

    path: str
    says: str
    how: str


@cache
def measuring() -> tuple[Measuring, ...]:
    """Return how each dimension of a part or plug is taken."""
    return read_table("part_keys", Measuring)


def how_taken(path: str) -> Measuring:
    """Return how a dimension is taken."""
    return next(row for row in measuring() if fnmatchcase(path, row.path))
