"""Legends: the text of each place on the panel's front face, where it goes and how large it can be.

A legend, of one line or two, stands centred over the flange of its place, or under it where there is no room above, or
at last beside it; where a side is asked for, there. A height that is asked for is kept.
It takes the largest of a few heights at which it is clear of every flange, hole, screw, plug, edge and other legend;
where none is, it keeps its spot over the flange at the least height, and the check ``legend-room`` says what hides it.
Text to outlines, and the typeface with its licence: :mod:`dryfit.generators.lettering.typeface`. All lengths mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby
from typing import Literal

from dryfit.generators.lettering.typeface import Loop, loops_at, missing, text_box, text_rise, text_width
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.once import kept
from dryfit.models.geometry.outlines import SQRT3_2, Outline, box, clearance, gap, near, round_
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import HardwareWish, Job, Place
from dryfit.models.legends import LegendSide
from dryfit.models.panel import Hole

Spot = Literal["over", "under", "right", "left"]

HEIGHTS = (3.0, 2.5, 2.0)
"""mm, capitals. 3 mm reads at arm's length and more (a 200th of 0.6 m, the usual rule for labels: common practice)."""

HEIGHT_CHOICES = ((3.0,), (2.5,), HEIGHTS, (2.0,))
"""Heights a panel may use, best first among equals."""

READ_AIM = 2.5
"""mm, capitals: what reads at 0.5 m by the same rule; the height after the least in ISO 3098-1 (from memory)."""

LEAST_HEIGHT = HEIGHTS[-1]
"""mm. Strokes are about an eighth of the height: 0.25 mm at 2 mm, the finest cutter commonly ground for engraving."""

LEAST_GAP = 0.5  # mm between a legend and what it must clear, so that strokes do not run into an edge
FLANGE_GAP = 1.2  # mm from the flange to the legend beside it
EDGE_GAP = 1.0  # mm kept to the panel's edge
HEAD_SHARE = 2.0  # width of a screw's head in widths of its hole: M3, 5.6 in 3.2 mm; No. 6, 6.9 in 3.7 mm
RACK_HEAD = 12.0  # mm; pan head of an M6 rack screw, ISO 7045 (from memory)

PLACES_KEPT = 4096  # places remembered while remedies are tried: a few edits of a panel of five hundred

LINE_PITCH = 1.6  # heights of a capital from base line to base line (about that of ISO 3098-1 type B, from memory)
SIDES: dict[LegendSide, Spot] = {"above": "over", "below": "under", "left": "left", "right": "right"}

SPOTS: tuple[tuple[Spot, ...], ...] = (("over", "under"), ("right", "left"))
"""Where a legend may stand, best first: beside a part is taken only where no height fits over or under it, for there
it may be read as the next part's."""


@dataclass(frozen=True)
class Legend:
    """One line of text on the front face: the start of its base line and the height of its capitals."""

    place: str
    text: str
    x: float
    y: float
    height: float
    font: str = ""  # path of its typeface; empty: ours
    colour: str = ""  # that is asked for

    @kept
    def outline(self) -> Outline:
        """The box that the letters fill."""
        ink = text_box(self.text, self.height, self.font)
        return box(*ink.size).moved(*(ink.centre + Point(self.x, self.y)))

    @property
    def loops(self) -> tuple[Loop, ...]:
        """The letters as closed loops of points where they stand."""
        return loops_at(Point(self.x, self.y), self.text, self.height, self.font)

    @property
    def unreadable(self) -> str:
        """Characters that the typeface does not hold."""
        return missing(self.text, self.font)


@dataclass(frozen=True)
class Cover:
    """Something that covers or removes the front face: what it is, whose it is, and where."""

    what: str  # flange, cut-out, fixing hole, rack screw, nut, plug
    place: str  # empty for the panel's own holes
    outline: Outline


class Crowd:
    """Covers of the face, of which the few about a legend are found at once."""

    def __init__(self, covers: Iterable[Cover] = ()):
        self._cells = Nearby[Cover]((cover.outline.box, cover) for cover in covers)

    def add(self, cover: Cover) -> None:
        """Take one more cover in."""
        self._cells.add(cover.outline.box, cover)

    def about(self, outline: Outline, reach: float) -> tuple[Cover, ...]:
        """Return all covers that may come within ``reach`` mm of an outline, and some that do not."""
        return self._cells.about(outline.box.grown(reach))


