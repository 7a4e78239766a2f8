"""The assembly sheet as PDF."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.drawing.assembly_sheet import assembly_sheet
from dryfit.generators.writers.pdf import write_pdf
from dryfit.generators.writers.register import Order, file_kind


@file_kind("assembly", "assembly.pdf", "The assembly sheet: steps, torque, tools, cautions.")
def _sheet(order: Order, path: Path) -> None:
    write_pdf(assembly_sheet(order.report, order.small_paper, order.written), path)
