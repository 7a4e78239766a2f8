"""Fastener stacks: what is clamped along one fixing axis, front to rear, and the numbers that follow from it.

A stack is head, flange and panel (in the order of the mounting side), washers, and a nut or the part's own blind
hole. All fixings of a place are alike, so a place has one stack. Lengths mm; z as on the design's axes (front face of
the finished panel at 0).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from dryfit.generators.joints.seats import Seat, seat
from dryfit.models.catalogue.parts import Boss
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import Panel, Place, Point
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.fasteners import Nut, Screw, Thread, Washer

NUT_PITCHES = 1.0  # pitches a screw must stand past its nut: the first thread is incomplete (common practice)
AIM_PITCHES = 2.5  # middle of the 2 to 3 pitches aimed at (common practice)
LONG_PITCHES = 10.0  # more threads than this past the nut is a tail (naval technical manual ch. 075, as quoted)


def flange_front(place: Place, panel: Panel) -> float:
    """Return z of the front face of the part's flange where it is mounted."""
    return place.part.flange.thick if place.mount == "front" else -panel.finished


def part_base(place: Place, panel: Panel) -> float:
    """Return z of the part's own z = 0 (rear face of its flange) where it is mounted."""
    return flange_front(place, panel) - place.part.flange.thick


def panel_hole(place: Place, panel: Panel) -> float:
    """Return the diameter of the finished fixing hole in the panel: coating on the wall takes twice its thickness."""
    return place.cutout.fixing_diameter - 2 * panel.coating


@dataclass(frozen=True)
class Stack:
    """The fasteners of one place, and where they come to rest."""

    place: Place
    panel: Panel
    screw: Screw
    nut: Nut | None
    washers: tuple[Washer, ...] = ()

    # --- the head ----------------------------------------------------------------------------------------------

    @property
    def head_on(self) -> str:
        """What the head bears on: ``flange`` (front mount) or ``panel`` (rear mount)."""
        return "flange" if self.place.mount == "front" else "panel"

    @property
    def surface(self) -> float:
        """z of the surface the head bears on."""
        return self.place.part.flange.thick if self.head_on == "flange" else 0.0

    @property
    def head_hole(self) -> float:
        """Diameter of the hole under the head."""
        fixings = self.place.part.fixings
        assert fixings is not None  # a place without fixing holes has no stack
        return fixings.hole if self.head_on == "flange" else panel_hole(self.place, self.panel)

    @property
    def head_sink(self) -> Countersink | None:
        """The countersink under the head, if there is one."""
        fixings = self.place.part.fixings
        assert fixings is not None
        if self.head_on == "flange":
            return fixings.seat
        cut = self.place.cutout
        return cut.countersink if cut.sunk_from == "front" else None

    @cached_property
    def seat(self) -> Seat:
        """How the head rests."""
        return seat(self.screw.head, self.head_hole, self.head_sink)

    @property
    def head_plane(self) -> float:
        """z of the plane the screw's length is measured from."""
        return self.surface - self.seat.sunk

    @property
    def tip(self) -> float:
        """z of the screw's end."""
        return self.head_plane - self.screw.length

    @property
    def items(self) -> tuple[tuple[str, str], ...]:
        """What is bought for one fixing: group and name of each, the name with the metal where one is asked for."""
        metal = f", {self.place.wish.metal}" if self.place.wish.metal and self.screw.rivet is None else ""
        named = [("screw", self.screw.designation), *(("washer", w.designation) for w in self.washers)]
        named += [("nut", self.nut.designation)] if self.nut is not None else []
        return tuple((group, f"{name}{metal}") for group, name in named)

    # --- what is clamped ----------------------------------------------------------------------------------------

    @property
    def boss(self) -> Boss | None:
        """The part's own blind hole, where that takes the screw."""
        fixings = self.place.part.fixings
        return fixings.boss if fixings is not None else None

    @property
    def back(self) -> float:
        """z of the rear face that washers and nut bear on; with a boss, of the face where its hole begins."""
        if self.boss is not None or self.place.mount == "front":
            return -self.panel.finished
        return -self.panel.finished - self.place.part.flange.thick

    @property
    def washers_thick(self) -> float:
        """Thickness of all washers, as clamped."""
        return sum(w.thickness for w in self.washers)

    @property
    def grip(self) -> float:
        """All that is clamped, from the surface under the head to the nut or the boss."""
        return self.surface - self.back + self.washers_thick

    @property
    def nut_top(self) -> float:
        """z of the face of the nut that bears."""
        return self.back - self.washers_thick

    @property
    def nut_bottom(self) -> float:
        """z of the far face of the nut; without a nut, of the bearing face."""
        return self.nut_top - (self.nut.height if self.nut is not None else 0.0)

    # --- what the screw's length gives --------------------------------------------------------------------------

    @property
    def protrusion(self) -> float:
        """How far the screw stands past the nut; below zero it ends inside."""
        return self.nut_bottom - self.tip

    @property
    def engagement(self) -> float:
        """Thread inside the nut or the boss."""
        if self.boss is not None:
            return max(0.0, min(self.back - self.tip, self.boss.depth))
        height = self.nut.height if self.nut is not None else 0.0
        return max(0.0, min(self.nut_top - self.tip, height))

    @property
    def floor_left(self) -> float | None:
        """Room between the screw's end and the floor of the boss; None without a boss."""
        return None if self.boss is None else self.boss.depth - (self.back - self.tip)

    @property
    def thread(self) -> Thread:
        """The screw's thread."""
        return self.screw.thread

    def in_pitches(self, length: float) -> float:
        """Return a length in pitches of this screw."""
        return length / self.thread.pitch


def local_fixings(place: Place) -> tuple[Point, ...]:
    """Return the fixing axes in the frame of the place: the part's own holes, the part turned in its cut-out."""
    if place.part.fixings is None:
        return ()
    spots = (round_(0).moved(*at).turned(place.part_turn).corners[0] for at in place.part.fixings.at)
    return tuple((c.x, c.y) for c in spots)


def fixing_points(place: Place) -> tuple[Point, ...]:
    """Return the fixing axes where they are on the panel."""
    return tuple(place.on_panel(at) for at in local_fixings(place))


def needed_length(stack: Stack, pitches: float = NUT_PITCHES) -> float:
    """Return the least screw length that gives full engagement and ``pitches`` past the nut, mm."""
    end = stack.nut_bottom - pitches * stack.thread.pitch
    if stack.boss is not None:
        end = stack.back - stack.thread.major
    return stack.head_plane - end


def lengths_to_try(stack: Stack, sold: tuple[float, ...]) -> Iterator[float]:
    """Yield sold lengths worth a look, best first: nearest to the aim among those long enough, then the rest.

    With a boss, the longest that leaves its floor clear engages most, so those come first.
    """
    least = needed_length(stack)
    if stack.boss is None:
        aim = needed_length(stack, AIM_PITCHES)
        yield from sorted(sold, key=lambda length: (length < least, abs(length - aim)))
        return
    deepest = stack.head_plane - stack.back + stack.boss.depth - stack.thread.pitch
    yield from sorted(sold, key=lambda length: (length > deepest, length < least, -length))
