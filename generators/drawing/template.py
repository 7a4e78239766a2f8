"""The drill template: the panel's front at 1:1 in tiles that a home printer prints, to stick on the sheet and drill.

Each page carries a tile, a 100 mm and a 4 in scale bar, its number, and match lines where it meets the next; a last
page tells pilot and final drill of every hole. The paper folds over the panel's top edge, which sets its height.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dryfit.generators.drawing.banner import banner
from dryfit.generators.drawing.marks import (
    Block,
    Clip,
    Drawing,
    Mark,
    Pen,
    Sheet,
    Stroke,
    Text,
    circle,
    frame,
    line,
)
from dryfit.generators.drawing.paper import pack_into, paper
from dryfit.generators.drawing.textblocks import HEIGHT, SMALL, Cells, fitted, notes, tables
from dryfit.generators.drawing.views import cross_boxes, free_spot
from dryfit.generators.lettering.typeface import text_width
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.drills import FAMILIES, PILOTS, drill_for
from dryfit.generators.lists.failing import Fails, titled
from dryfit.generators.lists.holes import Lettered, hole_chart, lettered_holes
from dryfit.generators.tolerances import GENERAL, Tolerances
from dryfit.models.geometry.contours import contour, number
from dryfit.models.geometry.outlines import clearance, filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.units import MM_PER_INCH

SIZES = ("A4", "Letter")  # what a home printer takes
MARGIN = 10.0  # mm; home printers leave at most this blank at an edge (common practice)
FOOT = 26.0  # mm at the bottom of each page for scale bars and the tile's number
OVERLAP = 12.0  # mm that neighbouring tiles share, so that one can be laid on the other
HEAD_GAP = 2.0  # mm between a banner and the tile
TAB = 15.0  # mm of paper that folds over the top edge
AROUND = 6.0  # mm of paper shown beside and below the panel
CROSS = 5.0  # mm; arms of a centre cross, at least
LINE_GROUP = 0.35
BAR_MM, BAR_IN = 100, 4
FOLD_TEXTS = ("FOLD along the top edge of the panel", "FOLD at the top", "FOLD")
MATCH_RADIUS = 2.0  # mm; circle of a match mark


def drill_template(job: Job, paper_size: str = "A4", fails: Fails = (), allowed: Tolerances = GENERAL) -> Drawing:
    """Return the template: tiles from the upper left, row by row, then the page of drills.

    Where something ``fails``, every page says at its head that it is not for manufacture.

    Raises:
        UnknownName: if the paper is not one a home printer takes.
    """
    if paper_size.casefold() not in (size.casefold() for size in SIZES):
        raise UnknownName("template paper", paper_size, SIZES)
    page, area = _page(paper_size, job, fails), _area(job)
    marks = tuple(_marks(job))
    tiles = tuple(_tiles(page, area))
    sheets = [_tile_sheet(job, page, tile, tiles, marks) for tile in tiles]
    return Drawing(f"{titled(job.title, fails)}: drill template", (*sheets, *_drill_pages(job, page, allowed)))


@dataclass(frozen=True)
class Page:
    """A page and the window for the tile on it; mm on paper."""

    width: float
    height: float
    fails: Fails = ()

    @property
    def heads(self) -> tuple[Block, ...]:
        """The banner of a panel that fails, where it stands; none of another."""
        head = banner(self.fails, self.width - 2 * MARGIN)
        return (head.at(MARGIN, self.height - MARGIN),) if head is not None else ()

    @property
    def window(self) -> Rectangle:
        """Where the tile is printed."""
        top = min((head.box.bottom - HEAD_GAP for head in self.heads), default=self.height - MARGIN)
        return Rectangle(MARGIN, MARGIN + FOOT, self.width - MARGIN, top)

    @property
    def tile(self) -> Size:
        """Width and height of a tile."""
        return self.window.size


@dataclass(frozen=True)
class Tile:
    """One tile: its place in the grid (from the upper left) and what it shows, panel axes."""

    number: int
    column: int
    row: int
    box: Rectangle


def _page(paper_size: str, job: Job, fails: Fails) -> Page:
    """Return the page upright or lying, whichever takes fewer tiles."""
    size = paper(paper_size)
    lying, upright = Page(size.width, size.height, fails), Page(size.height, size.width, fails)
    return min((upright, lying), key=lambda p: len(tuple(_tiles(p, _area(job)))))


def _area(job: Job) -> Rectangle:
    w, h = job.panel.width / 2 + AROUND, job.panel.height / 2
    return Rectangle(-w, -h - AROUND, w, h + TAB)


def _tiles(page: Page, area: Rectangle) -> Iterator[Tile]:
    """Yield tiles that cover the area with OVERLAP between neighbours, spread evenly."""
    w, h = page.tile
    columns, rows = _count(area.width, w), _count(area.height, h)
    for row in range(rows):
        for column in range(columns):
            left = _offset(area.left, area.right, w, column, columns)
            bottom = _offset(area.bottom, area.top, h, rows - 1 - row, rows)
            yield Tile(row * columns + column + 1, column, row, Rectangle.at((left, bottom), page.tile))


def _count(length: float, tile: float) -> int:
    return max(1, math.ceil((length - OVERLAP) / (tile - OVERLAP) - 1e-9))


def _offset(low: float, high: float, tile: float, n: int, count: int) -> float:
    """Return where tile n of a row starts: a lone tile is centred, others keep the overlap and are centred as a row."""
    whole = count * tile - (count - 1) * OVERLAP
    return (low + high - whole) / 2 + n * (tile - OVERLAP)


# --- one tile -------------------------------------------------------------------------------------------------------


def _tile_sheet(job: Job, page: Page, tile: Tile, tiles: Sequence[Tile], marks: Sequence[Mark]) -> Sheet:
    dx, dy = page.window.corner - tile.box.corner
    joints = tuple(_joints(tile, tiles))
    seen = [m for m in (*joints, *marks) if _is_seen(m, tile.box)]
    group = Clip(page.window, tuple(m.moved(dx, dy) for m in seen))
    name = f"Tile {tile.number} of {len(tiles)}"
    where = f"{name}: row {tile.row + 1}, column {tile.column + 1}"
    blocks = (
        *page.heads,
        Block("tile", (group, frame(page.window, Pen.THIN)), page.window),
        _foot(page, job.title, where),
    )
    return Sheet(page.width, page.height, LINE_GROUP, blocks, f"{job.title}: drill template, {name.lower()}")


def _is_seen(mark: Mark, window: Rectangle) -> bool:
    """Whether a mark belongs on the tile: text only if it is there whole (its neighbour shows it otherwise)."""
    return window.holds(mark.box) if isinstance(mark, Text) else window.overlaps(mark.box)


def _joints(tile: Tile, tiles: Sequence[Tile]) -> Iterator[Mark]:
    """Yield match lines in the middle of every overlap, each with two marks that lie on those of the next tile."""
    x0, y0, x1, y1 = tile.box
    for other in tiles:
        step = (other.column - tile.column, other.row - tile.row)
        if step in ((1, 0), (-1, 0)):
            x = x1 - OVERLAP / 2 if step[0] > 0 else x0 + OVERLAP / 2
            yield line((x, y0), (x, y1), Pen.FOLD)
            for y in (y0 + tile.box.height / 4, y1 - tile.box.height / 4):
                yield from _match(x, y)
        elif step in ((0, 1), (0, -1)):
            y = y0 + OVERLAP / 2 if step[1] > 0 else y1 - OVERLAP / 2
            yield line((x0, y), (x1, y), Pen.FOLD)
            for x in (x0 + tile.box.width / 4, x1 - tile.box.width / 4):
                yield from _match(x, y)


def _match(x: float, y: float) -> Iterator[Mark]:
    yield circle(x, y, MATCH_RADIUS, Pen.THIN)
    yield line((x - 2 * MATCH_RADIUS, y), (x + 2 * MATCH_RADIUS, y))
    yield line((x, y - 2 * MATCH_RADIUS), (x, y + 2 * MATCH_RADIUS))


def _foot(page: Page, title: str, where: str) -> Block:
    """Return the foot of a page: two scale bars, the title and the tile's number."""
    inches = BAR_IN * float(MM_PER_INCH)
    y = MARGIN + 16.0
    marks = list(_bar(MARGIN + 2, y, float(BAR_MM), 10, f"{BAR_MM} mm"))
    marks += _bar(MARGIN + 2, y - 10.0, inches, 8, f"{BAR_IN} in")
    left = MARGIN + 2 + inches + text_width(f"{BAR_MM} mm", HEIGHT) + 8.0
    room = page.width - MARGIN - left
    for n, (text, height) in enumerate(((title, 3.5), (where, 3.5), ("Print at 100 %; measure both bars.", HEIGHT))):
        cut, fit = fitted(text, room, height)
        marks.append(Text(left, y - 1.0 - n * 6.0, cut, fit))
    return Block("foot", tuple(marks), Rectangle(MARGIN, MARGIN, page.width - MARGIN, MARGIN + FOOT - 2.0))


