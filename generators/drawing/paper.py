"""Paper: sheet sizes, margins, line groups, scales and the packing of blocks onto sheets. All lengths mm."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache

from dryfit.generators.drawing.marks import CONTINUED, Block, in_pieces
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table

GAP = 6.0  # mm kept free between blocks
PADDING = 2.0  # mm kept free along the frame


@dataclass(frozen=True)
class Paper:
    """A sheet size as it is drawn on (landscape), with the margins of its standard."""

    name: str
    width: float
    height: float
    left: float
    margin_x: float
    margin_y: float
    group: float  # line group: width of the wide lines
    third_angle: bool
    source: str

    @property
    def frame(self) -> Rectangle:
        """The frame of the drawing space."""
        return Rectangle(self.left, self.margin_y, self.width - self.margin_x, self.height - self.margin_y)


@cache
def papers() -> dict[str, Paper]:
    """Return every sheet size by its name."""
    return {row.name.casefold(): row for row in read_table("papers", Paper)}


def paper(name: str) -> Paper:
    """Return a sheet size: A4, A3, Letter or Tabloid.

    Raises:
        UnknownName: with the nearest name.
    """
    found = papers().get(name.casefold())
    if found is None:
        raise UnknownName("paper size", name, [p.name for p in papers().values()])
    return found


def scales(largest: float) -> Iterator[float]:
    """Yield the scales of ISO 5455 from ``largest`` down: 1, 2 or 5 times a power of ten, either way."""
    for power in itertools.count(-1):
        for step in (5, 2, 1) if power < 0 else (1, 2, 5):
            scale = step / 10.0 ** (-1 - power) if power < 0 else 1 / (step * 10.0**power)
            if scale <= largest and not (power < 0 and step == 1):
                yield scale


def scale_text(scale: float) -> str:
    """Return ``1:2`` or ``5:1``."""
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


@dataclass
class Space:
    """What is still free on one sheet: the largest free rectangles (they may overlap)."""

    free: list[Rectangle]
    blocks: list[Block] = field(default_factory=list)

    def take(self, block: Block) -> bool:
        """Place a block as high, then as far left, as it goes; False if it fits nowhere."""
        w, h = block.size
        fits = [f for f in self.free if f.width >= w - 1e-9 and f.height >= h - 1e-9]
        if not fits:
            return False
        spot = min(fits, key=lambda f: (-f.top, f.left))
        self.blocks.append(block.at(spot.left, spot.top))
        self._use(Rectangle(spot.left, spot.top - h, spot.left + w, spot.top))
        return True

    def _use(self, block: Rectangle) -> None:
        used, left = block.grown(GAP), list[Rectangle]()
        for f in self.free:
            if f.overlaps(used):
                left.extend(part for part in _beside(f, used) if not part.is_empty)
            else:
                left.append(f)
        self.free = [f for f in left if not any(f != g and g.holds(f) for g in left)]


def _beside(free: Rectangle, used: Rectangle) -> tuple[Rectangle, ...]:
    """Return what is left of a free rectangle to each side of what is used; empty where nothing is."""
    return (
        free._replace(right=used.left),
        free._replace(left=used.right),
        free._replace(top=used.bottom),
        free._replace(bottom=used.top),
    )


def space(sheet: Paper, title: Block, head: float = 0.0) -> Space:
    """Return the free room of a sheet: its frame less the title block in the lower right corner and a banner."""
    inner = sheet.frame.grown(-PADDING)
    inner = inner._replace(top=inner.top - head)
    above = inner._replace(bottom=sheet.frame.bottom + title.size.height + PADDING)
    beside = inner._replace(right=sheet.frame.right - title.size.width - PADDING)
    return Space([f for f in (above, beside) if f.width > 0])


def pack_into(blocks: Iterable[Block], window: Rectangle) -> tuple[tuple[Block, ...], ...]:
    """Place blocks on as many pages as it takes, each page having the same free window."""
    return tuple(tuple(page.blocks) for page in pack(blocks, Space([window]), Space([window])))


def pack(blocks: Iterable[Block], first: Space, following: Space) -> tuple[Space, ...]:
    """Place blocks in order, each on the first sheet that has room for it, on as many sheets as it takes.

    What is continued never stands on an earlier sheet than what it goes on from; what no sheet holds is cut in pieces.
    """
    sheets = [first]
    begun: dict[str, int] = {}  # on which sheet each block stands, by the name of its first piece
    highest = max(room.height for room in following.free)
    for block in (piece for whole in blocks for piece in in_pieces(whole, highest)):
        name = block.name.removesuffix(CONTINUED)
        start = begun.get(name, 0) if name != block.name else 0
        at = next((n for n in range(start, len(sheets)) if sheets[n].take(block)), None)
        if at is None:
            sheets.append(Space(list(following.free)))
            at = len(sheets) - 1
            if not sheets[at].take(block):
                raise ValueError(
                    f"{block.name} ({block.size.width:.0f} x {block.size.height:.0f} mm) is larger than the sheet"
                )
        begun[name] = at
    return tuple(sheets)
