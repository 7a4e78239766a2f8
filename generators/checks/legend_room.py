"""Can every legend be read: on the flat of the panel, clear of what covers the face, large enough?

Legends are put before the hardware is chosen, clear of what is likely to lie there. This check measures against the
bodies of the assembly as they stand: everything that lies on the front face hides what is under it, seen from the
front; a plug hides it while it is in.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from dryfit.generators.bodies.assemble import assemble
from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.checks.registry import Fitting, panel_check, panel_checks
from dryfit.generators.lettering.legends import (
    EDGE_GAP,
    LEAST_GAP,
    READ_AIM,
    Cover,
    Crowd,
    Legend,
    covers,
    flat,
    legends,
)
from dryfit.generators.lettering.typeface import missing
from dryfit.generators.remedies.moves import STEP, move_apart, move_inwards
from dryfit.models.findings import Change, Finding, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING
from dryfit.models.geometry.outlines import box, clearance, gap, near
from dryfit.models.job import Job, Panel, Place
from dryfit.models.reading.units import format_mm

LEAST_READABLE = 1.8  # mm, capitals: the least nominal height of ISO 3098-1 (from memory)
NEAR = 2.0  # mm; what is further from a legend is not looked at
MOST_TRIED = 400  # legends judged anew in search of remedies, on one panel: some seconds at most
CUT = 0.75  # each shortening of words leaves so much of the last
SHORTEST = 3  # letters that a word keeps when a legend is shortened; fewer say nothing
ALSO_ASKED = ("web", "body-room")  # what moving a place may spoil
SOURCE = "lettering heights: ISO 3098-1, from memory; clearances: common practice of engravers"

NOUNS = {"part": "flange", "plug": "plug", "screw": "screw head", "nut": "nut", "washer": "washer"}


@panel_check("legend-room")
def legend_room(fitting: Fitting) -> Iterator[Finding]:
    """Tell for every legend what is worst about it."""
    found = judge(fitting.job, standing(fitting.job, fitting.assembly))
    remedies = _remedies(fitting, found)
    for finding in found:
        text, changes = remedies.get(finding.place, ("", ()))
        yield replace(finding, remedy=text, changes=changes)


def standing(job: Job, assembly: Assembly) -> Crowd:
    """Return all that may hide a legend: bodies as they stand, holes, and the screws of the rack."""
    removed = (c for c in covers(job) if c.what in ("cut-out", "fixing hole", "rack screw"))
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
    return max(found, key=lambda f: (f.verdict.rank, f.limit - f.measured))


def _finding(legend: Legend, measured: float, limit: float, aim: float, says: str) -> Finding:
    verdict = grade(measured, limit, aim)
    return Finding("legend-room", legend.place, verdict, measured, limit, says, source=SOURCE)


def _height(legend: Legend) -> Finding:
    says = f"Its legend {quoted(legend.text)} has capitals {format_mm(legend.height)} high."
    if legend.height < READ_AIM:
        says = f"Its legend {quoted(legend.text)} has room for capitals of {format_mm(legend.height)} only."
    return _finding(legend, legend.height, LEAST_READABLE, READ_AIM, says)


def _edge(panel: Panel, legend: Legend) -> Finding:
    room = clearance(legend.outline, box(panel.width, panel.height, panel.corner))
    says = f"Its legend {quoted(legend.text)} is {format_mm(room)} from the edge of the panel."
    if room < 0:
        says = f"Its legend {quoted(legend.text)} runs {format_mm(-room)} over the edge of the panel."
    return _finding(legend, room, 0.0, EDGE_GAP, says)


def _bend(panel: Panel, legend: Legend) -> Finding:
    """Judge a legend against where the fold of a lip begins: up to there the face is flat."""
    room = clearance(legend.outline, flat(panel))
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
        yield _finding(legend, room, 0.0, LEAST_GAP, says)


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


# --- remedies, each tried before it is told -------------------------------------------------------------------------


@dataclass(frozen=True)
class Trial:
    """The panel with one change, in words for any place of the entry, as edits of the layout, and put together anew."""

    said: Callable[[str], str]
    changes: tuple[Change, ...]
    job: Job
    around: Crowd
    assembly: Assembly | None = None  # None: nothing has moved


Remedies = dict[str, tuple[str, tuple[Change, ...]]]


def _remedies(fitting: Fitting, before: Sequence[Finding]) -> Remedies:
    """Return by place what cures its finding: the worst are searched first, and what cures one is told of its row.

    A trial puts all legends anew, so on a panel of many legends only so many are made.
    """
    told: Remedies = {}
    trials_left = MOST_TRIED // max(1, len(before))
    for found in sorted(before, key=lambda f: -f.verdict.rank):
        if found.verdict is Verdict.FITS or found.place in told or trials_left <= 0:
            continue
        legend = next(legend for legend in legends(fitting.job) if legend.place == found.place)
        for trial in islice(_trials(fitting, legend, found), trials_left):
            trials_left -= 1
            cured = _cured(fitting, before, found, trial)
            told |= {place: (trial.said(place), trial.changes) for place in cured if place not in told}
            if cured:
                break
    left = {f.place: (_without(fitting, f), ()) for f in before if f.verdict is Verdict.FAILS and f.place not in told}
    return left | told


def _cured(fitting: Fitting, before: Sequence[Finding], found: Finding, trial: Trial) -> tuple[str, ...]:
    """Return the places of the row that a trial betters; none if it makes anything as bad as the finding was."""
    after = {f.place: f.verdict.rank for f in judge(trial.job, trial.around)}
    better = after.get(found.place, 0) < found.verdict.rank
    unharmed = all(after.get(f.place, 0) <= max(f.verdict.rank, found.verdict.rank - 1) for f in before)
    if not better or not unharmed or not _harmless(fitting, trial):
        return ()
    entry = fitting.by_name[found.place].entry
    row = (f for f in before if fitting.by_name[f.place].entry == entry)
    return tuple(f.place for f in row if after.get(f.place, 0) < f.verdict.rank)


def _without(fitting: Fitting, found: Finding) -> str:
    """Return what to do where nothing that was tried helps."""
    if missing(fitting.by_name[found.place].legend):
        return "Write its legend in letters that the typeface holds: Latin, Greek or Cyrillic."
    return "No shorter legend and no move that was tried cures this: it takes a larger panel or a smaller part."


def _trials(fitting: Fitting, legend: Legend, found: Finding) -> Iterator[Trial]:
    yield from _shorter(fitting, legend)
    yield from _moved(fitting, legend, found)
    yield from _spread(fitting, legend, found)


def _shorter(fitting: Fitting, legend: Legend) -> Iterator[Trial]:
    """Yield the panel with the legends of the same entry shortened more and more."""
    job = fitting.job
    row = [p for p in job.places if p.entry == fitting.by_name[legend.place].entry]
    pattern, first = pattern_of(tuple(p.legend.strip() for p in row))
    around = standing(job, fitting.assembly)  # letters are no part of it
    for text in shortened(pattern, legend.unreadable):
        new = {p.name: text.replace("{n}", str(first + i)) for i, p in enumerate(row)}
        trial = replace(job, places=tuple(replace(p, legend=new.get(p.name, p.legend)) for p in job.places))
        yield Trial(_shortening(new), (Change(row[0].entry, ("legend",), text),), trial, around)


def _shortening(new: Mapping[str, str]) -> Callable[[str], str]:
    return lambda place: f"Shorten its legend to {quoted(new[place])}, or to another text that is no wider."


def pattern_of(texts: tuple[str, ...]) -> tuple[str, int]:
    """Return what a row of legends has in common, its counting number as ``{n}``, and the number it starts from.

    Legends that do not count are returned as the first of them is.
    """
    for match in re.finditer(r"\d+", texts[0]) if len(texts) > 1 else ():
        pattern = texts[0][: match.start()] + "{n}" + texts[0][match.end() :]
        first = int(match.group())
        if all(pattern.replace("{n}", str(first + i)) == text for i, text in enumerate(texts)):
            return pattern, first
    return texts[0], 0


def shortened(text: str, without: str = "") -> Iterator[str]:
    """Yield a legend without some characters, then with its words cut shorter and shorter, then with fewer of them.

    Numbers stay whole, and a last word that counts (``{n}``) stays in its place.
    """
    clean = " ".join("".join(letter for letter in text if letter not in without).split())
    if not clean:
        return
    if clean != text:
        yield clean
    words = clean.split(" ")
    length = max((len(word) for word in words if word.isalpha()), default=0) - 1
    while length >= SHORTEST:
        yield " ".join(_cut(words, length))
        length = min(length - 1, max(SHORTEST, round(length * CUT))) if length > SHORTEST else 0
    words = _cut(words, SHORTEST)
    while len(words) > 1:
        words = words[:-1] if words[-1].isalpha() else [*words[:-2], words[-1]]
        yield " ".join(words)


def _cut(words: Sequence[str], length: int) -> list[str]:
    return [word[:length] if word.isalpha() else word for word in words]


def _moved(fitting: Fitting, legend: Legend, found: Finding) -> Iterator[Trial]:
    """Yield the panel with the place moved from the edge, or parted from a neighbour whose things are in the way."""
    by = _lacking(legend, found)
    place = fitting.by_name[legend.place]
    nearest = (
        p.name for p in sorted(fitting.job.places, key=lambda p: (p.x - place.x) ** 2 + (p.y - place.y) ** 2)[1:4]
    )
    ways: list[Callable[[], tuple[str, tuple[Change, ...]]]] = [
        lambda axis=axis: move_inwards(fitting, legend.place, by, axis)  # type: ignore[misc]
        for axis in (1, 0)
    ]
    ways += [lambda other=other: move_apart(fitting, legend.place, other, by) for other in nearest]  # type: ignore[misc]
    for way in ways:
        text, changes = way()
        if changes:
            yield _trial(fitting, text, changes)


def _lacking(legend: Legend, found: Finding) -> float:
    """Return how much more room would let the legend stand at a height that reads well, mm."""
    if found.limit > 0:  # a height, which takes as much room as it lacks
        return READ_AIM - found.measured
    return max(LEAST_GAP, EDGE_GAP) - found.measured + max(0.0, READ_AIM - legend.height)


def _spread(fitting: Fitting, legend: Legend, found: Finding) -> Iterator[Trial]:
    """Yield the panel with all rows above the place moved up, then with all rows below it moved down."""
    job, place = fitting.job, fitting.by_name[legend.place]
    by = math.ceil(_lacking(legend, found) / STEP) * STEP
    left, bottom = job.origin
    for sign, where, way in ((1, "above", "up"), (-1, "below", "down")):
        rows = [[p for p in job.places if p.entry == n] for n in sorted({p.entry for p in job.places})]
        beyond = [row for row in rows if all(sign * (p.y - place.y) > STEP for p in row)]
        spots = [(row[0].entry, row[0].x - left, row[0].y - bottom + sign * by) for row in beyond]
        changes = tuple(Change(entry, ("at",), [round(x, 3), round(y, 3)]) for entry, x, y in spots)
        if changes and _stay_on(job, beyond, sign * by):
            yield _trial(fitting, f"Move everything {where} it {format_mm(by)} {way}.", changes)


def _stay_on(job: Job, rows: Iterable[Sequence[Place]], by: float) -> bool:
    """Whether the flanges of all places stay on the panel when moved along y."""
    outlines = (p.part.flange.outline.turned(p.turn + p.part_turn).moved(p.x, p.y + by) for row in rows for p in row)
    return all(abs(edge) <= job.panel.height / 2 for o in outlines for edge in (o.box[1], o.box[3]))


def _trial(fitting: Fitting, text: str, changes: tuple[Change, ...]) -> Trial:
    job = changed(fitting.job, changes)
    stacks = {p.name: replace(fitting.stacks[p.name], place=p) for p in job.places if p.name in fitting.stacks}
    assembly = assemble(job, stacks)
    return Trial(lambda place: text, changes, job, standing(job, assembly), assembly)


def changed(job: Job, changes: Iterable[Change]) -> Job:
    """Return the job with rows of places moved (``at``) or spread (``pitch``) as edits of the layout say."""
    places = job.places
    for change in changes:
        row = [p for p in places if p.entry == change.entry]
        spots = dict(zip((p.name for p in row), _spots(job, row, change), strict=True))
        places = tuple(replace(p, x=spots[p.name][0], y=spots[p.name][1]) if p.name in spots else p for p in places)
    return replace(job, places=places)


def _spots(job: Job, row: Sequence[Place], change: Change) -> list[tuple[float, float]]:
    value = change.value
    x, y = row[0].x, row[0].y
    if change.path == ("at",):
        assert isinstance(value, list)  # as spacing writes it
        left, bottom = job.origin
        dx, dy = value[0] + left - x, value[1] + bottom - y
        return [(p.x + dx, p.y + dy) for p in row]
    px, py = value if isinstance(value, list) else (float(str(value)), 0.0)
    return [(x + i * px, y + i * py) for i in range(len(row))]


def _harmless(fitting: Fitting, trial: Trial) -> bool:
    """Whether a moved place fails nothing that it did not fail before; a shorter legend moves nothing."""
    if trial.assembly is None:
        return True
    after = Fitting(trial.job, fitting.stacks, trial.assembly)
    asked = [ask for name, ask in panel_checks() if name in ALSO_ASKED]
    failing = [
        {(f.check, f.place) for ask in asked for f in ask(f_) if f.verdict is Verdict.FAILS} for f_ in (fitting, after)
    ]
    return failing[1] <= failing[0]
