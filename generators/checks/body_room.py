"""Do bodies and flanges keep clear of each other, of rack rails, of lips and of the units above and below?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.checks.registry import Fitting, panel_check
from dryfit.generators.clearance.gaps import PairGap, contacts
from dryfit.generators.remedies.moves import move_apart, move_inwards
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING
from dryfit.models.job import Job
from dryfit.models.reading.units import format_mm

SIDE_AIM = 0.25
"""mm between bodies of two places: two positions of +/-0.1 and two castings (common practice: 26.5 mm pitch for
26 mm flanges)."""
NEAR = 2.0  # mm; bodies further apart than this are not worth telling
RACK_UNIT = 44.45  # mm, EIA-310 / IEC 60297-3-100
SOURCE = "positions and castings spread by tenths: common practice"


@panel_check("body-room")
def body_room(fitting: Fitting) -> Iterator[Finding]:
    """Tell for every place the tightest neighbour of its bodies, and what reaches beyond the panel's room."""
    worst: dict[str, PairGap] = {}
    for pair in contacts(fitting.assembly, NEAR):
        name = pair.a.place or pair.b.place
        if _counts(pair) and (name not in worst or pair.contact.gap < worst[name].contact.gap):
            worst[name] = pair
    for place in fitting.job.places:
        yield _tell(fitting, place.name, worst.get(place.name))
    yield from _beyond(fitting)


JUDGED_ELSEWHERE = (frozenset({"nut", "part"}), frozenset({"washer", "part"}), frozenset({"plug", "screw"}))
"""Pairs of roles within one place that nut-room, washer-land and plug-seats ask about."""


def _counts(pair: PairGap) -> bool:
    """Bodies of one place stand close by design: they are told only where they clash and no other check asks."""
    if pair.a.place != pair.b.place and pair.a.place and pair.b.place:
        return True
    return pair.contact.gap < -TOUCHING and frozenset({pair.a.role, pair.b.role}) not in JUDGED_ELSEWHERE


def _tell(fitting: Fitting, place: str, pair: PairGap | None) -> Finding:
    if pair is None:
        return Finding("body-room", place, Verdict.FITS, NEAR, 0.0, "Nothing stands near its bodies.", source=SOURCE)
    room = pair.contact.gap
    verdict = grade(room, -TOUCHING, SIDE_AIM)
    one, other = (pair.a, pair.b) if pair.a.place == place else (pair.b, pair.a)
    words = f"{one.name} and {other.name}"
    if verdict is not Verdict.FAILS:
        return Finding("body-room", place, verdict, room, 0.0, f"{words} are {format_mm(room)} apart.", source=SOURCE)
    text, changes = move_apart(fitting, one.place, other.place, SIDE_AIM - room)
    return Finding(
        "body-room", place, verdict, room, 0.0, f"{words} run {format_mm(-room)} into each other.",
        text, SOURCE, changes,
    )  # fmt: skip


def _beyond(fitting: Fitting) -> Iterator[Finding]:
    """Yield what stands outside the room a panel has: between the rails behind it, and within its own rack units."""
    furthest: dict[tuple[str, int], tuple[float, str, Instance]] = {}
    for instance in fitting.assembly.instances:
        for room, where, axis in _rooms(fitting.job, instance) if instance.place else ():
            key = (instance.place, axis)
            if room < furthest.get(key, (0.0, "", instance))[0]:
                furthest[key] = (room, where, instance)
    for (place, axis), (room, where, instance) in furthest.items():
        text, changes = move_inwards(fitting, place, -room, axis)
        says = f"{instance.name} reaches {format_mm(-room)} {where}."
        yield Finding("body-room", place, Verdict.FAILS, room, 0.0, says, text, _RACK_SOURCE, changes)


_RACK_SOURCE = "450 mm between rails (IEC 60297-3-100, from memory); rack unit 44.45 mm (EIA-310)"


def _rooms(job: Job, instance: Instance) -> Iterator[tuple[float, str, int]]:
    """Yield room left (mm, below zero: none), in words, and the axis it is measured along."""
    x0, y0, z0, x1, y1, _ = instance.box
    panel = job.panel
    if panel.clear_width is not None and z0 < -panel.finished - TOUCHING:
        half = panel.clear_width / 2
        yield min(half - x1, half + x0), "into the room of the rack rail", 0
    if panel.rack_units is not None:
        half = panel.rack_units * RACK_UNIT / 2
        yield min(half - y1, half + y0), "into the rack unit above or below", 1
