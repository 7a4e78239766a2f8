"""Parts and plugs: what the catalogue says of a connector, and what a user's own part file may say.

Frame of a part, seen from the front: x right, y up, its axis at x = y = 0; z = 0 is the rear face of the flange,
the flange fills 0 <= z <= thick. ``front`` sections stand on the flange's front face (``from``/``to`` measured
forward from that face), ``rear`` sections hang behind its rear face (measured backward from z = 0).
A front-mounted part sits with z = 0 on the panel's front face; a rear-mounted one with the front face of its
flange on the panel's rear face, so that its front sections come through the cut-out.

Frame of a plug: z = 0 is the plane of its shoulder, which rests ``seat`` mm in front of the part's flange face when
the plug is home. ``body`` sections lie in front of that plane, ``nose`` sections behind it, inside the part.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from dryfit.models.catalogue.sources import Source
from dryfit.models.geometry.bodies import Slice, Straight, Taper
from dryfit.models.reading.errors import Misplaced, UnknownName
from dryfit.models.reading.fields import (
    LEAST_LENGTH,
    Angle,
    Coordinate,
    Countersink,
    Length,
    OneOrMore,
    PositiveLength,
    Record,
    Shape,
    Spot,
    Text,
)
from dryfit.models.tables.threads import forming_screws, thread

Side = Literal["front", "rear"]
Axis = Literal["+x", "-x", "+y", "-y", "+z", "-z"]
MOST_SOURCES = 100  # of one record, which has about twenty dimensions
MOST_SECTIONS = 24  # sections of one body; a plug has about six


class Section(Record):
    """One slice of a part's body: an outline or a cone, between two distances from its face."""

    outline: Shape | None = None
    cone: tuple[PositiveLength, PositiveLength] | None = None  # diameters at `start` and at `stop`
    start: Length = Field(default=0.0, alias="from")
    stop: PositiveLength = Field(alias="to")

    @model_validator(mode="after")
    def _is_whole(self) -> Section:
        if (self.outline is None) == (self.cone is None):
            raise ValueError("a section has either an outline or a cone")
        if self.stop - self.start < LEAST_LENGTH:
            raise ValueError(f"a section runs forward: from {self.start:g} mm, to {self.stop:g} mm")
        return self

    def ahead(self, face: float) -> Slice:
        """Return the slice in front of the plane z = ``face``."""
        return self._slice(face + self.start, face + self.stop, flipped=False)

    def behind(self, face: float) -> Slice:
        """Return the slice behind the plane z = ``face``."""
        return self._slice(face - self.stop, face - self.start, flipped=True)

    def _slice(self, z0: float, z1: float, flipped: bool) -> Slice:
        if self.outline is not None:
            return Slice(Straight(self.outline), z0, z1)
        assert self.cone is not None  # one of the two, by validation
        low, high = reversed(self.cone) if flipped else self.cone
        return Slice(Taper(low, high), z0, z1)


Sections = Annotated[tuple[Section, ...], Field(max_length=MOST_SECTIONS), OneOrMore()]


Sources = Annotated[dict[str, Source], Field(max_length=MOST_SOURCES)]


class Flange(Record):
    """The plate of the part that lies on the panel."""

    outline: Shape
    thick: PositiveLength


class Boss(Record):
    """A blind hole behind the flange that takes the screw itself: threaded, or for a thread-forming screw.

    ``depth`` is measured from the flange face that touches the panel to the floor of the hole.
    """

    thread: Text | None = None  # name of a machine thread, e.g. M3
    forming: Text | None = None  # name of a thread-forming screw
    depth: PositiveLength
    material: Literal["metal", "plastic"] = "metal"

    @model_validator(mode="after")
    def _one_kind(self) -> Boss:
        if (self.thread is None) == (self.forming is None):
            raise ValueError("a boss has either a thread or a forming screw")
        try:
            _known_thread(self)
        except UnknownName as error:
            raise Misplaced(("thread" if self.forming is None else "forming",), str(error)) from None
        return self

    @property
    def screw(self) -> str:
        """The name of the thread that it takes."""
        return self.thread or self.forming or ""


def _known_thread(boss: Boss) -> None:
    """Raise UnknownName where no table has the boss's thread or thread-forming screw."""
    forming = [screw.name for screw in forming_screws()]
    if boss.thread is not None:
        thread(boss.thread)
    elif boss.forming not in forming:
        raise UnknownName("thread-forming screw", str(boss.forming), forming)


class Fixings(Record):
    """The fixing holes of the flange, by their centres, and what holds the screw."""

    at: Annotated[tuple[Spot, ...], Field(min_length=1, max_length=8)]
    hole: PositiveLength  # diameter in the flange
    panel: PositiveLength  # diameter recommended in the panel
    seat: Countersink | None = None  # on the flange's front face
    boss: Boss | None = None
    screw: Text | None = None  # the thread that is usual for it, such as M3
    locks: bool = False  # the plug's own screws want hexagon screwlocks in place of the screws


