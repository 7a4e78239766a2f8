"""Cut-out patterns: every distinct set of holes that a place has, and its enlarged, fully dimensioned detail."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dryfit.generators.drawing.dimensions import SAME_VALUE, START, Leader, Ordinate, centre_cross, leaders, ordinates
from dryfit.generators.drawing.marks import Block, Mark, Pen, Stroke, Text, around, block
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE
from dryfit.generators.lists.holes import PURPOSES, HoleKind, lettered_holes
from dryfit.generators.tolerances import GENERAL, Tolerances
from dryfit.models.geometry.contours import Circle, contour, flat_from_axis, shape_kind
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job, Place
from dryfit.models.measures import MM, Measures

LARGEST_SCALE = 5.0  # of a detail; an LED hole at 5:1 is as large as a D-hole at 1:1
SMALLEST_SCALE = 0.01
LEAST_SIZE = 20.0  # mm on paper below which a detail cannot be read with ease
LONGEST_LIST = 24  # characters of place numbers printed under a detail; the table of places has them all


@dataclass(frozen=True)
class Pattern:
    """One distinct cut-out: its holes about the axis of the place, and the numbers of the places that have it."""

    name: str  # the letters of its holes
    holes: tuple[tuple[HoleKind, Outline], ...]  # main first; outlines in the frame of the place
    numbers: tuple[int, ...]  # of places, from 1; empty for the panel's own

    @property
    def box(self) -> Rectangle:
        """Bounding box of all holes and countersinks, in the frame of the place."""
        boxes = [outline.box for _, outline in self.holes]
        boxes += [round_(k.countersink.diameter).moved(*o.centre).box for k, o in self.holes if k.countersink]
        return Rectangle.around(boxes)


def patterns(job: Job) -> tuple[Pattern, ...]:
    """Return every distinct cut-out of the job, the panel's own first, then in the order of the places."""
    items = lettered_holes(job)
    own = dict.fromkeys(item.kind for item in items if not item.hole.place and not _says_all(item.kind))
    found: dict[object, tuple[Sequence[tuple[HoleKind, Outline]], list[int]]] = {}
    for n, place in enumerate(job.places, start=1):
        kinds = tuple(item.kind for item in items if item.hole.place == place.name)
        key = (kinds, place.cutout.main.box, tuple(sorted(place.cutout.fixings)))
        found.setdefault(key, (_holes(place, kinds), []))[1].append(n)
    slots = tuple(Pattern(kind.letter, ((kind, kind.standing),), ()) for kind in own)
    return slots + tuple(Pattern(_name(holes), tuple(holes), tuple(numbers)) for holes, numbers in found.values())


def _says_all(kind: HoleKind) -> bool:
    """Whether its row of the chart says all of a hole: of a plain round one it does."""
    return kind.purpose == "plain" and kind.is_round


def _holes(place: Place, kinds: Sequence[HoleKind]) -> tuple[tuple[HoleKind, Outline], ...]:
    fixing = round_(place.cutout.fixing_diameter)
    outlines = (place.cutout.main, *(fixing.moved(*at) for at in place.cutout.fixings))
    return tuple(zip(kinds, outlines, strict=True))


def _name(holes: Sequence[tuple[HoleKind, Outline]]) -> str:
    return "/".join(dict.fromkeys(kind.letter for kind, _ in holes))


def runs(numbers: Sequence[int]) -> str:
    """Return numbers as a drawing lists them: ``1 to 8, 12``."""
    groups: list[list[int]] = []
    for n in numbers:
        if groups and n == groups[-1][-1] + 1:
            groups[-1].append(n)
        else:
            groups.append([n])
    return ", ".join(str(g[0]) if len(g) == 1 else f"{g[0]}{' to ' if len(g) > 2 else ', '}{g[-1]}" for g in groups)


def detail_scale(extent: Size, room: float) -> float:
    """Return the smallest scale, 1:1 or larger, that shows an extent (mm) LEAST_SIZE large; less if room wants it."""
    known = itertools.takewhile(lambda s: s >= SMALLEST_SCALE, scales(LARGEST_SCALE))
    fitting = [s for s in known if max(extent) * s <= room]
    if not fitting:
        raise ValueError(f"a cut-out {max(extent):g} mm across does not fit the paper")
    return next((s for s in reversed(fitting) if s >= 1 and max(extent) * s >= LEAST_SIZE), fitting[0])


def detail(pattern: Pattern, room: float, allowed: Tolerances = GENERAL, written: Measures = MM) -> Block:
    """Return the enlarged detail: ordinates from the axis, sizes at leaders, with the tolerances ``allowed``."""
    x0, y0, x1, _ = pattern.box
    scale = detail_scale(pattern.box.size, room)
    marks: list[Mark] = [mark for kind, outline in pattern.holes for mark in _drawn(kind, outline, scale)]
    edge_x, edge_y = min(x0, 0.0) * scale - 3.0, min(y0, 0.0) * scale - 3.0
    spots, at = _spots(pattern), written.holding(_within(pattern, allowed))
    below = [Ordinate(at.dimension(x), x * scale, _start(x, y, 1, spots) * scale - START) for x, y in spots]
    beside = [Ordinate(at.dimension(y), y * scale, _start(x, y, 0, spots) * scale - START) for x, y in spots]
    marks += ordinates(below, edge_y, "below")
    marks += ordinates(beside, edge_x, "left")
    marks += leaders(tuple(_callouts(pattern, scale, allowed, written)), x1 * scale + 8.0)
    left, bottom, _, _ = around(marks)
    marks.append(Text(left, bottom - TITLE - 3.0, f"CUT-OUT {pattern.name}  {scale_text(scale)}", TITLE))
    marks.append(
        Text(left, bottom - TITLE - 3.0 - 2 * HEIGHT, _where(pattern) + _positions(pattern, allowed, at), HEIGHT)
    )
    return block(f"cut-out {pattern.name}", marks)


