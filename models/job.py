"""The job: a layout with everything found and worked out, all in mm, every place positioned on one panel.

The generators read only this. It is made by :mod:`dryfit.models.resolve` from a layout file.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from dryfit.models.catalogue.parts import Part, Plug, Side
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.prices import Price
from dryfit.models.reading.fields import Countersink

Point = tuple[float, float]
HolePurpose = Literal["main", "fixing", "rack"]


@dataclass(frozen=True)
class Material:
    """What a panel or a fastener is made of; strengths in MPa, modulus in GPa, density in kg/m3."""

    name: str
    density: float
    modulus: float
    poisson: float
    yield_stress: float
    anodic_index: float | None  # V below gold; None for plastics
    plastic: bool
    source: str


@dataclass(frozen=True)
class Hole:
    """One hole through the panel, as punched (before any coating), where it is on the panel."""

    outline: Outline
    purpose: HolePurpose
    place: str = ""  # name of the place it belongs to; empty for the panel's own
    countersink: Countersink | None = None
    sunk_from: Side = "front"


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
    def lip_length(self) -> float:
        """How long the lips are: the panel's width, or what rack rails leave less a relief at each end."""
        if self.clear_width is None or self.clear_width >= self.width:
            return self.width
        return self.clear_width - 2 * self.lip_relief

    @property
    def lip_relief(self) -> float:
        """Width of the relief slot beside a lip that ends short of the panel: one thickness (common practice)."""
        return self.thickness


@dataclass(frozen=True)
class Cutout:
    """What is punched for one place, in the frame of the place (before turning), before coating."""

    main: Outline
    fixings: tuple[Point, ...]
    fixing_diameter: float
    countersink: Countersink | None = None  # in the panel, at the fixing holes
    sunk_from: Side = "front"


@dataclass(frozen=True)
class HardwareWish:
    """What the layout asks for; None or empty means dryfit chooses."""

    threads: tuple[str, ...] = ()
    head: str | None = None
    length: float | None = None
    nut: str | None = None  # a nut kind; "none" for no nut
    washers: tuple[str, ...] | None = None
    metal: str | None = None
    retention: str | None = None
    heads: tuple[str, ...] = ()  # head kinds at hand; empty: all
    drives: tuple[str, ...] = ()  # drives at hand; empty: all, cross recess first


@dataclass(frozen=True)
class Place:
    """One position on the panel with one part in it."""

    name: str
    entry: int  # index in the layout's `places`, for remedies that edit the file
    line: int  # line of that entry
    kind: str  # catalogue name of the part
    part: Part
    x: float
    y: float
    turn: float  # degrees anticlockwise seen from the front; the part and its cut-out turn together
    mount: Side
    cutout: Cutout
    part_turn: float = 0.0  # degrees the part alone is turned in its cut-out
    plug_name: str | None = None
    plug: Plug | None = None
    wish: HardwareWish = HardwareWish()
    legend: str = ""

    def on_panel(self, point: Point) -> Point:
        """Return a point of the place's frame where it is on the panel."""
        a = math.radians(self.turn)
        return (
            self.x + point[0] * math.cos(a) - point[1] * math.sin(a),
            self.y + point[0] * math.sin(a) + point[1] * math.cos(a),
        )


@dataclass(frozen=True)
class Job:
    """One panel to build: all parts found, every place positioned."""

    title: str
    source: str  # path of the layout file, as given
    panel: Panel
    places: tuple[Place, ...]
    environment: str = "indoor"
    origin_centre: bool = False  # whether the layout measures from the centre (else the lower left corner)
    notes: tuple[str, ...] = ()
    revision: str = ""
    spares: float = 0.1  # share of small hardware bought over what is needed
    prices: tuple[Price, ...] = ()

    @property
    def origin(self) -> Point:
        """Where on the panel the layout measures from."""
        return (0.0, 0.0) if self.origin_centre else (-self.panel.width / 2, -self.panel.height / 2)

    def holes(self) -> tuple[Hole, ...]:
        """Return every hole through the panel, as punched: rack slots first, then place by place."""
        own = tuple(Hole(outline, "rack") for outline in self.panel.rack_holes)
        return own + tuple(hole for place in self.places for hole in place_holes(place))


def place_holes(place: Place) -> tuple[Hole, ...]:
    """Return the holes of one place where they are on the panel: the main one, then the fixing holes."""
    cut = place.cutout
    main = Hole(cut.main.turned(place.turn).moved(place.x, place.y), "main", place.name)
    fixing = round_(cut.fixing_diameter)
    fixings = tuple(
        Hole(fixing.moved(*place.on_panel(at)), "fixing", place.name, cut.countersink, cut.sunk_from)
        for at in cut.fixings
    )
    return (main, *fixings)
