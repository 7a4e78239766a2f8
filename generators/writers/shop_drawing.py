"""The shop drawing: all sheets as PDF, the first one as SVG."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.drawing.marks import Drawing
from dryfit.generators.drawing.sheets import shop_drawing
from dryfit.generators.writers.pdf import write_pdf
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.svg import write_svg


def drawing(order: Order) -> Drawing:
    """Return the shop drawing on the paper of the order."""
    return shop_drawing(order.report.job, order.paper, order.report.assembly, fails=order.fails, allowed=order.allowed)


@file_kind("drawing", "drawing.pdf", "The shop drawing, all sheets.")
def _all_sheets(order: Order, path: Path) -> None:
    write_pdf(order.once(drawing), path)


@file_kind("drawing", "drawing.svg", "Its first sheet, for a page or a mail.")
def _first_sheet(order: Order, path: Path) -> None:
    write_svg(order.once(drawing).sheets[0], path)
