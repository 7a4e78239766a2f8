"""What stands around each place, in the frame of that place.

In that frame like places in like company look alike, so everything worked out for one serves them all.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from dryfit.generators.bodies.assemble import standing
from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.panel import lip_walls
from dryfit.generators.joints.stacks import Stack
from dryfit.models.geometry.bodies import Body, Placement, Slice, Straight, prism
from dryfit.models.geometry.once import hashed_once, kept
from dryfit.models.geometry.outlines import SQRT3_2, Outline, box, filled, round_
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Job, Place
from dryfit.models.panel import Panel

ROOM = 14.0
"""mm about a place's own bodies that its fasteners, tools and fingers reach: the outside of the largest nut driver and
half a finger are less."""
SAME_SPOT = 6  # decimals of mm: like distances that differ only by rounding are one
DEEP = 1000.0  # mm behind the panel that rails and lips are taken to reach, beyond any body
RAIL_WIDTH = 50.0  # mm outwards from the clear opening; nothing of a panel stands further out
DISTINCT = 8192  # placed bodies remembered


@hashed_once
@dataclass(frozen=True)
class Obstacle:
    """Something near a place: what it is in plain words, and its slices in the frame of the place.

    ``least`` are its slices turned so that they are least in the way, where it can be turned (a nut), and ``most``
    what they take when it spins.
    """

    name: str
    slices: tuple[Slice, ...]
    least: tuple[Slice, ...]
    most: tuple[Slice, ...]

    @kept
    def plan(self) -> Rectangle:
        """What it covers, seen from the front."""
        return Rectangle.around(s.plan for s in (*self.slices, *self.least))

    @property
    def is_plug(self) -> bool:
        """Whether it is put in after everything is screwed down."""
        return self.name == NEXT_PLUG

    @property
    def is_neighbour(self) -> bool:
        """Whether it belongs to another place, which may be put together later."""
        return self.name in (NEXT_PLUG, NEXT_PART, *NEXT_FASTENER.values())


NEXT_PLUG, NEXT_PART = "next plug", "next part"
NEXT_FASTENER = {"screw": "next screw", "washer": "next washer", "nut": "next nut"}


@hashed_once
@dataclass(frozen=True)
class Surroundings:
    """All that is near a place and not its own: bodies, the holes of other places, and the edge of the flat sheet.

    ``edge`` is the flat part of the panel, None where its edge is far. Holes are finished: coating is on their walls.
    """

    obstacles: tuple[Obstacle, ...] = ()
    holes: tuple[Outline, ...] = ()
    edge: Outline | None = None


@dataclass(frozen=True)
class Around:
    """The surroundings of one place; the names of the bodies that its obstacles are, and of their places, in order."""

    surroundings: Surroundings
    names: tuple[str, ...]
    places: tuple[str, ...]


def around(job: Job, stacks: Mapping[str, Stack]) -> tuple[Around, ...]:
    """Return what stands around every place; fasteners of other places where ``stacks`` names them."""
    mine = {place.name: standing(place, job.panel, stacks.get(place.name)) for place in job.places}
    everything = [instance for place in job.places for instance in mine[place.name]]
    boxes = np.array([instance.box.plan for instance in everything])
    holes = [(hole.place, hole.outline.grown(-job.panel.coating)) for hole in job.holes()]
    hole_boxes = np.array([outline.box for _, outline in holes])
    found = []
    for place in job.places:
        reach = _reach(place, mine[place.name])
        near = (everything[i] for i in _meeting(boxes, reach))
        others = [i for i in near if i.place != place.name]
        beside = [holes[i] for i in _meeting(hole_boxes, reach)]
        found.append(_around(job.panel, place, others, [o for name, o in beside if name != place.name], reach))
    return tuple(found)


def _reach(place: Place, own: Sequence[Instance]) -> Rectangle:
    """Return the part of the panel about a place within which things matter to it."""
    latch = place.part.latch
    finger = (place.mounted(latch.finger.moved(*latch.at)).box,) if latch is not None else ()
    return Rectangle.around((*(i.box.plan for i in own), *finger)).grown(ROOM)


def _meeting(boxes: np.ndarray, reach: Rectangle) -> Iterator[int]:
    """Yield the numbers of the rectangles, (n, 4) float, that meet a reach."""
    left, bottom, right, top = boxes.T
    near = (left < reach.right) & (right > reach.left) & (bottom < reach.top) & (top > reach.bottom)
    return (int(i) for i in np.flatnonzero(near))


def _around(panel: Panel, place: Place, others: list[Instance], holes: list[Outline], reach: Rectangle) -> Around:
    seen = sorted(((_seen_from(place, other), other) for other in others), key=lambda pair: _order(pair[0]))
    walls = tuple(_walls(panel, place, reach))
    local = sorted((_local(place, hole) for hole in holes), key=lambda hole: hole.box)
    return Around(
        Surroundings((*(_obstacle(*key) for key, _ in seen), *walls), tuple(local), _edge(panel, place, reach)),
        (*(other.name for _, other in seen), *(wall.name for wall in walls)),
        (*(other.place for _, other in seen), *("" for _ in walls)),
    )


_Key = tuple[str, Body, Placement]


def _seen_from(place: Place, other: Instance) -> _Key:
    spot = other.placement
    corner = (Point(spot.x, spot.y) - place.at).turned(-place.turn)
    turn = round((spot.turn - place.turn) % 360.0, SAME_SPOT)
    local = replace(spot, x=round(corner.x, SAME_SPOT), y=round(corner.y, SAME_SPOT), turn=turn)
    name = {"plug": NEXT_PLUG, "part": NEXT_PART}.get(other.role) or NEXT_FASTENER[other.role]
    return (name, other.body, local)


def _order(key: _Key) -> tuple[object, ...]:
    name, body, spot = key
    return (spot.x, spot.y, spot.z, name, body.name, spot.turn, spot.flip)


@lru_cache(maxsize=DISTINCT)
def _obstacle(name: str, body: Body, spot: Placement) -> Obstacle:
    slices = spot.apply(body)
    if name != NEXT_FASTENER["nut"]:
        return Obstacle(name, slices, slices, slices)
    return Obstacle(name, slices, tuple(_turned_away(s) for s in slices), tuple(_spinning(s) for s in slices))


def _turned_away(nut: Slice) -> Slice:
    """Return the round that a nut's flats touch: what is left of it towards the side that it turns a flat to."""
    share = 1.0 if nut.profile.at(0.0).is_circle else SQRT3_2
    return _rounded(nut, share)


