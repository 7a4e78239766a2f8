"""A plate as plain data: its outline and its openings, from what a file draws. All lengths mm, panel axes.

The outline is the largest ring with others in it. A circle within a ring of its own centre is the hole of a
countersink. What is drawn on layers for text, dimensions, engraving or bends is no metal, and is told.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.intake.plates.figures import outline_of
from dryfit.generators.intake.plates.rings import holds, rings
from dryfit.generators.intake.reading.drawn import Drawn, Piece
from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.contours import Circle, Contour, Curve
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.panel import Edge
from dryfit.models.reading.errors import Fault, InputError, UnknownName
from dryfit.models.tables.drawings import DrawingUnit, drawing_units, meanings

SAME_AXIS = 0.05  # mm that circles may be off one axis: a hole with its countersink, else one within another
CELLS = 60  # along the longer side of a plate: a few holes lie in each
MOST_OPENINGS = 5000  # through one plate; the largest panel of a rack has some hundreds
MOST_TOLD = 3  # spots of lines that close nothing
UNIT_NAMES = {"mm": 4, "in": 1, "cm": 5, "m": 6}
"""What people call the units, by the codes that DXF has for them."""


@dataclass(frozen=True)
class Sink:
    """A countersink at a hole; no angle where the file shows none, as no flat drawing does."""

    diameter: float
    side: Side = "front"
    angle: float | None = None

    def behind(self) -> Sink:
        """Return it as it is seen from behind."""
        return replace(self, side="rear" if self.side == "front" else "front")


@dataclass(frozen=True)
class Opening:
    """One closed contour through the plate; ``outline`` is None where it is of no plain shape."""

    contour: Contour
    outline: Outline | None
    sink: Sink | None = None

    @property
    def centre(self) -> Point:
        """The middle of its box."""
        return self.box.centre

    @property
    def box(self) -> Rectangle:
        """Its bounding box."""
        return self.contour.box if self.outline is None else self.outline.box

    def moved(self, by: Point) -> Opening:
        """Return the opening shifted."""
        return replace(self, contour=self.contour.moved(*by), outline=self.outline and self.outline.moved(*by))


@dataclass(frozen=True)
class Folded:
    """Lips of a plate: their depth behind the rear face (0: flat), the edges that have one, radius of their bends."""

    depth: float = 0.0
    edges: tuple[Edge, ...] = ()
    radius: float = 0.0


@dataclass(frozen=True)
class Plate:
    """What a file says of a plate, centred on the origin; ``said`` is what its reader should know, in sentences."""

    contour: Contour | None  # None: the file draws holes without an outline
    openings: tuple[Opening, ...]
    thickness: float | None = None
    bends: tuple[tuple[Point, Point], ...] = ()
    said: tuple[str, ...] = ()
    folded: Folded = Folded()

    @property
    def box(self) -> Rectangle:
        """What it covers; without an outline, what its openings do."""
        if self.contour is not None:
            return self.contour.box
        return Rectangle.around(opening.box for opening in self.openings)

    @property
    def corner(self) -> Point:
        """Its lower left corner, from which positions are measured."""
        return self.box.corner


def plate_of(drawn: Drawn, file: str, unit: str | None = None) -> Plate:
    """Return the plate of a drawing; ``unit`` (mm, in, cm, m) says what it is drawn in, where the file does not.

    Raises:
        InputError: if nothing closed is drawn, or more than a panel has.
    """
    named = _unit(drawn, unit)
    shapes = [Piece(piece.layer, piece.shape.scaled(named.mm)) for piece in drawn.pieces]
    bends = tuple(_bends(p.shape for p in shapes if "bend" in meanings(p.layer)))
    sinks = [sink for p in shapes if (sink := _sink(p)) is not None]
    found = rings(p.shape for p in shapes if not meanings(p.layer) & {"bend", "countersink"})
    if not found.closed:
        raise InputError([Fault(file, None, "draws no closed contour", "the outline and the holes of a panel")])
    outer, inner, strays = _nested(found.closed)
    said = [_said_unit(drawn, unit, named), *_said_left_out(drawn), *_said_loose(found.loose), *strays]
    plate = Plate(outer, tuple(_openings(inner, sinks, said)), None, bends)
    _refuse(plate, file)
    return centred(replace(plate, said=tuple(filter(None, said))))


def _refuse(plate: Plate, file: str) -> None:
    if len(plate.openings) > MOST_OPENINGS:
        raise InputError([Fault(file, None, f"draws {len(plate.openings)} openings", f"at most {MOST_OPENINGS}")])


def centred(plate: Plate) -> Plate:
    """Return a plate with its middle at the origin."""
    by = -plate.box.centre
    bends = tuple((a + by, b + by) for a, b in plate.bends)
    contour = plate.contour and plate.contour.moved(*by)
    return replace(plate, contour=contour, openings=tuple(o.moved(by) for o in plate.openings), bends=bends)


# --- units -----------------------------------------------------------------------------------------------------------


def _unit(drawn: Drawn, unit: str | None) -> DrawingUnit:
    if unit is not None:
        if unit not in UNIT_NAMES:
            raise UnknownName("unit", unit, UNIT_NAMES)
        return drawing_units()[UNIT_NAMES[unit]]
    return drawing_units().get(drawn.unit, drawing_units()[UNIT_NAMES["mm"]])


def _said_unit(drawn: Drawn, unit: str | None, used: DrawingUnit) -> str:
    own = drawing_units().get(drawn.unit)
    if unit is not None:
        return f"taken in {used.name}, though the file says {own.name}" if own not in {None, used} and own else ""
    if own is None:
        return "the file names no unit: taken in millimetres (--unit says otherwise)"
    return "" if own.mm == 1 else f"drawn in {own.name}"


# --- contours --------------------------------------------------------------------------------------------------------


def _nested(closed: Sequence[Contour]) -> tuple[Contour | None, list[Contour], list[str]]:
    """Return the outline, what lies in it, and what is said of the rest."""
    largest = max(closed, key=lambda ring: ring.box.width * ring.box.height)
    inner = [ring for ring in closed if ring is not largest and holds(largest, ring)]
    if len(closed) > 1 and 2 * len(inner) < len(closed) - 1:
        return None, list(closed), ["no outline is drawn about the holes"]
    beside = len(closed) - 1 - len(inner)
    return largest, inner, [f"left out beside the panel: {beside} closed contours"] if beside else []


def _openings(inner: Sequence[Contour], sinks: Sequence[tuple[Circle, Sink]], said: list[str]) -> Iterator[Opening]:
    """Yield the openings; a ring that another lies in is its countersink, or it is left out, which is said."""
    large_first = sorted(inner, key=lambda ring: -ring.box.width * ring.box.height)
    cones = list(sinks)
    openings: dict[int, Contour] = {}
    cover = _Cover(inner)
    guessed, within = 0, 0
    for number, ring in enumerate(large_first):
        here = (n for n in cover.over(ring.box.centre) if n in openings)
        of = next((n for n in here if holds(openings[n], ring)), None)
        holder = None if of is None else openings[of]
        if of is None or holder is None:
            openings[number] = ring
            cover.put(number, ring)
        elif isinstance(ring, Circle) and isinstance(holder, Circle) and _same_axis(ring, holder):
            del openings[of]
            openings[number] = ring
            cover.put(number, ring)
            cones.append((holder, Sink(2 * holder.radius)))
            guessed += 1
        else:
            within += 1
    said += [f"{guessed} circles about a hole are taken as countersinks of 90° from the front"] if guessed else []
    said += [f"left out within cut-outs: {within} closed contours"] if within else []
    for ring in openings.values():
        yield Opening(ring, outline_of(ring), _sink_of(ring, cones))


class _Cover:
    """Openings by the cells of the plate that they lie over, so that what a ring lies in is found at once."""

    def __init__(self, rings: Sequence[Contour]):
        box = Rectangle.around(ring.box for ring in rings) if rings else Rectangle(0.0, 0.0, 1.0, 1.0)
        self.size = max(box.size) / CELLS
        self.cells: dict[tuple[int, int], list[int]] = defaultdict(list)

    def put(self, number: int, ring: Contour) -> None:
        """Note an opening by its number."""
        low, high = self._cell(ring.box.corner), self._cell(Point(ring.box.right, ring.box.top))
        for cell in itertools.product(range(low[0], high[0] + 1), range(low[1], high[1] + 1)):
            self.cells[cell].append(number)

    def over(self, at: Point) -> Sequence[int]:
        """Return the numbers of the openings that may lie over a point."""
        return self.cells.get(self._cell(at), ())

    def _cell(self, at: Point) -> tuple[int, int]:
        return int(at.x // self.size), int(at.y // self.size)


def _sink_of(ring: Contour, cones: Sequence[tuple[Circle, Sink]]) -> Sink | None:
    """Return the countersink whose circle a round hole lies in, nearest to its axis."""
    if not isinstance(ring, Circle):
        return None
    within = [(math.dist((c.x, c.y), (ring.x, ring.y)), n) for n, (c, _) in enumerate(cones) if c.box.holds(ring.box)]
    return cones[min(within)[1]][1] if within else None


def _same_axis(a: Circle, b: Circle) -> bool:
    return Point(a.x, a.y).distance_to((b.x, b.y)) <= SAME_AXIS


def _sink(piece: Piece) -> tuple[Circle, Sink] | None:
    said = meanings(piece.layer)
    if "countersink" not in said or not isinstance(piece.shape, Circle):
        return None
    return piece.shape, Sink(2 * piece.shape.radius, "rear" if "rear" in said else "front")


def _bends(shapes: Iterable[Contour]) -> Iterator[tuple[Point, Point]]:
    for shape in shapes:
        if isinstance(shape, Curve):
            yield from ((start, end) for start, end, bulge in shape.segments() if bulge == 0)


# --- what is told ----------------------------------------------------------------------------------------------------


def _said_left_out(drawn: Drawn) -> Iterator[str]:
    if drawn.left_out:
        counts = Counter(drawn.left_out)
        yield "left out: " + ", ".join(f"{what} ({count})" for what, count in sorted(counts.items()))


def _said_loose(loose: Sequence[Point]) -> Iterator[str]:
    if loose:
        spots = ", ".join(f"({p.x:.2f}, {p.y:.2f})" for p in loose[:MOST_TOLD])
        more = " and elsewhere" if len(loose) > MOST_TOLD else ""
        yield f"left out: {len(loose)} lines that close nothing, at {spots}{more}: look whether a hole is among them"
