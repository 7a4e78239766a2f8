"""Blind rivets. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table
from dryfit.models.reading.units import to_inches
from dryfit.models.tables.designations import designation


@dataclass(frozen=True)
class Rivet:
    """A blind rivet of one grip range; ``blind_side`` is how far it stands behind before it is set."""

    name: str
    system: str  # metric or inch
    size: str  # as an order writes it
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
        low, high = to_inches(self.grip_min), to_inches(self.grip_max)
        grip = f"{low:.3f} to {high:.3f} in"
        return designation(
            "rivet", "dome", self.standard, self.system, size=self.size, length=f"{self.length:g}", grip=grip
        )


@cache
def rivets() -> tuple[Rivet, ...]:
    """Return the blind rivets."""
    return read_table("fasteners/rivets", Rivet)
