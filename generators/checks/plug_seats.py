"""Does the mating plug go all the way home past panel, heads, flange and neighbours?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.bodies.assemble import plug_body
from dryfit.generators.bodies.fasteners import screw_body
from dryfit.generators.checks.registry import OWN_PART, Fit, Obstacle, stack_check
from dryfit.generators.joints.stacks import flange_front, local_fixings
from dryfit.generators.remedies.remedies import other_hardware, other_side
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING, Placement, Slice, box_gap, slice_gap
from dryfit.models.geometry.outlines import clearance, gap
from dryfit.models.reading.units import format_mm

AXIAL_AIM = 0.1  # mm between collar and what lies under it: castings and heads spread by as much (common practice)


@stack_check("plug-seats", remedies=(other_hardware, other_side), looks_at=("thread", "head"))
def plug_seats(fit: Fit) -> Iterator[Finding]:
    """Judge the plug, fully home, against everything in its way, and name the worst."""
    place = fit.place
    if place.plug is None or place.plug_name is None:
        return
    home = Placement(z=flange_front(place, fit.panel) + place.part.seat, turn=place.part_turn)
    shoulder = home.z - TOUCHING  # the nose lies inside the part, where it belongs
    plug = tuple(s for s in home.apply(plug_body(place.plug_name, place.plug)) if s.z0 >= shoulder)
    obstacles = [*(o for o in fit.around if o.name != OWN_PART), _own_flange(fit), *_own_heads(fit)]
    rooms = [(room, o.name) for o in obstacles if (room := _room(plug, o)) is not None]
    if not rooms:
        yield Finding("plug-seats", place.name, Verdict.FITS, AXIAL_AIM, 0.0, "The plug goes home; nothing is near it.")
        return
    room, name = min(rooms)
    verdict = grade(room, 0.0, AXIAL_AIM)
    words = {
        Verdict.FITS: f"goes home; the nearest thing, the {name}, leaves it {format_mm(room)}",
        Verdict.TIGHT: f"goes home with only {format_mm(room)} to the {name}",
        Verdict.FAILS: f"is kept {format_mm(-room)} from home by the {name}",
    }
    says = f"The plug {words[verdict]}."
    yield Finding("plug-seats", place.name, verdict, room, 0.0, says, source="geometry of the parts; catalogue")


def _own_flange(fit: Fit) -> Obstacle:
    """Return the own part without what stands inside the plug's shoulder: its flange alone."""
    own = next((o for o in fit.around if o.name == OWN_PART), Obstacle(OWN_PART, ()))
    front = flange_front(fit.place, fit.panel)
    return Obstacle("flange", tuple(s for s in own.slices if abs(s.z1 - front) < TOUCHING))


def _own_heads(fit: Fit) -> Iterator[Obstacle]:
    if fit.stack is None:
        return
    body = screw_body(fit.stack.screw)
    for x, y in local_fixings(fit.place):
        yield Obstacle("screw head", Placement(x, y, fit.stack.head_plane).apply(body))


def _room(plug: tuple[Slice, ...], obstacle: Obstacle) -> float | None:
    """Return the room between plug and obstacle, mm: along the push where they lap, else beside each other."""
    rooms = [room for a in plug for b in obstacle.slices if (room := _slice_room(a, b)) is not None]
    return min(rooms, default=None)


def _slice_room(plug: Slice, other: Slice) -> float | None:
    beside = slice_gap(plug, other)
    if beside is not None:
        return beside.gap if beside.gap >= 0 else plug.z0 - other.z1
    if plug.z0 < other.z1 - TOUCHING or _clear_of(plug, other):
        return None
    return plug.z0 - other.z1


def _clear_of(plug: Slice, other: Slice) -> bool:
    """Whether the plug's slice passes beside the other one, or through a hole of it, seen along the push."""
    ours, theirs = plug.profile.widest, other.profile.widest
    if box_gap(ours.box, theirs.box) >= 0 or gap(ours, theirs) >= 0:
        return True
    return any(clearance(plug.profile.widest, h.widest) >= 0 for h in other.holes)
