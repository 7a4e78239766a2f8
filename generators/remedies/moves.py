"""Moving places: where parts or holes are too close to each other, to an edge or to a wall."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategy
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy
from dryfit.models.geometry.outlines import Outline
from dryfit.models.job import Job, Place, Point
from dryfit.models.reading.units import format_mm

STEP = 0.5  # mm: positions are told in halves
SPARE = 0.25  # mm more than is lacking, so that what is cured is not merely tight
FURTHER = (1.0, 2.0, 3.0)  # times what is lacking that is tried: what stands beside may be in the way in two directions
NEAREST = 3  # neighbours that are tried where a finding names none


def lacking(finding: Finding) -> float:
    """Return how much more room a finding asks for, mm, in whole steps."""
    short = -finding.margin if finding.margin is not None and finding.unit == "mm" else 0.0
    return math.ceil((max(short, 0.0) + SPARE) / STEP - 1e-6) * STEP


@strategy("move apart")
def move_apart(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose more pitch for places of one entry; else the move of one place, of the other, then of both."""
    place = report.job.place(finding.place)
    for times in FURTHER:
        step = math.ceil(lacking(finding) * times / STEP) * STEP
        for other in _beside(report.job, place, finding):
            yield from _parted(report.job, place, other, step)


def _beside(job: Job, place: Place, finding: Finding) -> list[Place]:
    if finding.beside:
        return [job.place(name) for name in finding.beside]
    others = [p for p in job.places if p is not place]
    return sorted(others, key=lambda p: (p.x - place.x) ** 2 + (p.y - place.y) ** 2)[:NEAREST]


def _parted(job: Job, a: Place, b: Place, step: float) -> Iterator[Remedy]:
    distance = math.hypot(b.x - a.x, b.y - a.y)
    if distance == 0:
        return
    if a.entry == b.entry:
        yield from _more_pitch(job, a, step)
        return
    ways = [((b.x - a.x) / distance, (b.y - a.y) / distance)]
    ways += [(math.copysign(1.0, b.x - a.x), 0.0), (0.0, math.copysign(1.0, b.y - a.y))]
    for along in dict.fromkeys(ways):
        by = (_whole(along[0] * step), _whole(along[1] * step))
        yield from _shifted(job, ((b, by),))
        yield from _shifted(job, ((a, (-by[0], -by[1])),))
        half = (_whole(by[0] / 2), _whole(by[1] / 2))
        yield from _shifted(job, ((b, half), (a, (half[0] - by[0], half[1] - by[1]))))


def _whole(mm: float) -> float:
    """Return a length in whole steps, away from zero."""
    return math.copysign(math.ceil(abs(mm) / STEP - 1e-6) * STEP, mm) if abs(mm) > 1e-6 else 0.0


def _more_pitch(job: Job, place: Place, step: float) -> Iterator[Remedy]:
    """Yield a wider pitch for the whole row: its first place kept, its middle kept, its last place kept."""
    row = edits.row(job, place)
    dx, dy = row[1].x - row[0].x, row[1].y - row[0].y
    length = math.hypot(dx, dy)
    wider = tuple(round(c * (length + step) / length, 3) for c in (dx, dy))
    pitch: object = wider[0] if wider[1] == 0 else list(wider)
    change, text = Edit(place.entry, ("pitch",), pitch), f"Widen the pitch to {format_mm(length + step)}"
    more = ((wider[0] - dx) * (len(row) - 1), (wider[1] - dy) * (len(row) - 1))
    for share, words in ((0.0, ""), (0.5, ", about the middle of the row"), (1.0, ", to the other side")):
        back = (-more[0] * share, -more[1] * share)
        spots = [(back[0] + i * (wider[0] - dx), back[1] + i * (wider[1] - dy)) for i in range(len(row))]
        if all(_on_panel(job, p, by) for p, by in zip(row, spots, strict=True)):
            first = edits.at(job, place.entry, (row[0].x + back[0], row[0].y + back[1]))
            yield Remedy(f"{text}{words}.", (change, first) if share else (change,))


@strategy("move inwards")
def move_inwards(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose the move of a place towards the middle of the panel, along x, along y, then along both."""
    place, panel = report.job.place(finding.place), report.job.panel
    row = [p.flange.box for p in edits.row(report.job, place)]
    for times in FURTHER:
        step = math.ceil(lacking(finding) * times / STEP) * STEP
        x = _inwards(step, place.x, max(b[2] for b in row) - panel.width / 2, -panel.width / 2 - min(b[0] for b in row))
        y = _inwards(
            step, place.y, max(b[3] for b in row) - panel.height / 2, -panel.height / 2 - min(b[1] for b in row)
        )
        yield from _shifted(report.job, ((place, (x, 0.0)),))
        yield from _shifted(report.job, ((place, (0.0, y)),))
        yield from _shifted(report.job, ((place, (x, y)),))


def _inwards(step: float, at: float, over_high: float, over_low: float) -> float:
    """Return the move towards zero that is one step, and what the flange lacks to come back on the panel."""
    by = math.ceil(max(step, over_high, over_low) / STEP) * STEP
    return -by if at > 0 else by


@strategy("spread the rows")
def spread(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose all rows above the place moved up, then all rows below it moved down."""
    job, place = report.job, report.job.place(finding.place)
    entries = {p.entry: edits.row(job, p) for p in job.places}
    for sign, where, way in ((1, "above", "up"), (-1, "below", "down")):
        beyond = [row for row in entries.values() if all(sign * (p.y - place.y) > STEP for p in row)]
        by = sign * lacking(finding)
        if beyond and all(_on_panel(job, p, (0.0, by)) for row in beyond for p in row):
            changes = tuple(edits.at(job, row[0].entry, (row[0].x, row[0].y + by)) for row in beyond)
            yield Remedy(f"Move everything {where} it {format_mm(abs(by))} {way}.", changes)


def _shifted(job: Job, moves: Sequence[tuple[Place, Point]]) -> Iterator[Remedy]:
    """Yield a shift of the whole entries of places, if every place of them stays on the panel."""
    moves = [(place, by) for place, by in moves if by != (0.0, 0.0)]
    rows = [(edits.row(job, place), by) for place, by in moves]
    if moves and all(_on_panel(job, p, by) for row, by in rows for p in row):
        changes = tuple(edits.at(job, row[0].entry, (row[0].x + by[0], row[0].y + by[1])) for row, by in rows)
        yield Remedy(
            " ".join(_move_in_words(place, row, by) for (place, by), (row, _) in zip(moves, rows, strict=True)), changes
        )


def _move_in_words(place: Place, row: Sequence[Place], by: Point) -> str:
    ways = (("left", "right"), ("down", "up"))
    moves = [f"{format_mm(abs(d))} {way[d > 0]}" for d, way in zip(by, ways, strict=True) if d]
    who = place.name if len(row) == 1 else f"the row of {row[0].name} to {row[-1].name}"
    return f"Move {who} {' and '.join(moves)}."


def _on_panel(job: Job, place: Place, by: Point) -> bool:
    flange: Outline = place.flange.moved(*by)
    left, bottom, right, top = flange.box
    w, h = job.panel.width / 2, job.panel.height / 2
    return left >= -w and right <= w and bottom >= -h and top <= h
