"""Does the washer lie flat: clear of the body beside it and not over the edge of a hole?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.nut_room import room_beside
from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.joints.stacks import Stack, local_fixings
from dryfit.generators.remedies.remedies import other_hardware
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import Outline, gap, round_
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Washer

OVERHANG_SHARE = 0.5  # of the ring's width may hang over the edge of the cut-out (common practice)


@stack_check("washer-land", remedies=(other_hardware,), looks_at=("thread", "washers"))
def washer_land(fit: Fit) -> Iterator[Finding]:
    """Judge every washer at the tightest fixing."""
    if fit.stack is None:
        return
    top = fit.stack.back
    for washer in fit.stack.washers:
        yield _judge(fit, fit.stack, washer, top)
        top -= washer.thickness


def _judge(fit: Fit, stack: Stack, washer: Washer, top: float) -> Finding:
    rims = [round_(washer.outer).moved(*at) for at in local_fixings(fit.place)]
    beside = min(room_beside(fit, prism(rim, top - washer.thickness, top)) for rim in rims)
    name = f"The {washer.kind} washer, {format_mm(washer.outer)} across,"
    source = f"washer: {washer.standard}; landing: common practice"
    if beside < 0:
        says = f"{name} runs {format_mm(-beside)} into the body beside it."
        return Finding("washer-land", fit.place.name, Verdict.FAILS, beside, 0.0, says, source=source)
    over = min(_to_edge(fit, stack, rim) for rim in rims)
    allowed = -OVERHANG_SHARE * (washer.outer - washer.inner) / 2
    if over < allowed:
        says = f"{name} hangs {format_mm(-over)} over the edge of the cut-out and will tip."
        return Finding("washer-land", fit.place.name, Verdict.TIGHT, over, allowed, says, source=source)
    return Finding("washer-land", fit.place.name, Verdict.FITS, beside, 0.0, f"{name} lies flat.", source=source)


def _to_edge(fit: Fit, stack: Stack, rim: Outline) -> float:
    """Return how far the rim is from the edge of the main hole; only the panel's rear face has that edge."""
    if stack.back < -fit.panel.finished:
        return 0.0
    return gap(rim, fit.place.cutout.main.grown(-fit.panel.coating))
