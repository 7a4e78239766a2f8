"""Does the nut clear barrel, flange step, panel lip and neighbours; does it spin; does a driver reach it?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.checks.registry import PANEL, Fit, stack_check
from dryfit.generators.joints.stacks import Stack, local_fixings
from dryfit.generators.remedies.remedies import other_hardware
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.bodies import Slice, closest, prism
from dryfit.models.geometry.outlines import Outline, hexagon, round_
from dryfit.models.job import Point
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Nut, Rivet

NUT_GAP = 0.1  # mm between a nut and what stands beside it: the spread of castings and of the nut's place
DRIVER_LENGTH = 60.0  # mm of nut driver that must pass along the axis behind the nut (common practice)
TURN_STEP = 3  # degrees between the ways a nut is tried; flats facing an obstacle are tried exactly as well
BULB = 1.5  # diameter of a set rivet behind, in diameters of its body (common practice)
NOTHING_NEAR = 1e3  # mm; what a gap counts as where nothing is near


@stack_check("nut-room", remedies=(other_hardware,), looks_at=("thread", "nut", "washers"))
def nut_room(fit: Fit) -> Iterator[Finding]:
    """Judge the tightest fixing of the place."""
    stack = fit.stack
    if stack is not None and stack.screw.rivet is not None:
        yield _blind_side(fit, stack, stack.screw.rivet)
    if stack is None or stack.nut is None:
        return
    turning = round_(stack.nut.corners)
    at = min(local_fixings(fit.place), key=lambda point: _gap(fit, stack, point, turning))
    yield _judge(fit, stack, stack.nut, at)


def _judge(fit: Fit, stack: Stack, nut: Nut, at: Point) -> Finding:
    spinning = _gap(fit, stack, at, round_(nut.corners))
    name = f"The {format_mm(nut.across_flats)} {nut.kind} nut"
    tool, source = _tool(fit, stack, nut, at), f"nut: {nut.standard}; gap: common practice"
    if spinning >= NUT_GAP:
        says = f"{name} spins freely, {format_mm(spinning)} clear; {tool}."
        return Finding("nut-room", fit.place.name, Verdict.FITS, spinning, NUT_GAP, says, source=source)
    facing = _facing(fit, stack, nut, at)
    if facing >= NUT_GAP:
        verdict, measured = Verdict.TIGHT, facing
        says = f"{name} fits with a flat to the body, {format_mm(facing)} clear, but cannot spin: turn the screw."
    else:
        verdict, measured = Verdict.FAILS, facing
        says = f"{name} clashes with what stands beside it by {format_mm(-facing)}."
        if facing >= 0:
            says = f"{name} has only {format_mm(facing)} beside it; {format_mm(NUT_GAP)} is wanted."
    return Finding("nut-room", fit.place.name, verdict, measured, NUT_GAP, says, source=source)


def _blind_side(fit: Fit, stack: Stack, rivet: Rivet) -> Finding:
    """Judge the room for the bulb that a rivet forms behind."""
    bulb = round_(BULB * rivet.body_max)
    rooms = (prism(bulb.moved(*at), stack.back - rivet.blind_side, stack.back) for at in local_fixings(fit.place))
    room = min(room_beside(fit, slice_) for slice_ in rooms)
    verdict = Verdict.FITS if room >= NUT_GAP else Verdict.FAILS
    says = (
        f"The blind side of the rivet, some {format_mm(bulb.size[0])} across when set, has {format_mm(room)} beside it."
    )
    return Finding("nut-room", fit.place.name, verdict, room, NUT_GAP, says, source="common practice")


@dataclass(frozen=True)
class Access:
    """Whether the nuts of a place spin, and whether a nut driver goes on to them."""

    spins: bool
    driver: bool


def access(fit: Fit, stack: Stack) -> Access:
    """Return how the nuts of a place can be got at, at its tightest fixing."""
    if stack.nut is None:
        return Access(False, False)
    turning = round_(stack.nut.corners)
    at = min(local_fixings(fit.place), key=lambda point: _gap(fit, stack, point, turning))
    return Access(_gap(fit, stack, at, turning) >= NUT_GAP, _driver_passes(fit, stack, stack.nut, at))


def _facing(fit: Fit, stack: Stack, nut: Nut, at: Point) -> float:
    """Return the gap beside the nut turned as it fits best: a flat, not a corner, to what stands beside it."""
    most = _gap(fit, stack, at, round_(nut.across_flats))  # no way to turn it gives more than its flats
    if most < NUT_GAP:
        return most
    best = -math.inf
    for angle in _turns(at):
        best = max(best, _gap(fit, stack, at, hexagon(nut.across_flats).turned(angle)))
        if best >= NUT_GAP:
            break
    return best


def _turns(at: Point) -> Iterator[float]:
    """Yield ways to turn the hexagon: steps of its sixth of a turn, and a flat straight to the body's axis."""
    yield math.degrees(math.atan2(at[1], at[0])) % 60.0
    yield from (float(a) for a in range(0, 60, TURN_STEP))


def _gap(fit: Fit, stack: Stack, at: Point, outline: Outline) -> float:
    """Return the least gap beside the outline over the height of the nut."""
    return room_beside(fit, prism(outline.moved(*at), stack.nut_bottom, stack.nut_top))


def _tool(fit: Fit, stack: Stack, nut: Nut, at: Point) -> str:
    if _driver_passes(fit, stack, nut, at):
        return f"a {nut.driver} nut driver reaches it"
    return f"a {nut.driver} nut driver does not pass beside the body: use a spanner"


def _driver_passes(fit: Fit, stack: Stack, nut: Nut, at: Point) -> bool:
    driver = prism(round_(nut.driver_outside).moved(*at), stack.nut_top - DRIVER_LENGTH, stack.nut_top)
    return room_beside(fit, driver) >= 0


def room_beside(fit: Fit, slice_: Slice) -> float:
    """Return the least gap between a slice and everything around the place."""
    near = (s for obstacle in fit.around if obstacle.name != PANEL for s in obstacle.slices)
    contact = closest((slice_,), near)
    return contact.gap if contact is not None else NOTHING_NEAR
