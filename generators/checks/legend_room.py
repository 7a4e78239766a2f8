"""Can every legend be read: on the flat of the panel, clear of what covers the face, large enough?

Legends are put before the hardware is chosen, clear of what is likely to lie there. This check measures against the
bodies of the assembly as they stand: everything that lies on the front face hides what is under it, seen from the
front; a plug hides it while it is in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.generators.lettering.legends import EDGE_GAP, LEAST_GAP, READ_AIM, Cover, Crowd, Legend, covers, legends
from dryfit.models.findings import Finding, grade
from dryfit.models.geometry.bodies import TOUCHING
from dryfit.models.geometry.outlines import clearance, gap, near
from dryfit.models.job import Job
from dryfit.models.panel import Panel
from dryfit.models.reading.units import format_mm

LEAST_READABLE = 1.8  # mm, capitals: the least nominal height of ISO 3098-1 (from memory)
NEAR = 2.0  # mm; what is further from a legend is not looked at
SOURCE = "lettering heights: ISO 3098-1, from memory; clearances: common practice of engravers"

NOUNS = {"part": "flange", "plug": "plug", "screw": "screw head", "nut": "nut", "washer": "washer"}


@panel_check(
    "legend-room", lambda place: bool(place.legend.strip()),
    ("shorter legend", "move inwards", "move apart", "spread the rows"), hangs_on=("flange.outline.*",),
)  # fmt: skip
def legend_room(fitting: Fitting) -> Iterator[Finding]:
    """Tell for every legend what is worst about it."""
    yield from judge(fitting.job, standing(fitting.job, fitting.assembly))


def standing(job: Job, assembly: Assembly) -> Crowd:
    """Return all that may hide a legend: bodies as they stand, holes, and the screws of the rack."""
    removed = (c for c in covers(job) if c.what in ("cut-out", "fixing hole", "rack screw", "plain hole"))
    return Crowd((*_on_the_face(assembly), *removed))


def judge(job: Job, around: Crowd) -> tuple[Finding, ...]:
    """Return one finding for every legend of the job, without remedies."""
    engraved = legends(job)
    lettered = Crowd(Cover("legend", legend.place, legend.outline) for legend in engraved)
    beside = ((*around.about(legend.outline, NEAR), *lettered.about(legend.outline, NEAR)) for legend in engraved)
    return tuple(judge_one(job.panel, legend, covers_) for legend, covers_ in zip(engraved, beside, strict=True))


def _on_the_face(assembly: Assembly) -> Iterator[Cover]:
    """Yield the outline of every slice that stands in front of the panel, as seen from the front."""
    for instance in assembly.instances:
        if instance.place and instance.box[5] > TOUCHING:
            yield from _silhouette(instance)


def _silhouette(instance: Instance) -> Iterator[Cover]:
    seen = dict.fromkeys(s.profile.widest for s in instance.slices if s.z1 > TOUCHING)
    return (Cover(NOUNS[instance.role], instance.place, outline) for outline in seen)


def judge_one(panel: Panel, legend: Legend, around: Iterable[Cover]) -> Finding:
    """Return what is worst about one legend, given all that is near it (its own letters are left aside)."""
    others = (cover for cover in around if cover.what != "legend" or cover.place != legend.place)
    found = [_height(legend), _edge(panel, legend), *_covered(legend, others), *_unknown(legend)]
    found += [_bend(panel, legend)] if panel.lip else []
    return max(found, key=lambda f: (f.verdict.rank, -(f.margin or 0.0)))


def _finding(
    legend: Legend, measured: float, limit: float, aim: float, says: str, *, beside: tuple[str, ...] = ()
) -> Finding:
    verdict = grade(measured, limit, aim)
    return Finding.of_length(
        "legend-room", legend.place, verdict, says, measured=measured, limit=limit, beside=beside, source=SOURCE
    )


def _height(legend: Legend) -> Finding:
    says = f"Its legend {quoted(legend.text)} has capitals {format_mm(legend.height)} high."
    if legend.height < READ_AIM:
        says = f"Its legend {quoted(legend.text)} has room for capitals of {format_mm(legend.height)} only."
    return _finding(legend, legend.height, LEAST_READABLE, READ_AIM, says)


def _edge(panel: Panel, legend: Legend) -> Finding:
    room = clearance(legend.outline, panel.outline)
    says = f"Its legend {quoted(legend.text)} is {format_mm(room)} from the edge of the panel."
    if room < 0:
        says = f"Its legend {quoted(legend.text)} runs {format_mm(-room)} over the edge of the panel."
    return _finding(legend, room, 0.0, EDGE_GAP, says)


def _bend(panel: Panel, legend: Legend) -> Finding:
    """Judge a legend against where the fold of a lip begins: up to there the face is flat."""
    room = clearance(legend.outline, panel.flat)
    says = f"Its legend {quoted(legend.text)} is {format_mm(room)} from the bend of the lip."
    if room < 0:
        says = f"Its legend {quoted(legend.text)} runs {format_mm(-room)} over the bend of the lip."
    return _finding(legend, room, 0.0, 0.0, says)


def _covered(legend: Legend, around: Iterable[Cover]) -> Iterator[Finding]:
    """Yield what stands near the legend, with the room left."""
    outline = legend.outline
    for cover in around:
        if not near(outline, cover.outline, NEAR):
            continue
        room = gap(outline, cover.outline)
        whose = "its own" if cover.place == legend.place else "the"
        what = f"{whose} {cover.what}" + (f" of {cover.place}" if cover.place not in ("", legend.place) else "")
        says = f"Its legend {quoted(legend.text)} is {format_mm(room)} from {what}."
        if room < 0:
            says = f"Its legend {quoted(legend.text)} runs {format_mm(-room)} {_into(cover.what)} {what}."
        others = (cover.place,) if cover.place not in ("", legend.place) else ()
        yield _finding(legend, room, 0.0, LEAST_GAP, says, beside=others)


def _into(what: str) -> str:
    return "into" if what in ("cut-out", "fixing hole", "legend") else "under"


def _unknown(legend: Legend) -> Iterator[Finding]:
    """Yield a failure for characters that the typeface cannot draw: no height at all is drawn of them."""
    if legend.unreadable:
        says = f"The typeface has no sign for {quoted(legend.unreadable)} of its legend {quoted(legend.text)}."
        yield _finding(legend, 0.0, LEAST_READABLE, READ_AIM, says)


def quoted(text: str) -> str:
    """Return a stranger's text as findings print it."""
    return '"' + "".join(letter if letter.isprintable() else " " for letter in text) + '"'
