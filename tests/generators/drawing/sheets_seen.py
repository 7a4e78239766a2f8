"""What a reader of a sheet sees: every text, and every mark with its extent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise, takewhile

import numpy as np

from dryfit.generators.drawing.marks import Clip, Mark, Sheet, Stroke, Text
from dryfit.models.geometry.contours import Circle, polygon_of
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle

SLACK = 0.05  # mm a line may touch the edge of a text's box: letters keep a little side room of their own


def texts(marks: Iterable[Mark]) -> Iterator[Text]:
    """Yield all texts, those in clipped groups included."""
    for mark in marks:
        if isinstance(mark, Text):
            yield mark
        elif isinstance(mark, Clip):
            yield from texts(mark.marks)


def overlapping_texts(sheet: Sheet) -> list[tuple[str, str]]:
    """Return the pairs of texts whose ink boxes overlap."""
    seen = sorted((text.box, text.text) for text in texts(sheet.marks))
    found: list[tuple[str, str]] = []
    for n, (box, text) in enumerate(seen):
        beside = takewhile(lambda other: other[0].left < box.right, seen[n + 1 :])  # noqa: B023  (used up at once)
        found += [(text, other) for there, other in beside if box.overlaps(there, -1e-6)]
    return found


def outside(sheet: Sheet, room: Rectangle) -> list[tuple[str, Rectangle]]:
    """Return the marks (with their block) that reach out of the room, the frame's own marks left aside."""
    boxes = ((b.name, mark.box) for b in sheet.blocks if b.name != "frame" for mark in b.marks)
    return [(name, box) for name, box in boxes if not room.holds(box, -1e-6)]


def crossed_texts(sheet: Sheet) -> list[tuple[str, str]]:
    """Return the texts, with their block, that an open line or the edge of a shape runs through.

    Masked texts have paper behind them, so that only lines drawn later show.
    """
    return [(block.name, text.text) for block in sheet.blocks for text in crossed_marks(block.marks)]


def crossed_marks(marks: Sequence[Mark]) -> Iterator[Text]:
    """Yield the texts that a line of the same group runs through."""
    strokes = [(n, mark) for n, mark in enumerate(marks) if isinstance(mark, Stroke)]
    boxes = np.array([mark.box for _, mark in strokes]).reshape(-1, 4)
    for at, text in enumerate(marks):
        if isinstance(text, Text):
            x0, y0, x1, y1 = text.box
            near = np.flatnonzero(
                (boxes[:, 0] < x1) & (boxes[:, 2] > x0) & (boxes[:, 1] < y1) & (boxes[:, 3] > y0)
            )  # fmt: skip
            found = (strokes[i] for i in near)
            if any(_runs_through(_path(s), text.box) for n, s in found if not (text.masked and n < at)):
                yield text


def _path(stroke: Stroke) -> Sequence[Point]:
    points = polygon_of(stroke.shape, 0.05)
    closed = isinstance(stroke.shape, Circle) or stroke.shape.closed
    return (*points, points[0]) if closed else points


def _runs_through(points: Sequence[Point], box: Rectangle) -> bool:
    return any(_cuts(a, b, box) for a, b in pairwise(points))


def _cuts(a: Point, b: Point, box: Rectangle) -> bool:
    """Whether a straight line enters the inside of a box (clipped to it side by side)."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, run = a[axis], b[axis] - a[axis]
        near, far = box.grown(-SLACK).span(axis)
        if abs(run) < 1e-12:
            if not near < start < far:
                return False
            continue
        ends = sorted(((near - start) / run, (far - start) / run))
        low, high = max(low, ends[0]), min(high, ends[1])
    return low < high
