"""Do the fixing holes of part and panel line up; if not, by which turn and shift would they?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations

import numpy as np

from dryfit.generators.checks.contexts import DISTINCT, Fit
from dryfit.generators.checks.cutout_size import play
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.job import Cutout
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.tolerances import held_grade


@dataclass(frozen=True)
class Alignment:
    """How far the worst pair of holes is apart as mounted, and after the best turn (degrees) and shift."""

    offset: float
    best_turn: float
    best_offset: float


@lru_cache(maxsize=DISTINCT)
def align(part: tuple[Point, ...], panel: tuple[Point, ...], play_left: float, rest: Point = ORIGIN) -> Alignment:
    """Return how two hole patterns of equal count line up.

    ``play_left`` is the shift that the barrel allows (radius) about ``rest``, where it sits with most air around it.
    """
    ours = np.array(part)
    options = [_rigid(ours, np.array(order)) for order in permutations(panel)]
    turn, residual = min(options, key=lambda o: (round(o[1], 6), abs(o[0])))
    nearest = np.array(min(permutations(panel), key=lambda order: sum(map(math.dist, part, order))))
    centre = np.array(rest)
    wanted = (nearest - ours).mean(axis=0) - centre
    length = float(np.hypot(*wanted))
    moved = ours + centre + wanted * min(1.0, play_left / length if length else 1.0)
    return Alignment(float(np.hypot(*(nearest - moved).T).max()), turn, residual)


def _rigid(ours: np.ndarray, theirs: np.ndarray) -> tuple[float, float]:
    """Return turn (degrees) and worst leftover of the best rigid move (Kabsch's method)."""
    a, b = ours - ours.mean(axis=0), theirs - theirs.mean(axis=0)
    turn = math.atan2(float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()), float((a * b).sum()))
    rotation = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    shift = theirs.mean(axis=0) - rotation @ ours.mean(axis=0)
    rest = ours @ rotation.T + shift - theirs
    return math.degrees(turn), float(np.hypot(*rest.T).max())


def allowance(stack: Stack) -> float:
    """Return how far a flange hole and a panel hole may be apart before the screw no longer passes both, mm.

    Each hole gives half its clearance (floating fastener); a hole whose cone centres the head, or with a thread of
    its own, gives none.
    """
    joint = stack.joint
    under_head = 0.0 if stack.is_centred else _half(joint.head.hole, stack)
    far = 0.0 if joint.boss is not None else _half(joint.far.hole, stack)
    return under_head + far


def _half(hole: float, stack: Stack) -> float:
    return max(0.0, hole - stack.thread.major_max) / 2


@stack_check(
    "hole-pattern", lambda fit: fit.stack is not None, ("turn the part", "other hardware", "redrill the fixings"),
    looks_at=("thread", "head", "washers"), sees="nothing", hangs_on=("fixings.at.*",),
)  # fmt: skip
def hole_pattern(fit: Fit) -> Iterator[Answer]:
    """Judge the worst pair of holes against what the clearance holes forgive."""
    if fit.stack is None:
        return
    ours, theirs = fit.mounting.fixings, fit.mounting.cutout.fixings
    if len(ours) != len(theirs):
        says = f"The part has {len(ours)} fixing holes, the panel has {len(theirs)}."
        yield Answer("hole-pattern", Verdict.FAILS, says, -float(abs(len(theirs) - len(ours))), "count")
        return
    in_hole = play(fit.mounting, fit.panel)
    left, rest = (max(0.0, in_hole.air), in_hole.shift) if in_hole is not None else (0.0, (0.0, 0.0))
    found = align(ours, theirs, left, rest)
    allowed = allowance(fit.stack)
    room = allowed - found.offset
    spread = held_spread(fit.mounting.cutout)
    verdict = grade(room, 0.0, spread)
    yield Answer.of_length(
        "hole-pattern",
        verdict,
        _says(fit.stack, found, allowed, verdict, spread),
        measured=room,
        limit=0.0,
        source="floating fastener: half of each hole's clearance (ASME Y14.5 appendix B); cones centre",
    )


def held_spread(cutout: Cutout) -> float:
    """Return how much of the room at the fixing holes a shop's tolerances may take, mm.

    Of two holes each may be off along x and along y, and against the other; a hole may be small.
    """
    held = held_grade()
    off = max((held.position(value) for at in cutout.fixings for value in at), default=0.0)
    return math.sqrt(2) * off + held.size(cutout.fixing_diameter) / 2


def _says(stack: Stack, found: Alignment, allowed: float, verdict: Verdict, spread: float) -> str:
    if verdict is not Verdict.FAILS:
        says = (
            f"The fixing holes of part and panel are at most {format_mm(found.offset)} apart; "
            f"the screw forgives {format_mm(allowed)}"
        )
        return f"{says}: shops may be off by {format_mm(spread)}." if verdict is Verdict.TIGHT else f"{says}."
    says = (
        f"The fixing holes of part and panel are {format_mm(found.offset)} apart, "
        f"the screw forgives {format_mm(allowed)}"
    )
    if stack.is_centred:
        climb = (found.offset - allowed) / math.tan(math.radians(stack.screw.head.angle or 90.0) / 2)
        says += f" (its cone centres it; forced, a head climbs {format_mm(climb)} out of its seat)"
    return f"{says}; turned by {found.best_turn:+.1f} degrees they would be {format_mm(found.best_offset)} apart."
