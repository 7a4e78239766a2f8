"""Bodies: every solid of the assembly as a short list of slices along z.

A slice is a profile from z0 to z1, with holes. A profile is an outline that stays the same over the slice, or a
taper: a cone between two diameters. That one description gives the CAD solid, the mesh and the exact gap.
All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from dryfit.models.geometry.boxes import Box
from dryfit.models.geometry.folds import Fold
from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.geometry.outlines import Outline, clearance, gap, round_
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle

TOUCHING = 1e-6
"""mm. z ranges that share less than this only touch; far below any tolerance, far above rounding."""


@dataclass(frozen=True)
class Taper:
    """A cone: round, ``low`` mm across at the lower end of its slice and ``high`` at the upper, about (x, y)."""

    low: float
    high: float
    x: float = 0.0
    y: float = 0.0

    def at(self, share: float) -> Outline:
        """Return the section at ``share`` (0 to 1) of the height."""
        return round_(self.low + (self.high - self.low) * share).moved(self.x, self.y)

    @property
    def widest(self) -> Outline:
        """The larger end."""
        return self.at(1.0 if self.high >= self.low else 0.0)

    def moved(self, dx: float, dy: float) -> Taper:
        """Return the taper shifted by (dx, dy)."""
        return Taper(self.low, self.high, self.x + dx, self.y + dy)

    def turned(self, degrees: float) -> Taper:
        """Return the taper turned about the origin."""
        return Taper(self.low, self.high, *Point(self.x, self.y).turned(degrees))

    def flipped(self) -> Taper:
        """Return the taper with its ends exchanged and x mirrored: seen from the other side."""
        return Taper(self.high, self.low, -self.x, self.y)

    @property
    def mean_area(self) -> float:
        """Volume of the cone per mm of height."""
        return math.pi * (self.low**2 + self.low * self.high + self.high**2) / 12


@dataclass(frozen=True)
class Straight:
    """A profile that is the same outline over the whole slice."""

    outline: Outline

    def at(self, share: float) -> Outline:
        """Return the outline, whatever ``share`` of the height is asked for."""
        return self.outline

    @property
    def widest(self) -> Outline:
        """The outline."""
        return self.outline

    def moved(self, dx: float, dy: float) -> Straight:
        """Return the profile shifted by (dx, dy)."""
        return Straight(self.outline.moved(dx, dy))

    def turned(self, degrees: float) -> Straight:
        """Return the profile turned about the origin."""
        return Straight(self.outline.turned(degrees))

    def flipped(self) -> Straight:
        """Return the profile as seen from the other side."""
        return Straight(self.outline.mirrored())

    @property
    def mean_area(self) -> float:
        """The area of the outline."""
        return self.outline.area


Profile = Straight | Taper


@dataclass(frozen=True)
class Slice:
    """A profile from ``z0`` up to ``z1``, less its holes (which lie inside it and apart from each other)."""

    profile: Profile
    z0: float
    z1: float
    holes: tuple[Profile, ...] = ()

    def __post_init__(self) -> None:
        if not self.z1 > self.z0:
            raise ValueError(f"a slice must have height: z0 {self.z0:g}, z1 {self.z1:g}")

    @property
    def volume(self) -> float:
        """The exact volume, mm3."""
        return (self.profile.mean_area - sum(h.mean_area for h in self.holes)) * (self.z1 - self.z0)

    @kept
    def plan(self) -> Rectangle:
        """What it covers, seen from the front."""
        return self.profile.widest.box

    @kept
    def is_straight(self) -> bool:
        """Whether it looks the same all the way up."""
        return isinstance(self.profile, Straight) and all(isinstance(hole, Straight) for hole in self.holes)

    @property
    def box(self) -> Box:
        """The exact bounding box."""
        left, bottom, right, top = self.plan
        return Box(left, bottom, self.z0, right, top, self.z1)

    def share(self, z: float) -> float:
        """Return how far up the slice z lies, 0 to 1."""
        return min(1.0, max(0.0, (z - self.z0) / (self.z1 - self.z0)))

    def placed(self, dx: float, dy: float, dz: float, turn: float, flip: bool) -> Slice:
        """Return the slice flipped about the y axis, then turned about z, then shifted."""
        z0, z1 = (-self.z1, -self.z0) if flip else (self.z0, self.z1)
        profile, *holes = (_placed(p, dx, dy, turn, flip) for p in (self.profile, *self.holes))
        return Slice(profile, z0 + dz, z1 + dz, tuple(holes))


def _placed(profile: Profile, dx: float, dy: float, turn: float, flip: bool) -> Profile:
    return (profile.flipped() if flip else profile).turned(turn).moved(dx, dy)


@dataclass(frozen=True)
class Bent:
    """What folded sheet truly is: the slices of the sheet, less ``gone`` through all of them, and its folds.

    ``gone`` are the strips that the folds take the place of, and the reliefs beside them; they may overlap.
    """

    sheet: tuple[Slice, ...]
    gone: tuple[Outline, ...]
    folds: tuple[Fold, ...]


@hashed_once
@dataclass(frozen=True)
class Body:
    """One distinct solid: a name, its slices from the lowest up, and what it is made of (for colour and mass).

    Slices may touch along z but must not overlap: their volumes add up. ``passed`` is the range of z
    in which the screws of its own place pass it and sit in it, if there is one. ``bent`` is what folded sheet truly is,
    where its slices only hold its bends.
    """

    name: str
    slices: tuple[Slice, ...]
    material: str = ""
    passed: tuple[float, float] | None = None
    bent: Bent | None = None

    @property
    def volume(self) -> float:
        """The exact volume of its slices, mm3."""
        return sum(s.volume for s in self.slices)

    @kept
    def box(self) -> Box:
        """The exact bounding box."""
        return Box.around(s.box for s in self.slices)


@dataclass(frozen=True)
class Placement:
    """Where a body stands: flipped front to back first (about the y axis), then turned about z, then shifted."""

    x: float = 0.0
    y: float = 0.0
    z: float = 0.0
    turn: float = 0.0
    flip: bool = False

    def apply(self, body: Body) -> tuple[Slice, ...]:
        """Return the slices of the body where they stand."""
        return tuple(s.placed(self.x, self.y, self.z, self.turn, self.flip) for s in body.slices)


@dataclass(frozen=True)
class Contact:
    """The closest two bodies come: the gap (mm, below zero where they clash) and the z range where it happens."""

    gap: float
    z0: float
    z1: float


def slice_gap(a: Slice, b: Slice) -> Contact | None:
    """Return the exact gap of two slices over the z range they share, or None if they share none.

    Over a shared range every size grows evenly with z, so the gap is smallest at one of its ends.
    """
    z0, z1 = max(a.z0, b.z0), min(a.z1, b.z1)
    if z1 - z0 <= TOUCHING:
        return None
    levels = (z0,) if a.is_straight and b.is_straight else (z0, z1)
    return Contact(min([_section_gap(a, b, z) for z in levels]), z0, z1)


def _section_gap(a: Slice, b: Slice, z: float) -> float:
    """Return the gap of two sections at z: they are apart where either lies outside the other or in a hole of it."""
    ours, theirs = a.profile.at(a.share(z)), b.profile.at(b.share(z))
    apart = gap(ours, theirs)
    if apart >= 0:
        return apart
    in_theirs = [clearance(ours, h.at(b.share(z))) for h in b.holes]
    in_ours = [clearance(theirs, h.at(a.share(z))) for h in a.holes]
    return max((apart, *in_theirs, *in_ours))


def closest(ours: Iterable[Slice], theirs: Iterable[Slice], within: float = math.inf) -> Contact | None:
    """Return the closest contact of two placed bodies, or None if they come no closer than ``within`` mm anywhere.

    Bodies that never share a z range have no contact, however near they are.
    """
    others, best, limit = tuple(theirs), None, within
    for a in ours:
        for b in others:
            if min(a.z1, b.z1) - max(a.z0, b.z0) <= TOUCHING or a.plan.gap_to(b.plan) >= limit:
                continue
            found = slice_gap(a, b)
            if found is not None and found.gap < limit:
                best, limit = found, found.gap
    return best


# --- short forms for the makers of bodies ---------------------------------------------------------------------------


def prism(outline: Outline, z0: float, z1: float, holes: Iterable[Outline] = ()) -> Slice:
    """Return a straight slice with straight holes."""
    return Slice(Straight(outline), z0, z1, tuple(Straight(h) for h in holes))


def cone(low: float, high: float, z0: float, z1: float, bore: float = 0.0) -> Slice:
    """Return a cone about the z axis, ``low`` mm across at z0 and ``high`` at z1, with a straight round bore."""
    holes = (Straight(round_(bore)),) if bore else ()
    return Slice(Taper(low, high), z0, z1, holes)
