"""Sections: the panel, a part and its fasteners cut by a plane through an axis, drawn from their slices.

The plane is x = const in the frame of the place. Seen from its right: front of the panel to the left of the sheet, up
is up. Only what the plane cuts is shown. Screws, nuts and washers are not hatched (ISO 128-3); panel and part are
hatched in opposite directions.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.generators.drawing.dimensions import length
from dryfit.generators.drawing.marks import Block, Clip, Mark, Pen, Stroke, Text, around, block, line
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE, wrapped
from dryfit.models.geometry.bodies import Profile, Slice, Straight
from dryfit.models.geometry.contours import Curve, contour, polygon_of
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job, Place
from dryfit.models.measures import MM, Measures
from dryfit.models.panel import Panel

SHOWN: tuple[Role, ...] = ("panel", "part", "washer", "nut", "screw")  # in the order they are drawn, each over the last
HATCHES: dict[Role, tuple[float, float]] = {"panel": (45.0, 1.8), "part": (-45.0, 2.6)}  # degrees, mm apart on paper
MARGIN = 4.0  # mm of panel shown past the part, above and below
TEXT_WIDTH = 78.0  # mm on paper: names of screws are wrapped to it
SLANTS = 8  # steps in which a cone is drawn that is not cut through its axis (its edge is a hyperbola)
THREAD_ROOT = 0.85  # share of the major diameter at which the thread's thin line is drawn (ISO 6410-1)
SAME_LEVEL = 1e-6  # mm


@dataclass(frozen=True)
class Piece:
    """A trapezium that a slice shows in the plane: between z0 < z1, from low to high at either end."""

    z0: float
    z1: float
    low0: float
    high0: float
    low1: float
    high1: float


def cut(part: Slice, x: float) -> tuple[Piece, ...]:
    """Return what a slice shows in the plane at ``x``."""
    steps = 1 if _is_plain(part, x) else SLANTS
    shares = [i / steps for i in range(steps + 1)]
    bands = [_bands(part, x, share) for share in shares]
    pieces: list[Piece] = []
    for (a, here), (b, after) in pairwise(zip(shares, bands, strict=True)):
        z0, z1 = (part.z0 + (part.z1 - part.z0) * share for share in (a, b))
        pieces += [Piece(z0, z1, *low, *high) for low, high in zip(here, after, strict=True)]
    return tuple(p for p in pieces if p.high0 > p.low0 or p.high1 > p.low1)


def _is_plain(part: Slice, x: float) -> bool:
    return all(isinstance(p, Straight) or abs(p.x - x) < SAME_LEVEL for p in (part.profile, *part.holes))


def _bands(part: Slice, x: float, share: float) -> tuple[tuple[float, float], ...]:
    """Return the solid stretches along y at one height of a slice; as many at every height of the same slice."""
    edges = list(_chord(part.profile, x, share))
    for hole in sorted((h for h in part.holes if _reaches(h, x)), key=lambda h: h.widest.centre.y):
        edges[-1:-1] = _chord(hole, x, share)
    return tuple(zip(edges[::2], edges[1::2], strict=True))


def _reaches(profile: Profile, x: float) -> bool:
    left, _, right, _ = profile.widest.box
    return left < x < right


def _chord(profile: Profile, x: float, share: float) -> tuple[float, float]:
    """Return the stretch of y that a convex profile covers at ``x``; of no length where it does not reach."""
    outline = profile.at(share)
    left, _, right, _ = outline.box
    if outline.is_circle:
        (c,) = outline.corners
        half = math.sqrt(max(0.0, c.radius**2 - (c.x - x) ** 2))
        return (c.y - half, c.y + half)
    if not left < x < right:
        return (outline.centre.y, outline.centre.y)
    points = polygon_of(contour(outline))
    ys = [_crossing(a, b, x) for a, b in zip(points, points[1:] + points[:1], strict=True) if _spans(a, b, x)]
    return (min(ys), max(ys))


def _spans(a: Point, b: Point, x: float) -> bool:
    return min(a.x, b.x) <= x <= max(a.x, b.x) and a.x != b.x


def _crossing(a: Point, b: Point, x: float) -> float:
    return a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x)


# --- drawing it -----------------------------------------------------------------------------------------------------


def in_place_frame(slices: Iterable[Slice], place: Place) -> Iterator[Slice]:
    """Yield slices of the assembly as they stand in the frame of a place."""
    for part in slices:
        yield part.placed(-place.x, -place.y, 0.0, 0.0, False).placed(0.0, 0.0, 0.0, -place.turn, False)


@dataclass(frozen=True)
class Plane:
    """Where a section is cut: x in the frame of the place, its letter, and what it goes through."""

    x: float
    letter: str
    through: str


def planes(place: Place, letters: Iterator[str]) -> tuple[Plane, ...]:
    """Return the planes that show a place: through its rightmost fixing axis, if it has one, and through its own."""
    at = cut_at(place)
    through = () if abs(at) < SAME_LEVEL else (Plane(at, next(letters), "a fixing"),)
    return (*through, Plane(0.0, next(letters), "its axis"))


def cut_at(place: Place) -> float:
    """Return x of the plane that shows a place's fasteners: through its rightmost fixing axis, else its own axis."""
    return max((x for x, _ in place.cutout.fixings), default=0.0)


