"""Tolerances of what is bought and made. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

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


IsoClass = Literal["f", "m", "c"]


@dataclass(frozen=True)
class GeneralTolerance:
    """Tolerances of lengths up to a size without one of their own, plus or minus: classes fine, medium, coarse."""

    up_to: float
    f: float
    m: float
    c: float
    source: str


def general_tolerance(size: float, iso: IsoClass = "m") -> float:
    """Return the tolerance (plus or minus, mm) of a length without one of its own, by a class of ISO 2768-1."""
    return _by_class(_general_tolerances("general_tolerances"), size, iso)


def general_radius(radius: float, iso: IsoClass = "m") -> float:
    """Return the tolerance (plus or minus, mm) of a radius without one of its own, by a class of ISO 2768-1."""
    return _by_class(_general_tolerances("general_radii"), radius, iso)


def _by_class(steps: tuple[GeneralTolerance, ...], size: float, iso: IsoClass) -> float:
    row = next((step for step in steps if size <= step.up_to + SAME_LENGTH), steps[-1])
    return {"f": row.f, "m": row.m, "c": row.c}[iso]


@cache
def _general_tolerances(table: str) -> tuple[GeneralTolerance, ...]:
    return read_table(table, GeneralTolerance)


@dataclass(frozen=True)
class CutGrade:
    """How closely holes are cut: a share of a class of ISO 2768-1, positions within ``most_position`` (None: as that).

    ``held`` says whether a sheet-metal shop keeps it.
    """

    name: str
    iso: str
    share: float
    most_position: float | None
    held: bool
    source: str

    def size(self, mm: float) -> float:
        """Return the tolerance (plus or minus, mm) of a size."""
        return self.share * general_tolerance(mm, cast(IsoClass, self.iso))

    def radius(self, mm: float) -> float:
        """Return the tolerance (plus or minus, mm) of the radius of a bend."""
        return self.share * general_radius(mm, cast(IsoClass, self.iso))

    def position(self, mm: float) -> float:
        """Return the tolerance (plus or minus, mm) of a position so far from where it is measured."""
        by_class = self.size(abs(mm))
        return by_class if self.most_position is None else min(by_class, self.most_position)


@cache
def cut_grades() -> tuple[CutGrade, ...]:
    """Return the grades, the coarsest first; the last one leaves nothing to the shop."""
    return read_table("cut_grades", CutGrade, plain=("share",), zero=("share", "most_position"))


def held_grade() -> CutGrade:
    """Return the finest grade that shops hold: what has no room for that goes together by luck."""
    return [grade for grade in cut_grades() if grade.held][-1]