def covers(job: Job) -> tuple[Cover, ...]:
    """Return all that a legend must keep clear of, place by place."""
    rack = tuple(Cover("rack screw", "", _under_head(outline)) for outline in job.panel.rack_holes)
    plain = tuple(Cover("plain hole", "", cut.hole().outline) for cut in job.panel.cuts)
    return rack + plain + tuple(cover for place in job.places for cover in _covers(place))


def _under_head(slot: Outline) -> Outline:
    """Return the face that the head of a rack screw covers, wherever in its slot the screw stands."""
    return slot.grown(max(0.0, (RACK_HEAD - min(slot.size)) / 2))


@lru_cache(maxsize=PLACES_KEPT)
def _covers(place: Place) -> tuple[Cover, ...]:
    return tuple(_covering(place))


def _covering(place: Place) -> Iterator[Cover]:
    if place.mount == "front":
        yield Cover("flange", place.name, place.flange)
    for hole in place.holes():
        yield Cover("cut-out" if hole.purpose == "main" else "fixing hole", place.name, _rim(hole))
    bush = place.part.bush
    if bush is not None and bush.nut_side == "front":
        across = max(bush.nut_across / SQRT3_2, bush.washer_across)  # a hexagon may stop at any angle
        yield Cover("nut", place.name, round_(across).moved(place.x, place.y))
    for section in place.plug.body if place.plug is not None else ():
        shape = section.outline if section.outline is not None else section.ahead(0.0).profile.widest
        yield Cover("plug", place.name, place.mounted(shape))


def _rim(hole: Hole) -> Outline:
    """Return what a hole takes of the front face: itself, its countersink, and the head that may stand on it."""
    if hole.purpose == "main":
        return hole.outline
    sunk = hole.countersink if hole.sunk_from == "front" else None
    widest = max(HEAD_SHARE * hole.outline.size.width, sunk.diameter if sunk is not None else 0.0)
    return round_(widest).moved(*hole.outline.centre)


def legends(job: Job) -> tuple[Legend, ...]:
    """Return the legend of every place that has one, in the order of the places.

    One height for all looks best and is taken where it costs nothing; else heights are mixed.
    """
    return _legends(Job("", "", job.panel, tuple(_but_for_wish(place) for place in job.places), font=job.font))


@lru_cache(maxsize=PLACES_KEPT)
def _but_for_wish(place: Place) -> Place:
    """Return a place without what legends do not depend on, so that other hardware leaves them as they are."""
    return replace(place, mounting=replace(place.mounting, wish=HardwareWish()), entry=0, line=1)


@lru_cache(maxsize=8)  # drawings at several scales, files, checks and remedies all ask for the same
def _legends(job: Job) -> tuple[Legend, ...]:
    around = covers(job)
    best = _placed(job, HEIGHT_CHOICES[0], around)
    for heights in HEIGHT_CHOICES[1:] if any(best.cost[:3]) else ():
        best = min(best, _placed(job, heights, around), key=lambda found: found.cost)
    return best.legends


@dataclass(frozen=True)
class _Placed:
    """All legends of a panel, put with the heights of one choice, and what is wrong with them: the less the better."""

    legends: tuple[Legend, ...]
    cost: tuple[int, int, int, int]  # hidden, beside their part, hard to read, heights in use


def _placed(job: Job, heights: tuple[float, ...], around: Iterable[Cover]) -> _Placed:
    taken = Crowd(around)
    done: list[Legend] = []
    hidden = beside = 0
    for place in job.places:
        if place.legend.strip():
            tries = ((_lines(place, height, spot, job.font), spot) for height, spot in _choices(place, heights))
            clear = ((lines, spot) for lines, spot in tries if all(_is_clear(job, line, taken) for line in lines))
            height, spot = next(iter(_choices(place, (LEAST_HEIGHT,))))
            lines, at = next(clear, (_lines(place, height, spot, job.font), None))
            hidden += at is None
            beside += at in SPOTS[1]
            for line in lines:
                taken.add(Cover("legend", place.name, line.outline))
            done += lines
    small = sum(legend.height < READ_AIM for legend in done)
    return _Placed(tuple(done), (hidden, beside, small, len({legend.height for legend in done})))


