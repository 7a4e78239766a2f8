"""The drill template: the panel's front at 1:1 in tiles that a home printer prints, to stick on the sheet and drill.

Each page carries a tile, a 100 mm and a 4 in scale bar, its number, and match lines where it meets the next; a last
page tells pilot and final drill of every hole. The paper folds over the panel's top edge, which sets its height.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from dataclasses import dataclass

from dryfit.generators.bodies.blank import silhouette
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
from dryfit.generators.drawing.textblocks import HEIGHT, SMALL, Cells, fitted, notes, tables, wrapped
from dryfit.generators.drawing.views import cross_boxes, free_spot, in_cells
from dryfit.generators.lettering.typeface import text_width
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.drills import FAMILIES, PILOTS, drill_for
from dryfit.generators.lists.failing import Fails, titled
from dryfit.generators.lists.holes import GIVEN_FINISHED, Lettered, hole_chart, lettered_holes
from dryfit.generators.tolerances import GENERAL, Tolerances
from dryfit.models.geometry.contours import contour
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.outlines import clearance, filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job
from dryfit.models.measures import MM, Measures
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
MATCH_ARM = 2 * MATCH_RADIUS  # mm that its lines reach from its middle
CLEAR = 1.0  # mm between a match line and all that is drawn of a hole
SAME_LINE = 1e-9  # mm; rounding of sums and differences
MORE_TILES = 2  # that may be taken so that match lines keep clear of holes


def drill_template(
    job: Job,
    paper_size: str = "A4",
    fails: Fails = (),
    allowed: Tolerances = GENERAL,
    written: Measures = MM,
) -> Drawing:
    """Return the template: tiles from the upper left, row by row, then the page of drills.

    Where something ``fails``, every page says at its head that it is not for manufacture.

    Raises:
        UnknownName: if the paper is not one a home printer takes.
    """
    if paper_size.casefold() not in (size.casefold() for size in SIZES):
        raise UnknownName("template paper", paper_size, SIZES)
    page = page_for(paper_size, job, fails)
    marks, tiles = tuple(_marks(job, written)), tiles_of(page, job)
    sheets = [_tile_sheet(job, page, tile, tiles, marks) for tile in tiles]
    return Drawing(f"{titled(job.title, fails)}: drill template", (*sheets, *_drill_pages(job, page, allowed, written)))


Pair = tuple[float, float]  # of two ends, or of x and y


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
    """One tile: its place in the grid (from the upper left), what it shows, and the match lines beside it; panel axes.

    ``joints`` are x of the lines at its left and right and y of those at its bottom and top; None where there is none.
    """

    number: int
    column: int
    row: int
    box: Rectangle
    joints: tuple[float | None, float | None, float | None, float | None]


def page_for(paper_size: str, job: Job, fails: Fails) -> Page:
    """Return the page upright or lying, whichever takes fewer tiles."""
    size = paper(paper_size)
    lying, upright = Page(size.width, size.height, fails), Page(size.height, size.width, fails)
    return min((upright, lying), key=lambda p: len(tiles_of(p, job)))


def _area(job: Job) -> Rectangle:
    w, h = job.panel.width / 2 + AROUND, job.panel.height / 2
    return Rectangle(-w, -h - AROUND, w, h + TAB)


def tiles_of(page: Page, job: Job) -> tuple[Tile, ...]:
    """Return tiles that cover the panel, neighbours sharing OVERLAP or more about a match line that crosses no hole."""
    area, drawn = _area(job), [_drawn(item) for item in lettered_holes(job)]
    xs = match_lines(area.left, area.right, page.tile.width, [(box.left, box.right) for box in drawn])
    ys = match_lines(area.bottom, area.top, page.tile.height, [(box.bottom, box.top) for box in drawn])
    columns, rows = _spans(area.left, area.right, xs), _spans(area.bottom, area.top, ys)[::-1]
    tiles: list[Tile] = []
    for (row, up), (column, across) in itertools.product(enumerate(rows), enumerate(columns)):
        corner = (across.middle - page.tile.width / 2, up.middle - page.tile.height / 2)
        joints = (across.low, across.high, up.low, up.high)
        tiles.append(Tile(len(tiles) + 1, column, row, Rectangle.at(corner, page.tile), joints))
    return tuple(tiles)


def _drawn(item: Lettered) -> Rectangle:
    """Return all that is drawn of a hole: its edge, its countersink, its cross."""
    sink = item.hole.countersink
    boxes = [item.hole.outline.box, *cross_boxes(item.at, _arm(item))]
    boxes += [Rectangle(*item.at, *item.at).grown(sink.diameter / 2)] if sink is not None else []
    return Rectangle.around(boxes)


def match_lines(low: float, high: float, tile: float, taken: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """Return where to part a length into tiles so that no line comes near what is taken; one tile more if it must.

    Where even that is not enough, the lines are spread evenly, and are not drawn through what they cross.
    """
    least = max(1, math.ceil((high - low - OVERLAP) / (tile - OVERLAP) - 1e-9))
    barred = _barred(taken)
    for count in range(least, least + MORE_TILES + 1):
        found = _parted(low, high, tile, count, barred)
        if found is not None:
            return found
    return tuple(low + (high - low) * n / least for n in range(1, least))


def _parted(
    low: float, high: float, tile: float, count: int, barred: Sequence[tuple[float, float]]
) -> tuple[float, ...] | None:
    """Return the lines between so many tiles, each as near to an even spread as may be; None where there are none."""
    reach, lines = tile - OVERLAP, list[float]()
    for n in range(1, count):
        furthest = lines[-1] + reach if lines else low + tile - OVERLAP / 2
        nearest = high - (count - 1 - n) * reach - (tile - OVERLAP / 2)
        wanted = low + (high - low) * n / count
        spots = [wanted, *itertools.chain(*barred)]
        free = [spot for spot in spots if nearest <= spot <= furthest and _is_clear(spot, barred)]
        if not free:
            return None
        lines.append(min(free, key=lambda spot: (abs(spot - wanted), spot)))
    return tuple(lines)


def _barred(taken: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return from where to where no line may be: what is taken and CLEAR beside it, what laps as one."""
    barred: list[tuple[float, float]] = []
    for a, b in sorted((a - CLEAR, b + CLEAR) for a, b in taken):
        if barred and a < barred[-1][1] - SAME_LINE:
            barred[-1] = (barred[-1][0], max(b, barred[-1][1]))
        else:
            barred.append((a, b))
    return barred


