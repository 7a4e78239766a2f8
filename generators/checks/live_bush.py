"""Is what is live on a part kept off the metal of the panel?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.models.findings import Finding, Verdict

SOURCE = "common practice; a coating is no insulation: it is scratched where the nut is tightened"


@panel_check("live-bush", lambda place: place.part.live, ("insulate",))
def live_bush(fitting: Fitting) -> Iterator[Finding]:
    """Judge every part whose bush carries what its contact does: two of them on one sheet of metal are one contact."""
    material = fitting.job.panel.material
    for place in fitting.job.places:
        if place.part.live and material.plastic:
            says = f"Its bush is live, and {material.name} insulates it."
            yield Finding("live-bush", place.name, Verdict.FITS, says, source=SOURCE)
        elif place.part.live:
            says = f"Its bush is live and touches the panel, which is {material.name}: it is one with all that does so."
            yield Finding("live-bush", place.name, Verdict.FAILS, says, source=SOURCE)
