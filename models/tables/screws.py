"""Screws to buy, and the rivets that take their place. All lengths mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import format_inch, format_mm
from dryfit.models.tables.designations import designation
from dryfit.models.tables.heads import Head
from dryfit.models.tables.rivets import Rivet, rivets
from dryfit.models.tables.threads import Thread, lengths


@hashed_once
@dataclass(frozen=True)
class Screw:
    """A screw to buy: thread, head and nominal length; or a blind rivet, which takes a screw's place."""

    thread: Thread
    head: Head
    length: float
    rivet: Rivet | None = None

    @kept
    def designation(self) -> str:
        """The screw as an order names it, in the manner of its standard.

        ``Countersunk flat head screw ISO 7046-1 - M3 x 10 - H`` (H: the cross recess);
        ``4-40 x 3/8 type I cross recessed flat countersunk head machine screw, ASME B18.6.3``.
        """
        if self.rivet is not None:
            return self.rivet.designation
        head, thread = self.head, self.thread
        length = length_name(self.length, thread.system).removesuffix(" in").removesuffix(" mm")
        size = f"{thread.size} x {length}"
        return designation(
            "screw", head.kind, head.standard, thread.system, head.drive_kind, size=size, drive=head.drive
        )


def length_name(mm: float, system: str) -> str:
    """Return a screw length as it is sold: ``10 mm`` or ``3/8 in``."""
    return format_inch(mm) if system == "inch" else format_mm(mm)


RIVET = "rivet "
"""What the name of a rivet begins with where a layout names it in a screw's place: ``rivet 1/8 in``."""


def riveted(name: str) -> tuple[Screw, ...]:
    """Return the rivets of that name (without the word rivet), one for each grip range, as what is put in the hole.

    Raises:
        UnknownName: with the nearest name there is.
    """
    if name not in _riveted():
        raise UnknownName("rivet", f"{RIVET}{name}", (f"{RIVET}{row.name}" for row in rivets()))
    return _riveted()[name]


@cache
def _riveted() -> dict[str, tuple[Screw, ...]]:
    names = dict.fromkeys(row.name for row in rivets())
    return {name: tuple(_as_screw(row) for row in rivets() if row.name == name) for name in names}


def sold_lengths(name: str) -> tuple[float, ...]:
    """Return the lengths that a screw of a thread, or a rivet, is sold in, mm, shortest first."""
    if name.startswith(RIVET):
        return tuple(sorted(screw.length for screw in riveted(name.removeprefix(RIVET))))
    return lengths(name)


def _as_screw(row: Rivet) -> Screw:
    """Return a rivet in the terms of a screw: its body for the thread, which has no pitch to speak of."""
    area = math.pi / 4 * row.body_min**2
    thread = Thread(
        f"{RIVET}{row.name}", row.system, row.size, None, "none", row.body_max, row.body_max, row.body_min,
        row.body_max, row.body_min, None, area, row.standard, row.source, row.confidence,
    )  # fmt: skip
    head = Head(
        thread.name, "dome", row.standard, "none: set with a riveter", None, None, None, None, row.head_diameter,
        row.head_diameter, None, row.head_height, None, 0.0, row.source, row.confidence,
    )  # fmt: skip
    return Screw(thread, head, row.length, row)


@dataclass(frozen=True)
class RackScrew:
    """What holds a panel in its rack, or a plate to its box in the wall."""

    name: str
    into: str  # rack or wall box
    words: str
    major: float
    pitch: float
    length: float
    source: str
    confidence: str


@cache
def rack_screws() -> dict[str, RackScrew]:
    """Return the screws of racks and wall boxes by name."""
    return {row.name: row for row in read_table("fasteners/rack_screws", RackScrew)}