def _bar(x: float, y: float, length: float, parts: int, text: str) -> Iterator[Mark]:
    """Yield a scale bar from x to x + length: a line with ticks, the ends taller."""
    yield line((x, y), (x + length, y), Pen.OUTLINE)
    for i in range(parts + 1):
        tall = 4.0 if i in (0, parts) else 2.0
        yield line((x + length * i / parts, y), (x + length * i / parts, y + tall), Pen.OUTLINE)
    yield Text(x + length + 2.0, y, text, HEIGHT)


# --- the panel ------------------------------------------------------------------------------------------------------


def _marks(job: Job) -> Iterator[Mark]:
    """Yield the template of the whole panel, panel axes."""
    panel, items = job.panel, lettered_holes(job)
    w, h = panel.width / 2, panel.height / 2
    yield Stroke(contour(panel.outline))
    yield line((-w - AROUND, h), (w + AROUND, h), Pen.FOLD)
    yield frame(Rectangle(-w, h, w, h + TAB), Pen.THIN)
    taken = [item.hole.outline.box for item in items]
    taken += [Rectangle(-w, y, w, y) for y in (-h, h)]
    text = next((t for t in FOLD_TEXTS if text_width(t, HEIGHT) < panel.width - 4.0), "")
    for x in _repeated(-w, w):
        yield Text(x, h + TAB / 2 - HEIGHT / 2, text, HEIGHT, "centre", masked=True)
    for item in items:
        yield from _hole(item)
    numbers = {place.name: str(n) for n, place in enumerate(job.places, start=1)}
    taken += [b for item in items for b in cross_boxes(item.at, _arm(item))]
    sizes = _tag_heights(items, str(len(job.places)))
    for item in items:
        place = numbers.get(item.hole.place, "") if item.hole.purpose == "main" else ""
        yield from _tag(item, place, sizes.get(item.kind.letter), taken)


