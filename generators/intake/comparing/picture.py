"""The panel from the front as it came back, every difference marked by a shape and a number, with a table of them.

What was asked for and is not so is dashed; what is there is solid. A hole that is missing is crossed out, one that is
too many is filled, one that is shifted has an arrow the way it went. Colour only repeats what shape says.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from dryfit.generators.drawing.marks import Block, Mark, Pen, Sheet, Stroke, Text, arrow, block, line
from dryfit.generators.drawing.signs import sign
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE, fitted, wrapped_tables
from dryfit.generators.intake.comparing.compare import Comparison, Difference
from dryfit.generators.intake.comparing.tables import rows
from dryfit.models.geometry.contours import Circle, contour
from dryfit.models.geometry.outlines import box
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle, Size

WIDE, HIGH = 400.0, 230.0  # mm on paper that the panel may take
LARGEST_SCALE = 3.0
MARGIN = 12.0  # mm about everything
BALLOON = 2.6  # mm, radius
ROUNDING = 1e-9  # mm less than half: a box rounded by more than its half is none
OUT = 3.2  # mm from a hole to its balloon
ARROW = 7.0  # mm long, whichever way a hole went: the shift itself may be too small to be seen
CROSS = 5.0  # mm at least, of what is missing
SIGN = 5.0  # mm
GROUP = 0.35  # mm: width of wide lines
ENDLESS = Size(WIDE, 1e6)  # room of a table on a sheet that is as long as it takes
COLUMNS = ("no.", "what", "hole", "how", "off", "allowed")
TRIES = 12  # directions, and as many times further out, that a balloon is tried in


def comparison_picture(found: Comparison) -> Sheet:
    """Return one sheet with the panel, its differences marked, and their table."""
    size = found.wanted.box.size
    scale = min(LARGEST_SCALE, WIDE / size.width, HIGH / size.height)
    view = block("panel from the front", _marks(found, scale))
    head = block("verdict", _head(found))
    blocks: list[Block] = []
    top = 0.0
    for one in (head, view, *_table(found)):
        blocks.append(one.at(MARGIN, top))
        top -= one.size.height + MARGIN / 2
    width = max(one.size.width for one in blocks) + 2 * MARGIN
    height = MARGIN * 1.5 - top
    moved = tuple(one.at(one.box.left, one.box.top + height - MARGIN) for one in blocks)
    return Sheet(width, height, GROUP, moved, f"{found.job.title}: {found.summary}")


def _head(found: Comparison) -> Iterator[Mark]:
    yield from sign(found.verdict, SIGN / 2, SIGN / 2, SIGN)
    text, high = fitted(f"{found.job.title}: {found.summary}", WIDE - 2 * SIGN, TITLE)
    yield Text(1.6 * SIGN, (SIGN - TITLE) / 2, text, high)


def _table(found: Comparison) -> Iterator[Block]:
    if found.differences:
        cells = [row[:6] for row in rows(found)]
        yield from wrapped_tables("differences", "DIFFERENCES", (COLUMNS, cells), ENDLESS)


def _marks(found: Comparison, scale: float) -> Iterator[Mark]:
    laid = found.plate
    if laid.contour is not None:
        yield Stroke(laid.contour.scaled(scale), Pen.OUTLINE, "pale")
    if any(one.kind == "outline" for one in found.differences):
        yield Stroke(found.wanted.scaled(scale), Pen.HIDDEN)
    extra = {id(one.found) for one in found.differences if one.kind == "extra"}
    for opening in laid.openings:
        yield Stroke(opening.contour.scaled(scale), Pen.OUTLINE, "fails" if id(opening) in extra else "white")
        if opening.sink is not None:
            yield Stroke(Circle(*(opening.centre * scale), opening.sink.diameter / 2 * scale), Pen.THIN)
    for one in found.differences:
        yield from _marked(one, scale)
    yield from _balloons(found, scale)


def _marked(one: Difference, scale: float) -> Iterator[Mark]:
    """Yield what was asked for, dashed, and the sign of the kind of difference."""
    if one.wanted is not None:
        yield Stroke(contour(one.wanted).scaled(scale), Pen.HIDDEN)
    if one.kind == "missing" and one.wanted is not None:
        at, half = one.wanted.centre * scale, max(CROSS, *(size * scale for size in one.wanted.size)) / 2
        for hand in (1.0, -1.0):
            yield line(at + Point(-half, -half * hand), at + Point(half, half * hand), Pen.OUTLINE)
    if one.kind == "shifted" and one.wanted is not None and one.found is not None:
        start = one.wanted.centre * scale
        by = one.found.centre - one.wanted.centre
        if by.length > 0:  # else it stands off from its place, which moved
            tip = start + by * (ARROW / by.length)
            yield line(start, tip, Pen.OUTLINE)
            yield arrow(tip, start)


def _balloons(found: Comparison, scale: float) -> Iterator[Mark]:
    """Yield the numbers beside their holes; those of one hole stand together in one balloon."""
    spots: dict[tuple[float, float], list[int]] = {}
    reach: dict[tuple[float, float], float] = {}
    for number, one in enumerate(found.differences, start=1):
        if one.at is None:
            continue
        key = (round(one.at.x, 2), round(one.at.y, 2))
        spots.setdefault(key, []).append(number)
        sizes = [max(shape.box.size) for shape in (one.wanted, one.found) if shape is not None]
        reach[key] = max([reach.get(key, 0.0), *(size / 2 * scale for size in sizes)])
    taken = [opening.box.scaled(scale) for opening in found.plate.openings]
    for key, numbers in spots.items():
        text = ", ".join(map(str, numbers))
        at = Point(*key) * scale
        centre, room = _free(at, reach[key], Text(0.0, 0.0, text, HEIGHT, "centre").width, taken)
        taken.append(room)
        yield from _balloon(at, centre, room, text, reach[key])


def _free(at: Point, reach: float, width: float, taken: Sequence[Rectangle]) -> tuple[Point, Rectangle]:
    """Return where a balloon has room beside a hole, and its box; over something where it has none."""
    across = max(width + 2.0, 2 * BALLOON)
    tries = []
    for ring, n in itertools.product(range(TRIES), range(TRIES)):
        way = Point(1.0, 0.0).turned(45.0 + n * 360.0 / TRIES)
        centre = at + way * (reach + OUT + BALLOON + ring * BALLOON)
        room = Rectangle.at((centre.x - across / 2, centre.y - BALLOON), (across, 2 * BALLOON))
        if not any(room.overlaps(other, 0.5) for other in taken):
            return centre, room
        tries.append((centre, room))
    return tries[0]


def _balloon(at: Point, centre: Point, room: Rectangle, text: str, reach: float) -> Iterator[Mark]:
    way = centre - at
    start = at + way * (min(reach, way.length) / (way.length or 1.0))
    yield line(start, centre, Pen.THIN)
    pill = box(*room.size, BALLOON - ROUNDING).moved(*room.centre)
    yield Stroke(contour(pill), Pen.OUTLINE, "white")
    yield Text(centre.x, centre.y - HEIGHT / 2, text, HEIGHT, "centre")
