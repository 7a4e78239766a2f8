"""Does a part pass a hole: how much play its sections have in it, wherever the part may be shifted to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from dryfit.models.geometry.bodies import TOUCHING, Slice
from dryfit.models.geometry.outlines import Outline, clearance

DISTINCT = 1024  # sections in their holes, remembered
FINEST = 1e-4  # mm to which the best shift is sought: far below any tolerance
SLIVER = 10 * TOUCHING  # mm of a slice still in the sheet, so that all that follow it are met beside it
EVEN = 1e-9  # mm by which an even outline may be uneven for rounding
WAYS = tuple((math.cos(math.radians(a)), math.sin(math.radians(a))) for a in range(0, 360, 30))


@dataclass(frozen=True)
class Play:
    """The air all round (mm; below zero it does not pass), at the shift (dx, dy) of the part that gives most of it."""

    air: float
    shift: tuple[float, float] = (0.0, 0.0)

    @property
    def across(self) -> float:
        """The play from one side to the other, mm."""
        return 2 * self.air


@lru_cache(maxsize=DISTINCT)
def best_play(sections: tuple[Outline, ...], hole: Outline) -> Play:
    """Return the play of sections that pass a hole together, the part shifted to where they have most.

    The air is a concave function of the shift, so that stepping to wherever it grows ends at the best; where the
    outlines are even about the axis, as most are, that is no shift at all.
    """
    best = Play(_air(sections, hole, 0.0, 0.0))
    if all(_is_even(outline) for outline in (*sections, hole)):
        return best
    step = max(hole.size) / 4
    while step > FINEST:
        tries = ((best.shift[0] + step * x, best.shift[1] + step * y) for x, y in WAYS)
        found = max((Play(_air(sections, hole, *shift), shift) for shift in tries), key=lambda play: play.air)
        if found.air > best.air + EVEN:
            best = found
        else:
            step /= 2
    return best


def _air(sections: Sequence[Outline], hole: Outline, dx: float, dy: float) -> float:
    return min(clearance(section.moved(dx, dy), hole) for section in sections)


def _is_even(outline: Outline) -> bool:
    """Whether an outline looks the same turned by half a turn about the axis."""
    ends = sorted((round(c.x, 6), round(c.y, 6), round(c.radius, 6)) for c in outline.corners)
    turned = sorted((round(-c.x, 6) + 0.0, round(-c.y, 6) + 0.0, round(c.radius, 6)) for c in outline.corners)
    return all(math.dist(a, b) <= EVEN for a, b in zip(ends, turned, strict=True))


def within(slices: Sequence[Slice], low: float, high: float) -> tuple[Outline, ...]:
    """Return the widest section of every slice that lies between two levels, each once."""
    inside = (s for s in slices if s.z0 < high - TOUCHING and s.z1 > low + TOUCHING)
    return tuple(dict.fromkeys(s.profile.widest for s in inside))


def windows(slices: Sequence[Slice], thick: float, from_front: bool) -> Iterator[tuple[float, float]]:
    """Yield the levels, in the part at rest, that lie in the sheet together at some moment of its way in.

    The sheet fills ``-thick`` to 0. A part from the front moves back through it, so that all that ends behind its
    front face has passed; one from the rear moves forward, and all that ends in front of its rear face has passed.
    """
    if from_front:
        tops = sorted({0.0, *(min(0.0, s.z0 + SLIVER) for s in slices if s.z0 < -TOUCHING)}, reverse=True)
        yield from ((top - thick, top) for top in tops)
    else:
        bottoms = sorted({-thick, *(max(-thick, s.z1 - SLIVER) for s in slices if s.z1 > -thick + TOUCHING)})
        yield from ((bottom, bottom + thick) for bottom in bottoms)
