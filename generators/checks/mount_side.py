"""May this part be mounted from this side, on a panel this thick?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.models.catalogue.dimensions import source_of
from dryfit.models.catalogue.parts import Part, Snap
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.panel import Panel
from dryfit.models.reading.units import format_mm

THICKEST = "catalogue: thickest panel"


@stack_check(
    "mount-side", strategies=("other side", "other sheet"), looks_at=(), sees="nothing", hangs_on=("thickest", "snap.*")
)
def mount_side(fit: Fit) -> Iterator[Answer]:
    """Judge the side, and the panel's thickness where the part itself limits it."""
    mount, part = fit.mounting.mount, fit.mounting.part
    if mount not in part.mount:
        says = f"This part may be mounted from the {' or '.join(part.mount)} only, not from the {mount}."
        yield Answer("mount-side", Verdict.FAILS, says, -1.0, "count", source="catalogue: allowed sides")
    elif part.snap is not None:
        yield _held(part.snap, fit.panel)
    elif part.thickest:
        yield _thin_enough(part, fit.panel)
    else:
        says = f"This part may be mounted from the {mount}."
        yield Answer("mount-side", Verdict.FITS, says, 0.0, "count", source="catalogue: allowed sides")


def _thick(panel: Panel) -> str:
    return f"The panel is {format_mm(panel.finished)} thick{' with its coating' if panel.coating else ''}"


def _held(snap: Snap, panel: Panel) -> Answer:
    """Judge whether spring tabs hold on the panel: neither rattling nor unable to snap behind it."""
    room = min(snap.thickest - panel.finished, panel.finished - snap.thinnest)
    says = (
        f"{_thick(panel)}; the spring tabs of this part hold on "
        f"{format_mm(snap.thinnest)} to {format_mm(snap.thickest)}."
    )
    return Answer.of_length("mount-side", grade(room, 0.0), says, measured=room, limit=0.0, source=THICKEST)


def _thin_enough(part: Part, panel: Panel) -> Answer:
    """Judge the panel against the thickest that the part suits; where sources differ on that, it is tight between."""
    source = source_of(part, "thickest")
    most = max(part.thickest, (source.greatest if source is not None else None) or 0.0)
    room = most - panel.finished
    verdict = grade(room, 0.0, most - part.thickest)
    says = f"{_thick(panel)}; this part suits at most {format_mm(part.thickest)}"
    says += f", or {format_mm(most)} by some sources." if most > part.thickest else "."
    return Answer.of_length("mount-side", verdict, says, measured=room, limit=0.0, source=THICKEST)
