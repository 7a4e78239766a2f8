"""Does the head seat in or on the flange or panel, and how far does it stand proud?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.joints.seats import proud_limits
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.remedies.remedies import other_hardware
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.reading.units import format_mm

LAND_AIM = 0.3  # mm of ring under a flat head; less bites in (common practice)
PROUD_AIM = 0.3  # mm a countersunk rim may stand above its surface unremarked (common practice)
TOLD_SPREAD = 0.01  # mm; less over the head's tolerance is not worth telling
SHARE_IN_SEAT = 0.5  # at least half of the cone's height must lie in the seat (common practice)


@stack_check("head-seat", remedies=(other_hardware,), looks_at=("thread", "head"))
def head_seat(fit: Fit) -> Iterator[Finding]:
    """Judge how the head rests on what is under it."""
    stack = fit.stack
    if stack is None:
        return
    verdict, measured, limit, says = _flat(stack) if stack.screw.head.angle is None else _conical(stack)
    yield Finding(
        "head-seat", fit.place.name, verdict, measured, limit, says,
        source=f"head: {stack.screw.head.standard}; seating: common practice",
    )  # fmt: skip


def _flat(stack: Stack) -> tuple[Verdict, float, float, str]:
    land = stack.seat.land or 0.0
    kind, under = stack.screw.head.kind, stack.head_on
    verdict = grade(land, 0.0, LAND_AIM)
    if verdict is Verdict.FAILS:
        where = "countersink" if stack.head_sink is not None else "hole"
        return verdict, land, 0.0, f"The {kind} head has no land on the {under}: it falls into the {where}."
    return verdict, land, 0.0, f"The {kind} head bears on a ring {format_mm(land)} wide on the {under}."


def _conical(stack: Stack) -> tuple[Verdict, float, float, str]:
    seat, head, under = stack.seat, stack.screw.head, stack.head_on
    if stack.head_sink is None:
        says = f"A {head.kind} head on a plain hole bears on an edge and stands {format_mm(seat.proud)} proud."
        return Verdict.FAILS, seat.sunk, 0.0, says
    if seat.bearing == "nothing":
        return Verdict.FAILS, seat.sunk, 0.0, f"The {head.kind} head falls through the hole of the {under}."
    low, high = proud_limits(head, stack.head_hole, stack.head_sink)
    sits = f"stands {format_mm(seat.proud)} proud of" if seat.proud > 0 else f"lies {format_mm(-seat.proud)} below"
    spread = f" ({format_mm(low)} to {format_mm(high)} over its tolerance)" if high - low > TOLD_SPREAD else ""
    says = f"The {head.kind} head {sits} the face of the {under}{spread}"
    limit = -head.height * (1 - SHARE_IN_SEAT)
    if stack.head_sink.depth < head.height * SHARE_IN_SEAT or seat.sunk < limit:
        return Verdict.FAILS, seat.sunk, limit, f"{says}: the countersink is too small for it."
    thick = stack.place.part.flange.thick if under == "flange" else stack.panel.finished
    if _cone_depth(stack) > thick:
        return Verdict.FAILS, thick, _cone_depth(stack), f"The countersink goes through the {under}: a knife edge."
    if seat.bearing != "cone":
        return Verdict.TIGHT, seat.sunk, limit, f"{says} and bears only on the {seat.bearing} of its seat."
    return grade(seat.sunk, limit, -PROUD_AIM), seat.sunk, limit, f"{says} and bears on its cone."


def _cone_depth(stack: Stack) -> float:
    """Return how deep the countersink is cut, to where it meets the hole."""
    sink = stack.head_sink
    assert sink is not None  # the caller looked
    return sink.depth * max(0.0, 1 - stack.head_hole / sink.diameter)
