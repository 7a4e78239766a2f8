"""The drawings: for fabrication, all sheets as PDF and the first one as SVG; for assembly as PDF."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.drawing.arrangement import assembly_drawing
from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.drawing.marks import Drawing
from dryfit.generators.writers.pdf import write_pdf
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.svg import write_svg


def drawing(order: Order) -> Drawing:
    """Return the drawing for fabrication on the paper of the order."""
    return shop_drawing(
        order.report.job, order.drawing_paper, titles=order.titles, fails=order.fails, allowed=order.allowed
    )


@file_kind("drawing", "drawing.pdf", "The drawing for fabrication: the panel alone, all sheets.")
def _all_sheets(order: Order, path: Path) -> None:
    write_pdf(order.once(drawing), path)


@file_kind("drawing", "drawing.svg", "Its first sheet, for a page or a mail.")
def _first_sheet(order: Order, path: Path) -> None:
    write_svg(order.once(drawing).sheets[0], path)


@file_kind("drawing", "assembly-drawing.pdf", "The drawing for assembly: every different stack in section.")
def _assembly(order: Order, path: Path) -> None:
    report = order.report
    write_pdf(
        assembly_drawing(report.job, report.assembly, order.drawing_paper, titles=order.titles, fails=order.fails), path
    )
