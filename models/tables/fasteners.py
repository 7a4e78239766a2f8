"""Screws, nuts, washers, rivets and drills: the tables, and how to ask them.

All lengths mm. Sizes are at their largest (heads, nuts, washers) unless a name says ``_min``, because the largest is
what has to fit. Each row carries its standard, its source and how far that source can be trusted.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Protocol, TypeVar

from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import MM_PER_INCH, format_inch, format_mm


@dataclass(frozen=True)
class Thread:
    """A thread: basic major diameter, its limits as made (6g or 2A), pitch, basic internal minor, stress area mm2.

    Of a thread-forming screw ``minor`` is the core and ``stress_area`` the core's.
    """

    name: str
    system: str  # metric or inch
    major: float
    major_max: float
    major_min: float
    pitch: float
    minor: float
    minor_max: float | None  # of the internal thread, 6H or 2B
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
    angle_min: float | None
    angle_max: float | None
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
        """The nut as an order names it: ``Hexagon nut ISO 4032 - M3``, ``4-40 hex machine screw nut, ASME B18.2.2``."""
        words = _NUT_WORDS[self.kind, thread(self.thread).system]
        return _designation(words, self.standard, self.thread, self.thread)


@dataclass(frozen=True)
class Washer:
    """A washer, its thickness as clamped. ``form`` is the letter or words by which its standard tells forms apart."""

    thread: str
    kind: str
    standard: str
    form: str | None
    inner: float
    inner_max: float | None
    outer: float
    outer_min: float | None
    thickness: float
    thickness_min: float | None
    thickness_max: float | None
    source: str
    confidence: str

    @property
    def designation(self) -> str:
        """The washer as an order names it: ``Plain washer ISO 7089 - 3``, ``No. 4 internal tooth lock washer, ...``."""
        words = _WASHER_WORDS[self.kind]
        if thread(self.thread).system == "inch":
            return f"{self.thread.split('-')[0]} {self.form} {words.split()[-2].lower()} washer, {self.standard}"
        size = f"{self.inner:g}" if self.standard == "DIN 6797" else self.thread.removeprefix("M")
        return f"{words} {self.standard} - {f'{self.form} ' if self.form else ''}{size}"


@dataclass(frozen=True)
class Clearance:
    """A clearance hole: fit is close, normal or loose (ISO 273: fine, medium, coarse)."""

    thread: str
    fit: str
    standard: str
    diameter: float
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
    """A blind rivet of one grip range; ``blind_side`` is how far it stands behind before it is set."""

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

    @property
    def designation(self) -> str:
        """The rivet as an order names it: by body and length, or by body and grip where inches are the custom."""
        if self.name.endswith("in"):
            grip = f"{self.grip_min / float(MM_PER_INCH):.3f} to {self.grip_max / float(MM_PER_INCH):.3f} in"
            return f"{self.name} blind rivet, dome head, grip {grip}, {self.standard}"
        return f"Blind rivet {self.standard} - {self.name.removesuffix(' mm')} x {self.length:g}"


@dataclass(frozen=True)
class FormingScrew:
    """Pilot holes of a thread-forming screw; thread, heads and lengths stand in the tables of all screws."""

    name: str
    soft_plastic: float
    hard_plastic: float
    sheet_metal: float | None
    source: str
    confidence: str

    @property
    def major(self) -> float:
        """Diameter over the thread."""
        return thread(self.name).major

    @property
    def core(self) -> float:
        """Diameter of the core."""
        return thread(self.name).minor


@dataclass(frozen=True)
class Retention:
    """What keeps a screw from working loose, and what to know of it."""

    keeps: str
    advice: str
    source: str
    confidence: str


@dataclass(frozen=True)
class RackScrew:
    """What holds a panel in its rack."""

    name: str
    words: str
    major: float
    pitch: float
    length: float
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
    """A screw to buy: thread, head and nominal length; or a blind rivet, which takes a screw's place."""

    thread: Thread
    head: Head
    length: float
    rivet: Rivet | None = None

    @property
    def designation(self) -> str:
        """The screw as an order names it, in the manner of its standard.

        ``Countersunk flat head screw ISO 7046-1 - M3 x 10 - H`` (H: the cross recess);
        ``4-40 x 3/8 type I cross recessed flat countersunk head machine screw, ASME B18.6.3``.
        """
        if self.rivet is not None:
            return self.rivet.designation
        head, system = self.head, self.thread.system
        words = _DRIVE_WORDS[head.drive.split()[0], system] + _HEAD_WORDS[head.kind, system]
        size = f"{self.thread.name} x {length_name(self.length, system).removesuffix(' in').removesuffix(' mm')}"
        if head.standard in _TAPPING:
            return f"Tapping screw {head.standard} - {size} - C - H"  # C: cone end
        if head.standard == NO_STANDARD:
            return f"Thread-forming screw {size} mm, {head.kind} head, {head.drive}"
        text = _designation(words, head.standard, size, self.thread.name)
        return f"{text} - H" if head.drive.startswith("cross") and head.standard.startswith("ISO") else text


