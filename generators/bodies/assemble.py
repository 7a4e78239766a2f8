"""From a job and its stacks to the assembly: every body where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.generators.bodies.fasteners import nut_body, screw_body, washer_body
from dryfit.generators.bodies.panel import panel_body
from dryfit.generators.bodies.parts import bush_nut_body, part_body, plug_body
from dryfit.generators.joints.joint import flange_front, part_base
from dryfit.generators.joints.stacks import Stack
from dryfit.models.geometry.bodies import Body, Placement
from dryfit.models.job import Job, Place
from dryfit.models.panel import Panel

DISTINCT = 4096  # places remembered while remedies are tried: a few edits of a panel of five hundred


def panel_instance(job: Job) -> Instance:
    """Return the finished panel: coating on its faces and on the walls of its holes."""
    return Instance(panel_body(job.panel, job.holes()), Placement(), "panel", "", "panel")


def assemble(job: Job, stacks: Mapping[str, Stack]) -> Assembly:
    """Return the whole assembly; ``stacks`` by the name of the place (a place without one gets no screws)."""
    instances = [panel_instance(job)]
    for place in job.places:
        instances.extend(standing(place, job.panel, stacks.get(place.name)))
    return Assembly(job.title, tuple(instances))


@lru_cache(maxsize=DISTINCT)
def standing(place: Place, panel: Panel, stack: Stack | None) -> tuple[Instance, ...]:
    """Return all that stands at a place, its fasteners last; without a stack it gets none."""
    return (*_without_hardware(place, panel), *(_fasteners(place, stack) if stack is not None else ()))


def _without_hardware(place: Place, panel: Panel) -> Iterator[Instance]:
    """Yield what stands at a place before it is screwed: the part, the nut of its bush, its plug."""
    yield part_instance(place, panel)
    if place.part.bush is not None:
        yield _bush_nut(place, panel)
    if place.plug is not None:
        yield _plug(place, panel)


def part_instance(place: Place, panel: Panel) -> Instance:
    """Return the part of a place where it is mounted."""
    spot = Placement(place.x, place.y, part_base(place.mounting, panel), place.whole_turn)
    return Instance(
        part_body(place.kind, place.part, place.mount), spot, "part", place.name, f"{place.name}: {place.kind}"
    )


def _bush_nut(place: Place, panel: Panel) -> Instance:
    bush = place.part.bush
    assert bush is not None  # the caller looked
    front = bush.nut_side == "front"
    spot = Placement(place.x, place.y, 0.0 if front else -panel.finished, place.turn, flip=not front)
    return Instance(bush_nut_body(bush), spot, "nut", place.name, f"{place.name}: bush nut")


def _plug(place: Place, panel: Panel) -> Instance:
    """Return the plug of a place, fully home."""
    name = place.mounting.plug_name
    assert place.plug is not None  # the caller looked
    assert name is not None  # a plug has a name
    spot = Placement(place.x, place.y, plug_seat(place, panel), place.whole_turn)
    return Instance(plug_body(name, place.plug), spot, "plug", place.name, f"{place.name}: {name}")


def plug_seat(place: Place, panel: Panel) -> float:
    """Return z of the plug's shoulder when it is home."""
    return flange_front(place.mounting, panel) + place.part.seat


def _fasteners(place: Place, stack: Stack) -> Iterator[Instance]:
    """Yield the screws, washers and nuts of a place, fixing by fixing, the nuts as they came to rest."""
    turns = stack.rest.turns if stack.rest is not None else (0.0,) * len(place.fixings)
    for number, ((x, y), turn) in enumerate(zip(place.fixings, turns, strict=True), start=1):
        for role, what, body, z in stacked(stack):
            angle = place.turn + turn if role == "nut" else place.whole_turn
            spot = Placement(x, y, z, angle, flip=stack.joint.side == "rear")
            yield Instance(body, spot, role, place.name, f"{place.name}: {what} {number}")


def stacked(stack: Stack) -> Iterator[tuple[Role, str, Body, float]]:
    """Yield role, name, body and height of everything on one fixing axis, from the head on."""
    yield "screw", "screw", screw_body(stack.screw, stack.metal), stack.head_plane
    z = stack.joint.head.z
    for washer in stack.under_head:
        z = stack.beyond(z, -washer.thickness)
        yield "washer", f"{washer.kind} washer", washer_body(washer, stack.metal), z
    z = stack.joint.far.z
    for washer in stack.under_nut:
        yield "washer", f"{washer.kind} washer", washer_body(washer, stack.metal), z
        z = stack.beyond(z, washer.thickness)
    if stack.nut is not None:
        yield "nut", "nut", nut_body(stack.nut, stack.thread, stack.metal), z
