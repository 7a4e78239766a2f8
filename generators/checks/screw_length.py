"""Is the screw, or the bush, long enough and not too long?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.stacks import LONG_PITCHES, NUT_PITCHES, Stack
from dryfit.models.catalogue.parts import Bush
from dryfit.models.findings import Answer, Ref, Verdict, grade
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Rivet, length_limits, length_name

BOSS_DIAMETERS = {"metal": 1.0, "plastic": 2.0}
"""Engagement wanted in a blind boss, in screw diameters: 1 d in metal, 2 d thread-forming in plastic (design rule;
published guidelines give 2.0 to 2.5 d for plastics)."""


@stack_check(
    "screw-length", lambda fit: fit.stack is not None or fit.mounting.part.bush is not None, ("other hardware",),
    sees="nothing", hangs_on=("flange.thick", "bush.length", "bush.nut_height", "bush.washer"),
)  # fmt: skip
def screw_length(fit: Fit) -> Iterator[Answer]:
    """Judge engagement and what stands past the nut."""
    if fit.mounting.part.bush is not None:
        yield _bush(fit, fit.mounting.part.bush)
    if fit.stack is None:
        return
    if fit.stack.screw.rivet is not None:
        yield _rivet(fit.stack, fit.stack.screw.rivet, fit.thicker)
    else:
        yield _in_boss(fit.stack) if fit.stack.boss is not None else _through_nut(fit.stack, fit.thicker)


def _through_nut(stack: Stack, thicker: float) -> Answer:
    if stack.nut is None:
        return _answer(
            Verdict.FAILS, 0.0, stack.thread.pitch, "The screw has no nut and the part has no thread for it."
        )
    past, pitch = stack.protrusion - thicker, stack.thread.pitch
    shortest, _ = length_limits(stack.thread.name, stack.screw.length)
    name = length_name(stack.screw.length, stack.thread.system)
    limit = NUT_PITCHES * pitch
    ends = f"{format_mm(past)} ({stack.in_pitches(past):.1f} pitches) past" if past >= 0 else "inside"
    says = (
        f"The {name} screw engages {format_mm(stack.engagement)} ({stack.in_pitches(stack.engagement):.1f} threads) "
        f"and ends {ends} the nut{', the flange at its thickest' if thicker else ''}"
    )
    verdict = grade(past, limit)
    if verdict is Verdict.FAILS:
        return _answer(verdict, past, limit, f"{says}: too short by {format_mm(limit - past)}.")
    if past - (stack.screw.length - shortest) < 0:
        return _answer(Verdict.TIGHT, past, limit, f"{says}; the shortest such screw ends inside it.")
    if stack.in_pitches(past) > LONG_PITCHES:
        return _answer(Verdict.TIGHT, past, limit, f"{says}: a long tail.")
    return _answer(verdict, past, limit, f"{says}.")


def _rivet(stack: Stack, rivet: Rivet, thicker: float) -> Answer:
    left = min(stack.grip - rivet.grip_min, rivet.grip_max - stack.grip - thicker)
    grips = f"{format_mm(rivet.grip_min)} to {format_mm(rivet.grip_max)}"
    says = f"The rivet is made for {grips}; flange and panel are {format_mm(stack.grip)} thick."
    return _answer(grade(left, 0.0), left, 0.0, says)


def _in_boss(stack: Stack) -> Answer:
    assert stack.boss is not None  # the caller looked
    limit = BOSS_DIAMETERS[stack.boss.material] * stack.thread.major
    name = length_name(stack.screw.length, stack.thread.system)
    says = (
        f"The {name} screw engages {format_mm(stack.engagement)} in the part's {stack.boss.material} boss; "
        f"{format_mm(limit)} is wanted."
    )
    return _answer(grade(stack.engagement, limit), stack.engagement, limit, says)


def _bush(fit: Fit, bush: Bush) -> Answer:
    past = bush.length - fit.panel.finished - bush.washer - bush.nut_height
    says = (
        f"The bush is {format_mm(bush.length)} long; panel, washer and nut take "
        f"{format_mm(bush.length - past)} and leave {format_mm(past)}."
    )
    return _answer(grade(past, 0.0), past, 0.0, says, ("bush nut",))


def _answer(
    verdict: Verdict, measured: float, limit: float, says: str, bodies: tuple[Ref, ...] = ("screw 1",)
) -> Answer:
    source = "common practice; tail: naval technical manual ch. 075 as quoted"
    return Answer.of_length(
        "screw-length", verdict, says, measured=measured, limit=limit, bodies=bodies, view="rear", source=source
    )
