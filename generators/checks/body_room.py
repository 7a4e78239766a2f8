"""Do bodies keep clear of each other, of plain holes, rack rails, lips, edges, the rack units above and below?"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.generators.clearance.gaps import PairGap, contacts
from dryfit.models.catalogue.parts import Side
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING, Slice
from dryfit.models.geometry.outlines import Outline, clearance, gap
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.errors import begun
from dryfit.models.reading.units import format_mm

SIDE_AIM = 0.25
"""mm between bodies of two places: two positions of +/-0.1 and two castings (common practice: 26.5 mm pitch for
26 mm flanges)."""
NEAR = 2.0  # mm; bodies further apart than this are not worth telling
RACK_UNIT = 44.45  # mm, EIA-310 / IEC 60297-3-100
ALIKE = 6  # decimals of a gap in mm; screws of one part stand alike, and their gaps differ by rounding only
SOURCE = "positions and castings spread by tenths: common practice"
RACK_SOURCE = "450 mm between rails (IEC 60297-3-100, from memory); rack unit 44.45 mm (EIA-310)"


@panel_check(
    "body-room",
    strategies=("move apart", "move inwards", "other hardware"),
    hangs_on=("flange.outline.*", "rear.*.width", "rear.*.height"),
)
def body_room(fitting: Fitting) -> Iterator[Finding]:
    """Tell for every place the tightest neighbour of its bodies, and what reaches beyond the panel's room.

    Two places that clash are told once, at the first of them, with the names of both.
    """
    worst: dict[str, PairGap] = {}
    for pair in contacts(fitting.assembly, NEAR):
        name = _teller(fitting, pair)
        if _counts(pair) and (name not in worst or _nearness(pair) < _nearness(worst[name])):
            worst[name] = pair
    for place in fitting.job.places:
        yield _tell(place.name, worst.get(place.name))
    yield from _beyond(fitting)
    yield from _over_holes(fitting)


def _nearness(pair: PairGap) -> tuple[float, str, str]:
    """Return what orders pairs from the nearest on: those that are alike but for rounding by name."""
    return round(pair.contact.gap, ALIKE), pair.a.name, pair.b.name


def _teller(fitting: Fitting, pair: PairGap) -> str:
    """Return the place that tells of a pair: of two places the one that comes first in the layout."""
    names = [i.place for i in (pair.a, pair.b) if i.place]
    return min(names, key=fitting.order.__getitem__)


def _counts(pair: PairGap) -> bool:
    """Bodies of one place stand close by design: they are told only where they clash."""
    if pair.a.place != pair.b.place and pair.a.place and pair.b.place:
        return True
    return pair.contact.gap < -TOUCHING


def _tell(place: str, pair: PairGap | None) -> Finding:
    if pair is None:
        return Finding("body-room", place, Verdict.FITS, "Nothing stands near its bodies.", source=SOURCE)
    room = pair.contact.gap
    verdict = grade(room, -TOUCHING, SIDE_AIM)
    one, other = (pair.a, pair.b) if pair.a.place == place else (pair.b, pair.a)
    words = f"{one.name} and {other.name}"
    says = f"{words} are {format_mm(room)} apart."
    if verdict is Verdict.FAILS:
        says = f"{words} run {format_mm(-room)} into each other."
    left = max(0.0, room) if verdict is not Verdict.FAILS else room
    view: Side = "front" if pair.contact.z1 > 0 else "rear"
    return Finding.of_length(
        "body-room",
        place,
        verdict,
        says,
        measured=left,
        limit=0.0,
        bodies=(one.name, other.name),
        beside=_beside(place, other),
        view=view,
        source=SOURCE,
    )


def _beside(place: str, other: Instance) -> tuple[str, ...]:
    return (other.place,) if other.place not in ("", place) else ()


# --- beyond the room that a panel has --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Limit:
    """An edge of the room that a panel has: what lies beyond it, the verdict on what reaches there, and its source."""

    where: str
    verdict: Verdict
    source: str
    bodies: tuple[str, ...] = ()


RAIL = Limit("into the room of the rack rail", Verdict.FAILS, RACK_SOURCE, ("rack rail",))
UNITS = Limit("into the rack unit above or below", Verdict.FAILS, RACK_SOURCE)
BOX = Limit("into the walls or lugs of the box", Verdict.FAILS, "data/panels/wall_plates.csv", ("wall box",))
EDGE = Limit("over the edge of the panel", Verdict.TIGHT, "what the panel closes has its walls there: common practice")
NO_SHEET = Limit("over the edge of the panel, with nothing to lie on", Verdict.FAILS, "common practice")


def _beyond(fitting: Fitting) -> Iterator[Finding]:
    """Yield what stands outside the room of the panel, the furthest of each place and limit."""
    furthest: dict[tuple[str, str], tuple[float, Limit, Instance]] = {}
    for instance in fitting.assembly.bodies_in_place:
        for room, limit in _rooms(fitting.job.panel, instance):
            key = (instance.place, limit.where)
            if room < furthest.get(key, (-TOUCHING, limit, instance))[0]:
                furthest[key] = (room, limit, instance)
    for (place, _), (room, limit, instance) in furthest.items():
        says = f"{instance.name} reaches {format_mm(-room)} {limit.where}."
        yield Finding.of_length(
            "body-room",
            place,
            limit.verdict,
            says,
            measured=room,
            limit=0.0,
            bodies=(instance.name, *limit.bodies),
            view="rear",
            source=limit.source,
        )


def _rooms(panel: Panel, instance: Instance) -> Iterator[tuple[float, Limit]]:
    """Yield the room left to a body, mm (below zero: none), up to every limit of the panel's room."""
    behind = [s for s in instance.slices if s.z0 < -panel.finished - TOUCHING]
    if panel.clear_width is not None and behind:
        yield _between(panel.clear_width, _plan(behind)), RAIL
    if panel.rack_units is not None:
        half, box = panel.rack_units * RACK_UNIT / 2, instance.box
        yield min(half - box.y1, half + box.y0), UNITS
        if panel.clear_width is None and behind:
            yield _between(panel.width, _plan(behind)), EDGE
        return
    if behind and panel.rooms:
        yield max(min(clearance(s.profile.widest, room) for s in behind) for room in panel.rooms), BOX
    elif behind:
        yield _inside(panel, behind), EDGE
    on_face = [s for s in instance.slices if abs(s.z0) < TOUCHING or abs(s.z1 + panel.finished) < TOUCHING]
    if on_face and instance.role in ("part", "nut", "washer"):
        yield _inside(panel, on_face), NO_SHEET