_TAPPING = ("ISO 7049", "ISO 7050")
_DRIVE_WORDS = {
    ("cross", "metric"): "",
    ("slot", "metric"): "slotted ",
    ("hexagon", "metric"): "hexagon socket ",
    ("cross", "inch"): "type I cross recessed ",
    ("slot", "inch"): "slotted ",
}
_HEAD_WORDS = {
    ("countersunk", "metric"): "countersunk flat head screw",
    ("raised countersunk", "metric"): "raised countersunk head screw",
    ("pan", "metric"): "pan head screw",
    ("button", "metric"): "button head screw",
    ("countersunk", "inch"): "flat countersunk head machine screw",
    ("raised countersunk", "inch"): "oval countersunk head machine screw",
    ("pan", "inch"): "pan head machine screw",
}
_NUT_WORDS = {
    ("hexagon", "metric"): "hexagon nut",
    ("thin", "metric"): "hexagon thin nut",
    ("self-locking", "metric"): "prevailing torque type hexagon nut",
    ("tooth-washer nut", "metric"): "hexagon nut with captive tooth washer",
    ("hexagon", "inch"): "hex machine screw nut",
    ("narrow", "inch"): "hex machine screw nut",
    ("self-locking", "inch"): "prevailing torque hex nut",
    ("tooth-washer nut", "inch"): "hex nut with captive tooth washer",
}
_WASHER_WORDS = {
    "plain": "Plain washer",
    "split": "Spring lock washer",
    "tooth internal": "Toothed lock washer",
    "tooth external": "Toothed lock washer",
}


def _designation(words: str, standard: str, size: str, thread_name: str) -> str:
    """Return ``Words STANDARD - size`` as ISO orders it, or ``size words, STANDARD`` as ASME does."""
    if thread(thread_name).system == "inch":
        size = size.removeprefix("No. ")
        return f"{size} {words}" if standard == NO_STANDARD else f"{size} {words}, {standard}"
    if standard == NO_STANDARD:
        return f"{_first_upper(words)} {size}"
    return f"{_first_upper(words)} {standard} - {size}"


NO_STANDARD = "no standard"


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


RIVET = "rivet "
"""What the name of a rivet begins with where a layout names it in a screw's place: ``rivet 1/8 in``."""


@cache
def riveted(name: str) -> tuple[Screw, ...]:
    """Return the rivets of that name (without the word rivet), one for each grip range, as what is put in the hole."""
    rows = tuple(row for row in rivets() if row.name == name)
    if not rows:
        raise UnknownName("rivet", f"{RIVET}{name}", (f"{RIVET}{row.name}" for row in rivets()))
    return tuple(_as_screw(row) for row in rows)


def _as_screw(row: Rivet) -> Screw:
    """Return a rivet in the terms of a screw: its body for the thread, which has no pitch to speak of."""
    system = "inch" if row.name.endswith("in") else "metric"
    area = math.pi / 4 * row.body_min**2
    thread = Thread(
        f"{RIVET}{row.name}", system, row.body_max, row.body_max, row.body_min, row.body_max, row.body_min, None, area,
        row.standard, row.source, row.confidence,
    )  # fmt: skip
    head = Head(
        thread.name, "dome", row.standard, "none: set with a riveter", None, None, None, row.head_diameter,
        row.head_diameter, None, row.head_height, None, 0.0, row.source, row.confidence,
    )  # fmt: skip
    return Screw(thread, head, row.length, row)


@cache
def forming_screws() -> tuple[FormingScrew, ...]:
    """Return the pilot holes of thread-forming screws."""
    return read_table("fasteners/forming_screws", FormingScrew)


@cache
def retentions() -> dict[str, Retention]:
    """Return what there is to know of each way that keeps a screw from working loose."""
    return {row.keeps: row for row in read_table("fasteners/retention", Retention)}


@cache
def rack_screws() -> dict[str, RackScrew]:
    """Return the rack screws by name."""
    return {row.name: row for row in read_table("fasteners/rack_screws", RackScrew)}


@cache
def _heads() -> tuple[Head, ...]:
    return read_table("fasteners/heads", Head, plain=("angle", "angle_min", "angle_max"), zero=("crown",))


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


ISO_LENGTH = ((3.0, 0.20), (6.0, 0.24), (10.0, 0.29), (18.0, 0.35), (30.0, 0.42), (50.0, 0.50), (80.0, 0.95))
"""Length tolerance of ISO screws by nominal length, mm, either way: js15 of ISO 286-1 to 50 mm, js16 above."""
TAPPING_LENGTH = ((19.0, 0.8), (38.0, 1.3))
"""Length tolerance of ISO 7049 and 7050 tapping screws by nominal length, mm, either way (from memory)."""
ASME_LENGTH = ((0.5, 0.02), (1.0, 0.03), (2.0, 0.06), (math.inf, 0.09))
"""Length tolerance of ASME B18.6.3 machine screws No. 0 to 12 in inches: nothing over, this much under."""
ROUNDING = 1e-9
"""mm or inches: lengths turned from inches to mm and back differ by less, and no two sizes are this close."""


def length_limits(thread_name: str, nominal: float) -> tuple[float, float]:
    """Return the least and the greatest length of a screw of this nominal length, mm."""
    if thread(thread_name).system == "inch":
        return nominal - _step(ASME_LENGTH, nominal / float(MM_PER_INCH)) * float(MM_PER_INCH), nominal
    half = _step(TAPPING_LENGTH if thread_name.startswith("ST") else ISO_LENGTH, nominal)
    return nominal - half, nominal + half


def _step(table: tuple[tuple[float, float], ...], size: float) -> float:
    """Return what a stepped table gives for a size; beyond its end, its last step."""
    return next((value for top, value in table if size <= top + ROUNDING), table[-1][1])


def length_name(mm: float, system: str) -> str:
    """Return a screw length as it is sold: ``10 mm`` or ``3/8 in``."""
    return format_inch(mm) if system == "inch" else format_mm(mm)


def next_drill_at_least(diameter: float, family: str | None = None) -> Drill:
    """Return the smallest drill that is no smaller than ``diameter``.

    Raises:
        UnknownName: where none is sold as large.
    """
    for drill in drills(family):
        if drill.diameter >= diameter - ROUNDING:
            return drill
    raise UnknownName("drill", f"{diameter:.2f} mm", ())
