"""Sheets: what every drawing of a panel has in common: its front view, its title block, its blocks laid out on pages.

What goes on a drawing is decided in its own module; how each piece is drawn, in the module of that piece.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.bodies.mass import mass
from dryfit.generators.drawing.banner import banner
from dryfit.generators.drawing.marks import Block, Drawing, Mark, Pen, Sheet, frame, line
from dryfit.generators.drawing.paper import PADDING, Paper, Space, pack, paper, scale_text, scales, space
from dryfit.generators.drawing.patterns import SMALLEST_SCALE
from dryfit.generators.drawing.textblocks import SMALL, notes
from dryfit.generators.drawing.titleblock import Fields, short_block, title_block
from dryfit.generators.drawing.views import Show, crowded, panel_view
from dryfit.generators.lists.failing import STATUS, Fails, sentences, titled
from dryfit.models.geometry.contours import dimension, number
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job
from dryfit.models.panel import Panel
from dryfit.models.tables.finishes import said_finish
from dryfit.models.titles import Titles

NOTES_WIDTH = 110.0  # mm
CENTRING = 5.0  # mm that centring marks reach into the frame (ISO 5457)


@dataclass(frozen=True)
class Form:
    """Sheets to fill: their paper, the fields of their title blocks, and what fails, which stands at their heads."""

    page: Paper
    fields: Fields
    fails: Fails

    @property
    def head(self) -> Block | None:
        """The banner of a panel that fails."""
        return banner(self.fails, self.page.frame.width - 2 * PADDING)

    @property
    def room(self) -> tuple[Space, Space]:
        """What is free on the first sheet, and on every following one."""
        taken = self.head.size.height + PADDING if self.head is not None else 0.0
        return space(self.page, title_block(self.fields), taken), space(self.page, short_block(self.fields), taken)

    @property
    def most(self) -> Size:
        """How large one block may be."""
        high = self.page.frame.height - (self.head.size.height if self.head is not None else 0.0)
        return Size(self.page.frame.width - 2 * PADDING, high - 20.0)

    @property
    def notes_width(self) -> float:
        """How wide notes are."""
        return min(NOTES_WIDTH, self.most.width)


def form(job: Job, paper_size: str, kind: str, titles: Titles, fails: Fails) -> Form:
    """Return empty sheets for one kind of drawing.

    Raises:
        UnknownName: if the paper size is not known.
    """
    page = paper(paper_size)
    return Form(page, _fields(job, page, kind, titles.changed(status=STATUS) if fails else titles), fails)


def filled(form: Form, blocks: Sequence[Block], scale: float, title: str) -> Drawing:
    """Return the drawing: blocks, the most wanted first, on as many sheets as they take."""
    first, *others = blocks
    pages = _packed((first, *_what_fails(form), *others), form.room)
    count = len(pages)
    sheets: list[Sheet] = []
    for n, page in enumerate(pages, start=1):
        here = replace(form.fields, scale=scale_text(scale), sheet=n, sheets=count)
        foot = title_block(here) if n == 1 else short_block(here)
        sheets.append(_sheet(form, page, foot, f"{title}, sheet {n} of {count}"))
    return Drawing(titled(title, form.fails), tuple(sheets))


def _what_fails(form: Form) -> Iterator[Block]:
    """Yield what fails in sentences, where anything does."""
    if form.fails:
        yield notes("what fails", "WHAT FAILS", sentences(form.fails), form.notes_width, height=SMALL)


def _packed(blocks: tuple[Block, ...], room: tuple[Space, Space]) -> tuple[Space, ...]:
    """Return the blocks on the fewest sheets: in their own order, or the tall or wide first where that saves one."""
    views = [b for b in blocks if b.name.endswith("view")]
    others = [b for b in blocks if b not in views]
    tall, wide = (sorted(others, key=lambda b: -side(b)) for side in (_height, _width))
    orders = (blocks, (*views, *tall), (*views, *wide))
    tries = [pack(order, *(Space(list(r.free)) for r in room)) for order in orders]
    return min(tries, key=len)


def _height(block: Block) -> float:
    return block.size.height


def _width(block: Block) -> float:
    return block.size.width


def _sheet(form: Form, filled: Space, foot: Block, name: str) -> Sheet:
    page, head = form.page, form.head
    heads = (head.at(page.frame.left + PADDING, page.frame.top - PADDING),) if head is not None else ()
    placed = foot.at(page.frame.right - foot.size.width, page.frame.bottom + foot.size.height)
    border = Block("frame", tuple(_border(page)), page.frame)
    return Sheet(page.width, page.height, page.group, (border, *heads, *filled.blocks, placed), name)


def _border(page: Paper) -> Iterator[Mark]:
    """Yield the frame and the four centring marks."""
    x0, y0, x1, y1 = page.frame
    yield frame(page.frame, Pen.FRAME)
    cx, cy = page.width / 2, page.height / 2
    edge = min(CENTRING, y0, page.width - x1)
    yield line((x0 - edge, cy), (x0 + PADDING / 2, cy), Pen.FRAME)
    yield line((x1 - PADDING / 2, cy), (x1 + edge, cy), Pen.FRAME)
    yield line((cx, y0 - edge), (cx, y0), Pen.FRAME)
    yield line((cx, y1 - PADDING / 2), (cx, y1 + edge), Pen.FRAME)


@dataclass(frozen=True)
class FrontView:
    """The front view, its scale, and whether it carries the ordinates of all places."""

    block: Block
    scale: float
    places: bool


def front_view(job: Job, room: Space, show: Show) -> FrontView:
    """Return the front view at the largest standard scale, at most 1:1, that has room on a sheet of its own.

    Ordinates of more places than can stand side by side on the paper are left to the table of places.
    """
    for places in (True, False):
        for scale in itertools.takewhile(lambda s: s >= SMALLEST_SCALE, scales(1.0)):
            if _has_room(room, Size(job.panel.width * scale, job.panel.height * scale)):
                if places and show.ordinates and crowded(job, scale):
                    break
                view = panel_view(job, scale, "front", replace(show, places=show.places and places))
                if _has_room(room, view.size):
                    return FrontView(view, scale, places)
    raise ValueError("the panel does not fit the paper at any scale down to 1:100")


def _has_room(room: Space, size: Size) -> bool:
    return any(size.fits(free.size) for free in room.free)


def _fields(job: Job, page: Paper, kind: str, titles: Titles) -> Fields:
    panel = job.panel
    grade = f" {titles.grade}" if titles.grade else ""
    material = f"{panel.material.name}{grade}, {dimension(panel.thickness)} thick"
    return Fields(
        titles,
        title=job.title,
        kind=kind,
        revision=job.revision,
        scale="",
        paper=page.name,
        material=material,
        finish=_finish(panel),
        mass=_mass_text(mass(job)),
        tolerance="ISO 2768-m",
        sheet=1,
        sheets=1,
        third_angle=page.third_angle,
    )


def _finish(panel: Panel) -> str:
    """Return what is done to the faces of the panel, in what colour and how thick."""
    coat = f"{number(panel.coating * 1000)} µm each surface" if panel.coating else ""
    named = said_finish(panel.finish, panel.colour) if panel.finish is not None else ""
    return ", ".join(filter(None, (named or ("coated" if coat else "bare, as supplied"), coat)))


def _mass_text(kg: float) -> str:
    return f"{kg:.2f} kg" if kg >= 0.1 else f"{kg * 1000:.0f} g"
