"""What a check is given to look at: one place in its surroundings, or the whole panel put together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.bodies.parts import part_body
from dryfit.generators.clearance.surroundings import Surroundings
from dryfit.generators.joints.joint import Joint, joint, part_base
from dryfit.generators.joints.stacks import Stack
from dryfit.models.catalogue.worst import extent, least_flange
from dryfit.models.geometry.bodies import Contact, Placement, Slice, closest
from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.geometry.outlines import SQRT3_2, Outline, clearance, filled, round_
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Job, Mounting, Place
from dryfit.models.panel import Panel

DISTINCT = 1024  # parts as they are mounted, remembered
NOTHING_NEAR = Surroundings()
OF_THE_PLACE = ("joint", "own", "covers", "main_hole", "fixing_holes")
"""What is worked out once for all stacks that are tried at a place."""
NEAR = 5.0  # mm; what is further from a fastener or its way is no matter to it
OWN = "body"  # what sentences call the part itself


@hashed_once
@dataclass(frozen=True)
class Fit:
    """A part as it is mounted with one stack, in the frame of its place: its axis at x = y = 0, not turned back."""

    panel: Panel
    mounting: Mounting
    around: Surroundings = NOTHING_NEAR
    stack: Stack | None = None

    def with_stack(self, stack: Stack | None) -> Fit:
        """Return the fit with another stack; what is known of the place itself stays known."""
        return self._with(replace(self, stack=stack))

    def _with(self, other: Fit) -> Fit:
        other.__dict__.update({name: self.__dict__[name] for name in OF_THE_PLACE if name in self.__dict__})
        return other

    def beside_fasteners(self) -> tuple[Fit, tuple[int, ...]]:
        """Return the fit among those obstacles only that may matter to its fasteners, and their numbers here.

        So places look alike to the questions of their fasteners that do not in all that surrounds them.
        """
        room, around = self._room, self.around
        numbers = tuple([n for n, obstacle in enumerate(around.obstacles) if room.overlaps(obstacle.plan)])
        edge = around.edge if around.edge is None or clearance(filled(room), around.edge) < 0 else None
        holes = tuple([hole for hole in around.holes if room.overlaps(hole.box)])
        left = Surroundings(tuple([around.obstacles[n] for n in numbers]), holes, edge)
        return self._with(replace(self, around=left)), numbers

    @property
    def _room(self) -> Rectangle:
        """All that is near enough to a fastener, its tool or its way to matter to it."""
        stack, bush = self.stack, self.mounting.part.bush
        rooms = [Rectangle(0.0, 0.0, 0.0, 0.0)]
        if bush is not None:
            rooms += [rooms[0].grown(max(bush.nut_across / SQRT3_2, bush.washer_across) / 2)]
        if stack is not None:
            rooms += [Rectangle(x, y, x, y).grown(stack.widest / 2) for x, y in self.mounting.fixings]
        return Rectangle.around(rooms).grown(NEAR)

    @kept
    def joint(self) -> Joint | None:
        """What the screws hold together; None where the part has no fixing holes."""
        return joint(self.mounting, self.panel)

    @kept
    def own(self) -> tuple[Slice, ...]:
        """The slices of the part itself where it is mounted."""
        return own_slices(self.mounting, self.panel)

    @property
    def thicker(self) -> float:
        """How much thicker than meant its flange may be, mm."""
        thick = self.mounting.part.flange.thick
        return extent(self.mounting.part, "flange.thick", thick).greatest - thick

    @kept
    def covers(self) -> Outline:
        """The outline of its flange at its least."""
        return least_flange(self.mounting.part).turned(self.mounting.part_turn)

    @kept
    def main_hole(self) -> Outline:
        """The finished main hole."""
        return self.mounting.cutout.main.grown(-self.panel.coating)

    @kept
    def fixing_holes(self) -> tuple[Outline, ...]:
        """The finished fixing holes of the panel."""
        hole = round_(self.mounting.cutout.fixing_diameter - 2 * self.panel.coating)
        return tuple(hole.moved(*at) for at in self.mounting.cutout.fixings)

    def nearest(self, slices: Iterable[Slice], plugs: bool = True) -> Met | None:
        """Return what comes closest to some slices: the own part, or something around; None where nothing is near."""
        wanted = tuple(slices)
        return min(self._met(wanted, plugs), key=lambda met: met.gap, default=None)

    def _met(self, wanted: tuple[Slice, ...], plugs: bool) -> Iterator[Met]:
        contact = closest(wanted, self.own, NEAR)
        if contact is not None:
            yield Met(contact, OWN, None)
        for number, obstacle in enumerate(self.around.obstacles):
            contact = closest(wanted, obstacle.slices, NEAR) if plugs or not obstacle.is_plug else None
            if contact is not None:
                yield Met(contact, obstacle.name, number)


@dataclass(frozen=True)
class Met:
    """What comes closest to something: how close, what it is in words, and which obstacle (None: the own part)."""

    contact: Contact
    name: str
    number: int | None

    @property
    def gap(self) -> float:
        """The gap, mm; below zero they clash."""
        return self.contact.gap

    @property
    def bodies(self) -> tuple[int, ...]:
        """The obstacle as an answer refers to it; the own part goes without saying."""
        return () if self.number is None else (self.number,)


@lru_cache(maxsize=DISTINCT)
def own_slices(mounting: Mounting, panel: Panel) -> tuple[Slice, ...]:
    """Return the slices of a part where it is mounted, in the frame of its place."""
    spot = Placement(z=part_base(mounting, panel), turn=mounting.part_turn)
    return spot.apply(part_body(mounting.kind, mounting.part, mounting.mount))


@dataclass(frozen=True)
class Fitting:
    """The whole panel put together."""

    job: Job
    stacks: Mapping[str, Stack]
    assembly: Assembly

    @kept
    def order(self) -> dict[str, int]:
        """The places by name, numbered as the layout has them."""
        return {place.name: number for number, place in enumerate(self.job.places)}

    @kept
    def by_name(self) -> dict[str, Place]:
        """The places by name."""
        return {place.name: place for place in self.job.places}
