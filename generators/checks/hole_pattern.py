"""Do the fixing holes of part and panel line up; if not, by which turn and shift would they?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import permutations

import numpy as np

from dryfit.generators.checks.cutout_size import play
from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.joints.stacks import local_fixings, panel_hole
from dryfit.generators.remedies.remedies import redrill_fixings, turn_part
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.job import Panel, Place, Point
from dryfit.models.reading.units import format_mm

ROOM_AIM = 0.05
"""mm. With less left the screws go in only while everything is held just so (common practice)."""


@dataclass(frozen=True)
class Alignment:
    """How far the worst pair of holes is apart as mounted, and after the best turn (degrees) and shift."""

    offset: float
    best_turn: float
    best_offset: float


@cache
def align(part: tuple[Point, ...], panel: tuple[Point, ...], play_left: float) -> Alignment:
    """Return how two hole patterns of equal count line up; ``play_left`` is the shift the barrel allows (radius)."""
    ours = np.array(part)
    options = [_rigid(ours, np.array(order)) for order in permutations(panel)]
    turn, residual = min(options, key=lambda o: (round(o[1], 6), abs(o[0])))
    nearest = np.array(min(permutations(panel), key=lambda order: sum(map(math.dist, part, order))))
    wanted = (nearest - ours).mean(axis=0)
    length = float(np.hypot(*wanted))
    moved = ours + wanted * min(1.0, play_left / length if length else 1.0)
    return Alignment(float(np.hypot(*(nearest - moved).T).max()), turn, residual)


def _rigid(ours: np.ndarray, theirs: np.ndarray) -> tuple[float, float]:
    """Return turn (degrees) and worst leftover of the best rigid move (Kabsch's method)."""
    a, b = ours - ours.mean(axis=0), theirs - theirs.mean(axis=0)
    turn = math.atan2(float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()), float((a * b).sum()))
    rotation = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    shift = theirs.mean(axis=0) - rotation @ ours.mean(axis=0)
    rest = ours @ rotation.T + shift - theirs
    return math.degrees(turn), float(np.hypot(*rest.T).max())


def allowance(place: Place, panel: Panel, thread_major: float) -> float:
    """Return how far a flange hole and a panel hole may be apart before the screw no longer passes both, mm.

    Each hole gives half its clearance (floating fastener); a threaded or forming hole in the part gives none.
    """
    fixings = place.part.fixings
    assert fixings is not None  # the caller looked
    in_panel = max(0.0, panel_hole(place, panel) - thread_major) / 2
    in_flange = 0.0 if fixings.boss is not None else max(0.0, fixings.hole - thread_major) / 2
    return in_panel + in_flange


@stack_check("hole-pattern", remedies=(turn_part, redrill_fixings), looks_at=("thread",))
def hole_pattern(fit: Fit) -> Iterator[Finding]:
    """Judge the worst pair of holes against what the clearance holes forgive."""
    place = fit.place
    if place.part.fixings is None or fit.stack is None:
        return
    ours, theirs = local_fixings(place), place.cutout.fixings
    if len(ours) != len(theirs):
        says = f"The part has {len(ours)} fixing holes, the panel has {len(theirs)}."
        yield Finding("hole-pattern", place.name, Verdict.FAILS, float(len(theirs)), float(len(ours)), says)
        return
    found = align(ours, theirs, max(0.0, (play(place, fit.panel) or 0.0) / 2))
    allowed = allowance(place, fit.panel, fit.stack.thread.major_max)
    verdict = grade(allowed - found.offset, 0.0, min(ROOM_AIM, allowed / 2))
    yield Finding(
        "hole-pattern", place.name, verdict, allowed - found.offset, 0.0, _says(found, allowed, verdict),
        source="floating fastener: half of each hole's clearance (ASME Y14.5 appendix B)",
    )  # fmt: skip


def _says(found: Alignment, allowed: float, verdict: Verdict) -> str:
    if verdict is not Verdict.FAILS:
        return (
            f"The fixing holes of part and panel are at most {format_mm(found.offset)} apart; "
            f"the screw forgives {format_mm(allowed)}."
        )
    turn = f"; turned by {found.best_turn:+.1f} degrees they would be {format_mm(found.best_offset)} apart"
    return (
        f"The fixing holes of part and panel are {format_mm(found.offset)} apart, "
        f"the screw forgives {format_mm(allowed)}{turn}."
    )
