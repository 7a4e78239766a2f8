"""Envelopes carved: the slices of a body less what is cut out of them, as layers and turned pieces."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from dryfit.generators.looks.shapes import CORE, RIDGE, Layer, Spot, Turning, area_of, cone, layers, threaded, turning
from dryfit.models.geometry.bodies import TOUCHING, Slice, Taper
from dryfit.models.geometry.outlines import Outline, clearance, round_

if TYPE_CHECKING:
    import manifold3d

STEPS = 5  # layers that a cone is drawn in where a cut crosses its side: a slot in a countersunk head
SAME = 0.01  # mm between diameters that are one


@dataclass(frozen=True)
class Gouge:
    """What is taken out between two levels: an area, or all there is (None)."""

    area: manifold3d.CrossSection | None
    z0: float
    z1: float


@dataclass(frozen=True)
class _Stretch:
    """A slice between two levels, with the areas that are gouged out of it there."""

    whole: Slice
    low: float
    high: float
    gone: tuple[manifold3d.CrossSection, ...]

    def sections(self, profile: Taper) -> tuple[Outline, Outline]:
        """Return a cone at both levels."""
        return profile.at(self.whole.share(self.low)), profile.at(self.whole.share(self.high))

    def left_of(self, area: manifold3d.CrossSection) -> manifold3d.CrossSection:
        """Return an area less the holes, at their widest, and less what is gouged out."""
        holes = [
            max(self.sections(hole), key=_across) if isinstance(hole, Taper) else hole.outline
            for hole in self.whole.holes
        ]
        for gone in (*((area_of(holes),) if holes else ()), *self.gone):
            area = area - gone
        return area


def carved(
    slices: Iterable[Slice], gouges: Sequence[Gouge], finish: str, thread: float = 0.0
) -> Iterator[Layer | Turning]:
    """Yield slices less what is gouged out; round ones of the diameter ``thread`` are drawn threaded."""
    for s in slices:
        levels = {s.z0, s.z1, *(z for g in gouges for z in (g.z0, g.z1) if s.z0 + TOUCHING < z < s.z1 - TOUCHING)}
        for low, high in itertools.pairwise(sorted(levels)):
            areas = [g.area for g in gouges if g.z0 < high - TOUCHING and g.z1 > low + TOUCHING]
            gone = tuple(area for area in areas if area is not None)
            if len(gone) == len(areas):
                yield from _drawn(_Stretch(s, low, high, gone), finish, thread)


def _drawn(here: _Stretch, finish: str, thread: float) -> Iterator[Layer | Turning]:
    if isinstance(here.whole.profile, Taper):
        yield from _tapered(here, here.whole.profile, finish)
        return
    outline = here.whole.profile.outline
    area = area_of([outline])
    if outline.is_circle and abs(_across(outline) - thread) < SAME:
        core = thread - 2 * CORE * RIDGE
        yield threaded(finish, (thread, core), RIDGE, (here.low, here.high))
        area = area_of([round_(core)])
    yield from layers(finish, here.left_of(area), here.low, here.high)
    for hole in here.whole.holes:
        if isinstance(hole, Taper) and _is_whole(hole, outline, here):
            yield _funnel(hole, here, finish)


def _is_whole(hole: Taper, outline: Outline, here: _Stretch) -> bool:
    """Whether a conical hole breaks out of no edge, and goes with nothing that is gouged out."""
    return clearance(hole.widest, outline) >= 0 and not any(
        (area_of([hole.widest]) - gone).is_empty() for gone in here.gone
    )


def _across(outline: Outline) -> float:
    return outline.size.width


def _funnel(hole: Taper, here: _Stretch, finish: str) -> Turning:
    """Return what a conical hole leaves of the straight one that is drawn for it."""
    at_low, at_high = (_across(section) / 2 for section in here.sections(hole))
    wide, level = (at_high, here.low) if at_high > at_low else (at_low, here.high)
    return turning(finish, ((at_low, here.low), (at_high, here.high), (wide, level)), (Spot(hole.x, hole.y),))


def _tapered(here: _Stretch, profile: Taper, finish: str) -> Iterator[Layer | Turning]:
    """Yield a cone: whole, as a ring about the core that is gouged, or in steps where its side is."""
    axis, levels = Spot(profile.x, profile.y), (here.low, here.high)
    low, high = (_across(section) for section in here.sections(profile))
    bore = max((_across(hole.at(0.5)) for hole in here.whole.holes), default=0.0)
    inner = min(low, high)
    core = area_of([round_(inner).moved(profile.x, profile.y)]) if inner > SAME else None
    if not here.gone:
        yield cone(finish, (low, high), levels, bore, axis)
    elif core is not None and all((gone - core).is_empty() for gone in here.gone):
        yield cone(finish, (low, high), levels, inner, axis)
        yield from layers(finish, here.left_of(core), *levels)
    else:
        yield from _in_steps(here, profile, finish)


def _in_steps(here: _Stretch, profile: Taper, finish: str) -> Iterator[Layer]:
    marks = [here.low + (here.high - here.low) * n / STEPS for n in range(STEPS + 1)]
    for low, high in itertools.pairwise(marks):
        step = replace(here, low=low, high=high)
        yield from layers(finish, step.left_of(area_of([min(step.sections(profile), key=_across)])), low, high)
