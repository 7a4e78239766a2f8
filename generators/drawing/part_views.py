"""Views of one part or plug with a letter at every dimension: where the caliper goes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from dryfit.generators.drawing.dimensions import Leader, leaders, length
from dryfit.generators.drawing.marks import (
    ARROW,
    Block,
    Mark,
    Pen,
    Stroke,
    Text,
    around,
    arrow,
    block,
    line,
)
from dryfit.generators.drawing.paper import scale_text
from dryfit.generators.drawing.part_dimensions import CABLE, Taken, panel_faces, panel_of, seat_face, taken
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE
from dryfit.generators.lettering.typeface import text_width
from dryfit.models.catalogue.letters import lettered
from dryfit.models.catalogue.parts import Bush, Fixings, Part, Plug, Section
from dryfit.models.geometry.contours import Circle, Contour, Curve, contour
from dryfit.models.geometry.outlines import round_
from dryfit.models.reading.fields import LEAST_LENGTH

TIER = 5.5  # mm from one dimension line to the next
FIRST = 6.5  # mm from the view to the first
COLUMN = 8.0  # mm from the view to the letters of what is round
NARROW = 5.0  # mm on paper below which a letter has no room on what it measures
CLOSE = 3.0  # mm on paper between two such lines below which their letters run into each other
LEAST_RUN = 4.5  # mm on paper that a letter between two arrows needs
PAST = 1.5  # mm that the axis is drawn past a view
OF_PLUG = 10.0  # mm of the plug that is drawn before a part
BESIDE = 3.0  # mm of the panel that is drawn beside a part


def front_view(record: Part | Plug, scale: float) -> Block:
    """Return what is seen from the front, with the dimensions that are taken there."""
    shapes = _strokes(_from_the_front(record), scale)
    box = around(shapes)
    named = _named(record, "front")
    marks: list[Mark] = [*shapes]
    marks.append(line((box.left - PAST, 0.0), (box.right + PAST, 0.0), Pen.CENTRE))
    marks.append(line((0.0, box.bottom - PAST), (0.0, box.top + PAST), Pen.CENTRE))
    flat = [one for one in named if one[1].run == "across"]
    above = [one for one in flat if one[1].path.startswith(("flange", "front", "body", "latch", "grip"))]
    marks += _across(above, box.top, scale, 1.0)
    marks += _across([one for one in flat if one not in above], box.bottom, scale, -1.0)
    marks += _upright([one for one in named if one[1].run == "up"], box.left, scale, -1.0)
    marks += _rounds([one for one in named if one[1].run == "round"], box.right + COLUMN, scale)
    return _titled("front view", f"FROM THE FRONT  {scale_text(scale)}", marks)


def side_view(record: Part | Plug, scale: float, plug: Plug | None = None) -> Block:
    """Return what is seen from the right, the front to the left, with the dimensions that are taken there."""
    home = _home(record, plug) if isinstance(record, Part) and plug is not None else ()
    shapes = _strokes((*_from_the_side(record), *home), scale)
    box = around(shapes)
    named = _named(record, "side")
    marks: list[Mark] = [line((box.left - PAST, 0.0), (box.right + PAST, 0.0), Pen.CENTRE), *shapes]
    up = [one for one in named if one[1].run == "up"]
    narrow = _narrow(up, scale)
    over: dict[tuple[float, float, float], list[str]] = {}  # letters of one line stand on it together
    for letter, one in up:
        if (letter, one) not in narrow:
            over.setdefault((one.at, one.low, one.high), []).append(letter)
    for (at, low, high), letters in over.items():
        marks += _over(", ".join(letters), -at * scale, low * scale, high * scale)
    marks += _upright([one for one in narrow if one[1].at >= 0], box.left, scale, -1.0)
    marks += _upright([one for one in narrow if one[1].at < 0], box.right, scale, 1.0)
    clear = around(marks)
    deep = [(letter, _level(one, scale)) for letter, one in named if one.run == "deep"]
    above = [one for one in deep if not one[1].path.startswith(("rear", "nose", "bush", "wiring", "body"))]
    marks += _across(above, clear.top, 1.0, 1.0)
    marks += _across([one for one in deep if one not in above], clear.bottom, 1.0, -1.0)
    return _titled("side view", f"FROM THE RIGHT, FRONT TO THE LEFT  {scale_text(scale)}", marks)


Named = tuple[str, Taken]


def _narrow(up: Iterable[Named], scale: float) -> list[Named]:
    """Return the upright dimensions that have no room over what they measure, or too little beside a roomier one."""
    kept: list[Named] = []
    narrow: list[Named] = []
    for one in sorted(up, key=lambda one: -one[1].room):
        crowded = any(abs(one[1].at - other.at) * scale < CLOSE and not _one_line(one[1], other) for _, other in kept)
        (narrow if crowded or one[1].room * scale < NARROW else kept).append(one)
    return narrow


def _named(record: Part | Plug, view: str) -> list[Named]:
    """Return the dimensions of one view with their letters."""
    both = zip(lettered(record), taken(record), strict=True)
    return [(item.letter, one) for item, one in both if one.view == view]


def _one_line(one: Taken, other: Taken) -> bool:
    return (one.at, one.low, one.high) == (other.at, other.low, other.high)


def _level(one: Taken, scale: float) -> Taken:
    """Return a depth as it runs on paper: from the front, at the left, to the rear."""
    return Taken(one.path, one.view, "across", -one.high * scale, -one.low * scale)


def _titled(name: str, title: str, marks: Sequence[Mark]) -> Block:
    box = around(marks)
    lines = [mark for mark in marks if not isinstance(mark, Text)]
    letters = [replace(mark, masked=True) for mark in marks if isinstance(mark, Text)]  # no line runs through them
    return block(name, [*lines, *letters, Text(box.centre.x, box.bottom - TITLE - 2.0, title, HEIGHT, "centre")])


# --- dimension lines -------------------------------------------------------------------------------------------------


def _tiers(items: Iterable[Named], scale: float) -> Iterator[tuple[int, list[Named]]]:
    """Yield dimensions tier by tier, the shortest nearest to the view; those of one place share a line."""

    def place(one: Named) -> tuple[float, float, float]:
        return (round(one[1].high - one[1].low, 3), round(one[1].low, 3), round(one[1].high, 3))

    grouped = (list(group) for _, group in groupby(sorted(items, key=place), key=place))
    ends: list[list[tuple[float, float]]] = []
    for group in grouped:
        low, high = group[0][1].low * scale, group[0][1].high * scale
        span = _room(low, high, _letters(group))
        tier = next((n for n, taken_ in enumerate(ends) if all(span[0] > b or span[1] < a for a, b in taken_)), None)
        if tier is None:
            tier = len(ends)
            ends.append([])
        ends[tier].append(span)
        yield tier, group


def _room(low: float, high: float, text: str) -> tuple[float, float]:
    """Return from where to where a dimension line and its letters reach on paper."""
    wide, outside = text_width(text, HEIGHT), 2 * ARROW if high - low < 2 * ARROW + 1 else 0.0
    if not outside and wide <= high - low - 1:
        return low - 1.0, high + 1.0
    return low - outside - 1.0, high + outside + wide + 2.0


def _letters(group: Sequence[Named]) -> str:
    return ", ".join(letter for letter, _ in group)


def _across(items: Iterable[Named], edge: float, scale: float, way: float) -> Iterator[Mark]:
    """Yield level dimension lines above a view (``way`` 1) or below it."""
    for tier, group in _tiers(items, scale):
        low, high = group[0][1].low * scale, group[0][1].high * scale
        yield from length(low, high, edge, edge + way * (FIRST + tier * TIER), _letters(group))


def _upright(items: Iterable[Named], edge: float, scale: float, way: float) -> Iterator[Mark]:
    """Yield upright dimension lines left of a view (``way`` -1) or right of it."""
    for tier, group in _tiers(items, scale):
        one = group[0][1]
        low, high = one.low * scale, one.high * scale
        x = edge + way * (FIRST + tier * TIER)
        start = edge if one.view == "front" else -one.at * scale
        for y in (low, high):
            yield line((start + way * 0.9, y), (x + way * 1.5, y))
        yield from _over(_letters(group), x, low, high)


def _over(letters: str, x: float, low: float, high: float) -> Iterator[Mark]:
    """Yield an upright dimension line from edge to edge of what it measures, its letters on it."""
    inside = high - low >= 2 * ARROW + LEAST_RUN
    if inside:
        yield line((x, low), (x, high))
        yield from (arrow((x, low), (x, high)), arrow((x, high), (x, low)))
        yield Text(x, low + 0.7 * (high - low) - HEIGHT / 2, letters, HEIGHT, "centre", masked=True)
    else:
        yield line((x, low - 2 * ARROW), (x, high + 2 * ARROW))
        yield from (arrow((x, low), (x, low - 1)), arrow((x, high), (x, high + 1)))
        yield Text(x, high + 2 * ARROW + 0.8, letters, HEIGHT, "centre", masked=True)


def _rounds(items: Sequence[Named], column: float, scale: float) -> Iterator[Mark]:
    """Yield letters that point at what is round, those of one circle together."""

    def place(one: Named) -> tuple[float, float, float]:
        return (one[1].spot.y, one[1].spot.x, one[1].high)

    found = (list(group) for _, group in groupby(sorted(items, key=place), key=place))
    pointed = [
        Leader(_letters(group), group[0][1].spot.x * scale, group[0][1].spot.y * scale, group[0][1].high * scale / 2)
        for group in found
    ]
    yield from leaders(pointed, column)


# --- what is drawn, mm in the frame of the view ----------------------------------------------------------------------

Drawn = tuple[Contour, Pen]


def _strokes(drawn: Iterable[Drawn], scale: float) -> list[Mark]:
    return [Stroke(shape.scaled(scale), pen) for shape, pen in drawn]


def _from_the_front(record: Part | Plug) -> Iterator[Drawn]:
    if isinstance(record, Plug):
        yield from _outlines(record.body, Pen.OUTLINE)
        yield from _outlines(record.nose, Pen.HIDDEN)
        if record.grip is not None:
            yield contour(record.grip), Pen.FOLD
        return
    yield contour(record.flange.outline), Pen.OUTLINE
    for hole in dict.fromkeys((record.cutout, record.cutout_rear or record.cutout)):
        yield contour(hole), Pen.FOLD
    yield from _outlines(record.front, Pen.OUTLINE)
    yield from _outlines(record.rear, Pen.HIDDEN)
    if record.fixings is not None:
        yield from _fixing_holes(record.fixings)
    if record.latch is not None:
        yield contour(record.latch.finger.moved(*record.latch.at)), Pen.FOLD


def _outlines(sections: Iterable[Section], pen: Pen) -> Iterator[Drawn]:
    for section in sections:
        shape = section.outline if section.outline is not None else round_(max(section.cone or (LEAST_LENGTH,)))
        yield contour(shape), pen


def _fixing_holes(fixings: Fixings) -> Iterator[Drawn]:
    for x, y in fixings.at:
        yield Circle(x, y, fixings.hole / 2), Pen.OUTLINE
        if fixings.seat is not None:
            yield Circle(x, y, fixings.seat.diameter / 2), Pen.OUTLINE


def _from_the_side(record: Part | Plug) -> Iterator[Drawn]:
    if isinstance(record, Plug):
        yield from _run(record.nose, 0.0, -1.0)
        yield from _run(record.body, 0.0, 1.0)
        if record.cable:
            end = max(section.stop for section in record.body)
            yield _slab((end, end + CABLE), (-record.cable / 2, record.cable / 2)), Pen.THIN
        return
    flange, hole = record.flange.outline.box, record.cutout.box
    for up in ((flange.bottom - BESIDE, hole.bottom), (hole.top, flange.top + BESIDE)):
        yield _slab(panel_faces(record), up), Pen.FOLD
    yield _slab((0.0, record.flange.thick), (flange.bottom, flange.top)), Pen.OUTLINE
    yield from _run(record.rear, 0.0, -1.0)
    yield from _run(record.front, record.flange.thick, 1.0)
    if record.bush is not None:
        yield from _nut(record, record.bush)


def _run(sections: Iterable[Section], face: float, way: float) -> Iterator[Drawn]:
    for section in sections:
        ends = (face + way * section.start, face + way * section.stop)
        if section.outline is not None:
            yield _slab(ends, (section.outline.box.bottom, section.outline.box.top)), Pen.OUTLINE
        elif section.cone is not None:
            (z0, z1), (a, b) = ends, section.cone
            corners = ((z0, a / 2), (z1, b / 2), (z1, -b / 2), (z0, -a / 2))
            yield Curve(tuple((-z, y, 0.0) for z, y in corners)), Pen.OUTLINE


def _slab(deep: tuple[float, float], up: tuple[float, float]) -> Curve:
    """Return what fills some depth, seen from the right."""
    (z0, z1), (y0, y1) = deep, up
    return Curve(((-z0, y0, 0.0), (-z1, y0, 0.0), (-z1, y1, 0.0), (-z0, y1, 0.0)))


def _nut(part: Part, bush: Bush) -> Iterator[Drawn]:
    """Yield the nut of a bush, with the washer under it, on the panel as it is drawn."""
    face, ahead = seat_face(part)
    under = face + ahead * panel_of(part)
    on = under + ahead * bush.washer
    yield _slab((face, face + ahead * bush.length), (-bush.thread / 2, bush.thread / 2)), Pen.THIN
    if bush.washer:
        half = max(bush.washer_across, bush.nut_across) / 2
        yield _slab((under, on), (-half, half)), Pen.THIN
    yield _slab((on, on + ahead * bush.nut_height), (-bush.nut_across / 2, bush.nut_across / 2)), Pen.THIN


def _home(part: Part, plug: Plug) -> Iterator[Drawn]:
    """Yield the beginning of the plug as it rests before the part."""
    shoulder = part.flange.thick + part.seat
    for shape, _ in _run(sorted(plug.body, key=lambda section: section.start)[:1], shoulder, 1.0):
        box = shape.box
        left = max(box.left, box.right - OF_PLUG)
        yield (
            Curve(
                (
                    (left, box.top, 0.0),
                    (box.right, box.top, 0.0),
                    (box.right, box.bottom, 0.0),
                    (left, box.bottom, 0.0),
                ),
                closed=False,
            ),
            Pen.FOLD,
        )
