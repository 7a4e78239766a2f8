"""Moving places: where parts or holes are too close to each other, to an edge or to a wall."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategy
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Remedy
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Job, Place
from dryfit.models.reading.units import format_mm

STEP = 0.5  # mm: positions are told in halves
SPARE = 0.25  # mm more than is lacking, so that what is cured is not merely tight
FURTHER = (1.0, 2.0, 3.0)  # times what is lacking that is tried: what stands beside may be in the way in two directions
ALONE = ("nut-room",)  # checks that name a neighbour wherever one is in the way: else the part, a lip or a rail is
NEAREST = 3  # neighbours that are tried where a finding names none


def lacking(finding: Finding) -> float:
    """Return how much more room a finding asks for, mm, in whole steps."""
    short = -finding.margin if finding.margin is not None and finding.unit == "mm" else 0.0
    return edits.stepped(max(short, 0.0) + SPARE, STEP)


@strategy("move apart")
def move_apart(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose more pitch for places of one entry; else the move of one place, of the other, then of both."""
    place = report.job.place(finding.place)
    for times in FURTHER:
        step = lacking(finding) * times
        for other in _beside(report.job, place, finding):
            yield from _parted(report.job, place, other, step)


def _beside(job: Job, place: Place, finding: Finding) -> list[Place]:
    if finding.beside:
        return [job.place(name) for name in finding.beside]
    if finding.check in ALONE:
        return []
    others = [p for p in job.places if p is not place]
    return sorted(others, key=lambda p: p.at.distance_to(place.at))[:NEAREST]


def _parted(job: Job, a: Place, b: Place, step: float) -> Iterator[Remedy]:
    way = b.at - a.at  # no two places stand at one spot
    if a.entry == b.entry:
        yield from _more_pitch(job, a, step)
        return
    straight = (Point(math.copysign(1.0, way.x), 0.0), Point(0.0, math.copysign(1.0, way.y)))
    for along in dict.fromkeys((way * (1 / way.length), *straight)):
        by = _whole(along * step)
        half = _whole(by * 0.5)
        yield from _shifted(job, ((b, by),))
        yield from _shifted(job, ((a, -by),))
        yield from _shifted(job, ((b, half), (a, half - by)))


def _whole(way: Point) -> Point:
    """Return a way in whole steps along x and y, away from zero."""
    return Point(*(math.copysign(edits.stepped(abs(d), STEP), d) + 0.0 for d in way))


def _more_pitch(job: Job, place: Place, step: float) -> Iterator[Remedy]:
    """Yield a wider pitch for the whole row: its first place kept, its middle kept, its last place kept."""
    row = edits.row(job, place)
    way = row[1].at - row[0].at
    wider = Point(*(round(d * (way.length + step) / way.length, 3) for d in way))
    more, text = wider - way, f"Widen the pitch to {format_mm(way.length + step)}"
    steps = [_along(p.at - row[0].at, way) for p in row]
    kept = ", the first place kept" if edits.one_by_one(job, row) else ""
    for share, words in ((0.0, kept), (0.5, ", about the middle of the row"), (1.0, ", to the other side")):
        moves = [more * (n - share * max(steps)) for n in steps]
        if all(_on_panel(job, p, by) for p, by in zip(row, moves, strict=True)):
            yield Remedy(f"{text}{words}.", edits.spread(job, row, wider, moves))


def _along(way: Point, step: Point) -> float:
    """Return how many steps a way goes along."""
    return (way.x * step.x + way.y * step.y) / step.length**2


@strategy("move inwards")
def move_inwards(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose the move of a place towards the middle of the panel, along x, along y, then along both."""
    job, place = report.job, report.job.place(finding.place)
    row = Rectangle.around(p.flange.box for p in edits.row(job, place))
    w, h = job.panel.width / 2, job.panel.height / 2
    for times in FURTHER:
        step = lacking(finding) * times
        x = _inwards(max(step, row.right - w, -w - row.left), place.x)
        y = _inwards(max(step, row.top - h, -h - row.bottom), place.y)
        for by in (Point(x, 0.0), Point(0.0, y), Point(x, y)):
            yield from _shifted(job, ((place, by),))


def _inwards(by: float, at: float) -> float:
    """Return a move of so much towards zero, in whole steps."""
    whole = edits.stepped(by, STEP)
    return -whole if at > 0 else whole


@strategy("spread the rows")
def spread(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose all rows above the place moved up, then all rows below it moved down."""
    job, place = report.job, report.job.place(finding.place)
    entries = {p.entry: edits.row(job, p) for p in job.places}
    for sign, where, way in ((1, "above", "up"), (-1, "below", "down")):
        beyond = [row for row in entries.values() if all(sign * (p.y - place.y) > STEP for p in row)]
        by = Point(0.0, sign * lacking(finding))
        if beyond and all(_on_panel(job, p, by) for row in beyond for p in row):
            changes = tuple(edit for row in beyond for edit in edits.moved(job, row, by))
            yield Remedy(f"Move everything {where} it {format_mm(by.length)} {way}.", changes)


def _shifted(job: Job, moves: Sequence[tuple[Place, Point]]) -> Iterator[Remedy]:
    """Yield a shift of the whole entries of places, if every place of them stays on the panel."""
    rows = [(place, edits.row(job, place), by) for place, by in moves if by.length > 0]
    if rows and all(_on_panel(job, p, by) for _, row, by in rows for p in row):
        changes = tuple(edit for _, row, by in rows for edit in edits.moved(job, row, by))
        yield Remedy(" ".join(_move_in_words(*move) for move in rows), changes)


def _move_in_words(place: Place, row: Sequence[Place], by: Point) -> str:
    ways = (("left", "right"), ("down", "up"))
    moves = [f"{format_mm(abs(d))} {way[d > 0]}" for d, way in zip(by, ways, strict=True) if d]
    who = place.name if len(row) == 1 else f"the row of {row[0].name} to {row[-1].name}"
    return f"Move {who} {' and '.join(moves)}."


def _on_panel(job: Job, place: Place, by: Point) -> bool:
    w, h = job.panel.width / 2, job.panel.height / 2
    return Rectangle(-w, -h, w, h).holds(place.flange.moved(*by).box)
