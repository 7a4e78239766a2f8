"""Does the head seat in or on the flange or panel, and how far does it stand proud?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.seats import proud_limits
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import ROUNDING, Answer, Verdict, grade, margin
from dryfit.models.reading.fields import Countersink
from dryfit.models.reading.units import format_mm

LAND_AIM = 0.3  # mm of ring under a head; less bites in (common practice)
PROUD_AIM = 0.3  # mm a countersunk rim may stand above its surface unremarked (common practice)
TOLD_SPREAD = 0.01  # mm; less over the head's tolerance is not worth telling
SHARE_IN_SEAT = 0.5  # at least half of the cone's height must lie below the face (common practice)
BODIES = ("screw 1",)


@stack_check(
    "head-seat",
    lambda fit: fit.stack is not None,
    ("other hardware",),
    looks_at=("thread", "head", "washers"),
    sees="nothing",
    hangs_on=("fixings.hole", "fixings.seat.diameter"),
)
def head_seat(fit: Fit) -> Iterator[Answer]:
    """Judge how the head rests on what is under it."""
    stack = fit.stack
    if stack is None:
        return
    flat = stack.screw.head.angle is None
    verdict, measured, limit, says = _flat(stack) if flat else _conical(stack)
    source = f"head: {stack.screw.head.standard}; seating: common practice"
    yield Answer(
        "head-seat", verdict, says, margin(measured, limit), "mm", measured, limit, BODIES, stack.joint.side, source
    )


def _flat(stack: Stack) -> tuple[Verdict, float, float, str]:
    land = stack.seat.land or 0.0
    kind, under = stack.screw.head.kind, _under(stack)
    verdict = grade(land, 0.0, LAND_AIM)
    if verdict is Verdict.FAILS:
        where = "countersink" if stack.head_sink is not None else "hole"
        return verdict, land, 0.0, f"The {kind} head has no land on the {under}: it falls into the {where}."
    return verdict, land, 0.0, f"The {kind} head bears on a ring {format_mm(land)} wide on the {under}."


def _under(stack: Stack) -> str:
    return "washer" if stack.under_head else stack.joint.head.of


def _conical(stack: Stack) -> tuple[Verdict, float, float, str]:
    seat, head, under, sink = stack.seat, stack.screw.head, _under(stack), stack.head_sink
    if sink is None:
        says = f"A {head.kind} head on a plain hole bears on an edge and stands {format_mm(seat.proud)} proud."
        return Verdict.FAILS, -seat.proud, 0.0, says
    ring = (head.diameter_min - stack.head_hole) / 2  # that the smallest head bears on at most
    if ring < -ROUNDING or seat.bearing == "nothing":
        least = f"The {head.kind} head, {format_mm(head.diameter_min)} at its smallest,"
        return Verdict.FAILS, ring, 0.0, f"{least} falls through the {format_mm(stack.head_hole)} hole of the {under}."
    return _in_its_seat(stack, sink, ring)


def _in_its_seat(stack: Stack, sink: Countersink, ring: float) -> tuple[Verdict, float, float, str]:
    """Judge how a head lies in a countersink, its smallest on a ring of so many mm."""
    seat, head, under = stack.seat, stack.screw.head, _under(stack)
    low, high = proud_limits(head, stack.head_hole, sink)
    sits = f"stands {format_mm(seat.proud)} proud of" if seat.proud > 0 else f"lies {format_mm(-seat.proud)} below"
    spread = f" ({format_mm(low)} to {format_mm(high)} over its tolerance)" if high - low > TOLD_SPREAD else ""
    says = f"The {head.kind} head {sits} the face of the {under}{spread}"
    limit = -head.height * (1 - SHARE_IN_SEAT)
    if seat.sunk < limit - ROUNDING:
        return Verdict.FAILS, seat.sunk, limit, f"{says}: the countersink is too small for it."
    left = _cylinder_left(stack, sink)
    if left < -ROUNDING:
        return Verdict.FAILS, left, 0.0, f"The countersink goes through the {under}: a knife edge."
    if seat.bearing != "cone":
        return Verdict.TIGHT, seat.sunk, limit, f"{says} and bears only on the {seat.bearing} of its seat."
    if ring < LAND_AIM - ROUNDING:
        return Verdict.TIGHT, ring, 0.0, f"{says} and bears on a ring of its cone no more than {format_mm(ring)} wide."
    return grade(seat.sunk, limit, -PROUD_AIM), seat.sunk, limit, f"{says} and bears on its cone."


def _cylinder_left(stack: Stack, sink: Countersink) -> float:
    """Return the height of the cylinder that is left below the countersink, mm; below zero it is cut through."""
    return stack.joint.head.thick - sink.depth_in(stack.head_hole)
