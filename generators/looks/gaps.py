"""Where a finding's gap is: the two points between which it was measured, found again between the bodies concerned."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.clearance.gaps import DISTINCT, relative
from dryfit.generators.report import Report
from dryfit.models.findings import Finding
from dryfit.models.geometry.bodies import TOUCHING, Body, Placement, Profile, Slice, Taper
from dryfit.models.geometry.outlines import SAME_ANGLE, Outline, near
from dryfit.models.geometry.points import Point

SAME = 0.001  # mm: what was measured, and is found again, may differ by the rounding of levels and turns
ROUNDED = 1e-5  # mm that placements may be off: of gaps that come as close to the figure, the first is meant
ON_LINE = 1e-5  # mm by which points may miss the line that bounds an outline

Spot3 = tuple[float, float, float]


@dataclass(frozen=True)
class Gap:
    """A gap in mm, below zero where bodies clash, and its ends; ``across``: what was measured is the play, twice it."""

    gap: float
    start: Spot3
    stop: Spot3
    inside: bool = False  # a body within a hole of another
    bodies: tuple[Instance, ...] = ()
    across: bool = False


def gap_of(report: Report, finding: Finding) -> Gap | None:
    """Return the gap that a finding tells of; None where no gap between bodies is what was measured.

    None is found of no width: whatever rests on another has such a one.
    """
    if finding.measured is None or abs(finding.measured) <= SAME:
        return None
    best: Gap | None = None
    least = SAME
    for a, b in _pairs(report, finding):
        for found in _between(a.body, b.body, *relative(a, b)):
            for across in (False, True) if found.inside else (False,):
                off = abs((2 if across else 1) * found.gap - finding.measured)
                if off < least - ROUNDED:
                    best, least = replace(found, bodies=(a, b), across=across), off
    return None if best is None else replace(best, start=_placed(best, best.start), stop=_placed(best, best.stop))


def _placed(gap: Gap, spot: Spot3) -> Spot3:
    """Return where on the panel a spot lies that was found in the frame of the first body, its flip aside."""
    at = gap.bodies[0].placement
    turned = Point(*spot[:2]).turned(at.turn)
    return (turned.x + at.x, turned.y + at.y, spot[2] + at.z)


def _pairs(report: Report, finding: Finding) -> Iterator[tuple[Instance, Instance]]:
    """Yield the pairs of bodies, as they were judged, that a finding may tell of, the ones that it names first."""
    bodies = report.fitting.assembly.instances
    near_by = {finding.place, *finding.beside, ""}
    others = [one for one in bodies if one.place in near_by]
    by_name = {one.name: one for one in bodies}
    named = [by_name[name] for name in finding.bodies if name in by_name]
    first = named or [one for one in others if one.role == "part"]
    second = named if len(named) > 1 else others
    return ((a, b) for a in first for b in second if b is not a)


@lru_cache(maxsize=DISTINCT)
def _between(one: Body, other: Body, at_one: Placement, at_other: Placement) -> tuple[Gap, ...]:
    """Return every way in which two bodies come close where they stand; like pairs are looked at once."""
    return tuple(_ways(at_one.apply(one), at_other.apply(other)))


def _ways(ours: Iterable[Slice], theirs: Iterable[Slice]) -> Iterator[Gap]:
    """Yield the gaps of slices that lie side by side, one in a hole of the other, or one above the other."""
    for a, b in itertools.product(ours, theirs):
        if min(a.z1, b.z1) - max(a.z0, b.z0) > TOUCHING:
            yield from _beside(a, b)
        yield from _above(a, b)
        yield from _above(b, a)


def _beside(a: Slice, b: Slice) -> Iterator[Gap]:
    z0, z1 = max(a.z0, b.z0), min(a.z1, b.z1)
    for z in (z0, z1):
        level = z if isinstance(a.profile, Taper) else (z0 + z1) / 2
        ours, theirs = a.profile.at(a.share(z)), b.profile.at(b.share(z))
        apart = _outside(ours, theirs, level)
        if apart.gap >= 0:
            yield apart
            continue
        inside = [*_in_holes(ours, b.holes, b.share(z), level), *_in_holes(theirs, a.holes, a.share(z), level)]
        yield from inside
        if all(one.gap <= apart.gap for one in inside):
            yield apart


def _in_holes(inner: Outline, holes: tuple[Profile, ...], share: float, level: float) -> Iterator[Gap]:
    return (_within(inner, hole.at(share), level) for hole in holes if near(inner, hole.at(share), 0.0))


def _outside(a: Outline, b: Outline, z: float) -> Gap:
    """Return the strip that parts two outlines best."""
    gap, way = max(((-b.reach(-x, -y) - a.reach(x, y), (x, y)) for x, y in _directions(a, b)), key=_first)
    back = _touch(b, (-way[0], -way[1]))
    return _line(way, (a.reach(*way), gap), _middle(_touch(a, way), (-back[1], -back[0])), z)


def _within(inner: Outline, hole: Outline, z: float) -> Gap:
    """Return the least air about an outline in a hole."""
    gap, way = min(((hole.reach(x, y) - inner.reach(x, y), (x, y)) for x, y in _directions(inner, hole)), key=_first)
    along = _middle(_touch(inner, way), _touch(hole, way))
    return replace(_line(way, (inner.reach(*way), gap), along, z), inside=True)


def _first(pair: tuple[float, tuple[float, float]]) -> float:
    return pair[0]


def _above(low: Slice, high: Slice) -> Iterator[Gap]:
    """Yield the height between two slices, one over the other."""
    a, b = low.profile.at(1.0).box, high.profile.at(0.0).box
    if a.overlaps(b):
        x = (max(a.left, b.left) + min(a.right, b.right)) / 2
        y = (max(a.bottom, b.bottom) + min(a.top, b.top)) / 2
        yield Gap(high.z0 - low.z1, (x, y, low.z1), (x, y, high.z0))


def _directions(a: Outline, b: Outline) -> Iterator[tuple[float, float]]:
    """Yield the directions in which two outlines may come closest, or fit closest into each other."""
    for here, there in itertools.product(a.corners, b.corners):
        way = there.centre - here.centre
        length = math.hypot(*way)
        x, y = (way.x / length, way.y / length) if length > SAME_ANGLE else (1.0, 0.0)
        yield from ((x, y), (-x, -y))
    for outline in (a, b):
        for corner in () if outline.is_circle else outline.corners:
            for degrees in (corner.start, corner.stop):
                x, y = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
                yield from ((x, y), (-x, -y))


def _touch(outline: Outline, way: tuple[float, float]) -> tuple[float, float]:
    """Return where along the tangent, from and to, an outline touches the line that bounds it in a direction."""
    (x, y), most = way, outline.reach(*way)
    degrees = math.degrees(math.atan2(y, x))
    spots = [p for c in outline.corners for p in (*c.ends, *((c.on_arc(degrees),) if c.faces(degrees) else ()))]
    along = [py * x - px * y for px, py in spots if px * x + py * y > most - ON_LINE]
    return min(along), max(along)


def _middle(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Return where two spans along a tangent meet best."""
    return (max(a[0], b[0]) + min(a[1], b[1])) / 2


def _line(way: tuple[float, float], stretch: tuple[float, float], along: float, z: float) -> Gap:
    """Return two points across a gap, at ``along`` on the tangent."""
    (x, y), (start, gap) = way, stretch
    from_, to = (Point(x, y) * d + Point(-y, x) * along for d in (start, start + gap))
    return Gap(gap, (*from_, z), (*to, z))
