"""Does the latch engage, and can a finger work its release with the plug in?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.registry import OWN_PART, Fit, stack_check
from dryfit.generators.joints.stacks import flange_front
from dryfit.generators.remedies.remedies import other_side
from dryfit.models.catalogue.parts import Latch
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.geometry.bodies import Slice, closest, prism
from dryfit.models.reading.units import format_mm

TAB_SHOWS = 0.5  # mm a release must stand in front of the panel for a fingertip to find it (common practice)


@stack_check("latch-reach", remedies=(other_side,), looks_at=())
def latch_reach(fit: Fit) -> Iterator[Finding]:
    """Judge whether the release shows in front of the panel, then whether a finger has room at it."""
    latch = fit.place.part.latch
    if latch is None or (latch.on == "plug" and fit.place.plug is None):
        return
    release = flange_front(fit.place, fit.panel) + latch.height
    shows = grade(release, 0.0, TAB_SHOWS) if release > 0 else Verdict.FAILS
    if shows is not Verdict.FITS:
        yield _hidden(fit, release, shows)
        return
    yield _finger(fit, latch, release)


def _hidden(fit: Fit, release: float, verdict: Verdict) -> Finding:
    where = f"{format_mm(-release)} behind" if release <= 0 else f"only {format_mm(release)} in front of"
    says = f"The release of the latch lies {where} the panel's front face: a finger cannot work it."
    if verdict is Verdict.TIGHT:
        says = f"The release of the latch stands {where} the panel's front face: hard to find with a finger."
    return Finding("latch-reach", fit.place.name, verdict, release, TAB_SHOWS, says, source="common practice")


def _finger(fit: Fit, latch: Latch, release: float) -> Finding:
    finger = prism(latch.finger.moved(*latch.at).turned(fit.place.part_turn), release, release + latch.deep)
    room, name = min(_rooms(fit, finger), default=(latch.deep, ""))
    verdict = grade(room, 0.0, 0.0)
    says = "A finger reaches the release of the latch."
    if verdict is Verdict.FAILS:
        says = f"A finger needs {format_mm(-room)} more beside the {name} to work the latch."
    return Finding("latch-reach", fit.place.name, verdict, room, 0.0, says, source="common practice")


def _rooms(fit: Fit, finger: Slice) -> Iterator[tuple[float, str]]:
    for obstacle in fit.around:
        contact = closest((finger,), obstacle.slices) if obstacle.name != OWN_PART else None
        if contact is not None:
            yield contact.gap, obstacle.name