def _repeated(low: float, high: float) -> tuple[float, ...]:
    """Return evenly spaced positions, close enough together that every tile shows one."""
    count = max(1, round((high - low) / 80.0))
    return tuple(low + (high - low) * (i + 0.5) / count for i in range(count))


def _hole(item: Lettered) -> Iterator[Mark]:
    yield Stroke(contour(item.hole.outline), Pen.OUTLINE)
    (x, y), arm = item.at, _arm(item)
    yield line((x - arm, y), (x + arm, y))
    yield line((x, y - arm), (x, y + arm))
    if _pilot(item):
        yield circle(x, y, _pilot(item) / 2, Pen.THIN)
    sink = item.hole.countersink
    if sink is not None:
        yield circle(x, y, sink.diameter / 2, Pen.THIN if item.hole.sunk_from == "front" else Pen.HIDDEN)


def _pilot(item: Lettered) -> float:
    """Return the diameter of the pilot drill; 0 for none, and for holes that are not round."""
    return next(p for up_to, p in PILOTS if item.kind.diameter <= up_to) if item.kind.is_round else 0.0


def _arm(item: Lettered) -> float:
    return min(CROSS, item.kind.diameter / 2 + 1.5)


def _tag_heights(items: Sequence[Lettered], widest: str) -> dict[str, float]:
    """Return by letter the height at which the widest number fits into main holes, so that all of a kind look alike.

    Kinds into which none fits are left out.
    """
    mains = [item for item in items if item.hole.purpose == "main"]
    found: dict[str, float] = {}
    for letter in dict.fromkeys(item.kind.letter for item in mains):
        alike = [item for item in mains if item.kind.letter == letter]
        text = f"{'0' * len(widest)} {letter}"
        fitting = (h for h in (HEIGHT, SMALL) if all(_fits_in(item, _inner(item, text, h)) for item in alike))
        height = next(fitting, None)
        if height is not None:
            found[letter] = height
    return found


