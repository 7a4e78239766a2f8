"""From a job and its stacks to the assembly: every body where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.generators.bodies.fasteners import nut_body, screw_body, washer_body
from dryfit.generators.bodies.panel import panel_body
from dryfit.generators.joints.stacks import Stack, fixing_points, flange_front, part_base
from dryfit.models.catalogue.parts import Bush, Fixings, Part, Plug
from dryfit.models.geometry.bodies import Body, Placement, Slice, Straight, Taper, prism
from dryfit.models.geometry.outlines import hexagon, round_
from dryfit.models.job import Job, Panel, Place


@cache
def part_body(name: str, part: Part) -> Body:
    """Return the body of a part in its own frame: rear sections, flange with its fixing holes, front sections."""
    rear = tuple(section.behind(0.0) for section in part.rear)
    front = tuple(section.ahead(part.flange.thick) for section in part.front)
    return Body(name, (*rear, *_flange(part), *front), part.metal)


def _flange(part: Part) -> Iterator[Slice]:
    """Yield the flange: with countersunk fixing holes in two slices, the lower one straight."""
    outline, thick, fixings = part.flange.outline, part.flange.thick, part.fixings
    if fixings is None or fixings.boss is not None:
        yield prism(outline, 0.0, thick)
        return
    straight = tuple(round_(fixings.hole).moved(*at) for at in fixings.at)
    cone = _sink_depth(fixings)
    if cone == 0:
        yield prism(outline, 0.0, thick, straight)
        return
    assert fixings.seat is not None  # it has depth
    below = max(0.0, thick - cone)
    if below > 0:
        yield prism(outline, 0.0, below, straight)
    share = min(1.0, thick / cone)
    low = fixings.seat.diameter - (fixings.seat.diameter - fixings.hole) * share
    sinks = tuple(Taper(low, fixings.seat.diameter, *at) for at in fixings.at)
    yield Slice(Straight(outline), below, thick, sinks)


def _sink_depth(fixings: Fixings) -> float:
    """Return how deep the countersink goes before it meets the hole; 0 without one."""
    if fixings.seat is None or fixings.seat.diameter <= fixings.hole:
        return 0.0
    return fixings.seat.depth * (1 - fixings.hole / fixings.seat.diameter)


@cache
def plug_body(name: str, plug: Plug) -> Body:
    """Return the body of a plug in its own frame: nose behind its shoulder, body in front."""
    nose = tuple(section.behind(0.0) for section in plug.nose)
    return Body(name, (*nose, *(section.ahead(0.0) for section in plug.body)), "plug")


@cache
def bush_nut_body(bush: Bush) -> Body:
    """Return the nut of a threaded bush and the washer under it, standing on z = 0."""
    bore = (round_(bush.thread),)
    nut = prism(hexagon(bush.nut_across), bush.washer, bush.washer + bush.nut_height, bore)
    if bush.washer == 0:
        return Body("bush nut", (nut,), "brass")
    ring = prism(round_(max(bush.washer_across, bush.nut_across)), 0.0, bush.washer, bore)
    return Body("bush nut with washer", (ring, nut), "brass")


def part_instance(place: Place, panel: Panel) -> Instance:
    """Return the part of a place where it is mounted."""
    spot = Placement(place.x, place.y, part_base(place, panel), place.turn + place.part_turn)
    return Instance(part_body(place.kind, place.part), spot, "part", place.name, f"{place.name}: {place.kind}")


def panel_instance(job: Job) -> Instance:
    """Return the finished panel: coating on its faces and on the walls of its holes."""
    return Instance(panel_body(job.panel, job.holes()), Placement(), "panel", "", "panel")


def assemble(job: Job, stacks: Mapping[str, Stack]) -> Assembly:
    """Return the whole assembly; ``stacks`` by the name of the place (a place without one gets no screws)."""
    instances = [panel_instance(job)]
    for place in job.places:
        instances.append(part_instance(place, job.panel))
        instances.extend(_bush_nut(place, job.panel))
        if place.name in stacks:
            instances.extend(_fasteners(place, stacks[place.name]))
        plug = plug_instance(place, job.panel)
        instances.extend((plug,) if plug is not None else ())
    return Assembly(job.title, tuple(instances))


def _fasteners(place: Place, stack: Stack) -> Iterator[Instance]:
    bodies = tuple(_stacked(stack, place.wish.metal or ""))
    for number, (x, y) in enumerate(fixing_points(place), start=1):
        for role, what, body, z in bodies:
            spot = Placement(x, y, z, place.turn + place.part_turn)
            yield Instance(body, spot, role, place.name, f"{place.name}: {what} {number}")


def _stacked(stack: Stack, metal: str) -> Iterator[tuple[Role, str, Body, float]]:
    """Yield role, name, body and height of everything on one fixing axis, front to rear."""
    yield "screw", "screw", screw_body(stack.screw, metal), stack.head_plane
    z = stack.back
    for washer in stack.washers:
        yield "washer", f"{washer.kind} washer", washer_body(washer, metal), z
        z -= washer.thickness
    if stack.nut is not None:
        yield "nut", "nut", nut_body(stack.nut, stack.thread, metal), z


def _bush_nut(place: Place, panel: Panel) -> Iterator[Instance]:
    bush = place.part.bush
    if bush is None:
        return
    front = bush.nut_side == "front"
    spot = Placement(place.x, place.y, 0.0 if front else -panel.finished, place.turn, flip=not front)
    yield Instance(bush_nut_body(bush), spot, "nut", place.name, f"{place.name}: bush nut")


def plug_instance(place: Place, panel: Panel) -> Instance | None:
    """Return the plug of a place, fully home, or None where none is wanted."""
    if place.plug is None or place.plug_name is None:
        return None
    z = flange_front(place, panel) + place.part.seat
    spot = Placement(place.x, place.y, z, place.turn + place.part_turn)
    body = plug_body(place.plug_name, place.plug)
    return Instance(body, spot, "plug", place.name, f"{place.name}: {place.plug_name}")
