"""Holes grouped into places: which main hole and which fixing holes belong together, by the patterns that are known.

Known are the pre-punched patterns and what the parts of the catalogue ask for. A panel that was drilled by hand is near
one of them only, so that a pattern may be off by tenths; its true holes stay what they are. Patterns may be turned and
mirrored, and stand side by side with others. All lengths mm, panel axes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from dryfit.generators.intake.plates.figures import tip
from dryfit.generators.intake.plates.near import Near
from dryfit.generators.intake.plates.plate import Opening
from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.catalogue.patterns import diagonal
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.geometry.points import ORIGIN, Point

POSITION_OFF = 1.2  # mm that a fixing hole may stand off its pattern: the older pitch is 2.3 mm off the common one
FIXING_OFF = 1.6  # mm that a fixing hole may be larger or smaller
MAIN_OFF = 0.12  # share of its size that a main hole with its fixing holes about it may be larger or smaller
LONE_OFF = 0.3  # mm, one that has nothing about it
EXACT = 0.02  # mm; as drawn from the same figures
TURNED_FREELY, MIRRORED, QUARTER = 0.6, 0.3, 0.02  # mm that a pattern must be nearer to be taken so turned
SIZE_SHARE = 0.25  # how much a size that is off counts beside a position
LIKELY = 0.3  # mm that another part may be less near than the nearest, and still be proposed
FINEST_TURN = 3  # decimals of a degree: 0.001 degrees move nothing on a part by 0.001 mm


@dataclass(frozen=True)
class Template:
    """One known pattern: its main hole, its fixing holes, and which pattern or parts it is of."""

    main: Outline
    fixings: tuple[Point, ...]
    diameter: float  # of the fixing holes; 0 without
    parts: tuple[str, ...] = ()
    pattern: str = ""

    def mirrored(self) -> Template:
        """Return the pattern as seen from behind."""
        fixings = tuple(at.mirrored() for at in self.fixings)
        return Template(self.main.mirrored(), fixings, self.diameter, self.parts, self.pattern)


@dataclass(frozen=True)
class Found:
    """A place: its axis, the way it is turned, its true holes, and the patterns it is like, the nearest first."""

    at: Point
    turn: float
    main: Opening
    fixings: tuple[Opening, ...]
    mirrored: bool
    off: float  # mm it is off the nearest pattern
    like: tuple[Template, ...]

    @property
    def spots(self) -> tuple[Point, ...]:
        """Its fixing holes about its axis, turned back."""
        return tuple((o.centre - self.at).turned(-self.turn) for o in self.fixings)

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts whose pattern it is like, the nearest first."""
        return tuple(dict.fromkeys(name for template in self.like for name in template.parts))


@dataclass(frozen=True)
class Grouped:
    """The holes of a plate: those of places, and those that no pattern explains."""

    places: tuple[Found, ...]
    unexplained: tuple[Opening, ...]


@dataclass(frozen=True)
class _Fit:
    """A pattern laid over openings, by their numbers, and how far off it is."""

    template: Template
    main: int
    fixings: tuple[int, ...]
    at: Point
    turn: float
    mirrored: bool
    off: float
    cost: float = field(compare=False, default=0.0)

    @property
    def rank(self) -> tuple[bool, bool, int, float]:
        """What sorts fits, the best first: those with fixing holes, exact ones, those that explain most."""
        return not self.fixings, self.off > EXACT, -len(self.fixings), self.cost


def grouped(openings: Sequence[Opening], catalogue: Catalogue) -> Grouped:
    """Return the openings of a plate grouped into places, in reading order."""
    numbered = {n: o for n, o in enumerate(openings) if o.outline is not None}
    fits = sorted(_fits(numbered, templates(catalogue)), key=lambda fit: fit.rank)
    taken: set[int] = set()
    chosen: list[_Fit] = []
    for fit in fits:
        mine = {fit.main, *fit.fixings}
        if not mine & taken:
            taken |= mine
            chosen.append(fit)
    places = (_found(fit, fits, openings) for fit in chosen)
    rest = tuple(o for n, o in enumerate(openings) if n not in taken)
    return Grouped(tuple(in_reading_order(places)), rest)


def in_reading_order(places: Iterable[Found]) -> list[Found]:
    """Return places row by row from the top, each row from the left; what is half a hole lower is the same row."""
    rows: list[list[Found]] = []
    for place in sorted(places, key=lambda p: -p.at.y):
        same = rows and abs(rows[-1][0].at.y - place.at.y) < place.main.box.height / 2
        if same:
            rows[-1].append(place)
        else:
            rows.append([place])
    return [place for row in rows for place in sorted(row, key=lambda p: p.at.x)]


