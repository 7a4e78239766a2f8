"""Screws, nuts, washers, rivets and drills: the tables, and how to ask them.

All lengths mm. Sizes are at their largest (heads, nuts, washers) unless a name says ``_min``, because the largest is
what has to fit. Each row carries its standard, its source and how far that source can be trusted.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Protocol, TypeVar

from dryfit.models.errors import UnknownName
from dryfit.models.tables import read_table
from dryfit.models.units import MM_PER_INCH, format_inch, format_mm


@dataclass(frozen=True)
class Thread:
    """A thread: basic major diameter, its limits as made (6g or 2A), pitch, basic internal minor, stress area mm2."""

    name: str
    system: str  # metric or inch
    major: float
    major_max: float
    major_min: float
    pitch: float
    minor: float
    stress_area: float
    standard: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Head:
    """A screw head. ``theoretical`` is where the cone would be sharp; ``crown`` is what a raised head adds."""

    thread: str
    kind: str
    standard: str
    drive: str
    angle: float | None  # degrees; None: flat underneath
    diameter: float
    diameter_min: float
    theoretical: float | None
    height: float
    height_min: float | None
    crown: float
    source: str
    confidence: str


@dataclass(frozen=True)
class Driver:
    """A nut driver: name, size across flats, and its outside diameter."""

    driver: str
    across: float
    outside: float
    source: str
    confidence: str


@dataclass(frozen=True)
class Nut:
    """A hexagon nut, with any captive washer or insert in its height."""

    thread: str
    kind: str
    standard: str
    across_flats: float
    across_flats_min: float
    corners: float
    corners_min: float | None
    height: float
    height_min: float
    driver: str
    source: str
    confidence: str

    @property
    def driver_outside(self) -> float:
        """Outside diameter of the nut driver for this nut."""
        return drivers()[self.driver].outside

    @property
    def driver_across(self) -> float:
        """Size across flats of the driver."""
        return drivers()[self.driver].across

    @property
    def designation(self) -> str:
        """The nut as an order names it: ``Hexagon nut ISO 4032 - M3``."""
        return f"{_first_upper(_NUT_WORDS.get(self.kind, f'{self.kind} nut'))} {self.standard} - {self.thread}"


@dataclass(frozen=True)
class Washer:
    """A washer, its thickness as clamped."""

    thread: str
    kind: str
    standard: str
    inner: float
    inner_max: float | None
    outer: float
    outer_min: float | None
    thickness: float
    source: str
    confidence: str

    @property
    def designation(self) -> str:
        """The washer as an order names it: ``Plain washer ISO 7089 - M3``."""
        return f"{_first_upper(self.kind)} washer {self.standard} - {self.thread}"


@dataclass(frozen=True)
class Clearance:
    """A clearance hole: fit is close, normal or loose (ISO 273: fine, medium, coarse)."""

    thread: str
    fit: str
    standard: str
    hole: float
    source: str
    confidence: str


@dataclass(frozen=True)
class Drill:
    """A drill, hole saw or punch as sold."""

    name: str
    family: str  # metric, fraction, number or letter
    diameter: float
    source: str
    confidence: str


@dataclass(frozen=True)
class Rivet:
    """A blind rivet of one grip range."""

    name: str
    standard: str
    body_min: float
    body_max: float
    hole_min: float
    hole_max: float
    head_diameter: float
    head_height: float
    blind_side: float
    grip_min: float
    grip_max: float
    length: float
    source: str
    confidence: str


@dataclass(frozen=True)
class FormingScrew:
    """Pilot holes of a thread-forming screw; its thread, heads and lengths stand in the other tables."""

    name: str
    soft_plastic: float
    hard_plastic: float
    sheet_metal: float | None
    source: str
    confidence: str


@dataclass(frozen=True)
class _SoldLength:
    thread: str
    length: float
    source: str
    confidence: str


@dataclass(frozen=True)
class Screw:
    """A screw to buy: thread, head and nominal length."""

    thread: Thread
    head: Head
    length: float

    @property
    def designation(self) -> str:
        """The screw as an order names it, in the manner of its standard."""
        size = f"{self.thread.name} x {length_name(self.length, self.thread.system)}"
        if self.thread.system == "inch":
            return f"{size}, {self.head.drive}, {self.head.kind} head machine screw, {self.head.standard}"
        if self.head.standard == "no standard":
            return f"Thread-forming screw {size}, {self.head.kind} head, {self.head.drive}"
        return f"{_first_upper(self.head.kind)} head screw {self.head.standard} - {size.removesuffix(' mm')}"


_NUT_WORDS = {"hexagon": "hexagon nut", "thin": "hexagon thin nut", "narrow": "hexagon nut, narrow"}


def _first_upper(text: str) -> str:
    return text[:1].upper() + text[1:]


# --- the tables ----------------------------------------------------------------------------------------------------


class _OfThread(Protocol):
    @property
    def thread(self) -> str: ...


T = TypeVar("T", bound=_OfThread)


@cache
def threads() -> tuple[Thread, ...]:
    """Return every thread, machine threads first."""
    return read_table("fasteners/threads", Thread, plain=("stress_area",))


@cache
def heads(thread: str | None = None, kind: str | None = None) -> tuple[Head, ...]:
    """Return the heads of a thread and kind (None: all), those with a cross recess first."""
    rows = _heads() if thread is None else _of(_heads(), thread)
    return tuple(head for head in rows if kind in (None, head.kind))


@cache
def nuts(thread: str | None = None, kind: str | None = None) -> tuple[Nut, ...]:
    """Return the nuts of a thread and kind (None: all)."""
    rows = _nuts() if thread is None else _of(_nuts(), thread)
    return tuple(nut for nut in rows if kind in (None, nut.kind))


@cache
def washers(thread: str | None = None, kind: str | None = None) -> tuple[Washer, ...]:
    """Return the washers of a thread and kind (None: all)."""
    rows = _washers() if thread is None else _of(_washers(), thread)
    return tuple(washer for washer in rows if kind in (None, washer.kind))


@cache
def clearances(thread: str | None = None) -> tuple[Clearance, ...]:
    """Return the clearance holes of a thread (None: all), from close to loose."""
    rows = read_table("fasteners/clearances", Clearance)
    return rows if thread is None else _of(rows, thread)


@cache
def drills(family: str | None = None) -> tuple[Drill, ...]:
    """Return the drills of a family (None: all), in order of diameter."""
    rows = sorted(read_table("fasteners/drills", Drill), key=lambda drill: drill.diameter)
    return tuple(drill for drill in rows if family in (None, drill.family))


@cache
def drivers() -> dict[str, Driver]:
    """Return the nut drivers by name."""
    return {row.driver: row for row in read_table("fasteners/nut_drivers", Driver)}


@cache
def rivets() -> tuple[Rivet, ...]:
    """Return the blind rivets."""
    return read_table("fasteners/rivets", Rivet)


@cache
def forming_screws() -> tuple[FormingScrew, ...]:
    """Return the pilot holes of thread-forming screws."""
    return read_table("fasteners/forming_screws", FormingScrew)


@cache
def _heads() -> tuple[Head, ...]:
    return read_table("fasteners/heads", Head, plain=("angle",))


@cache
def _nuts() -> tuple[Nut, ...]:
    return read_table("fasteners/nuts", Nut)


@cache
def _washers() -> tuple[Washer, ...]:
    return read_table("fasteners/washers", Washer)


@cache
def _lengths() -> tuple[_SoldLength, ...]:
    return read_table("fasteners/lengths", _SoldLength)


def _of(rows: Iterable[T], thread: str) -> tuple[T, ...]:
    return tuple(row for row in rows if row.thread == thread)


# --- asking them ---------------------------------------------------------------------------------------------------


@cache
def thread(name: str) -> Thread:
    """Return the thread that people call ``M3``, ``m3``, ``No. 4``, ``4-40`` or ``#4-40``.

    Raises:
        UnknownName: with the nearest name there is.
    """
    wanted = _folded(name)
    for row in threads():
        folded = _folded(row.name)
        if wanted == folded or (row.system == "inch" and wanted == folded.split("-")[0]):
            return row
    raise UnknownName("thread", name, (row.name for row in threads()))


def _folded(name: str) -> str:
    return re.sub(r"^(no\.?|#)|\s+", "", name.casefold().strip()).strip()


@cache
def lengths(thread_name: str) -> tuple[float, ...]:
    """Return the lengths a screw of this thread is sold in, mm, shortest first."""
    return tuple(sorted(row.length for row in _of(_lengths(), thread_name)))


IT15 = ((3.0, 0.40), (6.0, 0.48), (10.0, 0.58), (18.0, 0.70), (30.0, 0.84), (50.0, 1.00))
"""Standard tolerance grade IT15 of ISO 286-1 by nominal length, mm; screws to 50 mm are js15 (half either side)."""
ASME_SHORT = ((0.5, 0.02), (1.0, 0.03), (2.0, 0.06))
"""Length tolerance of ASME B18.6.3 machine screws No. 0 to 12 in inches: nothing over, this much under."""


def length_limits(thread_name: str, nominal: float) -> tuple[float, float]:
    """Return the least and the greatest length of a screw of this nominal length, mm."""
    if thread(thread_name).system == "inch":
        inches = nominal / float(MM_PER_INCH)
        under = next((less for top, less in ASME_SHORT if inches <= top + 1e-9), ASME_SHORT[-1][1])
        return nominal - under * float(MM_PER_INCH), nominal
    half = next((width / 2 for top, width in IT15 if nominal <= top), IT15[-1][1] / 2)
    return nominal - half, nominal + half


def length_name(mm: float, system: str) -> str:
    """Return a screw length as it is sold: ``10 mm`` or ``3/8 in``."""
    return format_inch(mm) if system == "inch" else format_mm(mm)


def next_drill_at_least(diameter: float, family: str | None = None) -> Drill:
    """Return the smallest drill that is no smaller than ``diameter``.

    Raises:
        UnknownName: where none is sold as large.
    """
    for drill in drills(family):
        if drill.diameter >= diameter - 1e-9:  # rounding of inch sizes
            return drill
    raise UnknownName("drill", f"{diameter:.2f} mm", ())
