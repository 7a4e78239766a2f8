"""Where a part sits in its cut-out: the shift, and at need the turn, that lets barrel and screws pass best.

Everything a part may do sideways is a shift (dx, dy) and a small turn. How much air the tightest spot keeps is a
concave function of the shift, so a search that only ever steps uphill finds the best there is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from dryfit.models.job import Place
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.fields import Countersink
from tests.oracle.makings import Fasteners, finished_hole, sink
from tests.oracle.solids import Polygon, Spot, polygon, ring

SMALLEST_STEP = 1e-4  # mm, degrees
MOST_TURN = 3.0  # degrees a part is turned by hand to find its holes; more is another way of mounting it


@dataclass(frozen=True)
class Axis:
    """One screw: the hole in the panel, that in the part at rest, and how far it may stand off either centre."""

    panel: tuple[float, float]
    part: tuple[float, float]
    in_panel: float  # below zero: it does not pass
    in_part: float

    def margin(self, part: tuple[float, float]) -> float:
        """Return the air left where the part's hole is at ``part``; below zero the screw does not pass both."""
        both = self.in_panel + self.in_part - math.dist(self.panel, part)
        return min(self.in_panel, self.in_part, both)

    def spot(self, part: tuple[float, float]) -> tuple[float, float]:
        """Return where the screw stands: shared between both holes as each lets it."""
        total = max(self.in_panel, 0.0) + max(self.in_part, 0.0)
        share = max(self.in_panel, 0.0) / total if total > 0 else 0.5
        (x0, y0), (x1, y1) = self.panel, part
        return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


@dataclass(frozen=True)
class Pose:
    """Where a part sits: its spot, the air at the tightest place, and where its screws stand."""

    spot: Spot
    margin: float
    barrel: float  # air about what passes the cut-out, at the best shift for it alone; inf where nothing does
    sizes: float  # air about the tightest screw in the tighter of its two holes, holes in line
    screws: tuple[tuple[float, float], ...]
    turned: bool
    wander: float  # how far the part may move from here
    off_panel: tuple[float, ...]  # how far each screw may move against the panel
    off_part: tuple[float, ...]  # and against the part


def axes(place: Place, panel: Panel, held: Fasteners | None) -> tuple[Axis, ...] | None:
    """Return the screws of a place, each part hole with the panel hole it is meant for; None if the counts differ."""
    fixings = place.part.fixings
    if fixings is None or held is None:
        return ()
    if len(fixings.at) != len(place.cutout.fixings):
        return None
    d = held.shank
    part_spot = Spot(place.x, place.y, place.whole_turn)
    ours = [part_spot.point(*at) for at in fixings.at]
    theirs = [Spot(place.x, place.y, place.turn).point(*at) for at in place.cutout.fixings]
    order = min(permutations(theirs), key=lambda spots: sum(map(math.dist, ours, spots)))
    in_panel = (place.cutout.fixing_diameter - 2 * panel.coating - d) / 2
    in_part = 0.0 if fixings.boss is not None else (fixings.hole - d) / 2
    if held.head.angle is not None:  # a cone centres the screw in its seat
        if place.mount == "front" and fixings.boss is None:
            in_part = min(in_part, 0.0) if _is_cone(fixings.seat, fixings.hole) else in_part
        elif _is_cone(place.cutout.countersink, place.cutout.fixing_diameter - 2 * panel.coating):
            in_panel = min(in_panel, 0.0)
    return tuple(Axis(p, a, in_panel, in_part) for p, a in zip(order, ours, strict=True))


def _is_cone(seat: Countersink | None, hole: float) -> bool:
    return sink(seat, hole).depth > 0


class _Cutout:
    """The finished main hole, and all of a part that has to pass it."""

    def __init__(self, place: Place, panel: Panel):
        hole = Hole(place.cutout.main.turned(place.turn).moved(place.x, place.y), "main")
        wall = finished_hole(hole, panel.coating)
        edge = np.roll(wall, -1, axis=0) - wall
        length = np.hypot(edge[:, 0], edge[:, 1])
        keep = length > 1e-9
        self.normals = np.stack([edge[keep, 1], -edge[keep, 0]], axis=1) / length[keep, None]
        self.reach = (self.normals * wall[keep]).sum(axis=1)
        sections = place.part.rear if place.mount == "front" else place.part.front
        self.shapes: list[Polygon] = []
        for s in sections:
            if s.outline is not None:
                self.shapes.append(polygon(s.outline))
            elif s.cone is not None:
                self.shapes.append(ring(0.0, 0.0, max(s.cone) / 2))

    def supports(self, spot: Spot) -> Polygon | None:
        """Return the air to every edge of the hole with the part at a spot, before any shift; None: nothing passes."""
        if not self.shapes:
            return None
        reaches = [(self.normals @ spot.put(shape).T).max(axis=1) for shape in self.shapes]
        air: Polygon = self.reach - np.max(reaches, axis=0)
        return air


