"""Upright pages that are read from top to bottom: blocks in order, and a line at the foot of each page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from dryfit.generators.drawing.marks import Block, Sheet, Text, in_pieces, line
from dryfit.generators.drawing.paper import paper
from dryfit.generators.drawing.textblocks import HEIGHT, fitted
from dryfit.models.geometry.rectangles import Rectangle, Size

MARGIN, FOOT = 15.0, 8.0  # mm
APART = 5.0  # mm between blocks
LINE_GROUP = 0.35
FOOT_NAME = "foot"
NEARLY_BLANK = 0.25  # of a page's height
NUMBER_ROOM = 30.0  # mm at the foot for the number of the page


@dataclass(frozen=True)
class Paging:
    """What stands on every page: what the sheets are called, the paper, the line at the foot, a block at the head."""

    title: str
    paper_size: str
    foot: str
    head: Callable[[float], Block | None] = lambda width: None  # for a width, mm

    @property
    def size(self) -> Size:
        """Width and height of an upright page."""
        found = paper(self.paper_size)
        return Size(min(found.width, found.height), max(found.width, found.height))


def upright(paging: Paging, blocks: Callable[[Size], Iterable[Block]]) -> tuple[Sheet, ...]:
    """Return blocks on as many pages as they take; ``blocks`` makes them for the room that a page has.

    Raises:
        UnknownName: if the paper size is not known.
    """
    width, height = paging.size
    window = Rectangle(MARGIN, MARGIN + FOOT, width - MARGIN, height - MARGIN)
    head = paging.head(window.width)
    heads = () if head is None else (head.at(window.left, window.top),)
    room = window._replace(top=min((h.box.bottom - APART for h in heads), default=window.top))
    pages = list(_flow(blocks(room.size), room))
    return tuple(
        Sheet(
            width,
            height,
            LINE_GROUP,
            (*heads, *page, _foot(window, paging.foot, n, len(pages))),
            f"{paging.title}, page {n}",
        )
        for n, page in enumerate(pages, start=1)
    )


def centred(made: Block, width: float) -> Block:
    """Return a block as wide as a page, in the middle of it."""
    left = made.box.left - (width - made.size.width) / 2
    return Block(made.name, made.marks, made.box._replace(left=left, right=left + width))


def nearly_blank(page: Sheet) -> bool:
    """Whether so little stands on a page that it had better be saved."""
    return sum(block.size.height for block in page.blocks if block.name != FOOT_NAME) < NEARLY_BLANK * page.height


def _flow(blocks: Iterable[Block], window: Rectangle) -> Iterator[tuple[Block, ...]]:
    """Yield pages of blocks one below the other: they are read in order, so none is moved up into a gap.

    What is higher than a page goes on on the next.
    """
    placed: list[Block] = []
    top = window.top
    for block in (piece for whole in blocks for piece in in_pieces(whole, window.height)):
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
    return Block(FOOT_NAME, marks, Rectangle(x0, y - 1.0, x1, y + FOOT - 2.0))