def _choices(place: Place, heights: tuple[float, ...]) -> Iterator[tuple[float, Spot]]:
    """Yield heights and spots to try for a legend, best first; only those asked for where any are."""
    asked = place.lettering
    kept_heights = heights if asked.height is None else (asked.height,)
    rows = SPOTS if asked.side is None else ((SIDES[asked.side],),)
    yield from ((height, spot) for row in rows for height in kept_heights for spot in row)


def _is_clear(job: Job, legend: Legend, taken: Crowd) -> bool:
    """Whether a legend is on the panel and keeps its distance from all that is taken."""
    return on_panel(job, legend) and not hidden_by(legend, taken.about(legend.outline, LEAST_GAP))


@lru_cache(maxsize=PLACES_KEPT)
def _sides(place: Place) -> Rectangle:
    """Return the box of all that the place shows in front: its flange, or its holes where that is behind."""
    return Rectangle.around(c.outline.box for c in _covers(place) if c.what != "plug")


def _lines(place: Place, height: float, spot: Spot, font: str) -> tuple[Legend, ...]:
    """Return the lines of a legend at one spot beside the box of all that the place shows in front."""
    texts = tuple(text for text in (place.legend.strip(), place.lettering.second.strip()) if text)
    around, drop = _sides(place).grown(FLANGE_GAP), (len(texts) - 1) * LINE_PITCH * height
    low, high = text_rise(texts[-1], height, font)[0], text_rise(texts[0], height, font)[1]
    top = {"over": around.top - low + drop, "under": around.bottom - high}.get(spot, place.y + (drop - height) / 2)
    made = []
    for n, text in enumerate(texts):
        width = text_width(text, height, font)
        x = {"right": around.right, "left": around.left - width}.get(spot, place.x - width / 2)
        y = top - n * LINE_PITCH * height
        made.append(Legend(place.name, text, x, y, height, font, place.lettering.colour))
    return tuple(made)


@lru_cache(maxsize=8)  # asked for at every scale that is tried
def clear_legends(job: Job) -> tuple[Legend, ...]:
    """Return the legends that have room; the others are neither drawn nor engraved, and notes name their places."""
    taken, clear = Crowd(covers(job)), list[Legend]()
    for place, group in groupby(legends(job), key=lambda legend: legend.place):
        lines = tuple(group)
        if all(_is_clear(job, line, taken) for line in lines):
            for line in lines:
                taken.add(Cover("legend", place, line.outline))
            clear += lines
    return tuple(clear)


def by_colour(job: Job) -> dict[str, tuple[str, ...]]:
    """Return the texts of the legends that have room, by the colour that is asked for (empty: none is)."""
    told: dict[str, list[str]] = {}
    for legend in clear_legends(job):
        told.setdefault(legend.colour, []).append(legend.text)
    return {colour: tuple(dict.fromkeys(texts)) for colour, texts in told.items()}


def on_panel(job: Job, legend: Legend) -> bool:
    """Whether the whole legend lies on the flat of the panel, clear of its edges."""
    panel = job.panel
    on_flat = clearance(legend.outline, panel.flat) >= 0
    return on_flat and clearance(legend.outline, panel.outline) >= EDGE_GAP


def hidden_by(legend: Legend, taken: Iterable[Cover]) -> tuple[tuple[Cover, float], ...]:
    """Return what comes closer to the legend than it may, with the gap left (below zero: that much is covered)."""
    ours = legend.outline
    close = (cover for cover in taken if near(ours, cover.outline, LEAST_GAP))
    gaps = ((cover, gap(ours, cover.outline)) for cover in close)
    return tuple((cover, left) for cover, left in gaps if left < LEAST_GAP)


def left_out(job: Job) -> tuple[str, ...]:
    """Return the names of the places whose legends have no room."""
    clear = {legend.place for legend in clear_legends(job)}
    return tuple(dict.fromkeys(legend.place for legend in legends(job) if legend.place not in clear))