def _where(pattern: Pattern) -> str:
    if not pattern.numbers:
        kind = pattern.holes[0][0]
        return f"{PURPOSES[kind.purpose]}, {kind.count} off"
    count, shown = len(pattern.numbers), runs(pattern.numbers)
    if len(shown) > LONGEST_LIST:
        return f"{count} off"
    return f"{count} off: {'places' if count > 1 else 'place'} {shown}"


def _positions(pattern: Pattern, allowed: Tolerances, written: Measures) -> str:
    """Return the tolerance of the positions of fixing holes in words; nothing where there are none."""
    fixings = [value for kind, outline in pattern.holes if kind.purpose == "fixing" for value in outline.centre]
    return f"; positions ±{written.held(_within(pattern, allowed), *fixings)}" if fixings else ""


def _within(pattern: Pattern, allowed: Tolerances) -> float:
    """Return the tolerance of the positions of fixing holes; 0 where there are none."""
    fixings = [outline.centre for kind, outline in pattern.holes if kind.purpose == "fixing"]
    places = {name for kind, _ in pattern.holes if kind.purpose == "fixing" for name in kind.places}
    return allowed.within(fixings, places)


def _drawn(kind: HoleKind, outline: Outline, scale: float) -> Iterator[Mark]:
    yield Stroke(contour(outline).scaled(scale))
    x, y = outline.centre * scale
    radius = max(outline.size) / 2 * scale
    if kind.countersink is not None:
        radius = kind.countersink.diameter / 2 * scale
        yield Stroke(Circle(x, y, radius), Pen.OUTLINE if kind.sunk_from == "front" else Pen.HIDDEN)
    main = kind.purpose == "main" and not outline.is_circle
    yield from centre_cross(0.0 if main else x, 0.0 if main else y, radius)


def _spots(pattern: Pattern) -> list[Point]:
    """Return the points that fix the pattern: the axis, fixing centres, and edges or corners of the main hole."""
    main, others = pattern.holes[0][1], pattern.holes[1:]
    spots = [ORIGIN, *(outline.centre for _, outline in others)]
    if main.is_circle:
        return [*spots, main.centre]
    if main.is_d:
        first, last = (c.centre for c in main.corners if not c.is_round)
        return [*spots, (first + last) * 0.5]
    if shape_kind(main) == "polygon":
        return [*spots, *sharp_corners(main)]
    left, bottom, right, top = main.box
    return [*spots, Point(left, 0.0), Point(right, 0.0), Point(0.0, bottom), Point(0.0, top)]


def _start(x: float, y: float, axis: int, spots: Sequence[Point]) -> float:
    """Return where an extension line starts: at the outermost point that has the same value."""
    value = (x, y)[1 - axis]
    return min(spot[axis] for spot in spots if abs(spot[1 - axis] - value) < SAME_VALUE)


def sharp_corners(outline: Outline) -> tuple[Point, ...]:
    """Return where the straight edges of a polygon would meet if its corners were not rounded."""
    return tuple(corner.sharp for corner in outline.corners)


def _callouts(pattern: Pattern, scale: float, allowed: Tolerances, written: Measures) -> Iterator[Leader]:
    """Yield one leader per kind of hole, to the one furthest right, and one for the corner radius."""
    for kind in dict.fromkeys(kind for kind, _ in pattern.holes):
        same = [outline for k, outline in pattern.holes if k == kind]
        outline = max(same, key=lambda o: o.centre)
        times = f"{len(same)} × " if len(same) > 1 else ""
        x, y = outline.centre * scale
        tolerance = allowed.size(kind.outline, kind.places)
        size = f"{kind.letter}: {times}{_size_text(kind, tolerance, written.holding(tolerance))}"
        if outline.is_circle:
            yield Leader(size, x, y, outline.size.width / 2 * scale)
        else:
            tip = max(_edge_points(outline))
            yield Leader(size + _corners(kind, allowed, written), *(tip * scale))
        if kind.countersink is not None:
            yield Leader(f"countersink {kind.sink(written)}", x, y, kind.countersink.diameter / 2 * scale)


def _size_text(kind: HoleKind, tolerance: float, written: Measures) -> str:
    """Return the size of a shape; what lies on one side of an axis only is half as much off as a size.

    A polygon is fixed by its ordinates, a D by its diameter and its flat.
    """
    shape = shape_kind(kind.outline)
    if shape == "d":
        across, flat = max(c.radius for c in kind.outline.corners) * 2, flat_from_axis(kind.outline)
        size = f"⌀{written.dimension(across)} ±{written.held(tolerance, across)}"
        return f"{size}, flat {written.dimension(flat)} ±{written.held(tolerance / 2, flat)} from axis"
    if shape != "polygon":
        return f"{kind.cut_size(written)} ±{written.held(tolerance, *kind.outline.size)}"
    radius = max(c.radius for c in kind.outline.corners)
    corners = f"corners R{written.dimension(radius)}, ordinates to sharp corners" if radius else "ordinates to corners"
    spots = (value for spot in sharp_corners(kind.outline) for value in spot)
    return f"{corners}, each ±{written.held(tolerance / 2, *spots)}"


def _corners(kind: HoleKind, allowed: Tolerances, written: Measures) -> str:
    """Return how round the square corners of a hole may come out."""
    radius = allowed.corner(kind.places)
    return f", corners at most R{written.dimension(radius)}" if radius else ""


def _edge_points(outline: Outline) -> Iterator[Point]:
    """Yield middles of rounded corners, or else corners: points on the outline that a leader can touch."""
    return (c.on_arc(c.middle) for c in outline.corners)