def section(
    job: Job, assembly: Assembly, place: Place, plane: Plane, *, room: Size, where: str, written: Measures = MM
) -> Block:
    """Return a section of one place; ``room`` is how wide and high the view may be, ``where`` says what it shows."""
    marks, scale = section_view(job, assembly, place, room, x=plane.x, written=written)
    left, bottom, _, _ = around(marks)
    top = bottom - TITLE - 3.0
    marks.append(Text(left, top, f"{plane.letter}–{plane.letter}  {scale_text(scale)}", TITLE))
    rows = wrapped(f"{where}, through {plane.through}", TEXT_WIDTH, HEIGHT)
    marks += [Text(left, top - n * 1.7 * HEIGHT, row, HEIGHT) for n, row in enumerate(rows, start=1)]
    return block(f"section {plane.letter}", marks)


def section_view(
    job: Job, assembly: Assembly, place: Place, room: Size, *, x: float | None = None, written: Measures = MM
) -> tuple[list[Mark], float]:
    """Return the cut of one place alone, with its sizes, and its scale; ``room`` is how wide and high it may be.

    It is cut at ``x`` in the frame of the place, by default where its fasteners show.
    """
    x = cut_at(place) if x is None else x
    ours = _shown(assembly, place)
    cuts = [(i, [p for s in in_place_frame(i.slices, place) for p in cut(s, x)]) for i in ours]
    window = _window(cuts)
    scale = next(s for s in scales(5.0) if window.width * s <= room.width and window.height * s <= room.height)
    paper_window = window.mirrored().scaled(scale)
    marks: list[Mark] = [Clip(paper_window, tuple(m for i, pieces in cuts for m in _drawn(i, pieces, scale)))]
    marks += _sizes(job.panel, cuts, paper_window, scale, written)
    return marks, scale


def _shown(assembly: Assembly, place: Place) -> list[Instance]:
    """Return the bodies that a section of a place shows, in the order they are drawn."""
    ours = [i for i in assembly.of(*SHOWN) if i.place in ("", place.name)]
    return sorted(ours, key=lambda i: SHOWN.index(i.role))


def _window(cuts: Sequence[tuple[Instance, Sequence[Piece]]]) -> Rectangle:
    """Return what is shown, z to the right: all that is cut of part and fasteners and MARGIN more along y."""
    shown = [p for i, pieces in cuts if i.role != "panel" for p in pieces]
    panel = [p for i, pieces in cuts if i.role == "panel" for p in pieces]
    low, high = min(min(p.low0, p.low1) for p in shown), max(max(p.high0, p.high1) for p in shown)
    low = max(low - MARGIN, min((p.low0 for p in panel), default=low))  # where holes run into each other none is left
    high = min(high + MARGIN, max((p.high0 for p in panel), default=high))
    low, high = min(low, *(p.low0 for p in shown)), max(high, *(p.high0 for p in shown))
    levels = [z for p in shown for z in (p.z0, p.z1)] + [0.0]
    return Rectangle(min(levels) - 1.0, low, max(levels) + 1.0, high)


def _drawn(instance: Instance, pieces: Sequence[Piece], scale: float) -> Iterator[Mark]:
    shapes = [_corners(p, scale) for p in pieces]
    for shape in shapes:
        yield Stroke(Curve(tuple((x, y, 0.0) for x, y in shape)), None, "white")
    hatch = HATCHES.get(instance.role)
    if hatch is not None:
        for shape in shapes:
            yield from _hatched(shape, *hatch)
    for p in pieces:
        if p.high0 - p.low0 < SAME_LEVEL and p.high1 - p.low1 < SAME_LEVEL:
            continue
        yield line((-p.z0 * scale, p.low0 * scale), (-p.z1 * scale, p.low1 * scale), Pen.OUTLINE)
        yield line((-p.z0 * scale, p.high0 * scale), (-p.z1 * scale, p.high1 * scale), Pen.OUTLINE)
    for z, y0, y1 in _faces(pieces):
        yield line((-z * scale, y0 * scale), (-z * scale, y1 * scale), Pen.OUTLINE)
    if instance.role == "screw" and pieces:
        yield from _thread(pieces, scale)


