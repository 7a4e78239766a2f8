"""From the solid of a part to what a part file says of it: flange, bodies, fixing holes, and a cut-out to suggest.

Frame and words are those of :mod:`dryfit.models.catalogue.parts`. What a solid cannot say (plugs, latches, threads,
which side it is mounted from) is guessed only where something speaks for it, and the guess is told.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import takewhile

from dryfit.generators.intake.measuring.bores import Bore, bores, partial_bores
from dryfit.generators.intake.measuring.fitted import SAME, Fitted, fitted
from dryfit.generators.intake.measuring.layers import Layer, around_both, fewer, layers
from dryfit.generators.intake.measuring.turned import Turned
from dryfit.models.catalogue.parts import MOST_SECTIONS, Side
from dryfit.models.geometry.outlines import Outline, clearance, gap, round_
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.reading.errors import DryfitError
from dryfit.models.tables.threads import forming_screws, threads

MOST_FIXINGS = 8
FEWEST_FIXINGS = 2  # a hole alone is where a pin or a lamp goes
WIDEST_FIXING = 8.0  # mm: screws of connectors go up to M6
NARROWEST_FIXING = 1.4  # mm: M1.6, drilled for tapping
SAME_HOLE = 0.05  # mm on the diameter between fixing holes of one part
REACHES = 0.02  # mm by which a hole may end short of a face and still open in it
PLAY = 0.2  # mm on the width between a body and the hole suggested for it (common practice)
WHOLE_TENTH = 0.1  # mm: round holes are suggested in whole tenths
THREAD_DRAWN = 0.08  # mm by which a bore may differ from the thread that it is drawn for
LAND = 2.0  # mm left about a cut-out that only the flange bounds


@dataclass(frozen=True)
class Boss:
    """Blind holes that take the screw: thread as far as a diameter tells, depth from the face on the panel."""

    diameter: float
    depth: float
    thread: str
    others: tuple[str, ...]  # threads that a bore so wide may be drawn for as well


@dataclass(frozen=True)
class Fixings:
    """The fixing holes in the flange: where, how wide, sunk by which diameter and angle; or blind."""

    at: tuple[Point, ...]
    hole: float
    sink: tuple[float, float] | None = None
    boss: Boss | None = None


@dataclass(frozen=True)
class Bush:
    """A round neck that a nut may go on: how wide and how long, and on which side of the flange."""

    across: float
    length: float
    side: Side


@dataclass(frozen=True)
class Cutout:
    """A hole to suggest, and the section of front or rear that it is made for, if one alone decides."""

    shape: Fitted
    of: str = ""
    plus: float = 0.0


@dataclass(frozen=True)
class Measured:
    """A part, measured. Levels of ``front`` count from the front of the flange, of ``rear`` back from its rear face."""

    flange: Layer
    front: tuple[Layer, ...]
    rear: tuple[Layer, ...]
    fixings: Fixings | None
    bush: Bush | None
    cutout: Cutout
    mount: Side
    origin: tuple[float, float, float]  # of the part, in the turned file
    layers: tuple[Layer, ...]  # all of it from the rear on, by levels of the part
    notes: tuple[str, ...]

    @property
    def passes(self) -> bool:
        """Whether anything of it passes the panel."""
        return bool(self.front if self.mount == "rear" else self.rear)

    @property
    def thick(self) -> float:
        """Thickness of the flange, mm."""
        return self.flange.height


def measured(of: Turned, flange: int | None = None, axis: Point | None = None) -> Measured:
    """Return what was found of a part that looks along z.

    ``flange`` is the number of the layer that lies on the panel, counted from the front, from 1; None takes the widest.
    ``axis`` is where the plug goes, from the middle of the flange; None takes the middle of what is round, or of the
    flange.
    """
    found = layers(of)
    plate = widest(found) if flange is None else _numbered(found, flange)
    holes = [bore for bore in bores(of) if _in_flange(bore, plate)]
    plate, notes = _plate_of(found, plate, alike(holes))
    centre = plate.outline.centre + axis if axis is not None else _axis(found, plate)
    origin = (centre.x, centre.y, plate.low)
    return _about_axis(of.moved(*(-v for v in origin)), plate.height, origin, notes)


def _about_axis(of: Turned, high: float, origin: tuple[float, float, float], notes: tuple[str, ...]) -> Measured:
    """Return what was found of a part whose axis and rear face are known: everything where its file will have it."""
    found, low = layers(of), 0.0
    flange = _plate([layer for layer in found if layer.high > low + SAME and layer.low < high - SAME], low, high)
    front = _ahead(fewer([layer for layer in found if layer.low >= high - SAME], MOST_SECTIONS), high)
    rear = _behind(fewer([layer for layer in found if layer.high <= low + SAME], MOST_SECTIONS))
    through, blind, others = _sorted_out(bores(of), flange, front, rear)
    fixings = _fixings(through, blind, flange, front)
    bush = _bush(front, rear) if fixings is None else None
    mount = _mount(flange, front, rear, bush, blind)
    passing = ("front", front) if mount == "rear" else ("rear", rear)
    cutout = _cutout(*passing, flange, others)
    notes = (*notes, *_notes(of, found, fixings, through, others))
    return Measured(flange, front, rear, fixings, bush, cutout, mount, origin, found, notes)


def _numbered(found: tuple[Layer, ...], number: int) -> Layer:
    """Return a layer by its number from the front."""
    if not 1 <= number <= len(found):
        layers_ = f"{len(found)} layer{'s' if len(found) != 1 else ''}"
        raise DryfitError(f"--flange {number}: the part has {layers_}, expected its number, counted from the front")
    return found[len(found) - number]


def _plate(within: list[Layer], low: float, high: float) -> Layer:
    """Return the flange: one layer that holds all between its faces."""
    if len(within) == 1:
        return replace(within[0], low=low, high=high, cone=None)
    return Layer(low, high, around_both(*(layer.hull for layer in within)), None, max(layer.off for layer in within))


def widest(found: Iterable[Layer]) -> Layer:
    """Return the layer that covers most, of those that are alike the thinner one: most likely the flange."""
    return max(found, key=lambda layer: (round(layer.hull.area, 1), -layer.height))


# --- the flange and the axis -----------------------------------------------------------------------------------------


def _in_flange(bore: Bore, plate: Layer) -> bool:
    reaches = bore.low < plate.high - REACHES and bore.high > plate.low + REACHES
    return reaches and bore.diameter <= WIDEST_FIXING and clearance(bore.outline, plate.hull) > 0


def _plate_of(found: tuple[Layer, ...], plate: Layer, holes: list[Bore]) -> tuple[Layer, tuple[str, ...]]:
    """Return the flange, and what is to be told of it, where the layer that was taken for it is a part of it alone.

    Screws bear on steps that the fixing holes go through, so those are part of it. Of a body with blind holes it is the
    layer in whose face they open.
    """
    through = [bore for bore in holes if _is_open(bore, found)]
    run = _run(found, plate, through or holes)
    if len(run) == 1:
        return plate, ()
    if not through:
        return run[-1 if holes[0].high > run[-1].high - REACHES else 0], ()
    told = "the flange has steps: it is taken as one plate that holds them"
    return replace(plate, low=run[0].low, high=run[-1].high), (told,)


def _run(found: tuple[Layer, ...], plate: Layer, holes: list[Bore]) -> list[Layer]:
    """Return a layer with its neighbours that hold all fixing holes as well, from the rear on."""
    number = found.index(plate)
    ahead = list(takewhile(lambda layer: _holes_go_through(layer, holes), found[number + 1 :]))
    behind = list(takewhile(lambda layer: _holes_go_through(layer, holes), reversed(found[:number])))
    return [*reversed(behind), plate, *ahead]


def _holes_go_through(layer: Layer, holes: list[Bore]) -> bool:
    """Whether the layer goes round every fixing hole, and every one goes all through it."""
    around = all(clearance(bore.outline, layer.hull) > 0 for bore in holes)
    through = all(bore.low < layer.low + REACHES and bore.high > layer.high - REACHES for bore in holes)
    return len(holes) >= FEWEST_FIXINGS and around and through


def _is_open(bore: Bore, found: Iterable[Layer]) -> bool:
    """Whether nothing stands over either end of a bore."""
    over = (layer for layer in found if layer.low > bore.high - REACHES or layer.high < bore.low + REACHES)
    return all(gap(bore.outline, layer.hull) > -REACHES for layer in over)


def _axis(found: tuple[Layer, ...], plate: Layer) -> Point:
    """Return the middle of what is round beside the flange, the nearest to it first; else that of the flange."""
    beside = sorted((layer for layer in found if layer is not plate), key=lambda layer: _off(layer, plate))
    for layer in beside:
        arcs = [c for c in layer.hull.corners if c.is_round and c.stop - c.start > 180.0]
        if arcs:
            return arcs[0].centre
    return plate.outline.centre


def _off(layer: Layer, plate: Layer) -> float:
    return max(layer.low - plate.high, plate.low - layer.high)


def _ahead(found: Iterable[Layer], face: float) -> tuple[Layer, ...]:
    """Return layers in front of the flange, from its front face on."""
    return tuple(replace(layer, low=layer.low - face, high=layer.high - face) for layer in found)


def _behind(found: list[Layer]) -> tuple[Layer, ...]:
    """Return layers behind the flange, from its rear face backwards; cones by their diameters in that order."""
    turned = (replace(layer, low=-layer.high, high=-layer.low) for layer in reversed(found))
    return tuple(replace(layer, cone=layer.cone and (layer.cone[1], layer.cone[0])) for layer in turned)


# --- fixing holes ----------------------------------------------------------------------------------------------------


def _sorted_out(
    found: Iterable[Bore], flange: Layer, front: tuple[Layer, ...], rear: tuple[Layer, ...]
) -> tuple[list[Bore], list[Bore], list[Bore]]:
    """Return the bores in the flange: through it, ending in it or behind it, and what is no fixing hole."""
    through, blind, others = [], [], []
    for bore in found:
        if bore.low > flange.high - REACHES or bore.high < flange.low + REACHES:
            continue
        opens_front = bore.high > flange.high - REACHES and _is_clear(bore, front)
        opens_rear = bore.low < flange.low + REACHES and _is_clear(bore, rear)
        fixing = NARROWEST_FIXING <= bore.diameter <= WIDEST_FIXING and clearance(bore.outline, flange.outline) > 0
        if fixing and opens_front and opens_rear:
            through.append(bore)
        elif fixing and (opens_front or opens_rear):
            blind.append(bore)
        else:
            others.append(bore)
    return through, blind, others


def _is_clear(bore: Bore, beside: tuple[Layer, ...]) -> bool:
    """Whether a bore opens beside what stands on the flange."""
    return not beside or gap(bore.outline, beside[0].hull) > -REACHES


def _fixings(through: list[Bore], blind: list[Bore], flange: Layer, front: tuple[Layer, ...]) -> Fixings | None:
    """Return the fixing holes: the most that are alike, through the flange or blind."""
    group = max(alike(through), alike(blind), key=len)
    if len(group) < FEWEST_FIXINGS:
        return None
    at = tuple(_from_upper_left(bore.at for bore in group))
    hole = round(min(bore.diameter for bore in group), 3)
    if group[0] in blind:
        return Fixings(at, hole, boss=_boss(group[0], flange))
    sink = group[0].sink(front=True)
    return Fixings(at, hole, None if sink is None else (round(sink.above, 3), round(sink.angle, 2)))


def alike(found: list[Bore]) -> list[Bore]:
    """Return the most of some bores that are as wide as each other, the outermost of as many."""
    groups = [[b for b in found if abs(b.diameter - one.diameter) < SAME_HOLE] for one in found]
    able = [group for group in groups if len(group) <= MOST_FIXINGS]
    return max(able, key=lambda group: (len(group), sum(b.at.length for b in group)), default=[])


def _from_upper_left(points: Iterable[Point]) -> list[Point]:
    """Return points in the order of a clock, from the upper left on."""
    plain = (Point(round(p.x, 3) + 0.0, round(p.y, 3) + 0.0) for p in points)
    return sorted(plain, key=lambda p: (180.0 - p.direction) % 360.0)


def _boss(bore: Bore, flange: Layer) -> Boss:
    opens_front = bore.high > flange.high - REACHES
    depth = flange.high - bore.low if opens_front else bore.high - flange.low
    names = _threads(bore.diameter)
    return Boss(round(bore.diameter, 3), round(depth, 3), names[0] if names else "", names[1:])


def _threads(diameter: float) -> tuple[str, ...]:
    """Return the threads that a bore may be drawn for, the closest first: plain, then drilled for tapping."""
    forming = {screw.name for screw in forming_screws()}
    machine = [t for t in threads() if t.name not in forming]
    plain = [(abs(t.major - diameter), 0, t.name) for t in machine]
    tapped = [(abs(t.major - t.pitch - diameter), 1, t.name) for t in machine]
    close = sorted((kind, off, name) for off, kind, name in (*plain, *tapped) if off <= THREAD_DRAWN)
    return tuple(dict.fromkeys(name for _, _, name in close))


# --- how it is held, and its hole ------------------------------------------------------------------------------------


def _bush(front: tuple[Layer, ...], rear: tuple[Layer, ...]) -> Bush | None:
    """Return the round neck beside the flange of a part without fixing holes, behind it first."""
    for side, beside in (("rear", rear), ("front", front)):
        arcs = [c for c in beside[0].outline.corners if c.stop - c.start > 180.0] if beside else []
        if arcs:
            across = round(2 * max(c.radius for c in arcs), 3)
            return Bush(across, round(beside[0].high, 3), "rear" if side == "rear" else "front")
    return None


def _mount(
    flange: Layer, front: tuple[Layer, ...], rear: tuple[Layer, ...], bush: Bush | None, blind: list[Bore]
) -> Side:
    """Return the side it is mounted from: that of the flange, unless its rear does not go through a hole it covers."""
    if bush is not None:
        return "front" if bush.side == "rear" else "rear"
    if blind and blind[0].high > flange.high - REACHES:
        return "rear"
    fits = not rear or clearance(around_both(*(r.outline for r in rear)).grown(PLAY / 2), flange.outline) > 0
    return "front" if fits or not front else "rear"


def _cutout(side: str, passing: tuple[Layer, ...], flange: Layer, others: list[Bore]) -> Cutout:
    """Return a hole for what has to pass the panel, in whole tenths where it is round."""
    if not passing:
        return Cutout(fitted(_nothing_passes(flange, others)))
    around = around_both(*(layer.outline for layer in passing))
    alone = [n for n, layer in enumerate(passing) if layer.cone is None and clearance(around, layer.outline) > -SAME]
    if not around.is_circle:
        return Cutout(fitted(around.opened(PLAY / 2)))
    wide = math.ceil(round((around.size.width + PLAY) / WHOLE_TENTH, 3)) * WHOLE_TENTH
    shape = fitted(round_(wide).moved(*around.centre))
    plus = round(wide - around.size.width, 3)
    return Cutout(shape, f"{side}.{alone[0]}.width" if alone else "", plus)


def _nothing_passes(flange: Layer, others: list[Bore]) -> Outline:
    """Return the widest round opening of a flange that nothing stands on, or what leaves a land about it."""
    about = [bore.outline for bore in others if clearance(ORIGIN_HOLE, bore.outline) > 0]
    if about:
        return max(about, key=lambda outline: outline.area)
    return round_(round(max(min(flange.outline.size) - 2 * LAND, LAND), 1))


ORIGIN_HOLE = round_(SAME).moved(*ORIGIN)


# --- what is told ----------------------------------------------------------------------------------------------------


def _notes(
    of: Turned, found: tuple[Layer, ...], fixings: Fixings | None, through: list[Bore], others: list[Bore]
) -> Iterator[str]:
    """Yield what was not recognised, or not as it is."""
    free = sum(face.kind == "free" for face in of.faces)
    if free:
        yield f"{free} of {len(of.faces)} faces are free surfaces: sections along them may be {2 * of.facet:.2g} mm off"
    if (partial := partial_bores(of)) > 0:
        yield f"{partial} hollow walls that do not go all the way round (slots, notches, recesses) are not told apart"
    if fixings is not None:
        rest = [bore for bore in through if Point(*bore.at).distance_to(_nearest(bore, fixings)) > SAME_HOLE]
        yield from (f"a hole of {b.diameter:g} mm in the flange at ({b.at.x:g}, {b.at.y:g}) mm" for b in rest[:8])
        yield from _steps(through, fixings)
    elif through:
        yield from (f"a hole of {b.diameter:g} mm in the flange at ({b.at.x:g}, {b.at.y:g}) mm" for b in through[:8])


def _nearest(bore: Bore, fixings: Fixings) -> Point:
    return min(fixings.at, key=bore.at.distance_to)


def _steps(through: list[Bore], fixings: Fixings) -> Iterator[str]:
    """Yield that fixing holes are counterbored, or sunk from behind, which a part file has no words for."""
    mine = [bore for bore in through if bore.at.distance_to(_nearest(bore, fixings)) < SAME_HOLE]
    if any(sum(wall.is_straight for wall in bore.walls) > 1 for bore in mine):
        yield "the fixing holes are counterbored: heads were taken to bear on the front of the flange"
    if any(bore.sink(front=False) for bore in mine):
        yield "the fixing holes are sunk from behind as well"
