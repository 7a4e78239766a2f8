"""Dimensions: ordinates, lengths and leaders (ISO 129-1), laid out so that no text can run into another.

Texts of one row are spread to a least pitch in the order of their values, and their lines kink to reach them. All
lengths mm on paper; the values are given as text by the caller.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from dryfit.generators.drawing.marks import ARROW, Mark, Pen, Text, arrow, chain, line
from dryfit.generators.drawing.textblocks import HEIGHT
from dryfit.generators.lettering.typeface import text_width
from dryfit.models.geometry.points import Point

PITCH = 1.45  # least distance of two base lines in a row of texts, in heights
START = 1.0  # gap between what is dimensioned and its extension line
STRAIGHT = 1.5  # straight run before and after a kink
KINK = 2.5  # length in which a line kinks
REACH = START + STRAIGHT + KINK + STRAIGHT + 0.8  # from the edge of the view to the text of an ordinate
SHOULDER = 3.0  # horizontal end of a leader
SAME_VALUE = 0.005  # mm; ordinates closer than this print the same

Side = Literal["below", "left"]


def spread(wanted: Sequence[float], pitch: float) -> list[float]:
    """Return positions no closer than ``pitch``, in the same order, moved as little as possible (least squares).

    ``wanted`` must be sorted. Positions that would collide form a group about the mean of what they want.
    """
    groups: list[tuple[float, int]] = []  # (mean of wanted less the offset within the row, count)
    for i, value in enumerate(wanted):
        groups.append((value - i * pitch, 1))
        while len(groups) > 1 and groups[-2][0] > groups[-1][0]:
            (b, nb), (a, na) = groups.pop(), groups.pop()
            groups.append(((a * na + b * nb) / (na + nb), na + nb))
    flat = [mean for mean, count in groups for _ in range(count)]
    return [value + i * pitch for i, value in enumerate(flat)]


@dataclass(frozen=True)
class Ordinate:
    """One value to print, where on paper (along the row) it belongs, and where its line starts (None: the edge)."""

    text: str
    at: float
    start: float | None = None


def ordinates(items: Iterable[Ordinate], edge: float, side: Side, height: float = HEIGHT) -> Iterator[Mark]:
    """Yield a row of ordinate dimensions: below a view (text upright) or left of it; ``edge`` is the view's edge."""
    rows = _unique(items)
    for item, spot in zip(rows, spread([i.at for i in rows], PITCH * height), strict=True):
        steps = (START, START + STRAIGHT, START + STRAIGHT + KINK, REACH - 0.8)
        away = [edge - step for step in steps]
        away[0] = away[0] if item.start is None else item.start
        along = (item.at, item.at, spot, spot)
        if side == "below":
            yield chain(zip(along, away, strict=True))
            yield Text(spot + height / 2, edge - REACH, item.text, height, "right", upright=True)
        else:
            yield chain(zip(away, along, strict=True))
            yield Text(edge - REACH, spot - height / 2, item.text, height, "right")


def _unique(items: Iterable[Ordinate]) -> list[Ordinate]:
    """Return the items in order of place, each value once."""
    kept: list[Ordinate] = []
    for item in sorted(items, key=lambda i: i.at):
        if not kept or (item.at - kept[-1].at > SAME_VALUE and item.text != kept[-1].text):
            kept.append(item)
    return kept


@dataclass(frozen=True)
class Leader:
    """A text that points at something: the arrow's tip is on the edge of a circle or at a point (radius 0)."""

    text: str
    x: float
    y: float
    radius: float = 0.0


def leaders(items: Sequence[Leader], column: float, height: float = HEIGHT) -> Iterator[Mark]:
    """Yield leaders to a column of texts at x = ``column``, right of what they point at, in order of height."""
    order = sorted(items, key=lambda i: (i.y, i.x))
    pitch = 2.0 * height
    for item, y in zip(order, spread([i.y for i in order], pitch), strict=True):
        elbow = Point(column - SHOULDER, y)
        tip = _towards(Point(item.x, item.y), elbow, item.radius)
        yield chain((tip, elbow, (column - 0.8, y)))
        yield arrow(tip, elbow)
        yield Text(column, y - height / 2, item.text, height)


def _towards(start: Point, end: Point, distance: float) -> Point:
    way = end - start
    return start + way * (distance / (way.length or 1.0))


def length(x0: float, x1: float, edge: float, y: float, text: str, *, height: float = HEIGHT) -> Iterator[Mark]:
    """Yield a horizontal dimension at ``y`` between x0 < x1, its extension lines coming from ``edge``.

    Where text or arrows do not fit between the lines, arrows point in from outside and the text goes to the right.
    """
    over = 1.5 if y > edge else -1.5
    for x in (x0, x1):
        yield line((x, edge + over * 0.6), (x, y + over))
    inside = x1 - x0 >= 2 * ARROW + 1
    if inside:
        yield line((x0, y), (x1, y))
        yield from (arrow((x0, y), (x1, y)), arrow((x1, y), (x0, y)))
    else:
        yield line((x0 - 2 * ARROW, y), (x1 + 2 * ARROW, y))
        yield from (arrow((x0, y), (x0 - 1, y)), arrow((x1, y), (x1 + 1, y)))
    if inside and text_width(text, height) <= x1 - x0 - 1:
        yield Text((x0 + x1) / 2, y + 0.8, text, height, "centre")
    else:
        start = x1 + (2 * ARROW if not inside else 0.0) + 1.0
        yield Text(start, y - height / 2, text, height)


def centre_cross(x: float, y: float, radius: float, inner: float = 0.0, past: float | None = None) -> Iterator[Mark]:
    """Yield the centre lines of a round thing, reaching ``past`` its edge; broken within ``inner`` for a text there.

    Up to 6 mm across they are whole lines, as chain lines would show no dash (ISO 128-2 allows it for small ones).
    """
    reach = radius + (past_edge(radius) if past is None else past)
    pen = Pen.CENTRE if radius > 6 and not inner else Pen.THIN
    if inner == 0:
        yield line((x - reach, y), (x + reach, y), pen)
        yield line((x, y - reach), (x, y + reach), pen)
        return
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        yield line((x + dx * inner, y + dy * inner), (x + dx * reach, y + dy * reach), Pen.THIN)


def past_edge(radius: float) -> float:
    """Return how far the centre lines of a round thing stand past its edge."""
    return 2.0 if radius > 3 else 1.0