class Bush(Record):
    """A threaded bush with its own nut, for parts held by one round hole."""

    thread: PositiveLength  # major diameter
    length: PositiveLength  # thread length beyond the seat face
    nut_across: PositiveLength  # across flats
    nut_height: PositiveLength
    washer: Length = 0.0  # thickness of what the maker puts under the nut
    washer_across: Length = 0.0  # its outside diameter
    nut_side: Side = "front"


class Snap(Record):
    """Spring tabs that hold the part in its cut-out: on panels from how thin to how thick."""

    thinnest: PositiveLength = Field(alias="from")
    thickest: PositiveLength = Field(alias="to")

    @model_validator(mode="after")
    def _some_panel(self) -> Snap:
        if self.thinnest > self.thickest:
            raise ValueError(f"tabs hold from {self.thinnest:g} mm to no less, not to {self.thickest:g} mm")
        return self


class Latch(Record):
    """What lets the plug go: where a finger must work it."""

    on: Literal["part", "plug"]
    at: Spot  # where the finger presses, part frame
    height: Length  # of the release above the flange's front face when the plug is home
    finger: Shape  # room the finger needs about `at`
    motion: Literal["press", "pull", "slide"] = "press"
    deep: PositiveLength = 12.0  # how far in front of the release the room must be free


class Plug(Record):
    """A mating plug, at rest fully home."""

    title: Text
    body: Annotated[Sections, Field(min_length=1)]
    nose: Sections = ()
    travel: PositiveLength  # straight push from first touch to home
    motion: Literal["push", "quarter turn"] = "push"
    turn: Angle = 0.0  # degrees, clockwise seen from the front, after the push
    grip: Shape | None = None  # room the hand needs about the plug while it moves
    cable: Length = 0.0  # cable diameter
    look: Text = ""  # how it is drawn: a name of the looks; no check asks for it
    sources: Sources = Field(default_factory=dict)


class Solid(Record):
    """The true solid of a part: a STEP file in the folder of the part file or below it, and how it stands there.

    Its front looks along the axis ``front`` of the file, ``up`` is up; ``at`` is where the part's own origin is, seen
    so, mm to the right, up, and forward. The sections of the part hold it.
    """

    file: Text
    front: Axis = "+z"
    up: Axis = "+y"
    at: tuple[Coordinate, Coordinate, Coordinate] = (0.0, 0.0, 0.0)

    @model_validator(mode="after")
    def _stands(self) -> Solid:
        if self.front[1] == self.up[1]:
            raise Misplaced(("up",), f"up {self.up} lies along the front, {self.front}")
        return self


class Part(Record):
    """One kind of connector or other panel part."""

    title: Text
    family: Text  # what the trade calls the lot: XLR, jack, BNC, mains, ...
    flange: Flange
    cutout: Shape  # recommended finished hole for front mounting, nominal
    cutout_rear: Shape | None = None  # where rear mounting wants another hole
    fixings: Fixings | None = None
    bush: Bush | None = None
    snap: Snap | None = None
    front: Sections = ()
    rear: Sections = ()
    mount: Annotated[tuple[Side, ...], Field(min_length=1, max_length=2), OneOrMore(",")] = ("front",)
    latch: Latch | None = None
    plugs: Annotated[tuple[Text, ...], Field(max_length=16), OneOrMore(",")] = ()  # the first is the default
    seat: Length = 0.0  # height of the plug's shoulder above the flange's front face, fully home
    wiring: Length = 0.0  # room that terminals and the cable's bend need behind the body
    thickest: Length = 0.0  # thickest panel it suits; 0: no limit of its own
    mains: bool = False
    loudspeaker: bool = False
    earth: bool = False  # has a protective-earth contact that must be bonded
    live: bool = False  # its bush carries what its contact does, and touches the panel
    knob: bool = False  # is turned by a knob, which comes by itself
    metal: Literal["plated zinc", "nickel", "brass", "aluminium", "plastic", "steel"] = "plated zinc"  # its surface
    system: Literal["metric", "inch"] = "metric"
    look: Text = ""  # how it is drawn: a name of the looks; no check asks for it
    solid: Solid | None = None  # what it truly looks like, within its sections
    sources: Sources = Field(default_factory=dict)

    @model_validator(mode="after")
    def _fixed_by_its_flange(self) -> Part:
        corners = self.flange.outline.corners
        for number, (x, y) in enumerate(self.fixings.at if self.fixings is not None else ()):
            across = max(c.x + c.radius for c in corners), max(c.radius - c.x for c in corners)
            up = max(c.y + c.radius for c in corners), max(c.radius - c.y for c in corners)
            if x > across[0] or -x > across[1] or y > up[0] or -y > up[1]:
                raise Misplaced(("fixings", "at", number), f"the fixing hole at ({x:g}, {y:g}) is off the flange")
        return self
