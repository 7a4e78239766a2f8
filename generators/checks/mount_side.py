"""May this part be mounted from this side, on a panel this thick?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.reading.units import format_mm


@stack_check("mount-side", strategies=("other side",), looks_at=(), sees="nothing")
def mount_side(fit: Fit) -> Iterator[Answer]:
    """Judge the side, and the panel's thickness where the part itself limits it."""
    mount, part = fit.mounting.mount, fit.mounting.part
    if mount not in part.mount:
        says = f"This part may be mounted from the {' or '.join(part.mount)} only, not from the {mount}."
        yield Answer("mount-side", Verdict.FAILS, says, -1.0, "count", source="catalogue: allowed sides")
    elif part.thickest:
        thick = format_mm(fit.panel.finished)
        says = f"The panel is {thick} thick with its coating; this part suits at most {format_mm(part.thickest)}."
        room = part.thickest - fit.panel.finished
        verdict = grade(room, 0.0, 0.0)
        yield Answer.of_length(
            "mount-side", verdict, says, measured=room, limit=0.0, source="catalogue: thickest panel"
        )
    else:
        says = f"This part may be mounted from the {mount}."
        yield Answer("mount-side", Verdict.FITS, says, 0.0, "count", source="catalogue: allowed sides")
