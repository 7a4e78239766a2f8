"""The assembly sheet: cautions, the panel with its place numbers, every step in order, and what to have at hand."""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.drawing.banner import banner
from dryfit.generators.drawing.marks import Block, Drawing, Pen, Text, frame
from dryfit.generators.drawing.pages import Paging, upright
from dryfit.generators.drawing.paper import scales
from dryfit.generators.drawing.patterns import runs
from dryfit.generators.drawing.textblocks import SMALL, Cells, fitted, notes, paragraphs, tables
from dryfit.generators.drawing.views import Show, panel_view
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.failing import failing, titled
from dryfit.generators.lists.purchase import purchase_list, total
from dryfit.generators.lists.steps import Step, steps
from dryfit.generators.report import Report
from dryfit.models.geometry.rectangles import Rectangle, Size

BOX = 3.0  # mm; box to tick when a step is done
PICTURE = 0.35  # share of the page's height that the panel may take


def assembly_sheet(report: Report, paper_size: str = "A4") -> Drawing:
    """Return the sheet on upright pages.

    Raises:
        UnknownName: if the paper size is not known.
    """
    fails, title = failing(report.findings), f"{report.job.title}: assembly sheet"
    paging = Paging(title, paper_size, title, lambda width: banner(fails, width))
    return Drawing(titled(title, fails), upright(paging, lambda room: _blocks(report, room)))


def _blocks(report: Report, room: Size) -> Iterator[Block]:
    width, tall = room
    told = (*cautions(report.job), *(bag.says for bag in report.second_bags))
    yield notes("cautions", f"{report.job.title.upper()}: BEFORE YOU START", told, width)
    yield _picture(report, width, PICTURE * tall)
    for number, step in enumerate(steps(report), start=1):
        yield _step(report, number, step, width)
    yield from tables("at hand", "TO HAVE AT HAND", _at_hand(report), room, height=SMALL)


def _picture(report: Report, width: float, height: float) -> Block:
    """Return the panel from the front as large as the room allows, its places numbered."""
    for scale in scales(1.0):
        view = panel_view(report.job, scale, "front", Show(ordinates=False))
        if view.size.fits((width, height)):
            break
    left = view.box.left - (width - view.size.width) / 2
    return Block(view.name, view.marks, view.box._replace(left=left, right=left + width))


def _step(report: Report, number: int, step: Step, width: float) -> Block:
    """Return one step: a box to tick, its places by number, and its lines."""
    numbers = {place.name: n for n, place in enumerate(report.job.places, start=1)}
    where = f"  (place{'s' * (len(step.places) > 1)} {runs([numbers[name] for name in step.places])})"
    title, height = fitted(f"{number}. {step.title}{where if step.places else ''}", width - BOX - 3.0, 3.5)
    tick = frame(Rectangle(width - BOX, -3.5, width, -3.5 + BOX), Pen.OUTLINE)
    return paragraphs(f"step {number}", (Text(0.0, -3.7, title, height), tick), step.lines, width)


def _at_hand(report: Report) -> Cells:
    items = purchase_list(report)
    priced = total(items)
    head = ("Group", "Item", "Needed", "Order", *(("Packs", f"Cost {priced[1]}") if priced else ()))
    rows = [
        (item.group, item.item, str(item.needed), str(item.order), *_costs(item.packs, item.cost) * bool(priced))
        for item in items
    ]
    if priced:
        rows.append(("total", "", "", "", "", f"{priced[0]:.2f}"))
    return head, rows


def _costs(packs: int | None, cost: float | None) -> tuple[str, str]:
    return ("–", "–") if packs is None or cost is None else (str(packs), f"{cost:.2f}")
