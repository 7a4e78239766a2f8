"""Sheets: what every drawing of a panel has in common: its front view, its title block, its blocks laid out on pages.

What goes on a drawing is decided in its own module; how each piece is drawn, in the module of that piece.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.bodies.mass import mass
from dryfit.generators.drawing.banner import banner
from dryfit.generators.drawing.marks import CONTINUED, Block, Drawing, Mark, Pen, Sheet, frame, line
from dryfit.generators.drawing.paper import PADDING, Paper, Space, pack, paper, scale_text, scales, space
from dryfit.generators.drawing.patterns import SMALLEST_SCALE
from dryfit.generators.drawing.portions import Split, split, whole_view
from dryfit.generators.drawing.textblocks import SMALL, notes
from dryfit.generators.drawing.titleblock import Fields, short_block, title_block
from dryfit.generators.drawing.views import Show, crowded
from dryfit.generators.lists.failing import STATUS, Fails, sentences, titled
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job
from dryfit.models.measures import Measures, measures
from dryfit.models.panel import Panel
from dryfit.models.tables.finishes import said_finish
from dryfit.models.tables.panels import gauge_of
from dryfit.models.titles import Titles

NOTES_WIDTH = 110.0  # mm
MIXES = 30  # orders of blocks that are tried to save a sheet
NEARLY_BLANK = 0.3  # of a sheet: the share that blocks take of one that had better be saved
CENTRING = 5.0  # mm that centring marks reach into the frame (ISO 5457)


@dataclass(frozen=True)
class Form:
    """Sheets to fill: their paper, the fields of their title blocks, and what fails, which stands at their heads.

    All lengths on them are ``written`` in one way.
    """

    page: Paper
    fields: Fields
    fails: Fails
    written: Measures

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
    page, written = paper(paper_size), measures(titles.units, job.inches)
    told = titles.changed(status=STATUS) if fails else titles
    return Form(page, _fields(job, page, kind, told, written), fails, written)


Blocks = tuple[Sequence[Block], float]
"""Blocks, the most wanted first, and the scale of the views of the whole panel among them."""


def filled(form: Form, tries: Iterable[Blocks], title: str) -> Drawing:
    """Return the drawing: blocks on as many sheets as they take.

    The first of the ``tries`` is the best to read; others are made only while they may save a sheet nearly blank.
    """
    best: tuple[Space, ...] = ()
    for (first, *others), at in tries:
        tried = _packed((first, *_what_fails(form), *others), form)
        if not best or len(tried) < len(best):
            best, scale = tried, at
        if len(best) == 1 or _share(best[-1], form) > NEARLY_BLANK:
            break
    return _drawing(form, best, scale, title)


def _share(sheet: Space, form: Form) -> float:
    """Return the share of a sheet that its blocks take."""
    frame = form.page.frame.size
    return sum(b.size.width * b.size.height for b in sheet.blocks) / (frame.width * frame.height)


def _drawing(form: Form, pages: Sequence[Space], scale: float, title: str) -> Drawing:
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


def _packed(blocks: tuple[Block, ...], form: Form) -> tuple[Space, ...]:
    """Return the blocks on the fewest sheets: in their own order, or the tall or wide first where that saves one.

    A last sheet nearly blank is worth trying others.
    """
    room, few, many = form.room, *_orders(blocks)
    best = min((_laid(order, room) for order in few), key=len)
    for order in many:
        if len(best) == 1 or _share(best[-1], form) > NEARLY_BLANK:
            break
        best = min(best, _laid(order, room), key=len)
    return best


def _laid(blocks: Sequence[Block], room: tuple[Space, Space]) -> tuple[Space, ...]:
    return pack(blocks, *(Space(list(r.free)) for r in room))


def _orders(blocks: tuple[Block, ...]) -> tuple[Iterable[Sequence[Block]], Iterable[Sequence[Block]]]:
    """Return orders to try, few and many; views lead, and a table stays whole."""
    views = [b for b in blocks if b.name.endswith("view")]
    runs: dict[str, list[Block]] = {}
    for b in blocks:
        if b not in views:
            runs.setdefault(b.name.removesuffix(CONTINUED), []).append(b)
    others = list(runs.values())
    tall, wide = (sorted(others, key=lambda run: -side(run[0])) for side in (_height, _width))
    few, many = ([*views, *itertools.chain(*order)] for order in (tall, wide)), _mixed(others)
    return (blocks, *few), ([*views, *itertools.chain(*order)] for order in many)


def _mixed(runs: list[list[Block]]) -> Iterator[list[list[Block]]]:
    """Yield the blocks in mixed orders, the same every time."""
    rng = random.Random(0)
    for _ in range(MIXES):
        yield rng.sample(runs, len(runs))


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
    """The front view, its scale, what it shows, and how it is split.

    ``places``: whether it or its portions carry the ordinates of all places.
    """

    block: Block
    scale: float
    show: Show
    parted: Split
    places: bool


def front_view(job: Job, room: Space, show: Show, most: float = 1.0) -> FrontView:
    """Return the front view at the largest standard scale, at most ``most``, that has room on a sheet of its own.

    Ordinates of more places than can stand side by side on the paper are left to the table of places. Where places
    cannot be numbered at that scale, the view is split.
    """
    for places in (True, False):
        for scale in itertools.takewhile(lambda s: s >= SMALLEST_SCALE, scales(most)):
            if _has_room(room, Size(job.panel.width * scale, job.panel.height * scale)):
                if places and show.ordinates and crowded(job, scale):
                    break
                parted = split(job, scale, _largest(room))
                view = whole_view(job, scale, "front", replace(show, places=show.places and places), parted)
                if _has_room(room, view.size):
                    return FrontView(view, scale, show, parted, places or bool(parted.portions))
    raise ValueError("the panel does not fit the paper at any scale down to 1:100")


def _largest(room: Space) -> Size:
    """Return the size of the largest piece of a sheet that is free."""
    return max((free.size for free in room.free), key=lambda size: size.width * size.height)


def _has_room(room: Space, size: Size) -> bool:
    return any(size.fits(free.size) for free in room.free)


def _fields(job: Job, page: Paper, kind: str, titles: Titles, written: Measures) -> Fields:
    panel = job.panel
    gauge = gauge_of(panel.material.name, panel.thickness)
    grade = f" {titles.grade}" if titles.grade else ""
    material = f"{panel.material.name}{grade}, {written.sheet(panel.thickness, gauge)} thick"
    return Fields(
        titles,
        title=job.title,
        kind=kind,
        revision=job.revision,
        scale="",
        paper=page.name,
        material=material,
        finish=finish_words(panel, written),
        mass=written.mass(mass(job)),
        tolerance=written.general,
        units=written.unit,
        sheet=1,
        sheets=1,
        third_angle=page.third_angle or written.inches,
    )


def finish_words(panel: Panel, written: Measures) -> str:
    """Return what is done to the faces of the panel, in what colour and how thick."""
    coat = written.coat(panel.coating) if panel.coating else ""
    named = said_finish(panel.finish, panel.colour) if panel.finish is not None else ""
    return ", ".join(filter(None, (named or ("coated" if coat else "bare, as supplied"), coat)))
