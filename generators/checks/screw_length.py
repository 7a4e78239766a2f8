"""Is the screw, or the bush, long enough and not too long?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.joints.stacks import LONG_PITCHES, NUT_PITCHES, Stack
from dryfit.generators.remedies.remedies import other_hardware
from dryfit.models.catalogue.parts import Bush
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Rivet, length_limits, length_name

BOSS_DIAMETERS = {"metal": 1.0, "plastic": 2.0}
"""Engagement wanted in a blind boss, in screw diameters: 1 d in metal, 2 d thread-forming in plastic (design rule;
published guidelines give 2.0 to 2.5 d for plastics)."""


@stack_check("screw-length", remedies=(other_hardware,))
def screw_length(fit: Fit) -> Iterator[Finding]:
    """Judge engagement and what stands past the nut."""
    if fit.place.part.bush is not None:
        yield _bush(fit, fit.place.part.bush)
    if fit.stack is None:
        return
    if fit.stack.screw.rivet is not None:
        yield _rivet(fit, fit.stack, fit.stack.screw.rivet)
    else:
        yield _in_boss(fit, fit.stack) if fit.stack.boss is not None else _through_nut(fit, fit.stack)


def _through_nut(fit: Fit, stack: Stack) -> Finding:
    if stack.nut is None:
        return _finding(fit, Verdict.FAILS, 0.0, 0.0, "The screw has no nut and the part has no thread for it.")
    past, pitch = stack.protrusion, stack.thread.pitch
    shortest, _ = length_limits(stack.thread.name, stack.screw.length)
    name = length_name(stack.screw.length, stack.thread.system)
    limit = NUT_PITCHES * pitch
    ends = f"{format_mm(past)} ({stack.in_pitches(past):.1f} pitches) past" if past >= 0 else "inside"
    says = (
        f"The {name} screw engages {format_mm(stack.engagement)} ({stack.in_pitches(stack.engagement):.1f} threads) "
        f"and ends {ends} the nut"
    )
    verdict = grade(past, limit, limit)
    if verdict is Verdict.FAILS:
        return _finding(fit, verdict, past, limit, f"{says}: too short by {format_mm(limit - past)}.")
    if past - (stack.screw.length - shortest) < 0:
        return _finding(fit, Verdict.TIGHT, past, limit, f"{says}; the shortest such screw ends inside it.")
    if stack.in_pitches(past) > LONG_PITCHES:
        return _finding(fit, Verdict.TIGHT, past, limit, f"{says}: a long tail.")
    return _finding(fit, verdict, past, limit, f"{says}.")


def _rivet(fit: Fit, stack: Stack, rivet: Rivet) -> Finding:
    left = min(stack.grip - rivet.grip_min, rivet.grip_max - stack.grip)
    grips = f"{format_mm(rivet.grip_min)} to {format_mm(rivet.grip_max)}"
    says = f"The rivet is made for {grips}; flange and panel are {format_mm(stack.grip)} thick."
    return _finding(fit, grade(left, 0.0, 0.0), left, 0.0, says)


def _in_boss(fit: Fit, stack: Stack) -> Finding:
    assert stack.boss is not None  # the caller looked
    limit = BOSS_DIAMETERS[stack.boss.material] * stack.thread.major
    name = length_name(stack.screw.length, stack.thread.system)
    says = (
        f"The {name} screw engages {format_mm(stack.engagement)} in the part's {stack.boss.material} boss; "
        f"{format_mm(limit)} is wanted."
    )
    return _finding(fit, grade(stack.engagement, limit, limit), stack.engagement, limit, says)


def _bush(fit: Fit, bush: Bush) -> Finding:
    past = bush.length - fit.panel.finished - bush.washer - bush.nut_height
    says = (
        f"The bush is {format_mm(bush.length)} long; panel, washer and nut take "
        f"{format_mm(bush.length - past)} and leave {format_mm(past)}."
    )
    return _finding(fit, grade(past, 0.0, 0.0), past, 0.0, says)


def _finding(fit: Fit, verdict: Verdict, measured: float, limit: float, says: str) -> Finding:
    source = "common practice; tail: naval technical manual ch. 075 as quoted"
    return Finding("screw-length", fit.place.name, verdict, measured, limit, says, source=source)
