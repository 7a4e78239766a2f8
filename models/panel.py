"""The panel: the plate, what it is made of, and the holes through it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.geometry.outlines import Outline, box, filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.panels import Material

HolePurpose = Literal["main", "fixing", "rack", "plain"]
Edge = Literal["right", "top", "left", "bottom"]
EDGES: tuple[Edge, ...] = get_args(Edge)  # anticlockwise, as a contour runs
CORNERS: tuple[tuple[Edge, Edge], ...] = (("right", "top"), ("top", "left"), ("left", "bottom"), ("bottom", "right"))


@dataclass(frozen=True)
class Hole:
    """One hole through the panel, as punched (before any coating), where it is on the panel."""

    outline: Outline
    purpose: HolePurpose
    place: str = ""  # name of the place it belongs to; empty for the panel's own
    countersink: Countersink | None = None
    sunk_from: Side = "front"
    name: str = ""  # what people call a plain hole
    turn: float = 0.0  # degrees that a plain hole is turned; those of a place are turned with it

    @property
    def called(self) -> str:
        """What it is in words."""
        if self.place:
            return f"the {self.purpose} hole of {self.place}"
        return f"the {self.name}" if self.name else "the mounting hole"

    def coated(self, coating: float) -> Hole:
        """Return the hole under a coating (mm) on its wall, on its countersink and on the faces of the panel."""
        if coating == 0:
            return self
        sink = self.countersink.coated(coating) if self.countersink is not None else None
        return replace(self, outline=self.outline.grown(-coating), countersink=sink)


@dataclass(frozen=True)
class Cut:
    """A plain hole through the panel: for a cable, a display, air; as punched, about its centre, not turned."""

    name: str
    outline: Outline
    at: Point
    turn: float = 0.0

    def hole(self) -> Hole:
        """Return it where it is on the panel."""
        return Hole(self.outline.turned(self.turn).moved(*self.at), "plain", name=self.name, turn=self.turn)


@hashed_once
@dataclass(frozen=True)
class Panel:
    """The plate, centred on the origin. Sizes are of the bare metal; ``coating`` is the layer on each surface."""

    width: float
    height: float
    thickness: float
    material: Material
    coating: float = 0.0
    holes_finished: bool = False  # bought with its holes: their sizes were given coated, and reckoned back
    corner: float = 0.0
    rack_units: int | None = None
    rack_holes: tuple[Outline, ...] = ()  # mounting slots of a rack panel, or the holes of a wall plate
    cuts: tuple[Cut, ...] = ()  # plain holes
    lip: float = 0.0  # depth of the folded lips behind the rear face; 0: flat
    lips: tuple[Edge, ...] = ("top", "bottom")  # the edges that lips are folded along, where there are any
    bend_radius: float = 0.0  # inside radius of the folds
    k_factor: float | None = None  # of the bends, by the shop; None: by the rule for radius and thickness
    allowance: float | None = None  # of one bend, by the shop, mm; None: by the K factor
    rack_screw: str = "M6"  # what holds a rack panel or a wall plate
    depth: float | None = None  # free depth behind the panel; None: not known
    mask_earth: bool = False  # the earth point is masked from the coating, or scraped bare
    finish: str | None = None  # what is done to its face: how it looks; None: nothing is said
    colour: str | None = None  # the colour it comes in; None: the usual one of its finish
    clear_width: float | None = None  # width free behind the panel (between rack rails); None: all of it
    rooms: tuple[Outline, ...] = ()  # what the boxes behind a wall plate leave free; none: no such plate

    @property
    def finished(self) -> float:
        """Thickness with coating on both faces: what screws clamp and bosses pass."""
        return self.thickness + 2 * self.coating

    @property
    def datum(self) -> Point:
        """The lower left corner of the bare panel: drawing, cutting file and STEP files measure from there.

        Where its corner is round, the point where its edges would meet; with lips, that of the bent panel.
        """
        return Point(-self.width / 2, -self.height / 2)

    @property
    def folded(self) -> tuple[Edge, ...]:
        """The edges that have lips, anticlockwise from the right; none of a flat panel."""
        return tuple(edge for edge in EDGES if edge in self.lips) if self.lip > 0 else ()

    @property
    def setback(self) -> float:
        """How far from its outer face the bend of a lip begins."""
        return self.thickness + self.bend_radius

    @kept
    def outline(self) -> Outline:
        """The outline of the bare panel seen from the front, reliefs of its lips aside; square where a lip ends."""
        return self._cornered(box(self.width, self.height), self.lip_leaves_corners)

    @property
    def flat_sides(self) -> Rectangle:
        """The sides of what is flat of its front face; without room for the bends of its lips they cross."""
        inset = {edge: self.setback if edge in self.folded else 0.0 for edge in EDGES}
        right, top = self.width / 2, self.height / 2
        return Rectangle(inset["left"] - right, inset["bottom"] - top, right - inset["right"], top - inset["top"])

    @kept
    def flat(self) -> Outline:
        """The part of its front face that is flat: folded lips round its edges off."""
        return self._cornered(filled(self.flat_sides), False)

    @property
    def lip_leaves_corners(self) -> bool:
        """Whether lips end so far from the panel's ends that its corners can be round."""
        return self.lip_length / 2 + self.lip_relief + self.corner <= self.width / 2

    def _cornered(self, square: Outline, all_round: bool) -> Outline:
        """Return a rectangle with the panel's corner radius: at all its corners, or where no lip ends."""
        free = (all_round or not {*pair} & {*self.folded} for pair in CORNERS)
        pairs = zip(free, square.corners, strict=True)
        return Outline(tuple(corner.rounded(self.corner) if whole else corner for whole, corner in pairs))

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
