"""What a check found: one question, one place, one verdict, in numbers, with a remedy that works."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from dryfit.models.catalogue.parts import Side
from dryfit.models.edits import Edit


class Verdict(StrEnum):
    """``fits``: goes together; ``tight``: goes with care or luck; ``fails``: does not go."""

    FITS = "fits"
    TIGHT = "tight"
    FAILS = "fails"

    @property
    def rank(self) -> int:
        """0 for fits, 1 for tight, 2 for fails: the larger, the worse."""
        return list(Verdict).index(self)

    def verb(self, count: int = 1) -> str:
        """Return it as a sentence has it of so many things: one ``is tight``, several ``are tight``."""
        return VERBS[self][count != 1]


VERBS = {Verdict.FITS: ("fits", "fit"), Verdict.TIGHT: ("is tight", "are tight"), Verdict.FAILS: ("fails", "fail")}


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the worst of the verdicts; nothing found fits."""
    return max(verdicts, key=lambda v: v.rank, default=Verdict.FITS)


def grade(measured: float, limit: float, aim: float = -math.inf) -> Verdict:
    """Return fails below ``limit``, tight below ``aim`` if there is one, else fits (all mm; the larger, the better)."""
    if measured < limit - ROUNDING:
        return Verdict.FAILS
    return Verdict.TIGHT if measured < aim - ROUNDING else Verdict.FITS


ROUNDING = 1e-9
"""mm. Sums of inch fractions miss their decimal limits by some 1e-15 mm; nothing real is this small."""

Unit = Literal["mm", "V", "count", "share"]

Ref = str | int
"""A body as a check names it, whichever of like places it looks at: one of the place's own by what it is (``nut 2``),
or the number of an obstacle around the place."""


@dataclass(frozen=True)
class Answer:
    """What a check says of a place, before it is known which of like places that is.

    ``margin`` is how far the answer is from failing, in ``unit``: at least zero where it fits, None where there is
    nothing to measure (nothing is near, a yes or no). ``measured`` and ``limit`` are lengths in mm, None where the
    question is not one of length. ``view`` is the side of the panel from which the matter is seen.
    """

    check: str
    verdict: Verdict
    says: str
    margin: float | None = None
    unit: Unit = "mm"
    measured: float | None = None
    limit: float | None = None
    bodies: tuple[Ref, ...] = ()
    view: Side = "front"
    source: str = ""

    @staticmethod
    def of_length(
        check: str,
        verdict: Verdict,
        says: str,
        *,
        measured: float,
        limit: float,
        bodies: tuple[Ref, ...] = (),
        view: Side = "front",
        source: str = "",
    ) -> Answer:
        """Return the answer to a question of length, mm: the margin is what is measured over the limit."""
        return Answer(check, verdict, says, margin(measured, limit), "mm", measured, limit, bodies, view, source)


def margin(measured: float, limit: float) -> float:
    """Return by how much a length exceeds its limit, without the noise of rounding."""
    left = measured - limit
    return 0.0 if abs(left) < ROUNDING else left


@dataclass(frozen=True)
class Remedy:
    """What cures a finding: in words, and as edits of the layout; without edits where no edit can do it."""

    says: str
    edits: tuple[Edit, ...] = ()


@dataclass(frozen=True)
class Finding:
    """One answer of one check at one place; see :class:`Answer` for the numbers.

    ``bodies`` are the bodies concerned, by their names in the assembly, the place's own first; ``beside`` are the
    other places concerned.
    """

    check: str
    place: str
    verdict: Verdict
    says: str
    margin: float | None = None
    unit: Unit = "mm"
    measured: float | None = None
    limit: float | None = None
    bodies: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    view: Side = "front"
    source: str = ""
    remedy: Remedy | None = None
    also: tuple[str, ...] = ()  # the checks that fail for the same cause

    @staticmethod
    def of_length(
        check: str,
        place: str,
        verdict: Verdict,
        says: str,
        *,
        measured: float,
        limit: float,
        bodies: tuple[str, ...] = (),
        beside: tuple[str, ...] = (),
        view: Side = "front",
        source: str = "",
    ) -> Finding:
        """Return the finding of a length, mm: the margin is what is measured over the limit."""
        return Finding(
            check, place, verdict, says, margin(measured, limit), "mm", measured, limit, bodies, beside, view, source
        )

    @property
    def advice(self) -> str:
        """The remedy in words; empty without one."""
        return "" if self.remedy is None else self.remedy.says

    @property
    def edits(self) -> tuple[Edit, ...]:
        """The edits of the layout that carry the remedy out."""
        return () if self.remedy is None else self.remedy.edits

    @property
    def is_bad(self) -> bool:
        """Whether it does not simply fit."""
        return self.verdict is not Verdict.FITS


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings the worst verdict first, within a verdict as they were told."""
    return tuple(sorted(findings, key=lambda finding: -finding.verdict.rank))
