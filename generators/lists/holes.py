"""The hole chart: every distinct hole with a letter, how many, its size before and after coating, and its drill."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.contours import describe, number, shape_key
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point
from dryfit.models.job import Job
from dryfit.models.measures import MM, Measures
from dryfit.models.panel import Hole, HolePurpose
from dryfit.models.reading.fields import Countersink

GIVEN_FINISHED = "Holes of a bought panel: their sizes were given finished, coating included"
PURPOSES: dict[HolePurpose, str] = {
    "main": "connector", "fixing": "fixing", "rack": "panel mounting", "plain": "plain hole",
}  # fmt: skip
"""What holes are for, in the words of a drawing."""
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"  # I, O and Q are left out: they read as 1 and 0


@dataclass(frozen=True)
class HoleKind:
    """One row of the chart: all holes of one shape, purpose and countersink. ``outline`` is as punched, centred."""

    letter: str
    purpose: HolePurpose
    outline: Outline
    count: int
    coating: float
    countersink: Countersink | None = None
    sunk_from: Side = "front"
    places: tuple[str, ...] = ()  # names of the places that have it; none of the panel's own holes
    turn: float = 0.0  # degrees that a plain hole is turned

    @property
    def punched(self) -> str:
        """Size as cut in bare metal."""
        return self.cut_size(MM)

    def cut_size(self, written: Measures) -> str:
        """Return the size as cut in bare metal."""
        return describe(self.outline, written.dimension) + self._turned

    @property
    def finished(self) -> str:
        """Size after coating, which lies on the wall all round."""
        return self.coated_size(MM)

    def coated_size(self, written: Measures) -> str:
        """Return the size after coating, which lies on the wall all round."""
        finished = self.outline.grown(-self.coating) if self.coating else self.outline
        return describe(finished, written.dimension) + self._turned

    @property
    def _turned(self) -> str:
        return f", turned {number(self.turn)}°" if self.turn else ""

    @property
    def standing(self) -> Outline:
        """The outline as it stands on the panel, about its centre; of a place's, before the place is turned."""
        return self.outline.turned(self.turn)

    @property
    def is_round(self) -> bool:
        """Whether a drill makes it."""
        return self.outline.is_circle

    @property
    def diameter(self) -> float:
        """Diameter as drilled; of other shapes, the smaller side."""
        return min(self.outline.size)

    def sink(self, written: Measures) -> str:
        """Return the countersink in words; empty without one."""
        if self.countersink is None:
            return ""
        return f"⌀{written.dimension(self.countersink.diameter)} × {number(self.countersink.angle)}° {self.sunk_from}"


@dataclass(frozen=True)
class Lettered:
    """A hole where it is on the panel, with its row of the chart; ``place`` is empty for the panel's own."""

    kind: HoleKind
    hole: Hole
    at: Point  # what is drilled at or dimensioned from, panel axes: see `_spot`


@lru_cache(maxsize=8)
def lettered_holes(job: Job) -> tuple[Lettered, ...]:
    """Return every hole of the job with its row of the chart, in the order of :meth:`Job.holes`."""
    shapes = tuple(_shapes(job))
    keys = list(dict.fromkeys(_key(hole, shape) for hole, shape in shapes))
    kinds: dict[object, HoleKind] = {}
    for n, key in enumerate(keys):
        same = [(hole, shape) for hole, shape in shapes if _key(hole, shape) == key]
        hole, shape = same[0]
        kinds[key] = HoleKind(
            _letter(n), hole.purpose, shape, len(same), job.panel.coating, hole.countersink, hole.sunk_from,
            tuple(dict.fromkeys(hole.place for hole, _ in same if hole.place)), hole.turn,
        )  # fmt: skip
    axes = {place.name: Point(place.x, place.y) for place in job.places}
    return tuple(Lettered(kinds[_key(hole, shape)], hole, _spot(hole, axes)) for hole, shape in shapes)


def hole_chart(job: Job) -> tuple[HoleKind, ...]:
    """Return the rows of the chart, in order of their letters."""
    return tuple(dict.fromkeys(item.kind for item in lettered_holes(job)))


def _shapes(job: Job) -> Iterator[tuple[Hole, Outline]]:
    """Yield each hole with its shape before turning, so that a part turned on the panel keeps its letter."""
    for outline in job.panel.rack_holes:
        yield Hole(outline, "rack"), _centred(outline)
    for cut in job.panel.cuts:
        yield cut.hole(), _centred(cut.outline)
    for place in job.places:
        for hole in place.holes():
            yield hole, _centred(place.cutout.main if hole.purpose == "main" else hole.outline)


def _spot(hole: Hole, axes: dict[str, Point]) -> Point:
    """Return the centre of a round hole or rack slot, and for other cut-outs the axis of the place."""
    return axes[hole.place] if hole.purpose == "main" and not hole.outline.is_circle else hole.outline.centre


def _centred(outline: Outline) -> Outline:
    return outline.moved(*-outline.centre)


def _key(hole: Hole, shape: Outline) -> object:
    sunk = (hole.countersink, hole.sunk_from) if hole.countersink is not None else None
    return (hole.purpose, shape_key(shape), sunk, 0.0 if hole.outline.is_circle else hole.turn)


def _letter(n: int) -> str:
    """Return A, B, ... Z, AA, AB, ..."""
    high, low = divmod(n, len(LETTERS))
    return (_letter(high - 1) if high else "") + LETTERS[low]