def _spinning(nut: Slice) -> Slice:
    """Return the round that a nut's corners reach all the way round."""
    return _rounded(nut, 1.0)


def _rounded(nut: Slice, share: float) -> Slice:
    outline = nut.profile.at(0.0)
    centre = outline.centre
    corners = max(math.dist((c.x, c.y), centre) + c.radius for c in outline.corners)
    return replace(nut, profile=Straight(round_(2 * corners * share).moved(*centre)))


def _walls(panel: Panel, place: Place, reach: Rectangle) -> Iterator[Obstacle]:
    """Yield folded lips and rack rails within reach."""
    for lip in lip_walls(panel):
        here = [s for s in lip if reach.overlaps(s.profile.widest.box)]
        if here:
            yield _wall("panel lip", place, here, reach)
    if panel.clear_width is None:
        return
    for side in (-1, 1):
        outline = box(RAIL_WIDTH, 2 * panel.height).moved(side * (panel.clear_width + RAIL_WIDTH) / 2, 0.0)
        if reach.overlaps(outline.box):
            yield _wall("rack rail", place, [prism(outline, -DEEP, -panel.finished)], reach)


def _wall(name: str, place: Place, wall: Iterable[Slice], reach: Rectangle) -> Obstacle:
    slices = tuple(prism(_local(place, _within(s.profile.widest, reach)), s.z0, s.z1) for s in wall)
    return Obstacle(name, slices, slices, slices)


def _within(outline: Outline, reach: Rectangle) -> Outline:
    """Return a plain rectangle cut to what is within reach, so that places along it see the same; others whole."""
    if len(outline.corners) != 4 or any(corner.is_round for corner in outline.corners):
        return outline
    cut, window = outline.box, reach.grown(1.0)  # a millimetre out of reach is not met
    if not cut.overlaps(window):
        return outline
    return filled(
        Rectangle(
            max(cut.left, window.left), max(cut.bottom, window.bottom), min(cut.right, window.right),
            min(cut.top, window.top),
        )
    )  # fmt: skip


def _local(place: Place, outline: Outline) -> Outline:
    """Return an outline of the panel in the frame of a place, without the noise of rounding."""
    moved = outline.moved(-place.x, -place.y).turned(-place.turn)
    return Outline(tuple(c._replace(x=round(c.x, SAME_SPOT), y=round(c.y, SAME_SPOT)) for c in moved.corners))


def _edge(panel: Panel, place: Place, reach: Rectangle) -> Outline | None:
    """Return the flat of the panel as a place near its edge sees it; None where the edge is out of reach."""
    flat = panel.flat
    return None if flat.box.holds(reach) else _local(place, _within(flat, reach))
