"""Does the screw reach the floor of a blind boss before it clamps?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import length_limits

PLASTIC_FLOOR = 1.0  # mm to leave above a plastic floor, which a forming screw would burst (common practice)


@stack_check(
    "screw-bottoms", lambda fit: fit.stack is not None and fit.stack.boss is not None, ("other hardware",),
    looks_at=("thread", "head", "length", "washers"), sees="nothing", hangs_on=("flange.thick", "fixings.boss.depth"),
)  # fmt: skip
def screw_bottoms(fit: Fit) -> Iterator[Answer]:
    """Judge the room left above the floor of the boss, the screw at its longest."""
    stack = fit.stack
    assert stack is not None  # asked only where there is a boss for a screw
    assert stack.boss is not None
    assert stack.floor_left is not None
    _, longest = length_limits(stack.thread.name, stack.screw.length)
    left = stack.floor_left - (longest - stack.screw.length)
    aim = stack.thread.pitch if stack.boss.material == "metal" else PLASTIC_FLOOR
    verdict = grade(left, 0.0, aim)
    says = f"The screw stops {format_mm(left)} above the floor of the boss; {format_mm(aim)} is wanted."
    if verdict is Verdict.FAILS:
        says = f"The screw is on the floor of the boss {format_mm(-left)} before its head clamps."
    bodies = ("screw 1",)
    yield Answer.of_length(
        "screw-bottoms", verdict, says, measured=left, limit=0.0, bodies=bodies, view="rear", source="common practice"
    )