def _inner(item: Lettered, text: str, height: float) -> Rectangle:
    """Return where a text stands in a hole: beside its centre, in a diagonal direction that clears the pilot."""
    away = 0.4 * _pilot(item) + 0.6
    return Rectangle.at(item.at + Point(away, away), (text_width(text, height), height))


def _tag(item: Lettered, place: str, inner: float | None, taken: list[Rectangle]) -> Iterator[Text]:
    """Yield the letter of a hole, with the number of its place at the main hole: inside it at a height, if given.

    Beside it, the letter alone may have room where both have not; a hole hemmed in on all sides stays without.
    """
    text = f"{place} {item.kind.letter}".strip()
    if place and inner is not None:
        room = _inner(item, text, inner)
        yield Text(room.left, room.bottom, text, inner, masked=True)
        return
    for short in dict.fromkeys((text, place or text, item.kind.letter)):
        size = Size(text_width(short, SMALL), SMALL)
        spot = free_spot(item.at, item.hole.outline.size, size, taken)
        if spot is not None:
            taken.append(spot)
            yield Text(spot.left, spot.bottom, short, SMALL, masked=True)
            return


def _fits_in(item: Lettered, room: Rectangle) -> bool:
    """Whether a rectangle lies within a hole with a little to spare."""
    return clearance(filled(room), item.hole.outline) >= 0.5


# --- the page of drills ---------------------------------------------------------------------------------------------


def _drill_pages(job: Job, page: Page, allowed: Tolerances) -> Iterator[Sheet]:
    blocks = [
        *tables("drills", "HOLES AND DRILLS", _drills(job, allowed), page.tile),
        notes("how to use", "HOW TO USE", tuple(_how(job)), min(150.0, page.tile.width)),
    ]
    packed = pack_into(blocks, page.window)
    for n, placed in enumerate(packed, start=1):
        foot = _foot(page, job.title, f"Drills {n} of {len(packed)}")
        name = f"{job.title}: drill template, drills {n}"
        yield Sheet(page.width, page.height, LINE_GROUP, (*page.heads, *placed, foot), name)


def _drills(job: Job, allowed: Tolerances) -> Cells:
    head = ("Hole", "Count", "Size", "Pilot", *(family.capitalize() for family in FAMILIES), "Countersink", "Tool")
    rows = []
    for kind in hole_chart(job):
        tolerance = allowed.size(kind.outline, kind.places)
        drill = drill_for(kind, tolerance, job.panel.thickness)
        sizes = (drill.sizes.get(family) or "–" for family in FAMILIES)
        size = f"{kind.punched} ±{number(tolerance)}"
        rows.append((kind.letter, str(kind.count), size, drill.pilot, *sizes, kind.sink_text or "–", drill.tool))
    return head, rows


def _how(job: Job) -> Iterator[str]:
    yield (
        f"Print at 100 % (actual size, no fitting to the page). Both bars of every page must measure {BAR_MM} mm and "
        f"{BAR_IN} in to within 0.3 mm; if not, do not use the print."
    )
    yield "Cut each tile along a match line, lay it on its neighbour so that the round marks coincide, and tape."
    yield "Fold along the double-dotted line and hang the fold over the top edge; centre it on the panel's width."
    yield "Centre-punch every cross, drill the pilot, then the final size. Holes are drawn as cut, before coating."
    if job.panel.coating:
        yield f"Coating {number(job.panel.coating * 1000)} µm per surface is allowed for: drill to the size shown."
    yield from cautions(job)