def _corners(p: Piece, scale: float) -> tuple[Point, ...]:
    spots = ((p.z0, p.low0), (p.z0, p.high0), (p.z1, p.high1), (p.z1, p.low1))
    return tuple(Point(-z * scale, y * scale) for z, y in spots)


def _faces(pieces: Sequence[Piece]) -> Iterator[tuple[float, float, float]]:
    """Yield edges at constant z: where matter ends, that is on one side of the level but not on the other."""
    for z in sorted({round(v, 6) for p in pieces for v in (p.z0, p.z1)}):
        below = [(p.low1, p.high1) for p in pieces if abs(p.z1 - z) < SAME_LEVEL]
        above = [(p.low0, p.high0) for p in pieces if abs(p.z0 - z) < SAME_LEVEL]
        ys = sorted({round(y, 6) for band in below + above for y in band})
        for y0, y1 in pairwise(ys):
            middle = (y0 + y1) / 2
            if _covered(below, middle) != _covered(above, middle):
                yield (z, y0, y1)


def _covered(bands: Sequence[tuple[float, float]], y: float) -> bool:
    return any(low < y < high for low, high in bands)


def _hatched(shape: Sequence[Point], angle: float, apart: float) -> Iterator[Mark]:
    """Yield parallel lines within a convex polygon, on a raster fixed to the view so that pieces match."""
    a = math.radians(angle)
    along, across = (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))
    offsets = [x * across[0] + y * across[1] for x, y in shape]
    spots = list(zip(shape, offsets, strict=True))
    for n in range(math.ceil(min(offsets) / apart), math.floor(max(offsets) / apart) + 1):
        level, hits = n * apart, []
        for (p, dp), (q, dq) in pairwise([*spots, spots[0]]):
            if (dp - level) * (dq - level) < 0:
                share = (level - dp) / (dq - dp)
                hits.append(p + (q - p) * share)
        if len(hits) == 2:
            hits.sort(key=lambda h: h.x * along[0] + h.y * along[1])
            yield line(hits[0], hits[1], Pen.HATCH)


def _thread(pieces: Sequence[Piece], scale: float) -> Iterator[Mark]:
    """Yield the thin lines of the thread's root along every narrowest, straight stretch of a screw."""
    narrow = min(p.high0 - p.low0 for p in pieces)
    for p in pieces:
        if abs(p.high0 - p.low0 - narrow) < SAME_LEVEL and abs(p.high1 - p.low1 - narrow) < SAME_LEVEL:
            middle, half = (p.low0 + p.high0) / 2, narrow * THREAD_ROOT / 2
            for y in (middle - half, middle + half):
                yield line((-p.z0 * scale, y * scale), (-p.z1 * scale, y * scale), Pen.THIN)


def _sizes(
    panel: Panel,
    cuts: Sequence[tuple[Instance, Sequence[Piece]]],
    window: Rectangle,
    scale: float,
    written: Measures,
) -> Iterator[Mark]:
    """Yield the thickness of the finished panel above the view and the depth behind it below."""
    rear = panel.finished * scale
    text = written.dimension(panel.finished) + (" coated" if panel.coating else "")
    yield from length(0.0, rear, window.top, window.top + 6.0, text)
    deepest = -min(p.z0 for i, pieces in cuts if i.role != "panel" for p in pieces) * scale
    if deepest > rear + 1:
        depth = written.number(deepest / scale - panel.finished)
        yield from length(rear, deepest, window.bottom, window.bottom - 6.0, depth)


def stack_key(place: Place, assembly: Assembly) -> object:
    """Return what makes two places alike in section: part, mounting, cut-out and the bodies that hold it."""
    held: Iterable[Instance] = (i for i in assembly.of("screw", "nut", "washer") if i.place == place.name)
    stack = tuple(sorted({(i.body.name, round(i.placement.z, 4)) for i in held}))
    cut = place.cutout
    return (
        place.kind,
        place.mount,
        place.mounting.part_turn,
        cut.main.box,
        cut.fixing_diameter,
        cut.countersink,
        stack,
    )


def held_by(assembly: Assembly, place: Place) -> Iterator[str]:
    """Yield what holds a part, front to rear, each kind once with how many there are of it."""
    held = [i for i in assembly.of("screw", "washer", "nut") if i.place == place.name]
    held.sort(key=lambda i: -i.box.z1)
    count = Counter(_unbroken(i.body.name) for i in held)
    yield from (f"{number} × {name}" for name, number in count.items())


def _unbroken(name: str) -> str:
    """Return a designation whose standard and sizes stay on one line: hard spaces where it must not break."""
    return re.sub(
        r" ([-x]) |(?<=ISO|DIN) |(?<=ASME) |(?<= [A-Z]) (?=\d)",
        lambda m: f"\u00a0{m[1]}\u00a0" if m[1] else "\u00a0",
        name,
    )
