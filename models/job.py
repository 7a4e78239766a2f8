"""The job: a layout with everything found and worked out, all in mm, every place positioned on one panel.

The generators read only this. It is made by :mod:`dryfit.models.resolve` from a layout file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import PurePath

from dryfit.models.catalogue.layers import Kept
from dryfit.models.catalogue.looks import Look
from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part, Plug, Side
from dryfit.models.catalogue.solids import SolidFile
from dryfit.models.catalogue.worst import worst_part, worst_plug
from dryfit.models.drawer import Drawer
from dryfit.models.geometry.once import hashed_once
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.layout import LayoutFile
from dryfit.models.legends import PLAIN, Lettering
from dryfit.models.panel import Hole, Panel
from dryfit.models.prices import Price
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.articles import Article
from dryfit.models.titles import BLANK, Titles


@dataclass(frozen=True)
class Cutout:
    """What is punched for one place, in the frame of the place (before turning), before coating."""

    main: Outline
    fixings: tuple[Point, ...]
    fixing_diameter: float
    countersink: Countersink | None = None  # in the panel, at the fixing holes
    sunk_from: Side = "front"
    left_out: float = 0.0  # coating that sizes in the layout leave out, on every wall: they are of the finished hole

    @property
    def fixing_holes(self) -> tuple[Outline, ...]:
        """The fixing holes, as punched."""
        return tuple(round_(self.fixing_diameter).moved(*at) for at in self.fixings)


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
    is_own: bool = False  # whether the thread is asked for at this very place, not for the whole panel
    at_hand: tuple[Article, ...] = ()  # what the drawer has of this metal


@hashed_once
@dataclass(frozen=True)
class Mounting:
    """A part as it is mounted, in the frame of its place: all that like places have in common."""

    kind: str  # catalogue name of the part
    part: Part
    mount: Side
    cutout: Cutout
    part_turn: float = 0.0  # degrees the part alone is turned in its cut-out
    plug_name: str | None = None
    plug: Plug | None = None
    wish: HardwareWish = HardwareWish()

    @property
    def fixings(self) -> tuple[Point, ...]:
        """The fixing axes of the part, turned in its cut-out; empty where it has none."""
        if self.part.fixings is None:
            return ()
        return tuple(Point(*at).turned(self.part_turn) for at in self.part.fixings.at)

    @property
    def flange(self) -> Outline:
        """The outline of the flange, turned in its cut-out."""
        return self.part.flange.outline.turned(self.part_turn)


@hashed_once
@dataclass(frozen=True)
class Place:
    """One position on the panel with one part in it."""

    name: str
    x: float
    y: float
    turn: float  # degrees anticlockwise seen from the front; the part and its cut-out turn together
    mounting: Mounting
    legend: str = ""
    entry: int = 0  # index in the layout's `places`
    line: int = 1  # line of that entry in the file
    lettering: Lettering = PLAIN  # what is asked for of the legend

    def at_worst(self) -> Place:
        """Return the place with its part and plug at the worse end of their dimensions; itself where there is none."""
        mounting = self.mounting
        part, plug = worst_part(mounting.part), mounting.plug and worst_plug(mounting.plug)
        if part is mounting.part and plug is mounting.plug:
            return self
        return replace(self, mounting=replace(mounting, part=part, plug=plug))

    @property
    def at(self) -> Point:
        """Where it is on the panel."""
        return Point(self.x, self.y)

    @property
    def kind(self) -> str:
        """Catalogue name of the part."""
        return self.mounting.kind

    @property
    def part(self) -> Part:
        """The part."""
        return self.mounting.part

    @property
    def mount(self) -> Side:
        """The side the part is mounted from."""
        return self.mounting.mount

    @property
    def cutout(self) -> Cutout:
        """What is punched for it."""
        return self.mounting.cutout

    @property
    def plug(self) -> Plug | None:
        """The mating plug that is tried in it."""
        return self.mounting.plug

    @property
    def wish(self) -> HardwareWish:
        """The hardware the layout asks for."""
        return self.mounting.wish

    @property
    def whole_turn(self) -> float:
        """Degrees the part stands turned on the panel."""
        return self.turn + self.mounting.part_turn

    @property
    def flange(self) -> Outline:
        """The outline of the flange where it is on the panel."""
        return self.mounted(self.part.flange.outline)

    def mounted(self, outline: Outline) -> Outline:
        """Return an outline of the part's own frame where it is on the panel."""
        return outline.turned(self.whole_turn).moved(self.x, self.y)

    @property
    def fixings(self) -> tuple[Point, ...]:
        """The fixing axes of the part where they are on the panel."""
        return tuple(self.on_panel(at) for at in self.mounting.fixings)

    def on_panel(self, point: Point) -> Point:
        """Return a point of the place's frame where it is on the panel."""
        return Point(*point).turned(self.turn) + self.at

    def holes(self) -> Iterator[Hole]:
        """Yield the holes of the place where they are on the panel, as punched: the main one, then the fixing holes."""
        cut = self.cutout
        yield Hole(cut.main.turned(self.turn).moved(self.x, self.y), "main", self.name)
        for at in cut.fixings:
            outline = round_(cut.fixing_diameter).moved(*self.on_panel(at))
            yield Hole(outline, "fixing", self.name, cut.countersink, cut.sunk_from)


@dataclass(frozen=True)
class Draft:
    """What a job was made from: the layout, and the catalogue it was read with."""

    layout: LayoutFile
    catalogue: Catalogue


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
    draft: Draft | None = field(default=None, repr=False, compare=False)
    digest: str = ""  # SHA-256 of all it was read from: layout, part files, solids, prices, drawer, the shelf's in use
    looks: Mapping[str, Look] = field(default_factory=dict, repr=False, compare=False)  # of its parts and plugs
    titles: Titles = BLANK  # of its drawings
    kept: tuple[Kept, ...] = ()  # what it has of the shelf
    font: str = ""  # path of a typeface for the legends; empty: the one that drawings have
    inches: bool = False  # whether the panel's size was given in inches
    drawer: Drawer | None = None  # what is at hand; None where nobody said
    solids: Mapping[str, SolidFile] = field(default_factory=dict, repr=False, compare=False)  # of its parts, by kind

    @property
    def file(self) -> str:
        """The name of the layout file, as written files give it: where it lies is nobody's business."""
        return PurePath(self.source).name

    @property
    def origin(self) -> Point:
        """Where on the panel the layout measures from."""
        return ORIGIN if self.origin_centre else self.panel.datum

    def place(self, name: str) -> Place:
        """Return the place of a name."""
        return next(place for place in self.places if place.name == name)

    def at_worst(self) -> Job:
        """Return the job with every part and plug at the worse end of its dimensions; what is cut stays the same."""
        return replace(self, places=tuple(place.at_worst() for place in self.places))

    def holes(self) -> tuple[Hole, ...]:
        """Return every hole through the panel, as punched: rack slots, then plain holes, then place by place."""
        own = (*(Hole(outline, "rack") for outline in self.panel.rack_holes), *(cut.hole() for cut in self.panel.cuts))
        return own + tuple(hole for place in self.places for hole in place.holes())