def _found(fit: _Fit, fits: Iterable[_Fit], openings: Sequence[Opening]) -> Found:
    same = {fit.main, *fit.fixings}
    others = [f for f in fits if {f.main, *f.fixings} == same and f.main == fit.main and f.cost <= fit.cost + LIKELY]
    like = dict.fromkeys([fit.template, *(f.template for f in others if _way(f) == _way(fit))])
    fixings = tuple(openings[n] for n in fit.fixings)
    return Found(fit.at, fit.turn, openings[fit.main], fixings, fit.mirrored, fit.off, tuple(like))


def _way(fit: _Fit) -> tuple[bool, float]:
    return fit.mirrored, fit.turn


# --- the patterns ----------------------------------------------------------------------------------------------------


def templates(catalogue: Catalogue) -> tuple[Template, ...]:
    """Return every known pattern once: the pre-punched ones, then those of the parts."""
    found: dict[object, Template] = {}
    for name, row in catalogue.patterns.items():
        spots = diagonal(row.across, row.up, row.mirror)
        _add(found, Template(round_(row.hole), spots, row.fixings, (), name))
    for name, part in catalogue.parts.items():
        for outline in dict.fromkeys(filter(None, (part.cutout, part.cutout_rear))):
            _add(found, _of_part(name, part, outline))
    return tuple(found.values())


def _of_part(name: str, part: Part, outline: Outline) -> Template:
    if part.fixings is None:
        return Template(outline, (), 0.0, (name,))
    return Template(outline, tuple(Point(*at) for at in part.fixings.at), part.fixings.panel, (name,))


def _add(found: dict[object, Template], new: Template) -> None:
    key = (new.main, new.fixings, new.diameter, new.pattern)
    old = found.get(key)
    found[key] = new if old is None else Template(*key[:3], (*old.parts, *new.parts), new.pattern)


# --- patterns laid over holes --------------------------------------------------------------------------------------


def _fits(openings: Mapping[int, Opening], known: Sequence[Template]) -> Iterator[_Fit]:
    reach = max(spot.length for template in known for spot in (template.main.centre, *template.fixings))
    round_ones = ((n, o) for n, o in openings.items() if o.outline is not None and o.outline.is_circle)
    drilled = Near(round_ones, 2 * reach + POSITION_OFF)
    for template in known:
        hands = [_Hand(template), *([_Hand(template.mirrored(), True)] if _is_handed(template) else [])]
        for hand, (number, opening) in itertools.product(hands, openings.items()):
            assert opening.outline is not None  # those without are left out
            for way in _ways(hand.template, opening.outline):
                yield from _with_fixings(hand, number, way, drilled)


@cache
def _is_handed(template: Template) -> bool:
    """Whether the mirrored pattern is another one that no turn by quarters makes of it."""
    other = template.mirrored()
    spots = {_rounded(at) for at in template.fixings}
    for turn in (0.0, 90.0, 180.0, 270.0):
        same = {_rounded(at.turned(turn)) for at in other.fixings} == spots
        if same and _as_set(other.main.turned(turn)) == _as_set(template.main):
            return False
    return True


def _rounded(at: Point) -> tuple[float, float]:
    return round(at.x, 3) + 0.0, round(at.y, 3) + 0.0


def _as_set(outline: Outline) -> frozenset[tuple[float, float]]:
    return frozenset(_rounded(tip(corner)) for corner in outline.corners)


@dataclass(frozen=True)
class _Hand:
    """A pattern as it is, or as seen from behind."""

    template: Template
    mirrored: bool = False


@dataclass(frozen=True)
class _Met:
    """Holes found where a pattern has its fixing holes, by their numbers, and how far off at most (mm)."""

    fixings: tuple[int, ...] = ()
    apart: float = 0.0
    sizes: float = 0.0


@dataclass(frozen=True)
class _Way:
    """How a main hole lies over that of a pattern: its turn (None: any), and how far its size is off.

    ``at`` is the middle of the hole where it is round, else the axis of the pattern.
    """

    at: Point
    turn: float | None
    off: float


def _ways(template: Template, outline: Outline) -> Iterator[_Way]:
    """Yield the ways in which a hole may be the main one of a pattern."""
    most = MAIN_OFF * max(template.main.size) if template.fixings else LONE_OFF
    if template.main.is_circle:
        off = abs(outline.size.width - template.main.size.width)
        if outline.is_circle and off <= most:
            yield _Way(outline.centre, None if template.fixings else 0.0, off)
        return
    if outline.is_circle or shape_kind_of(outline) != shape_kind_of(template.main):
        return
    for turn in _turns(template.main, outline):
        there = template.main.turned(turn)
        by = outline.centre - there.centre
        off = _corners_off(there.moved(*by), outline)
        if off <= most:
            yield _Way(by, turn, off)


def shape_kind_of(outline: Outline) -> tuple[bool, int]:
    """Return what holes of one kind have in common, however they are turned."""
    return outline.is_d, len(outline.corners)


