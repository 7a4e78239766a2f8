"""The sheet of one part: its front, its side and its plug with a letter at every dimension, and what each letter is.

It stands beside a part file, so that whoever has the part and a caliper in hand can fill it in.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from dryfit.generators.drawing.marks import Block, Drawing, Mark, Sheet, Text, line
from dryfit.generators.drawing.pages import Paging, upright
from dryfit.generators.drawing.paper import scales
from dryfit.generators.drawing.part_views import front_view, side_view
from dryfit.generators.drawing.textblocks import SMALL, TITLE, Cells, wrapped, wrapped_tables
from dryfit.models.catalogue.letters import Lettered, how_taken, lettered
from dryfit.models.catalogue.parts import Part, Plug, Section
from dryfit.models.geometry.contours import shape_kind
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.reading.units import format_mm
from dryfit.models.version import version

LARGEST = 2.0  # scale; larger than twice its size nothing is easier to find
APART = 10.0  # mm between two views
SHARES = (0.6, 0.28)  # shares of a page's height that the views of the part and of the plug may take


def part_sheet(name: str, part: Part, plug_name: str = "", plug: Plug | None = None) -> Drawing:
    """Return the sheet of a part, and of a plug of it, upright on A4."""
    title = f"{name}: where each dimension is taken"
    paging = Paging(title, "A4", f"{title}, by dryfit {version()}")
    return Drawing(title, upright(paging, lambda room: _blocks(name, part, plug_name, plug, room)))


def in_one(drawing: Drawing) -> Sheet:
    """Return all pages of a drawing on one sheet, one below the other, for where there are no pages."""
    first, count = drawing.sheets[0], len(drawing.sheets)
    blocks = (
        block.at(block.box.left, block.box.top + (count - 1 - n) * first.height)
        for n, sheet in enumerate(drawing.sheets)
        for block in sheet.blocks
    )
    return replace(first, height=count * first.height, blocks=tuple(blocks), name=drawing.title)


HEAD = (
    "Letters stand for the keys of the part file. What is there now stands in the table, until you have measured. "
    "Where the maker's drawing and your caliper differ, trust the drawing. Capitals: the part. Small letters: the "
    "plug. Lines with two dots: the panel, its hole, the plug at home, and room that is asked for. Do not measure on "
    "this paper."
)


def _blocks(name: str, part: Part, plug_name: str, plug: Plug | None, room: Size) -> Iterator[Block]:
    yield _head(f"{name}: {part.title}", room.width)
    yield _views("part", part, room, SHARES[0], plug)
    if plug is not None:
        yield _views("plug", plug, room, SHARES[1])
    yield from wrapped_tables("keys", f"THE PART: {name}", _table(part), room, height=SMALL)
    if plug is not None:
        yield from wrapped_tables("plug keys", f"ITS PLUG: {plug_name}", _table(plug), room, height=SMALL)


def _head(title: str, width: float) -> Block:
    marks: list[Mark] = [Text(0.0, -TITLE, title, TITLE)]
    y = -TITLE - 1.0
    for row in wrapped(HEAD, width, SMALL):
        y -= 1.6 * SMALL
        marks.append(Text(0.0, y, row, SMALL))
    marks.append(line((0.0, y - 2.0), (width, y - 2.0)))
    return Block("head", tuple(marks), Rectangle(0.0, y - 2.0, width, 0.0))


def _views(name: str, record: Part | Plug, room: Size, share: float, plug: Plug | None = None) -> Block:
    """Return the views of a part or plug in line beside each other, as large as the page has room for."""
    for scale in scales(LARGEST):
        made = _beside(name, [front_view(record, scale), side_view(record, scale, plug)])
        if made.size.width <= room.width and made.size.height <= share * room.height:
            break
    return Block(name, made.marks, made.box._replace(right=made.box.left + room.width))


def _beside(name: str, views: Sequence[Block]) -> Block:
    """Return views beside each other, their axes on one level."""
    marks: list[Mark] = []
    left = 0.0
    for view in views:
        dx = left - view.box.left
        marks += [mark.moved(dx, 0.0) for mark in view.marks]
        left += view.size.width + APART
    bottom, top = min(view.box.bottom for view in views), max(view.box.top for view in views)
    return Block(name, tuple(marks), Rectangle(0.0, bottom, left - APART, top))


def _table(record: Part | Plug) -> Cells:
    return ("", "Key", "Now", "What it is", "How it is taken"), [_row(record, one) for one in lettered(record)]


def _row(record: Part | Plug, one: Lettered) -> tuple[str, ...]:
    value = f"{one.value:g}°" if one.is_angle else format_mm(one.value)
    row = how_taken(one.path)
    return (one.letter, key_in_file(record, one.path), value, row.says, row.how)


SIDES = ("width", "height")
WRITTEN = {"snap.thinnest": "snap.from", "snap.thickest": "snap.to"}
"""Keys as they stand in the file, where that is not the path of the dimension."""


def key_in_file(record: Part | Plug, path: str) -> str:
    """Return the key of a dimension as it stands in the file, such as ``rear 1 to`` or ``flange.outline box: 1st``."""
    above, _, last = path.rpartition(".")
    if above.endswith(".at"):
        return above
    held = _held(record, above)
    if isinstance(held, Section):
        run, number = above.split(".")
        side = "to" if last == "depth" else "cone" if held.outline is None else _side(held.outline, last)
        return f"{run} {int(number) + 1} {side}"
    return f"{above} {_side(held, last)}" if isinstance(held, Outline) else WRITTEN.get(path, path)


def _held(record: Part | Plug, path: str) -> object:
    """Return what stands at a path of a record."""
    held: object = record
    for name in path.split(".") if path else ():
        held = held[int(name)] if isinstance(held, tuple) else getattr(held, name)
    return held


def _side(outline: Outline, last: str) -> str:
    """Return how a side of an outline is written."""
    kind = shape_kind(outline)
    if kind == "box":
        return f"box: {('1st', '2nd')[SIDES.index(last)]}"
    return kind if kind in ("round", "hexagon") else f"{kind}: {last}"
