"""Upright pages that are read from top to bottom: blocks in order, and a line at the foot of each page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from dryfit.generators.drawing.marks import Block, Drawing, Sheet, Text, line
from dryfit.generators.drawing.paper import paper
from dryfit.generators.drawing.textblocks import HEIGHT, fitted
from dryfit.models.geometry.rectangles import Rectangle, Size

MARGIN, FOOT = 15.0, 8.0  # mm
APART = 5.0  # mm between blocks
LINE_GROUP = 0.35
NUMBER_ROOM = 30.0  # mm at the foot for the number of the page


def upright(title: str, paper_size: str, blocks: Callable[[Size], Iterable[Block]], foot: str = "") -> Drawing:
    """Return blocks on as many pages as they take; ``blocks`` makes them for the room that a page has.

    Raises:
        UnknownName: if the paper size is not known.
    """
    size = paper(paper_size)
    width, height = min(size.width, size.height), max(size.width, size.height)
    window = Rectangle(MARGIN, MARGIN + FOOT, width - MARGIN, height - MARGIN)
    pages = list(flow(blocks(window.size), window))
    sheets = [
        Sheet(width, height, LINE_GROUP, (*page, _foot(window, foot or title, n, len(pages))), f"{title}, page {n}")
        for n, page in enumerate(pages, start=1)
    ]
    return Drawing(title, tuple(sheets))


def flow(blocks: Iterable[Block], window: Rectangle) -> Iterator[tuple[Block, ...]]:
    """Yield pages of blocks one below the other: they are read in order, so none is moved up into a gap."""
    placed: list[Block] = []
    top = window.top
    for block in blocks:
        if placed and top - block.size.height < window.bottom:
            yield tuple(placed)
            placed, top = [], window.top
        placed.append(block.at(window.left, top))
        top -= block.size.height + APART
    yield tuple(placed)


def _foot(window: Rectangle, title: str, page: int, pages: int) -> Block:
    x0, x1, y = window.left, window.right, window.bottom - FOOT
    text, height = fitted(title, x1 - x0 - NUMBER_ROOM, HEIGHT)
    marks = (
        line((x0, y + FOOT - 2.0), (x1, y + FOOT - 2.0)),
        Text(x0, y, text, height),
        Text(x1, y, f"{page} / {pages}", HEIGHT, "right"),
    )
    return Block("foot", marks, Rectangle(x0, y - 1.0, x1, y + FOOT - 2.0))