def _turns(main: Outline, outline: Outline) -> Iterator[float]:
    """Yield the turns that bring a corner of a pattern where one of the hole is; right angles first."""
    first = next((c for c in main.corners if c.is_round), main.corners[0]) if main.is_d else main.corners[0]
    corners = [c for c in outline.corners if c.is_round] if main.is_d else outline.corners
    turns = {_neat(corner.middle - first.middle) for corner in corners}
    yield from sorted(turns, key=lambda turn: (turn % 90 != 0, abs(turn)))


def _neat(degrees: float) -> float:
    """Return an angle from -180 to 180, rounded as layouts have it."""
    return round((degrees + 180.0) % 360.0 - 180.0, FINEST_TURN) + 0.0


def _corners_off(one: Outline, other: Outline) -> float:
    """Return how far the corners of two outlines of a kind are apart at most; a radius counts as much as a place."""
    worst = 0.0
    for corner in one.corners:
        near = min(other.corners, key=lambda c: tip(c).distance_to(tip(corner)))
        radius = abs(near.radius - corner.radius) if corner.stop - corner.start >= 150 else 0.0
        worst = max(worst, tip(near).distance_to(tip(corner)) + radius)
    return worst


def _with_fixings(hand: _Hand, main: int, way: _Way, drilled: Near) -> Iterator[_Fit]:
    """Yield the pattern about a main hole with the fixing holes that are there, in each way it can be turned."""
    template = hand.template
    if not template.fixings:
        yield _fit(hand, main, way, way.turn or 0.0, _Met())
        return
    about = ORIGIN if way.turn is not None else template.main.centre  # what of the pattern lies at way.at
    near = _near([at - about for at in template.fixings], template.diameter, main, way.at, drilled)
    for turn in _turns_by_fixings(template.fixings[0] - about, way, near):
        met = _met([(at - about).turned(turn) + way.at for at in template.fixings], template.diameter, near)
        if met is not None:
            yield _fit(hand, main, way, turn, met)


def _met(spots: Sequence[Point], diameter: float, near: Mapping[int, Opening]) -> _Met | None:
    """Return the holes at some spots, if there is one at each, and all are alike: a place has one size of them."""
    numbers = [_nearest(spot, near) for spot in spots]
    found = [n for n in numbers if n is not None]
    if len(set(found)) < len(spots):
        return None
    apart = max(near[n].centre.distance_to(spot) for n, spot in zip(found, spots, strict=True))
    widths = [near[n].box.width for n in found]
    sizes = max(abs(width - diameter) for width in widths)
    alike = max(widths) - min(widths) <= EXACT
    return _Met(tuple(found), apart, sizes) if apart <= POSITION_OFF and sizes <= FIXING_OFF and alike else None


def _fit(hand: _Hand, main: int, way: _Way, turn: float, met: _Met) -> _Fit:
    template = hand.template
    axis = way.at - template.main.centre.turned(turn) if template.main.is_circle else way.at
    turned = TURNED_FREELY if turn % 90 else QUARTER if turn % 180 else QUARTER / 4 if turn else 0.0
    cost = met.apart + SIZE_SHARE * (way.off + met.sizes) + MIRRORED * hand.mirrored + turned
    off = max(met.apart, way.off, met.sizes)
    return _Fit(template, main, met.fixings, axis, turn, hand.mirrored, off, cost)


def _near(spots: Sequence[Point], diameter: float, main: int, at: Point, drilled: Near) -> dict[int, Opening]:
    """Return the round holes about a point that are as far off and as wide as fixing holes of a pattern."""
    reach = max(spot.length for spot in spots) + POSITION_OFF
    return {
        n: o
        for n, o in drilled.about(at)
        if n != main and o.centre.distance_to(at) <= reach and abs(o.box.width - diameter) <= FIXING_OFF
    }


def _nearest(spot: Point, near: Mapping[int, Opening]) -> int | None:
    return min(near, key=lambda n: near[n].centre.distance_to(spot), default=None)


def _turns_by_fixings(first: Point, way: _Way, near: Mapping[int, Opening]) -> Iterator[float]:
    """Yield the turns of a pattern: that of its main hole, or what brings a fixing hole where one is."""
    if way.turn is not None:
        yield way.turn
        return
    found: set[float] = set()
    for opening in near.values():
        out = opening.centre - way.at
        if abs(out.length - first.length) > POSITION_OFF:
            continue
        turn = out.direction - first.direction
        right = round(turn / 90.0) * 90.0
        found.add(_neat(turn))
        if math.radians(abs(turn - right)) * first.length <= POSITION_OFF:
            found.add(_neat(right))
    yield from sorted(found, key=lambda turn: (turn % 90 != 0, abs(turn)))
