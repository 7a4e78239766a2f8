"""The assembly sheet: cautions, the panel with its place numbers, every step in order, and what to have at hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from dryfit.generators.drawing.banner import banner
from dryfit.generators.drawing.marks import Block, Drawing, Pen, Sheet, Text, around, block, frame
from dryfit.generators.drawing.pages import APART, Paging, centred, nearly_blank, upright
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.patterns import runs
from dryfit.generators.drawing.portions import portion_views, split, whole_view
from dryfit.generators.drawing.section import section_view, stack_key
from dryfit.generators.drawing.textblocks import SMALL, Cells, fitted, notes, paragraphs, tables
from dryfit.generators.drawing.views import Show, panel_view
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.failing import failing, titled
from dryfit.generators.lists.names import in_words
from dryfit.generators.lists.purchase import QUANTITIES, purchase_list, quantities, total
from dryfit.generators.lists.steps import Step, steps
from dryfit.generators.report import Report
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job
from dryfit.models.measures import MM, Measures

BOX = 3.0  # mm; box to tick when a step is done
STACKS = (Size(60.0, 42.0), Size(45.0, 30.0))  # mm; room for a section beside its step, and where it saves a page
PICTURE = 0.35  # share of the page's height that the panel may take
NUMBERED, BARE = Show(ordinates=False), Show(ordinates=False, numbers=False)


def assembly_sheet(report: Report, paper_size: str = "A4", written: Measures = MM) -> Drawing:
    """Return the sheet on upright pages; lengths in its sections are ``written`` as on the drawings.

    Raises:
        UnknownName: if the paper size is not known.
    """
    fails, title = failing(report.findings), f"{report.job.title}: assembly sheet"
    paging = Paging(title, paper_size, title, lambda width: banner(fails, width))
    best: tuple[Sheet, ...] = ()
    for stack in STACKS:
        tried = upright(paging, partial(_blocks, report, Cuts(stack, written)))
        best = tried if not best or len(tried) < len(best) else best
        if not nearly_blank(best[-1]):
            break
    return Drawing(titled(title, fails), best)


@dataclass(frozen=True)
class Cuts:
    """How stacks are shown in section: the room beside a step, and how lengths are written."""

    room: Size
    written: Measures


def _blocks(report: Report, cuts: Cuts, room: Size) -> Iterator[Block]:
    width = room.width
    yield notes("cautions", f"{report.job.title.upper()}: BEFORE YOU START", cautions(report.job), width)
    yield from (centred(view, width) for view in _pictures(report.job, room))
    shown: set[object] = set()
    for number, step in enumerate(steps(report), start=1):
        yield _step(report, number, step, width, _stack_picture(report, step, shown, cuts))
    yield from tables("at hand", "TO HAVE AT HAND", _at_hand(report), room, height=SMALL)
    if report.second_bags:
        yield notes("bags", "WHY MORE THAN ONE BAG OF SCREWS", [bag.says for bag in report.second_bags], width)


def _pictures(job: Job, room: Size) -> Iterator[Block]:
    """Yield the panel from the front as large as the page allows, its places numbered; if need be in portions."""
    most = Size(room.width, PICTURE * room.height)
    scale = next(s for s in scales(1.0) if panel_view(job, s, "front", BARE).size.fits(most))
    parted = split(job, scale, room)
    yield whole_view(job, scale, "front", NUMBERED, parted)
    yield from portion_views(job, "front", NUMBERED, parted)


def _stack_picture(report: Report, step: Step, shown: set[object], cuts: Cuts) -> Block | None:
    """Return the section of a step's first place; None where the step mounts nothing, or such a stack was shown."""
    if not step.mounts:
        return None
    place = report.job.place(step.places[0])
    key = stack_key(place, report.assembly)
    if key in shown:
        return None
    shown.add(key)
    marks, scale = section_view(report.job, report.assembly, place, cuts.room, written=cuts.written)
    left, bottom, _, _ = around(marks)
    return block("stack", (*marks, Text(left, bottom - 2 * SMALL, f"{place.name}  {scale_text(scale)}", SMALL)))


def _step(report: Report, number: int, step: Step, width: float, picture: Block | None) -> Block:
    """Return one step: a box to tick, its places by name and number, its lines, and its stack beside them."""
    title, height = fitted(f"{number}. {step.title}", width - BOX - 3.0, 3.5)
    tick = frame(Rectangle(width - BOX, -3.5, width, -3.5 + BOX), Pen.OUTLINE)
    room = width - (picture.size.width + APART if picture is not None else 0.0)
    lines = (*_where(report, step), *step.lines)
    told = paragraphs(f"step {number}", (Text(0.0, -3.7, title, height), tick), lines, room)
    if picture is None:
        return replace(told, box=told.box._replace(right=width))
    beside = picture.at(width - picture.size.width, told.box.top - 3.5 - APART)
    low = min(told.box.bottom, beside.box.bottom)
    return Block(told.name, (*told.marks, *beside.marks), Rectangle(0.0, low, width, told.box.top))


def _where(report: Report, step: Step) -> Iterator[str]:
    """Yield where a step is done: the places by their names, and by their numbers in the picture."""
    numbers = {place.name: n for n, place in enumerate(report.job.places, start=1)}
    if step.places:
        many = "s" * (len(step.places) > 1)
        yield f"At {in_words(step.places)} (place{many} {runs([numbers[name] for name in step.places])})."


def _at_hand(report: Report) -> Cells:
    items = purchase_list(report)
    priced = total(items)
    pieces = QUANTITIES[report.job.drawer is not None]
    head = ("Group", "Item", *pieces, *(("Packs", f"Cost {priced[1]}") if priced else ()))
    rows = [
        (item.group, item.item, *quantities(report, item), *_costs(item.packs, item.cost) * bool(priced))
        for item in items
    ]
    if priced:
        rows.append(("total", "", *("" for _ in pieces), "", f"{priced[0]:.2f}"))
    return head, rows


def _costs(packs: int | None, cost: float | None) -> tuple[str, str]:
    return ("–", "–") if packs is None or cost is None else (str(packs), f"{cost:.2f}")