def best_pose(place: Place, panel: Panel, held: Fasteners | None) -> Pose | None:
    """Return where the part sits best, or None if part and panel have different numbers of fixing holes."""
    screws = axes(place, panel, held)
    if screws is None:
        return None
    hole = _Cutout(place, panel)
    degrees = place.whole_turn
    home = Spot(place.x, place.y, degrees)

    def margin_at(turn: float) -> Callable[[Sequence[float]], float]:
        air = hole.supports(Spot(place.x, place.y, degrees + turn))
        parts = [_turned(a.part, (place.x, place.y), turn) for a in screws]

        def margin(shift: Sequence[float]) -> float:
            dx, dy = shift
            room = math.inf if air is None else float((air - hole.normals @ np.array([dx, dy])).min())
            for axis, (x, y) in zip(screws, parts, strict=True):
                room = min(room, axis.margin((x + dx, y + dy)))
            return room

        return margin

    straight = margin_at(0.0)
    shift, turn = (0.0, 0.0), 0.0
    if straight(shift) < 0.03 or (screws and straight(shift) < min(a.margin(a.panel) for a in screws) / 2):
        shift = _two(_climb(straight, (0.0, 0.0)))
    if straight(shift) < -1e-9 and screws:
        best = _climb(lambda v: margin_at(v[2])((v[0], v[1])) if abs(v[2]) <= MOST_TURN else -1e9, (*shift, 0.0))
        if margin_at(best[2])(best[:2]) > straight(shift) + 1e-4:
            shift, turn = (best[0], best[1]), best[2]
    air = hole.supports(home)
    barrel = math.inf
    at_home = math.inf
    if air is not None:

        def alone(v: Sequence[float]) -> float:
            assert air is not None
            return float((air - hole.normals @ np.array(v)).min())

        at_home = alone(shift)
        barrel = at_home if at_home > 0.02 else alone(_climb(alone, (0.0, 0.0)))
    moved = [_turned(a.part, (place.x, place.y), turn) for a in screws]
    moved = [(x + shift[0], y + shift[1]) for x, y in moved]
    spots = tuple(a.spot(p) for a, p in zip(screws, moved, strict=True))
    wanders = [
        max(0.0, a.in_panel) + max(0.0, a.in_part) + math.dist(a.panel, p) for a, p in zip(screws, moved, strict=True)
    ]
    free = min([*wanders, 2 * max(0.0, at_home) + 0.02, 1.0])
    return Pose(
        Spot(place.x + shift[0], place.y + shift[1], degrees + turn),
        margin_at(turn)(shift), barrel, min((min(a.in_panel, a.in_part) for a in screws), default=math.inf), spots,
        abs(turn) > 0, free,
        tuple(max(0.0, a.in_panel) + math.dist(a.panel, s) for a, s in zip(screws, spots, strict=True)),
        tuple(max(0.0, a.in_part) + math.dist(p, s) for a, p, s in zip(screws, moved, spots, strict=True)),
    )  # fmt: skip


def _two(shift: tuple[float, ...]) -> tuple[float, float]:
    return shift[0], shift[1]


def _turned(point: tuple[float, float], about: tuple[float, float], degrees: float) -> tuple[float, float]:
    x, y = point[0] - about[0], point[1] - about[1]
    return Spot(about[0], about[1], degrees).point(x, y)


def _climb(height: Callable[[Sequence[float]], float], start: tuple[float, ...]) -> tuple[float, ...]:
    """Return where a concave function is greatest, from a start, by ever smaller steps uphill."""
    here, best, step = np.array(start, dtype=float), height(start), 0.8
    ways = [np.array(w, dtype=float) for w in _ways(len(start))]
    while step > SMALLEST_STEP:
        tried = [(height(tuple(here + step * way)), i) for i, way in enumerate(ways)]
        found, i = max(tried)
        if found > best + 1e-9:
            here, best = here + step * ways[i], found
        else:
            step /= 2
    return tuple(float(v) for v in here)


def _ways(count: int) -> list[tuple[float, ...]]:
    flat = [(math.cos(a), math.sin(a)) for a in np.arange(0, 2 * math.pi - 1e-9, math.pi / 8)]
    if count == 2:
        return [tuple(w) for w in flat]
    return [(x * s, y * s, t) for x, y in flat for s, t in ((1, 0), (0.7, 1), (0.7, -1))] + [
        (0.0, 0.0, 1.0),
        (0.0, 0.0, -1.0),
    ]
