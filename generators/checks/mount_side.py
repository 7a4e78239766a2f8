"""May this part be mounted from this side?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.remedies.remedies import other_side
from dryfit.models.findings import Finding, Verdict
from dryfit.models.reading.units import format_mm


@stack_check("mount-side", remedies=(other_side,), looks_at=())
def mount_side(fit: Fit) -> Iterator[Finding]:
    """Judge the side, and the panel's thickness where the part itself limits it."""
    place, part = fit.place, fit.place.part
    if place.mount not in part.mount:
        says = f"This part may be mounted from the {' or '.join(part.mount)} only, not from the {place.mount}."
        yield Finding("mount-side", place.name, Verdict.FAILS, 0.0, 1.0, says, source="catalogue: allowed sides")
        return
    if part.thickest and fit.panel.finished > part.thickest:
        says = (
            f"The panel is {format_mm(fit.panel.finished)} thick with its coating; "
            f"this part suits at most {format_mm(part.thickest)}."
        )
        yield Finding(
            "mount-side", place.name, Verdict.FAILS, part.thickest - fit.panel.finished, 0.0, says,
            source="catalogue: thickest panel",
        )  # fmt: skip