def _is_clear(spot: float, barred: Sequence[tuple[float, float]]) -> bool:
    return all(spot <= a + SAME_LINE or spot >= b - SAME_LINE for a, b in barred)


@dataclass(frozen=True)
class Span:
    """What a tile covers one way: between its match lines, or to the end where there is none."""

    low: float | None
    high: float | None
    middle: float


def _spans(low: float, high: float, lines: Sequence[float]) -> tuple[Span, ...]:
    ends = [low, *lines, high]
    found = []
    for n, (start, stop) in enumerate(itertools.pairwise(ends)):
        first, last = n == 0, n == len(ends) - 2
        margin = OVERLAP / 2  # beyond a line, none at the ends
        middle = (start - margin * (not first) + stop + margin * (not last)) / 2
        found.append(Span(None if first else start, None if last else stop, middle))
    return tuple(found)


# --- one tile -------------------------------------------------------------------------------------------------------


def _tile_sheet(job: Job, page: Page, tile: Tile, tiles: Sequence[Tile], marks: Sequence[Mark]) -> Sheet:
    dx, dy = page.window.corner - tile.box.corner
    joints = tuple(joints_of(job, tile, tiles))
    seen = [m for m in (*joints, *marks) if _is_seen(m, tile.box)]
    group = Clip(page.window, tuple(m.moved(dx, dy) for m in seen))
    name = f"Tile {tile.number} of {len(tiles)}"
    where = f"{name}: row {tile.row + 1}, column {tile.column + 1}"
    blocks = (
        *page.heads,
        Block("tile", (group, frame(page.window, Pen.THIN)), page.window),
        _foot(page, _title(job), where),
    )
    return Sheet(page.width, page.height, LINE_GROUP, blocks, f"{job.title}: drill template, {name.lower()}")


