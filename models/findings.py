"""What a check found: one question, one place, one verdict, in numbers, with a remedy that works."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """``fits``: goes together; ``tight``: goes with care or luck; ``fails``: does not go."""

    FITS = "fits"
    TIGHT = "tight"
    FAILS = "fails"

    @property
    def rank(self) -> int:
        """0 for fits, 1 for tight, 2 for fails: the larger, the worse."""
        return list(Verdict).index(self)


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the worst of the verdicts; nothing found fits."""
    return max(verdicts, key=lambda v: v.rank, default=Verdict.FITS)


def grade(measured: float, limit: float, aim: float) -> Verdict:
    """Return fails below ``limit``, tight below ``aim``, else fits (all mm; the larger, the better)."""
    if measured < limit - ROUNDING:
        return Verdict.FAILS
    return Verdict.TIGHT if measured < aim - ROUNDING else Verdict.FITS


ROUNDING = 1e-9
"""mm. Sums of inch fractions miss their decimal limits by some 1e-15 mm; nothing real is this small."""


@dataclass(frozen=True)
class Change:
    """An edit of the layout file that carries out a remedy: ``value`` at ``path`` of one entry of ``places``.

    ``entry`` is the index in ``places`` (None: the panel), ``path`` the keys below it; a value of None deletes.
    """

    entry: int | None
    path: tuple[str, ...]
    value: object


@dataclass(frozen=True)
class Finding:
    """One answer of one check.

    ``measured`` and ``limit`` are mm (degrees or other units only where ``says`` states so); ``changes`` carries
    the remedy out on the layout file where that is possible there.
    """

    check: str
    place: str
    verdict: Verdict
    measured: float
    limit: float
    says: str
    remedy: str = ""
    source: str = ""
    changes: tuple[Change, ...] = ()
