"""Panels: rack sizes, sheet gauges and materials, from tables, and the panel that a layout describes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from dryfit.models.geometry.outlines import Outline, box, round_, slot
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import SAME_LENGTH

SLOT_LENGTH, SLOT_WIDTH = 10.3, 6.8  # mm, long axis level: from memory

RackName = Literal["19 inch", "half", "10 inch"]


@dataclass(frozen=True)
class RackPanel:
    """Height of a rack panel and how far above its lower edge its mounting slots lie, mm."""

    units: str
    height: float
    slot_low: float
    slot_high: float
    source: str
    confidence: str


@dataclass(frozen=True)
class RackWidth:
    """Width of a rack panel, how far its slots lie apart, and what its rails leave clear, mm (None: it has none)."""

    name: str
    width: float
    across: float
    clear: float | None
    source: str
    confidence: str


@dataclass(frozen=True)
class WallPlate:
    """A plate for a box in the wall: its size, its holes, and the room in the box, mm.

    Every box takes screws ``across`` and ``up`` apart, through round holes or level slots; boxes stand ``pitch`` apart.
    ``room_width`` and ``room_height`` are what the lugs and walls of a box leave free, ``depth`` is that of the
    shallowest box that is usual.
    """

    name: str
    width: float
    height: float
    across: float
    up: float
    hole: float
    slot: float
    boxes: int
    pitch: float
    room_width: float
    room_height: float
    round: bool
    depth: float
    screw: str
    source: str
    confidence: str

    @property
    def middles(self) -> tuple[float, ...]:
        """Where the middles of the boxes lie across the plate."""
        return tuple((number - (self.boxes - 1) / 2) * self.pitch for number in range(self.boxes))

    @property
    def holes(self) -> tuple[Outline, ...]:
        """The holes for its screws, about its centre."""
        hole = slot(self.slot, self.hole) if self.slot > self.hole else round_(self.hole)
        sides = [(x, y) for x in _ends(self.across) for y in _ends(self.up)]
        return tuple(hole.moved(middle + x, y) for middle in self.middles for x, y in sides)

    @property
    def rooms(self) -> tuple[Outline, ...]:
        """What is free in each box, seen from the front."""
        room = round_(self.room_width) if self.round else box(self.room_width, self.room_height)
        return tuple(room.moved(middle, 0.0) for middle in self.middles)


@dataclass(frozen=True)
class WallBox:
    """How deep a box behind a wall plate is that can be had, mm."""

    plate: str
    unit: str
    depth: float
    source: str
    confidence: str


@cache
def box_depths(plate: str) -> tuple[float, ...]:
    """Return how deep the boxes behind a plate are that can be had, mm, the shallowest first."""
    return tuple(sorted(row.depth for row in read_table("panels/wall_boxes", WallBox) if row.plate == plate))


@dataclass(frozen=True)
class SheetSold:
    """A thickness that sheet is sold in, mm; ``unit``: what it is called in."""

    unit: str
    thickness: float
    source: str
    confidence: str


@cache
def sheets_sold(inches: bool) -> tuple[float, ...]:
    """Return the thicknesses that sheet is sold in, by inches or by millimetres, mm."""
    unit = "in" if inches else "mm"
    return tuple(row.thickness for row in read_table("panels/sheets", SheetSold) if row.unit == unit)


@dataclass(frozen=True)
class TieHoles:
    """Two level slots, one ``apart`` above the other from middle to middle, for a cable tie of a width, mm."""

    name: str
    width: float
    slot_length: float
    slot_width: float
    apart: float
    source: str
    confidence: str


@cache
def tie_holes() -> dict[str, TieHoles]:
    """Return the holes for cable ties, by the width of the tie."""
    return {row.name: row for row in read_table("panels/cable_ties", TieHoles)}


def _ends(apart: float) -> tuple[float, ...]:
    return (-apart / 2, apart / 2) if apart else (0.0,)


@dataclass(frozen=True)
class Gauge:
    """Thickness of a sheet gauge of one material, mm."""

    material: str
    gauge: str
    thickness: float
    source: str
    confidence: str


@dataclass(frozen=True)
class Material:
    """What a panel or a fastener is made of; strengths in MPa, modulus in GPa, density in kg/m3."""

    name: str
    density: float
    modulus: float
    poisson: float
    yield_stress: float
    anodic_index: float | None  # V below gold; None for plastics
    kind: str  # metal or plastic
    source: str
    confidence: str

    @property
    def plastic(self) -> bool:
        """Whether it is a plastic."""
        return self.kind == "plastic"


@cache
def rack_panel(units: int) -> RackPanel:
    """Return the rack panel of so many units, 1 to 12."""
    return {row.units: row for row in read_table("panels/rack_panels", RackPanel)}[str(units)]


@cache
def rack_width(name: RackName) -> RackWidth:
    """Return the width of rack panels: of 19 inches, half of that, or of 10 inches."""
    return {row.name: row for row in read_table("panels/rack_widths", RackWidth)}[name]


@cache
def wall_plates() -> dict[str, WallPlate]:
    """Return the wall plates by name."""
    rows = read_table("panels/wall_plates", WallPlate, plain=("boxes",), zero=("across", "up", "pitch"))
    return {row.name: row for row in rows}


def rack_slots(units: int, name: RackName = "19 inch") -> tuple[Outline, ...]:
    """Return the mounting slots of a rack panel about its centre."""
    row = rack_panel(units)
    across = rack_width(name).across / 2
    hole = slot(SLOT_LENGTH, SLOT_WIDTH)
    levels = [up - row.height / 2 for up in (row.slot_low, row.slot_high)]
    return tuple(hole.moved(x, y) for x in (-across, across) for y in levels)


@cache
def materials() -> dict[str, Material]:
    """Return the materials by name."""
    plain = ("density", "modulus", "poisson", "yield_stress", "anodic_index")
    return {row.name: row for row in read_table("panels/materials", Material, plain)}


def gauge_of(material: str, thickness: float) -> str | None:
    """Return the gauge of a sheet of one material so thick (mm); None where it is none."""
    rows = (row for row in read_table("panels/gauges", Gauge) if row.material == material)
    return next((row.gauge for row in rows if abs(row.thickness - thickness) < SAME_LENGTH), None)


def gauge_thickness(material: str, gauge: str) -> float:
    """Return the thickness of a sheet gauge, mm.

    Raises:
        UnknownName: if the material has no such gauge in the table.
    """
    rows = [row for row in read_table("panels/gauges", Gauge) if row.material == material]
    for row in rows:
        if row.gauge == gauge:
            return row.thickness
    raise UnknownName(f"gauge of {material}", f"{gauge} ga", [f"{row.gauge} ga" for row in rows])
