"""Drills for the holes of a panel: pilot, and the final sizes that are sold and lie within the hole's tolerance."""

from __future__ import annotations

from dataclasses import dataclass

from dryfit.generators.lists.holes import HoleKind
from dryfit.models.geometry.contours import number
from dryfit.models.reading.units import SAME_LENGTH
from dryfit.models.tables import fasteners
from dryfit.models.tables.drills import Drill
from dryfit.models.tables.tools import tools_for

PILOTS = ((3.0, 0.0), (6.0, 2.0), (13.0, 3.0), (float("inf"), 6.0))
"""(hole up to, pilot) mm: about the web of the final drill, and for hole saws, step drills and punches the pilot or
bolt that guides them; up to 3 mm a punch mark is enough (common practice)."""

LARGEST_TWIST = 13.0  # mm; what a hand drill's chuck takes (common practice)
FAMILIES = ("metric", "fraction", "number", "letter")
MACHINE = "laser or punch press"  # what makes a hole that no tool is sold for
FREEHAND = "laser or punch press"  # and one that is not round


@dataclass(frozen=True)
class Drilling:
    """How one kind of hole is made: pilot, final size by family (empty: none within the tolerance), and the tool."""

    pilot: str
    sizes: dict[str, str]
    tool: str

    def short(self, inches: bool = False) -> str:
        """Return the drill in a few letters: metric size and one of the others; the tool where none is sold.

        For ``inches`` the sizes of the inch trade come first: fraction, number, letter.
        """
        order = (*FAMILIES[1:], *FAMILIES[:1]) if inches else FAMILIES
        found = [self.sizes[family] for family in order if self.sizes.get(family)]
        return " / ".join(found[:2]) if found and self.tool == "drill" else self.tool


def drill_for(kind: HoleKind, tolerance: float, sheet: float) -> Drilling:
    """Return pilot and final drills of a hole: of those within its tolerance (plus or minus, mm) the nearest."""
    if not kind.is_round:
        return Drilling("6 mm, inside the corners", {}, FREEHAND)
    d = kind.diameter
    pilot = next(p for up_to, p in PILOTS if d <= up_to)
    found = {family: _nearest(d, tolerance, family) for family in FAMILIES}
    sizes = {family: drill.name if drill is not None else "" for family, drill in found.items()}
    return Drilling(f"{number(pilot)} mm" if pilot else "punch mark", sizes, _tool(found, sheet))


def _nearest(diameter: float, tolerance: float, family: str) -> Drill | None:
    """Return the drill of a family that is nearest to a diameter, if it lies within the tolerance."""
    drill = min(fasteners.drills(family), key=lambda drill: abs(drill.diameter - diameter))
    return drill if abs(drill.diameter - diameter) <= tolerance + SAME_LENGTH else None


def _tool(found: dict[str, Drill | None], sheet: float) -> str:
    """Return what makes the hole: a drill of a size that is sold, a larger tool of such a size, or a machine."""
    sold = next((drill for drill in found.values() if drill is not None), None)
    if sold is None:
        return MACHINE
    if sold.diameter <= LARGEST_TWIST:
        return "drill"
    kinds = tools_for(sold.diameter, sheet)
    return f"{sold.name} {' or '.join(kinds)}" if kinds else MACHINE
