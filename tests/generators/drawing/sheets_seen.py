"""What a reader of a sheet sees: every text, and every mark with its extent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from dryfit.generators.drawing.marks import Box, Clip, Mark, Sheet, Text, overlap


def texts(marks: Iterable[Mark]) -> Iterator[Text]:
    """Yield all texts, those in clipped groups included."""
    for mark in marks:
        if isinstance(mark, Text):
            yield mark
        elif isinstance(mark, Clip):
            yield from texts(mark.marks)


def overlapping_texts(sheet: Sheet) -> list[tuple[str, str]]:
    """Return the pairs of texts whose ink boxes overlap."""
    seen = sorted(texts(sheet.marks), key=lambda t: t.box)
    return [(a.text, b.text) for a, b in combinations(seen, 2) if overlap(a.box, b.box, -1e-6)]


def outside(sheet: Sheet, room: Box) -> list[tuple[str, Box]]:
    """Return the marks (with their block) that reach out of the room, the frame's own marks left aside."""
    x0, y0, x1, y1 = room
    return [
        (block.name, mark.box)
        for block in sheet.blocks
        if block.name != "frame"
        for mark in block.marks
        if mark.box[0] < x0 - 1e-6 or mark.box[1] < y0 - 1e-6 or mark.box[2] > x1 + 1e-6 or mark.box[3] > y1 + 1e-6
    ]
