"""Does the screw pass the panel hole and the flange hole, coating counted?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.joints.stacks import panel_hole
from dryfit.generators.remedies.remedies import open_fixings, other_hardware
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Rivet

DROP_IN = 0.1
"""mm on the diameter. With less a screw has to be coaxed through; the finest clearance holes leave 0.2 (ISO 273)."""


@stack_check("screw-passes", remedies=(other_hardware, open_fixings), looks_at=("thread",))
def screw_passes(fit: Fit) -> Iterator[Finding]:
    """Judge the tighter of the two holes: the screw at its largest, the hole at its smallest."""
    fixings = fit.place.part.fixings
    if fit.stack is None or fixings is None:
        return
    screw = fit.stack.thread.major_max
    holes = [("panel hole", panel_hole(fit.place, fit.panel))]
    if fixings.boss is None:
        holes.append(("flange hole", fixings.hole))
    name, hole = min(holes, key=lambda item: item[1])
    room = hole - screw
    if fit.stack.screw.rivet is not None:
        yield _rivet(fit, fit.stack.screw.rivet, holes)
        return
    verdict = grade(room, 0.0, DROP_IN)
    words = {
        Verdict.FITS: f"drops into the {format_mm(hole)} {name} with {format_mm(room)} to spare",
        Verdict.TIGHT: f"has only {format_mm(room, 3)} to spare in the {format_mm(hole)} {name}",
        Verdict.FAILS: f"does not pass the {format_mm(hole)} {name}: {format_mm(-room)} too thick",
    }
    says = f"The {fit.stack.thread.name} screw, {format_mm(screw, 3)} at its largest, {words[verdict]}."
    yield Finding(
        "screw-passes", fit.place.name, verdict, room, 0.0, says,
        source=f"largest major diameter, {fit.stack.thread.standard}; finest clearance ISO 273",
    )  # fmt: skip


def _rivet(fit: Fit, rivet: Rivet, holes: list[tuple[str, float]]) -> Finding:
    """Judge a rivet, which has to pass its holes and then to fill them."""
    (tight_name, tight), (wide_name, wide) = min(holes, key=lambda h: h[1]), max(holes, key=lambda h: h[1])
    source = f"body and hole: {rivet.standard}"
    if tight < rivet.body_max:
        says = (
            f"The rivet, {format_mm(rivet.body_max)} at its largest, does not pass the {format_mm(tight)} {tight_name}."
        )
        return Finding("screw-passes", fit.place.name, Verdict.FAILS, tight - rivet.body_max, 0.0, says, source=source)
    room = rivet.hole_max - wide
    if room < 0:
        says = f"The {format_mm(wide)} {wide_name} is wider than the {format_mm(rivet.hole_max)} that the rivet fills."
        return Finding("screw-passes", fit.place.name, Verdict.TIGHT, room, 0.0, says, source=source)
    says = f"The rivet passes and fills holes of {format_mm(tight)} to {format_mm(wide)}."
    return Finding("screw-passes", fit.place.name, Verdict.FITS, room, 0.0, says, source=source)
