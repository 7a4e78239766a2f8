"""Text in blocks: fitting, wrapping, tables and lists of notes. All lengths mm."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from dryfit.generators.drawing.marks import CONTINUED, Block, Mark, Pen, Text, frame, line
from dryfit.generators.lettering.typeface import text_width
from dryfit.models.geometry.rectangles import Rectangle, Size

HEIGHT = 2.5  # ISO 3098 nominal size for drawings of this size
SMALL = 1.8  # ISO 3098 smallest nominal size
TITLE = 3.5  # ISO 3098 next but one: names of views
ROW = 1.9  # height of a table row, in heights of its text
Cells = tuple[Sequence[str], Sequence[Sequence[str]]]  # headings, rows
PAD = 1.2  # mm between a cell's text and its lines


def fitted(text: str, width: float, height: float, least: float = SMALL) -> tuple[str, float]:
    """Return the text and a height at which it is no wider than ``width``: smaller first, then cut with an ellipsis."""
    wide = text_width(text, height)
    if wide <= width:
        return text, height
    height = max(least, height * width / wide)
    if text_width(text, height) <= width + 1e-9:
        return text, height
    while text and text_width(f"{text}…", height) > width:
        text = text[:-1]
    return f"{text.rstrip()}…", height


def wrapped(text: str, width: float, height: float) -> Iterator[str]:
    """Yield the text broken into lines no wider than ``width``; words that are wider alone are broken anywhere."""
    current = ""
    for word in filter(None, re.split(r"[ \t\n]+", text)):  # a hard space is no place to break
        longer = f"{current} {word}".strip()
        if text_width(longer, height) <= width:
            current = longer
            continue
        if current:
            yield current
        *whole, current = _broken(word, width, height)
        yield from whole
    if current:
        yield current


def _broken(word: str, width: float, height: float) -> Iterator[str]:
    """Yield a word in pieces that are as long as ``width`` allows."""
    piece = ""
    for letter in word:
        if piece and text_width(piece + letter, height) > width:
            yield piece
            piece = ""
        piece += letter
    yield piece


def notes(name: str, title: str, items: Sequence[str], width: float, height: float = HEIGHT) -> Block:
    """Return numbered notes under a title, wrapped to ``width``."""
    numbers = [f"{n}." for n, _ in enumerate(items, start=1)]
    return paragraphs(name, (Text(0.0, -TITLE - 0.2, title, TITLE),), items, width, numbers=numbers, height=height)


def paragraphs(
    name: str, head: Sequence[Mark], items: Sequence[str], width: float, *,
    numbers: Sequence[str] = (), height: float = HEIGHT,
) -> Block:  # fmt: skip
    """Return items under a head as high as a title, indented and wrapped to ``width``; numbers are optional."""
    marks: list[Mark] = list(head)
    y, indent, step = -TITLE - 1.6 * height, 3.2 * height, 1.6 * height
    for n, item in enumerate(items):
        for i, row in enumerate(wrapped(item, width - indent, height)):
            y -= step
            marks += [Text(0.0, y, numbers[n], height)] if i == 0 and numbers else []
            marks.append(Text(indent, y, row, height))
    return Block(name, tuple(marks), Rectangle(0.0, y - 0.4 * height, width, 0.0))


def table(name: str, title: str, cells: Cells, most: float, *, height: float = HEIGHT) -> Block:
    """Return a ruled table with a line of headings; no wider than ``most``: the widest columns give way."""
    head, rows = cells
    widths = column_widths((head, *rows), most, height)
    edges = [sum(widths[:i]) for i in range(len(widths) + 1)]
    step, top = ROW * height, -TITLE - 2.0
    marks: list[Mark] = [Text(0.0, -TITLE - 0.2, title, TITLE)]
    for r, row in enumerate((head, *rows)):
        base = top - (r + 1) * step + (step - height) / 2
        for left, width, cell in zip(edges, widths, row, strict=False):
            text, fit = fitted(cell, width - 2 * PAD + 1e-9, height, min(SMALL, height))
            marks.append(Text(left + PAD, base, text, fit))
    bottom = top - (len(rows) + 1) * step
    marks.append(frame(Rectangle(0.0, bottom, edges[-1], top), Pen.OUTLINE))
    marks.append(line((0.0, top - step), (edges[-1], top - step), Pen.OUTLINE))
    marks += [line((0.0, top - r * step), (edges[-1], top - r * step)) for r in range(2, len(rows) + 1)]
    marks += [line((x, bottom), (x, top)) for x in edges[1:-1]]
    return Block(name, tuple(marks), Rectangle(0.0, bottom, max(edges[-1], text_width(title, TITLE)), 0.0))


def wrapped_tables(name: str, title: str, cells: Cells, room: Size, *, height: float = HEIGHT) -> Iterator[Block]:
    """Yield a ruled table whose long cells go on in further lines, in as many pieces as keep each within the room."""
    head, rows = cells
    widths = column_widths((head, *rows), room.width, height)
    lines = [_lines(row, widths, height) for row in rows]
    top = _rows_height([_lines(head, widths, height)], height) + TITLE + 2.0
    start = 0
    while start < len(lines):
        end = start + 1
        while end < len(lines) and top + _rows_height(lines[start : end + 1], height) <= room.height:
            end += 1
        more = CONTINUED if start else ""
        part = [_lines(head, widths, height), *lines[start:end]]
        yield _wrapped_table(f"{name}{more}", f"{title}{more}", part, widths, height)
        start = end


Lines = list[list[str]]
"""A row of a table: the lines of each cell."""


def _lines(row: Sequence[str], widths: Sequence[float], height: float) -> Lines:
    return [
        list(wrapped(cell, width - 2 * PAD + 1e-6, height)) or [""] for cell, width in zip(row, widths, strict=True)
    ]


def _rows_height(rows: Sequence[Lines], height: float) -> float:
    return sum((ROW + 1.5 * (max(map(len, row)) - 1)) * height for row in rows)


def _wrapped_table(name: str, title: str, rows: Sequence[Lines], widths: Sequence[float], height: float) -> Block:
    edges = [sum(widths[:i]) for i in range(len(widths) + 1)]
    y = top = -TITLE - 2.0
    marks: list[Mark] = [Text(0.0, -TITLE - 0.2, title, TITLE)]
    for n, row in enumerate(rows):
        first = y - (ROW + 1.0) / 2 * height
        for left, told in zip(edges, row, strict=False):
            marks += [Text(left + PAD, first - 1.5 * i * height, text, height) for i, text in enumerate(told)]
        y -= _rows_height([row], height)
        marks.append(line((0.0, y), (edges[-1], y), Pen.THIN if n else Pen.OUTLINE))
    marks += [line((x, y), (x, top)) for x in edges[1:-1]]
    marks.append(frame(Rectangle(0.0, y, edges[-1], top), Pen.OUTLINE))
    return Block(name, tuple(marks), Rectangle(0.0, y, max(edges[-1], text_width(title, TITLE)), 0.0))


def column_widths(rows: Sequence[Sequence[str]], most: float, height: float) -> list[float]:
    """Return widths that hold every cell; if they add up to more than ``most``, the widest shrink alike."""
    widths = [max(text_width(row[i], height) for row in rows) + 2 * PAD for i in range(len(rows[0]))]
    while sum(widths) > most + 1e-6:
        widest = max(widths)
        wide = [i for i, w in enumerate(widths) if w > widest - 1e-6]
        below = max((w for w in widths if w < widest - 1e-6), default=0.0)
        cut = min((sum(widths) - most) / len(wide), widest - below)
        for i in wide:
            widths[i] -= cut
    return widths


def tables(name: str, title: str, cells: Cells, room: Size, *, height: float = HEIGHT) -> Iterator[Block]:
    """Yield the table in as many pieces as keep each within the room."""
    head, rows = cells
    per = max(1, int((room.height - TITLE - 2.0) / (ROW * height)) - 1)
    for start in range(0, len(rows), per):
        more = CONTINUED if start else ""
        part = (head, rows[start : start + per])
        yield table(f"{name}{more}", f"{title}{more}", part, room.width, height=height)
