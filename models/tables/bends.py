"""Bends: how much sheet they take up, and how tight they may be. All lengths mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table

RIGHT_ANGLE = 90.0  # degrees; every lip is folded square


@dataclass(frozen=True)
class BendRule:
    """A rule for the share K of the thickness at which sheet keeps its length in a bend.

    With q = inside radius / thickness: 2 K = ``base`` + ``slope`` x log10(q), at most ``most``. Below ``sharpest``, q
    is taken as that: the rule says nothing of sharper bends.
    """

    name: str
    base: float
    slope: float
    most: float
    sharpest: float
    source: str
    confidence: str

    def k(self, radius: float, thickness: float) -> float:
        """Return K for an inside radius and a thickness, mm."""
        ratio = max(radius / thickness, self.sharpest)
        return min(self.most, self.base + self.slope * math.log10(ratio)) / 2


@dataclass(frozen=True)
class LeastRadius:
    """The least inside radius of one material: a share of the thickness, and never less than ``least``."""

    material: str
    share: float
    least: float
    source: str
    confidence: str


@cache
def bend_rule() -> BendRule:
    """Return the rule that bends are laid flat by where the layout gives none."""
    (rule,) = read_table("panels/bend_rules", BendRule, ("base", "slope", "most", "sharpest"))
    return rule


def bend_allowance(angle: float, radius: float, thickness: float, k: float) -> float:
    """Return the length of sheet that a bend takes up: angle in degrees turned, inside radius and thickness in mm."""
    return math.radians(angle) * (radius + k * thickness)


def least_radius(material: str, thickness: float) -> float:
    """Return the least inside radius that a sheet is bent to, mm; 0 where the table does not know the material."""
    rows = {row.material: row for row in read_table("panels/bend_radii", LeastRadius, ("share",))}
    return max(rows[material].share * thickness, rows[material].least) if material in rows else 0.0
