"""Drills for the holes of a panel: pilot and final, in the sizes that are sold."""

from __future__ import annotations

from dataclasses import dataclass

from dryfit.generators.lists.holes import HoleKind
from dryfit.models.geometry.contours import number
from dryfit.models.tables import fasteners

PILOTS = ((3.0, 0.0), (6.0, 2.0), (13.0, 3.0), (float("inf"), 6.0))
"""(hole up to, pilot) mm: about the web of the final drill, and for hole saws, step drills and punches the pilot or
bolt that guides them; up to 3 mm a punch mark is enough (common practice)."""

LARGEST_TWIST = 13.0  # mm; what a hand drill's chuck takes. Beyond it: hole saw, step drill or punch (common practice)
MOST_OVERSIZE = 0.5  # mm; a next drill larger than this over the hole is not offered (common practice)


@dataclass(frozen=True)
class Drilling:
    """How one kind of hole is made by hand: pilot, and the final size in each family (empty: none near it)."""

    pilot: str
    metric: str
    fraction: str
    number: str
    tool: str

    @property
    def short(self) -> str:
        """The drill in a few letters: the metric size, and the nearest of the others."""
        other = self.number or self.fraction
        return self.metric + (f" / {other}" if other else "") if self.metric else self.tool


def drill_for(kind: HoleKind) -> Drilling:
    """Return pilot and final drills: the next size sold that is not smaller than the hole."""
    if not kind.is_round:
        return Drilling("6 mm, inside the corners", "", "", "", "punch, saw or file")
    d = kind.diameter
    pilot = next(p for up_to, p in PILOTS if d <= up_to)
    metric, fraction, numbered = (_next(d, f) for f in ("metric", "fraction", "number"))
    tool = "drill" if d <= LARGEST_TWIST else "hole saw, step drill or punch"
    return Drilling(f"{number(pilot)} mm" if pilot else "punch mark", metric, fraction, numbered, tool)


def _next(diameter: float, family: str) -> str:
    """Return the name of the next drill of a family that is not smaller; empty if there is none near it."""
    found = (d for d in fasteners.drills(family) if d.diameter >= diameter - 1e-6)  # 1e-6: rounding of inch sizes
    drill = next(found, None)
    if drill is None or drill.diameter > diameter + MOST_OVERSIZE:
        return ""
    return drill.name
