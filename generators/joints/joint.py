"""A joint: the two faces that one screw of a place holds together, and the thread that the part may have for it.

All fixings of a place are alike, so a place has one joint. z as on the design's axes: the front face of the finished
panel is at 0, the panel fills minus its thickness to 0. Lengths mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from dryfit.models.catalogue.parts import Boss, Fixings, Side
from dryfit.models.geometry.once import hashed_once
from dryfit.models.job import Mounting
from dryfit.models.panel import Panel
from dryfit.models.reading.fields import Countersink

DISTINCT = 4096  # joints remembered: far more than one panel has, and a bound for a long row of panels


@dataclass(frozen=True)
class Face:
    """A face that a fastener bears on: what it is of, where it lies, and the finished hole in it."""

    of: Literal["flange", "panel"]
    z: float
    hole: float  # diameter
    sink: Countersink | None
    thick: float  # of what lies under the face
    plastic: bool


@hashed_once
@dataclass(frozen=True)
class Joint:
    """What one screw holds together: under its head, and where its thread holds.

    ``side`` is the side that the screw goes in from. ``far`` is the face that washers and nut bear on; with a boss,
    the face of the flange in which the boss begins.
    """

    side: Side
    head: Face
    far: Face
    boss: Boss | None = None

    @property
    def points(self) -> float:
        """The way the screw points along z: -1 to the rear, 1 to the front."""
        return -1.0 if self.side == "front" else 1.0


def flange_front(mounting: Mounting, panel: Panel) -> float:
    """Return z of the front face of the part's flange where it is mounted."""
    return mounting.part.flange.thick if mounting.mount == "front" else -panel.finished


def part_base(mounting: Mounting, panel: Panel) -> float:
    """Return z of the part's own z = 0 (rear face of its flange) where it is mounted."""
    return flange_front(mounting, panel) - mounting.part.flange.thick


def panel_hole(mounting: Mounting, panel: Panel) -> float:
    """Return the diameter of the finished fixing hole in the panel: coating on the wall takes twice its thickness."""
    return mounting.cutout.fixing_diameter - 2 * panel.coating


@lru_cache(maxsize=DISTINCT)
def joint(mounting: Mounting, panel: Panel) -> Joint | None:
    """Return the joint of a place; None where the part has no fixing holes.

    Screws go in from the front, nuts on behind. A part with bosses of its own that lies in front of the panel is
    screwed from behind, for there its bosses open.
    """
    fixings = mounting.part.fixings
    if fixings is None:
        return None
    front, rear = (_of_panel(mounting, panel, side) for side in ("front", "rear"))
    flange = _of_flange(mounting, panel, fixings)
    if mounting.mount == "rear":
        return Joint("front", front, flange, fixings.boss)
    if fixings.boss is not None:
        return Joint("rear", rear, flange, fixings.boss)
    return Joint("front", flange, rear)


def _of_panel(mounting: Mounting, panel: Panel, side: str) -> Face:
    """Return a face of the panel at the fixing holes."""
    cut = mounting.cutout
    sunk = cut.countersink if cut.sunk_from == side else None
    sink = sunk.coated(panel.coating) if sunk is not None else None
    z = 0.0 if side == "front" else -panel.finished
    return Face("panel", z, panel_hole(mounting, panel), sink, panel.finished, panel.material.plastic)


def _of_flange(mounting: Mounting, panel: Panel, fixings: Fixings) -> Face:
    """Return the face of the flange that shows; with bosses, the one that lies on the panel."""
    thick, base = mounting.part.flange.thick, part_base(mounting, panel)
    shows_front = (mounting.mount == "front") is (fixings.boss is None)
    seat = fixings.seat if mounting.mount == "front" and fixings.boss is None else None
    return Face(
        "flange", base + thick if shows_front else base, fixings.hole, seat, thick, mounting.part.metal == "plastic"
    )
