"""Is the panel's depth behind it enough for bodies, screws, wiring and the cable's bend?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.job import Place
from dryfit.models.reading.units import format_mm

SOURCE = "depth: the layout; wiring: catalogue"


@dataclass(frozen=True)
class Reach:
    """How far a place reaches behind the rear face, mm: its deepest body, which is named, and the part with wiring."""

    place: Place
    deepest: str
    body: float
    wired: float


@panel_check("rear-room", strategies=("other side", "other hardware", "deeper box"), hangs_on=("rear.*.depth",))
def rear_room(fitting: Fitting) -> Iterator[Finding]:
    """Judge for every place the deepest of its bodies, then the room for its wiring behind the part."""
    for reach in reaches(fitting):
        yield _judge(fitting.job.panel.depth, reach)


def reaches(fitting: Fitting) -> Iterator[Reach]:
    """Yield how far every place reaches."""
    deepest = {i.place: i for i in sorted(fitting.assembly.bodies_in_place, key=lambda i: -i.box[2])}
    parts = {i.place: i for i in fitting.assembly.of("part")}
    rear = -fitting.job.panel.finished
    for place in fitting.job.places:
        body = max(0.0, rear - deepest[place.name].box[2])
        wired = max(0.0, rear - parts[place.name].box[2]) + place.part.wiring
        yield Reach(place, deepest[place.name].name, body, max(body, wired))


def _judge(depth: float | None, reach: Reach) -> Finding:
    place, deepest, body, wired = reach.place, reach.deepest, reach.body, reach.wired
    needs = f"{format_mm(body)} behind the panel, {format_mm(wired)} with its wiring"
    if depth is None:
        says = f"It takes {needs}; the layout does not say how deep it is there."
        return Finding("rear-room", place.name, Verdict.FITS, says, view="rear", source=SOURCE)
    verdict = grade(depth - body, 0.0, wired - body)
    room = depth - body if verdict is not Verdict.FITS else depth - wired
    says = f"It takes {needs}; the depth is {format_mm(depth)}."
    if verdict is Verdict.FAILS:
        says = f"{deepest} reaches {format_mm(body)} behind the panel, {format_mm(-room)} more than its depth."
    elif verdict is Verdict.TIGHT:
        says = f"It takes {needs}; the depth of {format_mm(depth)} leaves {format_mm(depth - body)} for the wiring."
    bodies = (deepest,)
    return Finding.of_length(
        "rear-room", place.name, verdict, says, measured=room, limit=0.0, bodies=bodies, view="rear", source=SOURCE
    )