def _is_seen(mark: Mark, window: Rectangle) -> bool:
    """Whether a mark belongs on the tile: text only if it is there whole (its neighbour shows it otherwise)."""
    return window.holds(mark.box) if isinstance(mark, Text) else window.overlaps(mark.box)


def joints_of(job: Job, tile: Tile, tiles: Sequence[Tile]) -> Iterator[Mark]:
    """Yield the match lines, each with two marks that lie on those of the next tile, none of them through a hole."""
    drawn = [_drawn(item) for item in lettered_holes(job)]
    across = [((b.left, b.right), (b.bottom, b.top)) for b in drawn]
    up = [(taken, lying) for lying, taken in across]
    left, right, bottom, top = tile.joints
    for x in (x for x in (left, right) if x is not None):
        row = next(t.box for t in tiles if t.row == tile.row)
        yield from _joint(x, (row.bottom, row.top), across, lambda x, y: (x, y))
    for y in (y for y in (bottom, top) if y is not None):
        column = next(t.box for t in tiles if t.column == tile.column)
        yield from _joint(y, (column.left, column.right), up, lambda y, x: (x, y))


def _joint(
    at: float, ends: Pair, holes: Sequence[tuple[Pair, Pair]], spot: Callable[[float, float], Pair]
) -> Iterator[Mark]:
    """Yield one match line with its marks; of every hole how it lies across the line, and along it.

    ``spot`` gives the point of the panel so far across the lines of this way, and so far along them.
    """

    def near(reach: float) -> list[Pair]:
        return [along for (low, high), along in holes if low - reach < at < high + reach]

    yield from (line(spot(at, a), spot(at, b), Pen.HIDDEN) for a, b in _between(*ends, near(CLEAR)))
    yield from (mark for along in _spots(*ends, near(MATCH_ARM)) for mark in _match(*spot(at, along)))


def _between(low: float, high: float, taken: Sequence[Pair]) -> Iterator[Pair]:
    """Yield what is left of a line without what is taken of it."""
    start = low
    for a, b in sorted(taken):
        if a - CLEAR > start:
            yield start, min(a - CLEAR, high)
        start = max(start, b + CLEAR)
    if start < high:
        yield start, high


def _spots(low: float, high: float, taken: Sequence[Pair]) -> Iterator[float]:
    """Yield where the two marks of a match line stand: about a quarter from its ends, clear of holes."""
    for share in (0.25, 0.75):
        wanted = low + (high - low) * share
        steps = (wanted + sign * n for n in range(int((high - low) / 4)) for sign in (1, -1))
        free = (spot for spot in steps if all(spot < a - MATCH_ARM or spot > b + MATCH_ARM for a, b in taken))
        yield from itertools.islice(free, 1)


def _match(x: float, y: float) -> Iterator[Mark]:
    yield circle(x, y, MATCH_RADIUS, Pen.THIN)
    yield line((x - MATCH_ARM, y), (x + MATCH_ARM, y))
    yield line((x, y - MATCH_ARM), (x, y + MATCH_ARM))


