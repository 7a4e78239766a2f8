"""The panel: the plate, what it is made of, and the holes through it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.once import hashed_once
from dryfit.models.geometry.outlines import Outline, box
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.panels import Material

HolePurpose = Literal["main", "fixing", "rack"]


@dataclass(frozen=True)
class Hole:
    """One hole through the panel, as punched (before any coating), where it is on the panel."""

    outline: Outline
    purpose: HolePurpose
    place: str = ""  # name of the place it belongs to; empty for the panel's own
    countersink: Countersink | None = None
    sunk_from: Side = "front"

    def coated(self, coating: float) -> Hole:
        """Return the hole under a coating (mm) on its wall, on its countersink and on the faces of the panel."""
        if coating == 0:
            return self
        sink = self.countersink.coated(coating) if self.countersink is not None else None
        return replace(self, outline=self.outline.grown(-coating), countersink=sink)


@hashed_once
@dataclass(frozen=True)
class Panel:
    """The plate, centred on the origin. Sizes are of the bare metal; ``coating`` is the layer on each surface."""

    width: float
    height: float
    thickness: float
    material: Material
    coating: float = 0.0
    corner: float = 0.0
    rack_units: int | None = None
    rack_holes: tuple[Outline, ...] = ()  # mounting slots of a rack panel
    lip: float = 0.0  # depth of the folded lips behind the rear face, along top and bottom; 0: flat
    bend_radius: float = 0.0  # inside radius of the folds
    rack_screw: str = "M6"  # what holds a rack panel
    depth: float | None = None  # free depth behind the panel; None: not known
    mask_earth: bool = False  # the earth point is masked from the coating, or scraped bare
    clear_width: float | None = None  # width free behind the panel (between rack rails); None: all of it

    @property
    def finished(self) -> float:
        """Thickness with coating on both faces: what screws clamp and bosses pass."""
        return self.thickness + 2 * self.coating

    @property
    def outline(self) -> Outline:
        """The outline of the bare panel."""
        return box(self.width, self.height, self.corner)

    @property
    def flat(self) -> Outline:
        """The part of its front face that is flat: folded lips round its upper and lower edges off."""
        if self.lip == 0:
            return self.outline
        return box(self.width, self.height - 2 * (self.bend_radius + self.thickness))

    @property
    def lip_length(self) -> float:
        """How long the lips are: the panel's width, or what rack rails leave less a relief at each end."""
        if self.clear_width is None or self.clear_width >= self.width:
            return self.width
        return self.clear_width - 2 * self.lip_relief

    @property
    def lip_relief(self) -> float:
        """Width of the relief slot beside a lip that ends short of the panel: one thickness (common practice)."""
        return self.thickness
