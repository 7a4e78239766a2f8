"""Tolerances of what is bought and made. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import SAME_LENGTH
from dryfit.models.tables.threads import thread


@dataclass(frozen=True)
class LengthTolerance:
    """What screws up to a nominal length may be longer (``over``) and shorter (``under``)."""

    rule: str
    up_to: float
    over: float
    under: float
    source: str
    confidence: str


def length_limits(thread_name: str, nominal: float) -> tuple[float, float]:
    """Return the least and the greatest length of a screw of this nominal length, mm."""
    steps = _length_tolerances()[thread(thread_name).length_rule]
    step = next((row for row in steps if nominal <= row.up_to + SAME_LENGTH), steps[-1])  # the last holds beyond itself
    return nominal - step.under, nominal + step.over


@cache
def _length_tolerances() -> dict[str, tuple[LengthTolerance, ...]]:
    rows = read_table("fasteners/length_tolerances", LengthTolerance, zero=("over",))
    return {rule: tuple(row for row in rows if row.rule == rule) for rule in {row.rule for row in rows}}


@dataclass(frozen=True)
class GeneralTolerance:
    """Tolerances of lengths up to a size without one of their own, plus or minus: classes fine, medium, coarse."""

    up_to: float
    f: float
    m: float
    c: float
    source: str


def general_tolerance(size: float) -> float:
    """Return the tolerance (plus or minus, mm) of a length without one of its own: ISO 2768-1, class m."""
    steps = _general_tolerances()
    return next((step.m for step in steps if size <= step.up_to + SAME_LENGTH), steps[-1].m)


@cache
def _general_tolerances() -> tuple[GeneralTolerance, ...]:
    return read_table("general_tolerances", GeneralTolerance)
