"""Does the mating plug go all the way home past panel, heads, flange and neighbours, on its way and where it turns?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from dryfit.generators.bodies.fasteners import screw_body
from dryfit.generators.bodies.parts import bush_nut_body, plug_body
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.clearance.surroundings import NEXT_PLUG
from dryfit.generators.joints.joint import flange_front
from dryfit.models.findings import Answer, Ref, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING, Placement, Slice, closest, prism, slice_gap
from dryfit.models.geometry.outlines import Outline, box, clearance, gap
from dryfit.models.reading.units import format_mm

AXIAL_AIM = 0.1  # mm between collar and what lies under it: castings and heads spread by as much (common practice)
AWAY = 1000.0  # mm: from where a plug comes, beyond any part
TURN_STEP = 5.0  # degrees between the angles at which a turning plug is looked at
FAR = 400.0  # mm across the piece of panel that a plug may touch
SOURCE = "geometry of the parts; catalogue"


@dataclass(frozen=True)
class Thing:
    """Something that may be in the plug's way: what it is, its slices, and how an answer refers to it."""

    name: str
    slices: tuple[Slice, ...]
    refs: tuple[Ref, ...] = ()


@dataclass(frozen=True, order=True)
class Room:
    """Room left to something, mm: ``along`` the push where it lies under the plug, else beside it."""

    mm: float
    name: str
    along: bool
    on_the_way: bool
    refs: tuple[Ref, ...]

    @property
    def is_plug(self) -> bool:
        """Whether it is left to another plug, which may be drawn out."""
        return self.name == NEXT_PLUG


def has_plug(fit: Fit) -> bool:
    """Whether a plug is tried in the part."""
    return fit.mounting.plug is not None


@stack_check(
    "plug-seats",
    has_plug,
    ("other hardware", "other side", "move apart", "move inwards"),
    looks_at=("thread", "head", "washers"),
    hangs_on=("plug.body.*.width", "plug.body.*.height", "seat"),
)
def plug_seats(fit: Fit) -> Iterator[Answer]:
    """Judge the plug, fully home and on its way there, against everything near it, and name the worst."""
    plug, things = _plug(fit), tuple(_things(fit))
    found = (_least_room(plug, things), _nose_room(fit), _on_the_way(fit, plug, things))
    rooms = [room for room in found if room is not None]
    name = fit.mounting.plug_name
    assert name is not None  # a plug has a name
    ref = (name,)
    if not rooms:
        yield Answer("plug-seats", Verdict.FITS, "The plug goes home; nothing is near it.", bodies=ref, source=SOURCE)
        return
    worst = min(rooms)
    verdict = grade(worst.mm, 0.0, AXIAL_AIM)
    if worst.on_the_way and worst.is_plug:
        verdict = Verdict.TIGHT
    says = f"The plug {_words(worst, verdict)}."
    yield Answer.of_length(
        "plug-seats",
        verdict,
        says,
        measured=worst.mm,
        limit=0.0,
        bodies=(*ref, *worst.refs),
        view="front",
        source=SOURCE,
    )


def _words(worst: Room, verdict: Verdict) -> str:
    room, name = format_mm(abs(worst.mm)), worst.name
    if worst.mm >= 0:
        if verdict is Verdict.FITS:
            return f"goes home; the nearest thing, the {name}, leaves it {room}"
        return f"goes home with only {room} to the {name}"
    if worst.on_the_way:
        return f"runs {room} into the {name} on its way" + (": draw that out first" if worst.is_plug else "")
    return f"is kept {room} from home by the {name}" if worst.along else f"runs {room} into the {name} beside it"


def _plug(fit: Fit) -> tuple[Slice, ...]:
    """Return the plug fully home, less its nose, which lies inside the part, where it belongs."""
    return tuple(s for s in _whole_plug(fit) if s.z0 >= _shoulder(fit) - TOUCHING)


def _nose(fit: Fit) -> tuple[Slice, ...]:
    """Return the nose of the plug: of a part that is mounted from the rear it passes the hole of the panel."""
    return tuple(s for s in _whole_plug(fit) if s.z0 < _shoulder(fit) - TOUCHING)


def _nose_room(fit: Fit) -> Room | None:
    """Return the room of the nose in the hole of the panel, through which all of it has to come."""
    if fit.mounting.mount == "front":
        return None  # the part itself stands in the hole
    plate = _plate(fit)
    met = closest(_drawn_out(_nose(fit)), plate.slices)
    return None if met is None else Room(met.gap, plate.name, False, False, plate.refs)


def _whole_plug(fit: Fit) -> tuple[Slice, ...]:
    plug, name = fit.mounting.plug, fit.mounting.plug_name
    assert plug is not None  # the caller looked
    assert name is not None
    return Placement(z=_shoulder(fit), turn=fit.mounting.part_turn).apply(plug_body(name, plug))


