"""Does the washer lie flat: clear of the body beside it and not over the edge of a hole?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer, Ref, Verdict
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import Outline, gap, round_
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Washer

OVERHANG_SHARE = 0.5  # of the ring's width may hang over the edge of the cut-out (common practice)


@stack_check(
    "washer-land", lambda fit: fit.stack is not None and bool(fit.stack.washers), ("other hardware",),
    looks_at=("thread", "washers"),
    sees="beside fasteners",
)  # fmt: skip
def washer_land(fit: Fit) -> Iterator[Answer]:
    """Judge every washer at the tightest fixing."""
    stack = fit.stack
    assert stack is not None  # asked only where there are washers
    level = stack.joint.far.z
    for washer in stack.under_nut:
        yield _judge(fit, stack, washer, level)
        level = stack.beyond(level, washer.thickness)
    level = stack.joint.head.z
    for washer in stack.under_head:
        level = stack.beyond(level, -washer.thickness)
        yield _judge(fit, stack, washer, level)


def _judge(fit: Fit, stack: Stack, washer: Washer, level: float) -> Answer:
    rims = [round_(washer.outer).moved(*at) for at in fit.mounting.fixings]
    end = stack.beyond(level, washer.thickness)
    met = fit.nearest(prism(rim, min(level, end), max(level, end)) for rim in rims)
    name = f"The {washer.kind} washer, {format_mm(washer.outer)} across,"
    source = f"washer: {washer.standard}; landing: common practice"
    ref = f"{washer.kind} washer 1"
    if met is not None and met.gap < 0:
        says = f"{name} runs {format_mm(-met.gap)} into the {met.name} beside it."
        bodies: tuple[Ref, ...] = (ref, *met.bodies)
        return Answer.of_length(
            "washer-land", Verdict.FAILS, says, measured=met.gap, limit=0.0, bodies=bodies, view="rear", source=source
        )
    over = min(_to_edge(fit, stack, rim) for rim in rims)
    allowed = -OVERHANG_SHARE * (washer.outer - washer.inner) / 2
    if over < allowed:
        says = f"{name} hangs {format_mm(-over)} over the edge of the cut-out and will tip."
        return Answer.of_length(
            "washer-land", Verdict.TIGHT, says, measured=over, limit=allowed, bodies=(ref,), view="rear", source=source
        )
    if met is None:
        return Answer("washer-land", Verdict.FITS, f"{name} lies flat.", bodies=(ref,), view="rear", source=source)
    return Answer.of_length(
        "washer-land",
        Verdict.FITS,
        f"{name} lies flat.",
        measured=met.gap,
        limit=0.0,
        bodies=(ref,),
        view="rear",
        source=source,
    )


def _to_edge(fit: Fit, stack: Stack, rim: Outline) -> float:
    """Return how far the rim is from the edge of the main hole; only a washer on the panel has that edge."""
    face = stack.joint.head if stack.under_head else stack.joint.far
    return gap(rim, fit.main_hole) if face.of == "panel" else math.inf
