"""Where the plate is cut into tiles.

Cuts run straight: first across the whole plate, then each column by itself. Along one axis every possible cut is
given a harm - a hole it crosses weighs most, then a thin wall it would leave, then a flange it runs under - and the
set of cuts with the least harm in all, in tiles that fit the bed, is found exactly (shortest path over the possible
cuts). One more tile weighs less than a hole crossed. All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from dryfit.generators.testplate.sheet import Land, Opening, Sheet
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.outlines import Outline, box, clearance, filled, gap, near, too_near
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.units import format_mm

BED_EDGE = 2.0  # mm of the bed kept free on every side, for the skirt and for what clips hold
SEAM_MARGIN = 3.0  # mm of plate left between a seam and a hole where there is room
KEY_ROOM = 9.0  # mm beside a seam that keys use, kept free of flanges where there is room
STEP = 0.5  # mm between the cuts that are tried
LEAST_TILE = 25.0  # mm; narrower strips have no room for keys
MOST_TILES = 120  # of one plate; more is another printer's work

CROSSED = {
    "main": 1000.0,
    "fixing": 1500.0,
    "rack": 1500.0,
    "plain": 1000.0,
}  # a fixing hole in two halves holds no screw
FOLD_CROSSED = 3000.0  # a seam along a lip leaves it without a plate to stand on
THIN = 20.0  # plus as much again as the wall gets thinner
TILE = 50.0  # each tile more
FLANGE_CROSSED, FLANGE_NEAR = 2.0, 1.0
UNEVEN = 5.0  # times the square of how much of the bed a tile takes: like tiles are best

Span = tuple[float, float]
Floats = np.ndarray


@dataclass(frozen=True)
class Tile:
    """One rectangle of the plate: its name (column letter from the left, row number from the top) and its box."""

    name: str
    box: Rectangle

    @cached_property
    def outline(self) -> Outline:
        """The rectangle."""
        return filled(self.box)


@dataclass(frozen=True)
class Seam:
    """A straight cut: upright at x = ``at``, or level at y = ``at``; from ``low`` to ``high`` along it."""

    upright: bool
    at: float
    low: float
    high: float

    @property
    def length(self) -> float:
        """How long the cut is."""
        return self.high - self.low

    @cached_property
    def outline(self) -> Outline:
        """The cut as a strip without width to speak of."""
        strip = box(1e-6, self.length) if self.upright else box(self.length, 1e-6)
        return strip.moved(*self.point((self.low + self.high) / 2))

    def point(self, along: float) -> Point:
        """Return the point of the cut at a distance along its axis."""
        return Point(self.at, along) if self.upright else Point(along, self.at)


@dataclass(frozen=True)
class Cutting:
    """The tiles and the seams between them; ``turned``: the tiles lie a quarter turn round on the bed."""

    tiles: tuple[Tile, ...]
    seams: tuple[Seam, ...]
    turned: bool
    harm: float


@dataclass(frozen=True)
class _Hurt:
    """Something a cut should keep away from, along one axis."""

    low: float
    high: float
    crossed: float
    near: float
    margin: float


def cut(sheet: Sheet, bed: tuple[float, float, float]) -> Cutting:
    """Return the best cutting of the plate for a bed (width, depth, height).

    Raises:
        DryfitError: if the lips are higher than the printer, or the plate would take too many tiles.
    """
    if sheet.height > bed[2]:
        raise DryfitError(
            f"the test plate is {format_mm(sheet.height)} high with its lips: the printer reaches {format_mm(bed[2])}"
        )
    wide, deep = bed[0] - 2 * BED_EDGE, bed[1] - 2 * BED_EDGE
    width, height = sheet.outline.size
    if math.ceil(width / wide) * math.ceil(height / deep) > MOST_TILES:
        raise DryfitError(f"the test plate would take more than {MOST_TILES} tiles: use a printer with a larger bed")
    straight = _cutting(sheet, (wide, deep), turned=False)
    if wide == deep:
        return straight
    round_about = _cutting(sheet, (deep, wide), turned=True)
    return min(straight, round_about, key=lambda c: c.harm)


def _cutting(sheet: Sheet, most: tuple[float, float], turned: bool) -> Cutting:
    left, bottom, right, top = sheet.outline.box
    across, harm = _cuts((left, right), most[0], _hurts(sheet, 0, (bottom, top)))
    seams = [Seam(True, x, bottom, top) for x in across]
    tiles: list[Tile] = []
    edges = [left, *across, right]
    for column, (x0, x1) in enumerate(pairwise(edges)):
        up, more = _cuts((bottom, top), most[1], _hurts(sheet, 1, (x0, x1)))
        harm += more
        seams += [Seam(False, y, x0, x1) for y in up]
        levels = [bottom, *up, top][::-1]
        tiles += [
            Tile(f"{_letter(column)}{row}", Rectangle(x0, y0, x1, y1))
            for row, (y1, y0) in enumerate(pairwise(levels), start=1)
        ]
    return Cutting(tuple(tiles), tuple(seams), turned, harm)


def _letter(column: int) -> str:
    return (chr(ord("A") + column // 26 - 1) if column >= 26 else "") + chr(ord("A") + column % 26)


def _hurts(sheet: Sheet, axis: int, across: Span) -> list[_Hurt]:
    """Return what cuts at a position along ``axis`` would hurt, within the span of the other axis."""
    found = [_of_opening(o, axis) for o in sheet.openings if _overlaps(o.rim, 1 - axis, across)]
    found += [_of_land(land, axis) for land in sheet.lands if _overlaps(land.outline, 1 - axis, across)]
    along = ("top", "bottom") if axis == 1 else ("left", "right")
    folds = [outline for edge, outline in sheet.lips if edge in along]
    found += [_Hurt(*f.box.span(axis), FOLD_CROSSED, THIN, SEAM_MARGIN) for f in folds]
    notched = FOLD_CROSSED if axis == 1 else CROSSED["rack"]
    found += [_Hurt(*n.box.span(axis), notched, THIN, SEAM_MARGIN) for n in sheet.notches]
    return found


def _overlaps(outline: Outline, axis: int, span: Span) -> bool:
    low, high = outline.box.span(axis)
    return low < span[1] and span[0] < high


def _of_opening(o: Opening, axis: int) -> _Hurt:
    return _Hurt(*o.rim.box.span(axis), CROSSED[o.purpose], THIN, SEAM_MARGIN)


def _of_land(land: Land, axis: int) -> _Hurt:
    return _Hurt(*land.outline.box.span(axis), FLANGE_CROSSED, FLANGE_NEAR, KEY_ROOM)


def _cuts(span: Span, most: float, hurts: Iterable[_Hurt]) -> tuple[tuple[float, ...], float]:
    """Return the cuts with the least harm that leave no piece longer than ``most``, and that harm."""
    low, high = span
    least = min(LEAST_TILE, most / 2)
    count = int((high - low) / 2 / STEP)
    middle = (low + high) / 2
    inner = middle + STEP * np.arange(-count, count + 1)
    inner = inner[(inner >= low + least) & (inner <= high - least)]
    spots = np.concatenate([[low], inner, [high]])
    harm = np.concatenate([[0.0], _harm(inner, hurts), [0.0]])
    best, back = np.full(len(spots), np.inf), np.zeros(len(spots), int)
    best[0] = 0.0
    for j in range(1, len(spots)):
        piece = spots[j] - spots[:j]
        fits = (piece <= most + 1e-9) & (piece >= least - 1e-9)
        total = np.where(fits, best[:j] + TILE + UNEVEN * (piece / most) ** 2, np.inf)
        back[j] = int(np.argmin(total))
        best[j] = total[back[j]] + harm[j]
    chosen: list[float] = []
    j = int(back[-1])
    while j > 0:
        chosen.append(float(spots[j]))
        j = int(back[j])
    return tuple(reversed(chosen)), float(best[-1])


def _harm(at: Floats, hurts: Iterable[_Hurt]) -> Floats:
    total = np.zeros(len(at))
    for h in hurts:
        apart = np.maximum(h.low - at, at - h.high)
        close = h.near * (2.0 - np.clip(apart, 0.0, h.margin) / h.margin)
        total += np.where(apart < 0, h.crossed, np.where(apart < h.margin, close, 0.0))
    return total


def crossings(sheet: Sheet, cutting: Cutting) -> tuple[str, ...]:
    """Return a note for every hole that a seam could not be kept out of."""
    return tuple(
        f"A seam crosses {o.name}: no cut that suits this bed misses every hole."
        for o in sheet.openings
        if any(too_near(o.rim, seam.outline, 0.0) for seam in cutting.seams)
    )


def thin_walls(sheet: Sheet, cutting: Cutting, least: float) -> tuple[str, ...]:
    """Return a note for all that is left thinner than ``least`` between holes, to an edge or to a seam."""
    notes: list[str] = []
    beside = Nearby((o.rim.box, (n, o)) for n, o in enumerate(sheet.openings))
    for number, o in enumerate(sheet.openings):
        _note(notes, clearance(o.rim, sheet.outline), least, o.name, "the edge")
        for seam in cutting.seams:
            if near(o.rim, seam.outline, least) and not too_near(o.rim, seam.outline, 0.0):  # else told as crossed
                _note(notes, gap(o.rim, seam.outline), least, o.name, "a seam")
        for later, other in sorted(beside.about(o.rim.box.grown(least)), key=lambda one: one[0]):
            if later > number and near(o.rim, other.rim, least):
                _note(notes, gap(o.rim, other.rim), least, o.name, other.name)
    return tuple(notes)


def _note(notes: list[str], left: float, least: float, one: str, other: str) -> None:
    if left >= least:
        return
    what = f"only {format_mm(left)} of plastic is left" if left > 0 else "no plastic is left"
    notes.append(f"Between {one} and {other} {what}; two lines of this nozzle take {format_mm(least)}.")