def _over_holes(fitting: Fitting) -> Iterator[Finding]:
    """Yield what stands before or behind a plain hole, at each place the one it covers most of."""
    panel = fitting.job.panel
    holes = [hole.coated(panel.coating) for hole in fitting.job.holes() if hole.purpose == "plain"]
    found: dict[str, tuple[float, Hole, Instance]] = {}
    for instance in fitting.assembly.bodies_in_place:
        for hole in holes if instance.role != "plug" else ():
            if instance.box.plan.overlaps(hole.outline.box):
                room = min(gap(s.profile.widest, hole.outline) for s in instance.slices)
                if room < found.get(instance.place, (-TOUCHING,))[0]:
                    found[instance.place] = (room, hole, instance)
    for place, (room, hole, instance) in found.items():
        yield _blocked(place, room, f"{instance.name} stands {format_mm(-room)} over {hole.called}", instance.name)
    for hole in holes:
        room = _behind(panel, hole.outline)
        if room < -TOUCHING:
            yield _blocked(
                "",
                room,
                f"{begun(hole.called)} lies {format_mm(-room)} before {_WALL[bool(panel.rooms)]}",
            )


_WALL = {True: "the walls or lugs of the box", False: "the rack rail"}


def _behind(panel: Panel, hole: Outline) -> float:
    """Return the room from a hole to what stands close behind the panel, mm; below zero it lies before that."""
    if panel.rooms:
        return max(clearance(hole, room) for room in panel.rooms)
    return math.inf if panel.clear_width is None else _between(panel.clear_width, hole.box)


def _blocked(place: str, room: float, says: str, *bodies: str) -> Finding:
    return Finding.of_length(
        "body-room", place, Verdict.FAILS, f"{says}.", measured=room, limit=0.0, bodies=(*bodies, "panel"),
        source="a hole is there for what goes through it: common practice",
    )  # fmt: skip


def _plan(slices: Iterable[Slice]) -> Rectangle:
    """Return what slices cover, seen from the front."""
    return Rectangle.around([s.profile.widest.box for s in slices])


def _between(width: float, flat: Rectangle) -> float:
    """Return the least distance from a rectangle to the sides of a width about the middle."""
    return min(width / 2 - flat.right, width / 2 + flat.left)


def _inside(panel: Panel, slices: list[Slice]) -> float:
    """Return the least distance from slices to the edge of the panel, its round corners where they come near."""
    flat = _plan(slices)
    room = min(_between(panel.width, flat), panel.height / 2 - flat.top, panel.height / 2 + flat.bottom)
    if room >= panel.corner:
        return room
    return min(clearance(s.profile.widest, panel.outline) for s in slices)
