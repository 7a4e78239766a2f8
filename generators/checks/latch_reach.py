"""Does the latch engage, and can a finger work its release with the plug in?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.joint import flange_front
from dryfit.models.catalogue.parts import Latch
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.geometry.bodies import closest, prism
from dryfit.models.reading.units import format_mm

TAB_SHOWS = 0.5  # mm a release must stand in front of the panel for a fingertip to find it (common practice)
SOURCE = "common practice"


def has_latch(fit: Fit) -> bool:
    """Whether there is a release to work: on the part, or on the plug that is tried in it."""
    latch = fit.mounting.part.latch
    return latch is not None and (latch.on == "part" or fit.mounting.plug is not None)


@stack_check(
    "latch-reach", has_latch, ("other side", "move apart", "move inwards"), looks_at=(), hangs_on=("latch.height",)
)
def latch_reach(fit: Fit) -> Iterator[Answer]:
    """Judge whether the release shows in front of the panel, then whether a finger has room at it."""
    latch = fit.mounting.part.latch
    assert latch is not None  # asked only where there is one
    release = flange_front(fit.mounting, fit.panel) + latch.height
    shows = grade(release, 0.0, TAB_SHOWS) if release > 0 else Verdict.FAILS
    yield _finger(fit, latch, release) if shows is Verdict.FITS else _hidden(release, shows)


def _hidden(release: float, verdict: Verdict) -> Answer:
    where = f"{format_mm(-release)} behind" if release <= 0 else f"only {format_mm(release)} in front of"
    says = f"The release of the latch lies {where} the panel's front face: a finger cannot work it."
    if verdict is Verdict.TIGHT:
        says = f"The release of the latch stands {where} the panel's front face: hard to find with a finger."
    return Answer.of_length("latch-reach", verdict, says, measured=release, limit=0.0, source=SOURCE)


def _finger(fit: Fit, latch: Latch, release: float) -> Answer:
    outline = latch.finger.moved(*latch.at).turned(fit.mounting.part_turn)
    finger = prism(outline, release, release + latch.deep)
    rooms = [
        (contact.gap, obstacle.name, number)
        for number, obstacle in enumerate(fit.around.obstacles)
        if (contact := closest((finger,), obstacle.slices)) is not None
    ]
    if not rooms:
        says = "A finger reaches the release of the latch; nothing is near it."
        return Answer("latch-reach", Verdict.FITS, says, source=SOURCE)
    room, name, number = min(rooms)
    verdict = grade(room, 0.0)
    says = f"A finger reaches the release of the latch, {format_mm(room)} clear of the {name}."
    if verdict is Verdict.FAILS:
        says = f"A finger needs {format_mm(-room)} more beside the {name} to work the latch."
    return Answer.of_length("latch-reach", verdict, says, measured=room, limit=0.0, bodies=(number,), source=SOURCE)
