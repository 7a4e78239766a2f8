"""Fastener stacks: the screw, washers and nut of one joint, and the numbers that follow from them.

From the head on: head, washers where the part has a thread of its own, what is clamped, washers, nut; or the part's
boss. Lengths mm; z as on the design's axes.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from dryfit.generators.joints.joint import Joint
from dryfit.generators.joints.seats import Seat, seat
from dryfit.models.catalogue.parts import Boss
from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.fasteners import Nut, Screw, Thread, Washer

NUT_PITCHES = 1.0  # pitches a screw must stand past its nut: the first thread is incomplete (common practice)
AIM_PITCHES = 2.5  # middle of the 2 to 3 pitches aimed at (common practice)
BULB = 1.5  # diameter of a set rivet behind, in diameters of its body (common practice)
LONG_PITCHES = 10.0  # more threads than this past the nut is a tail (naval technical manual ch. 075, as quoted)


StackPart = Literal["thread", "head", "length", "nut", "washers"]


@dataclass(frozen=True)
class Rest:
    """How the nuts of a place came to rest: their angles (degrees, in the frame of the place), fixing by fixing.

    ``spins`` says whether all of them can be spun, ``driver`` whether a nut driver goes on to all of them.
    """

    turns: tuple[float, ...]
    spins: bool
    driver: bool


@hashed_once
@dataclass(frozen=True)
class Stack:
    """The fasteners of one joint, and where they come to rest."""

    joint: Joint
    screw: Screw
    nut: Nut | None
    washers: tuple[Washer, ...] = ()
    metal: str = ""  # what the layout asks the hardware to be of; empty where it does not say
    rest: Rest | None = None  # None until it was judged

    @property
    def thread(self) -> Thread:
        """The screw's thread."""
        return self.screw.thread

    @kept
    def parts(self) -> Mapping[StackPart, Hashable]:
        """What may tell it from other stacks of its joint, by name."""
        head = self.screw.head
        return {
            "thread": self.thread.name,
            "head": (head.kind, head.standard),
            "length": self.screw.length,
            "nut": self.nut,
            "washers": self.washers,
        }

    @property
    def boss(self) -> Boss | None:
        """The part's own blind hole, where that takes the screw."""
        return self.joint.boss

    def along(self, z: float) -> float:
        """Return how far z lies in the direction that the screw points, from the plane z = 0."""
        return self.joint.points * z

    def beyond(self, z: float, by: float) -> float:
        """Return z of what lies ``by`` mm further on in the direction that the screw points."""
        return z + self.joint.points * by

    # --- the head ----------------------------------------------------------------------------------------------

    @property
    def under_head(self) -> tuple[Washer, ...]:
        """The washers under the head: where the part has the thread there is no nut to put them under."""
        return self.washers if self.boss is not None else ()

    @property
    def under_nut(self) -> tuple[Washer, ...]:
        """The washers under the nut, from the panel outwards."""
        return () if self.boss is not None else self.washers

    @property
    def surface(self) -> float:
        """z of the surface the head bears on: flange, panel, or the washers on it."""
        return self.beyond(self.joint.head.z, -_thickness(self.under_head))

    @property
    def head_hole(self) -> float:
        """Diameter of the hole under the head."""
        return self.under_head[-1].inner if self.under_head else self.joint.head.hole

    @property
    def head_sink(self) -> Countersink | None:
        """The countersink under the head, if there is one."""
        return None if self.under_head else self.joint.head.sink

    @kept
    def seat(self) -> Seat:
        """How the head rests."""
        return seat(self.screw.head, self.head_hole, self.head_sink)

    @property
    def is_centred(self) -> bool:
        """Whether the head's cone centres the screw in its seat, so that the hole under it gives no float."""
        return self.screw.head.angle is not None and self.head_sink is not None

    @property
    def head_plane(self) -> float:
        """z of the plane the screw's length is measured from."""
        return self.beyond(self.surface, self.seat.sunk)

    @property
    def tip(self) -> float:
        """z of the screw's end."""
        return self.beyond(self.head_plane, self.screw.length)

    @kept
    def widest(self) -> float:
        """How wide the widest of all fasteners, of what they become when set, or of their tools is."""
        nuts = () if self.nut is None else (self.nut.corners, self.nut.driver_outside)
        set_rivet = () if self.screw.rivet is None else (BULB * self.screw.rivet.body_max,)
        widths: tuple[float, ...] = (self.screw.head.diameter, *nuts, *set_rivet, *(w.outer for w in self.washers))
        return max(widths)

    # --- what is clamped ----------------------------------------------------------------------------------------

    @property
    def grip(self) -> float:
        """All that is clamped, from the surface under the head to the nut or the boss."""
        return self.along(self.joint.far.z) - self.along(self.surface) + _thickness(self.under_nut)

    @property
    def nut_face(self) -> float:
        """z of the face of the nut that bears; without a nut, of the last thing that is clamped."""
        return self.beyond(self.joint.far.z, _thickness(self.under_nut))

    @property
    def nut_end(self) -> float:
        """z of the far face of the nut; without a nut, of the bearing face."""
        return self.beyond(self.nut_face, self.nut.height if self.nut is not None else 0.0)

    # --- what the screw's length gives --------------------------------------------------------------------------

    @property
    def protrusion(self) -> float:
        """How far the screw stands past the nut; below zero it ends inside."""
        return self.along(self.tip) - self.along(self.nut_end)

    @property
    def engagement(self) -> float:
        """Thread inside the nut or the boss."""
        deep = self.nut.height if self.nut is not None else 0.0
        if self.boss is not None:
            deep = self.boss.depth
        return max(0.0, min(self.along(self.tip) - self.along(self.nut_face), deep))

    @property
    def floor_left(self) -> float | None:
        """Room between the screw's end and the floor of the boss; None without a boss."""
        return None if self.boss is None else self.boss.depth - (self.along(self.tip) - self.along(self.joint.far.z))

    def in_pitches(self, length: float) -> float:
        """Return a length in pitches of this screw."""
        return length / self.thread.pitch

    # --- what is bought -----------------------------------------------------------------------------------------

    @kept
    def items(self) -> tuple[tuple[str, str], ...]:
        """What is bought for one fixing: group and name of each, the name with the metal where one is asked for."""
        metal = f", {self.metal}" if self.metal and self.screw.rivet is None else ""
        named = [("screw", self.screw.designation), *(("washer", w.designation) for w in self.washers)]
        named += [("nut", self.nut.designation)] if self.nut is not None else []
        return tuple((group, f"{name}{metal}") for group, name in named)

    @property
    def hardware(self) -> tuple[Screw, Nut | None, tuple[Washer, ...]]:
        """Screw, nut and washers, whatever they are made of and however they stand."""
        return (self.screw, self.nut, self.washers)


def _thickness(washers: tuple[Washer, ...]) -> float:
    return sum(w.thickness for w in washers)


def needed_length(stack: Stack, pitches: float = NUT_PITCHES) -> float:
    """Return the least screw length that gives full engagement and ``pitches`` past the nut, mm."""
    end = stack.along(stack.nut_end) + pitches * stack.thread.pitch
    if stack.boss is not None:
        end = stack.along(stack.joint.far.z) + stack.thread.major
    return end - stack.along(stack.head_plane)


def lengths_to_try(stack: Stack, sold: tuple[float, ...]) -> Iterator[float]:
    """Yield sold lengths, best first: nearest to the aim among those long enough, then the rest.

    With a boss, the longest that leaves its floor clear engages most, so those come first.
    """
    if stack.boss is None:
        least, aim = needed_length(stack), needed_length(stack, AIM_PITCHES)
        yield from sorted(sold, key=lambda length: (length < least, abs(length - aim)))
        return
    mouth = stack.along(stack.joint.far.z) - stack.along(stack.head_plane)
    deepest = mouth + stack.boss.depth - stack.thread.pitch
    yield from sorted(sold, key=lambda length: (length > deepest, -length))
