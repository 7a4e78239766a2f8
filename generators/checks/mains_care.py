"""Mains on the panel: is exposed metal bonded to earth, and does mains keep apart from signals?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.job import Place
from dryfit.models.reading.units import format_mm

APART = 6.0
"""mm that bodies of mains parts are kept from others behind the panel, so that terminals and their wiring can be kept
apart and a barrier put between: common practice; local codes decide."""
SOURCE = "common practice; local codes decide, and who may do the work: leave it to a licensed person"


@panel_check(
    "mains-care",
    lambda place: place.part.mains,
    ("move apart",),
    hangs_on=("flange.outline.*", "rear.*.width", "rear.*.height"),
)
def mains_care(fitting: Fitting) -> Iterator[Finding]:
    """Judge every mains part: earth on a metal panel, then what stands next to it behind the panel."""
    parts = {i.place: i for i in fitting.assembly.of("part")}
    for place in fitting.job.places:
        if place.part.mains:
            yield max(_answers(fitting, place, parts), key=lambda f: f.verdict.rank)


def _answers(fitting: Fitting, place: Place, parts: dict[str, Instance]) -> Iterator[Finding]:
    own = parts[place.name]
    others = [parts[p.name] for p in fitting.job.places if not p.part.mains]
    near = min(others, key=lambda other: _apart(own, other), default=None)
    if near is None:
        yield Finding("mains-care", place.name, Verdict.FITS, "No signal part is near it.", view="rear", source=SOURCE)
    else:
        room = _apart(own, near)
        says = f"{near.name} is {format_mm(max(room, 0.0))} from it; keep mains wiring apart from signal wiring."
        verdict = Verdict.FITS if grade(room, APART, APART) is Verdict.FITS else Verdict.TIGHT
        yield Finding.of_length(
            "mains-care",
            place.name,
            verdict,
            says,
            measured=room,
            limit=APART,
            bodies=(own.name, near.name),
            beside=(near.place,),
            view="rear",
            source=SOURCE,
        )
    if not fitting.job.panel.material.plastic and not any(p.part.earth for p in fitting.job.places):
        says = "The panel is metal and no part on it has a protective earth to bond it to: it needs an earth point."
        yield Finding("mains-care", place.name, Verdict.TIGHT, says, view="rear", source=SOURCE)


def _apart(one: Instance, other: Instance) -> float:
    """Return the gap of the boxes of two parts, seen from the front; below zero where they lap."""
    return max(one.box.plan.gap_to(other.box.plan), -APART)