def _foot(page: Page, title: str, where: str) -> Block:
    """Return the foot of a page: two scale bars, the title and the tile's number."""
    inches = BAR_IN * float(MM_PER_INCH)
    y = MARGIN + 16.0
    marks = list(_bar(MARGIN + 2, y, float(BAR_MM), 10, f"{BAR_MM} mm"))
    marks += _bar(MARGIN + 2, y - 10.0, inches, 8, f"{BAR_IN} in")
    left = MARGIN + 2 + inches + text_width(f"{BAR_MM} mm", HEIGHT) + 8.0
    rows = [*_title_rows(title, page.width - MARGIN - left), where, "Print at 100 %; measure both bars."]
    for n, text in enumerate(rows):
        fitting, fit = fitted(text, page.width - MARGIN - left, HEIGHT)
        marks.append(Text(left, MARGIN + FOOT - 7.0 - n * 4.4, fitting, fit))
    return Block("foot", tuple(marks), Rectangle(MARGIN, MARGIN, page.width - MARGIN, MARGIN + FOOT - 2.0))


def _title(job: Job) -> str:
    return f"{job.title}, revision {job.revision}" if job.revision else job.title


def _title_rows(title: str, room: float) -> list[str]:
    """Return the title whole, on up to three rows."""
    return list(wrapped(title, room, HEIGHT))[:3]


def _bar(x: float, y: float, length: float, parts: int, text: str) -> Iterator[Mark]:
    """Yield a scale bar from x to x + length: a line with ticks, the ends taller."""
    yield line((x, y), (x + length, y), Pen.OUTLINE)
    for i in range(parts + 1):
        tall = 4.0 if i in (0, parts) else 2.0
        yield line((x + length * i / parts, y), (x + length * i / parts, y + tall), Pen.OUTLINE)
    yield Text(x + length + 2.0, y, text, HEIGHT)


# --- the panel ------------------------------------------------------------------------------------------------------


def _marks(job: Job, written: Measures) -> Iterator[Mark]:
    """Yield the template of the whole panel, panel axes."""
    panel, items = job.panel, lettered_holes(job)
    w, h = panel.width / 2, panel.height / 2
    yield Stroke(silhouette(panel))
    yield line((-w - AROUND, h), (w + AROUND, h), Pen.FOLD)
    yield frame(Rectangle(-w, h, w, h + TAB), Pen.THIN)
    text = next((t for t in FOLD_TEXTS if text_width(t, HEIGHT) < panel.width - 4.0), "")
    folds = [Text(x, h + TAB / 2 - HEIGHT / 2, text, HEIGHT, "centre", masked=True) for x in _repeated(-w, w)]
    yield from folds
    for item in items:
        yield from _hole(item)
    numbers = {place.name: str(n) for n, place in enumerate(job.places, start=1)}
    boxes = [Rectangle(-w, y, w, y) for y in (-h, h)]
    boxes += [b for item in items for b in (item.hole.outline.box, *cross_boxes(item.at, _arm(item)))]
    taken = in_cells((*boxes, *(fold.box for fold in folds)))
    sizes = _tag_heights(items, str(len(job.places)))
    tags: list[Text] = []
    for item in items:
        place = numbers.get(item.hole.place, "") if item.hole.purpose == "main" else ""
        size = item.kind.cut_size(written) if item.kind.is_round else ""
        tags += _tag(item, (place, size), sizes.get(item.kind.letter), taken)
    yield from tags
    yield from _names(job, {tag.text for tag in tags}, taken)


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


def _tag(item: Lettered, told: tuple[str, str], inner: float | None, taken: Nearby[Rectangle]) -> Iterator[Text]:
    """Yield the letter of a hole and what is told of it, the number of its place at the main hole and its size.

    They stand inside it at a height, if given. Beside it, the letter alone may have room where all have not; a hole
    hemmed in on all sides stays without.
    """
    place, size_text = told
    text = f"{place} {item.kind.letter}".strip()
    if place and inner is not None:
        room = _inner(item, text, inner)
        yield Text(room.left, room.bottom, text, inner, masked=True)
        yield from _rows_below(item, (size_text, item.hole.place), inner)
        return
    for short in dict.fromkeys((f"{text} {size_text}".strip(), text, place or text, item.kind.letter)):
        size = Size(text_width(short, SMALL), SMALL)
        spot = free_spot(item.at, item.hole.outline.size, size, taken)
        if spot is not None:
            taken.add(spot, spot)
            yield Text(spot.left, spot.bottom, short, SMALL, masked=True)
            return


