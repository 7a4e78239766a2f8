"""Panels: rack sizes, sheet gauges and materials, from tables, and the panel that a layout describes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.geometry.outlines import Outline, slot
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table

RACK_WIDTH = 482.6  # mm, 19.000 in: EIA-310, IEC 60297-3-100 as quoted by secondary text
HALF_WIDTH = 241.3  # mm, 9.5 in: common practice
SLOT_SPACING = 465.1  # mm between slot centres, 18.312 in: EIA-310 as quoted by secondary text
SLOT_LENGTH, SLOT_WIDTH = 10.3, 6.8  # mm, long axis level: from memory
RAIL_OPENING = 450.0  # mm clear between rails: IEC 60297-3-100, from memory (EIA-310: 450.85)


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


def rack_slots(units: int, width: float = RACK_WIDTH) -> tuple[Outline, ...]:
    """Return the mounting slots of a rack panel about its centre; a half-width panel has its own at like margins."""
    row = rack_panel(units)
    across = (SLOT_SPACING + width - RACK_WIDTH) / 2
    hole = slot(SLOT_LENGTH, SLOT_WIDTH)
    levels = [up - row.height / 2 for up in (row.slot_low, row.slot_high)]
    return tuple(hole.moved(x, y) for x in (-across, across) for y in levels)


@cache
def materials() -> dict[str, Material]:
    """Return the materials by name."""
    plain = ("density", "modulus", "poisson", "yield_stress", "anodic_index")
    return {row.name: row for row in read_table("panels/materials", Material, plain)}


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