def _shoulder(fit: Fit) -> float:
    """Return z of the plug's shoulder when it is home."""
    return flange_front(fit.mounting, fit.panel) + fit.mounting.part.seat


def _things(fit: Fit) -> Iterator[Thing]:
    yield _own_front(fit)
    yield _plate(fit)
    yield from _own_heads(fit)
    yield from _own_bush_nut(fit)
    for number, obstacle in enumerate(fit.around.obstacles):
        yield Thing(obstacle.name, obstacle.slices, (number,))


def _own_front(fit: Fit) -> Thing:
    """Return the flange of the own part and what stands on it, less what is meant to mate inside the plug's body."""
    front = flange_front(fit.mounting, fit.panel)
    shell = [s.profile.widest for s in _plug(fit)]
    mates = front + fit.mounting.part.seat
    ahead = (s for s in fit.own if s.z1 > front - TOUCHING)
    kept = [s for s in ahead if s.z1 <= mates + TOUCHING or not _inside(s.profile.widest, shell)]
    return Thing("flange", tuple(kept))


def _inside(outline: Outline, shell: list[Outline]) -> bool:
    return any(clearance(outline, around) >= 0 for around in shell)


def _plate(fit: Fit) -> Thing:
    """Return the panel near the place, with its own finished holes."""
    holes = (fit.main_hole, *fit.fixing_holes)
    return Thing("panel", (prism(box(FAR, FAR), -fit.panel.finished, 0.0, holes),))


def _own_heads(fit: Fit) -> Iterator[Thing]:
    if fit.stack is None or fit.stack.joint.side == "rear":
        return
    body = screw_body(fit.stack.screw)
    for number, (x, y) in enumerate(fit.mounting.fixings, start=1):
        placed = Placement(x, y, fit.stack.head_plane).apply(body)
        yield Thing("screw head", placed, (f"screw {number}",))


def _own_bush_nut(fit: Fit) -> Iterator[Thing]:
    bush = fit.mounting.part.bush
    if bush is not None and bush.nut_side == "front":
        yield Thing("bush nut", bush_nut_body(bush).slices, ("bush nut",))


# --- at home -------------------------------------------------------------------------------------------------------


def _least_room(plug: tuple[Slice, ...], things: Iterable[Thing]) -> Room | None:
    """Return the least room between plug and things, mm: along the push where they lap, else beside each other."""
    best = None
    for thing in things:
        for a in plug:
            for b in thing.slices:
                if best is not None and a.plan.gap_to(b.plan) > best.mm:
                    continue  # it lies further beside
                found = _slice_room(a, b)
                room = Room(found[0], thing.name, found[1], False, thing.refs) if found else None
                best = room if best is None or (room is not None and room < best) else best
    return best


def _slice_room(plug: Slice, other: Slice) -> tuple[float, bool] | None:
    beside = slice_gap(plug, other)
    if beside is not None:
        return max((beside.gap, False), (plug.z0 - other.z1, True))  # the least move that would free it
    if plug.z0 < other.z1 - TOUCHING or _clear_of(plug, other):
        return None
    return plug.z0 - other.z1, True


def _clear_of(plug: Slice, other: Slice) -> bool:
    """Whether the plug's slice passes beside the other one, or through a hole of it, seen along the push."""
    ours, theirs = plug.profile.widest, other.profile.widest
    if not ours.box.overlaps(theirs.box) or gap(ours, theirs) >= 0:
        return True
    return any(clearance(plug.profile.widest, h.widest) >= 0 for h in other.holes)


# --- on its way ----------------------------------------------------------------------------------------------------


def _on_the_way(fit: Fit, plug: tuple[Slice, ...], things: Iterable[Thing]) -> Room | None:
    """Return the room to what the plug runs into most while it is pushed and turned; None where its way is clear."""
    swept = (*_drawn_out(plug), *_turning(fit, plug))
    rooms = []
    for thing in things:
        if not thing.refs or isinstance(thing.refs[0], str):
            continue  # its own part and fasteners lie under it, not beside its way
        met = closest(swept, thing.slices, -TOUCHING)
        if met is not None:
            rooms.append(Room(met.gap, thing.name, False, True, thing.refs))
    return min(rooms, default=None)


def _drawn_out(slices: Iterable[Slice]) -> tuple[Slice, ...]:
    """Return what slices fill on their way home, straight from before the panel."""
    return tuple(replace(s, z1=s.z1 + AWAY, holes=()) for s in slices)


def _turning(fit: Fit, plug: tuple[Slice, ...]) -> Iterator[Slice]:
    """Yield what a quarter-turn plug fills between the angle at which it is pushed and home: clockwise from there."""
    motion = fit.mounting.plug
    assert motion is not None  # the caller looked
    if motion.motion != "quarter turn":
        return
    for step in range(1, int(motion.turn // TURN_STEP) + 1):
        yield from (s.placed(0.0, 0.0, 0.0, step * TURN_STEP, False) for s in plug if not s.profile.at(0.0).is_circle)