def _rows_below(item: Lettered, texts: Sequence[str], height: float) -> Iterator[Text]:
    """Yield texts one below the other under the centre of a hole, as far as they fit into it."""
    y = item.at.y - 0.5 * _pilot(item) - 0.9 - height
    for text in filter(None, texts):
        room = Rectangle.at((item.at.x - text_width(text, height) / 2, y), (text_width(text, height), height))
        if _fits_in(item, room):
            yield Text(room.left, room.bottom, text, height, masked=True)
            y -= 1.5 * height


def _names(job: Job, inside: Container[str], taken: Nearby[Rectangle]) -> Iterator[Text]:
    """Yield the names that do not stand inside their main holes beside these, whole, where there is room for them."""
    for item in lettered_holes(job):
        if item.hole.purpose == "main" and item.hole.place not in inside:
            size = Size(text_width(item.hole.place, SMALL), SMALL)
            spot = free_spot(item.at, item.hole.outline.size, size, taken)
            if spot is not None:
                taken.add(spot, spot)
                yield Text(spot.left, spot.bottom, item.hole.place, SMALL, masked=True)


def _fits_in(item: Lettered, room: Rectangle) -> bool:
    """Whether a rectangle lies within a hole with a little to spare."""
    return clearance(filled(room), item.hole.outline) >= 0.5


# --- the page of drills ---------------------------------------------------------------------------------------------


def _drill_pages(job: Job, page: Page, allowed: Tolerances, written: Measures) -> Iterator[Sheet]:
    blocks = [
        *tables("drills", "HOLES AND DRILLS", _drills(job, allowed, written), page.tile),
        notes("how to use", "HOW TO USE", tuple(_how(job, written)), min(150.0, page.tile.width)),
    ]
    packed = pack_into(blocks, page.window)
    for n, placed in enumerate(packed, start=1):
        foot = _foot(page, _title(job), f"Drills {n} of {len(packed)}")
        name = f"{job.title}: drill template, drills {n}"
        yield Sheet(page.width, page.height, LINE_GROUP, (*page.heads, *placed, foot), name)


def _drills(job: Job, allowed: Tolerances, written: Measures) -> Cells:
    head = ("Hole", "Count", "Size", "Pilot", *(family.capitalize() for family in FAMILIES), "Countersink", "Tool")
    rows = []
    for kind in hole_chart(job):
        tolerance = allowed.size(kind.outline, kind.places)
        drill = drill_for(kind, tolerance, job.panel.thickness)
        sizes = (drill.sizes.get(family) or "–" for family in FAMILIES)
        as_told = written.holding(tolerance)
        size = f"{kind.cut_size(as_told)} ±{as_told.held(tolerance, *kind.outline.size)}"
        rows.append((kind.letter, str(kind.count), size, drill.pilot, *sizes, kind.sink(written) or "–", drill.tool))
    return head, rows


def _how(job: Job, written: Measures) -> Iterator[str]:
    yield (
        f"Print at 100 % (actual size, no fitting to the page). Both bars of every page must measure {BAR_MM} mm and "
        f"{BAR_IN} in to within 0.3 mm; if not, do not use the print."
    )
    yield "Cut each tile along a dashed match line, lay it on its neighbour so that the round marks coincide, and tape."
    yield (
        "Fold along the line of long dashes and two dots, and hang the fold over the top edge; centre it on the "
        "panel's width."
    )
    yield "Centre-punch every cross, drill the pilot, then the final size. Holes are drawn as cut, before coating."
    if job.panel.holes_finished:
        yield f"{GIVEN_FINISHED}: what the panel has already is drawn to compare, not to drill."
    elif job.panel.coating:
        yield f"Coating {written.coat(job.panel.coating)} per surface is allowed for: drill to the size shown."
    yield from cautions(job)
