"""The drill template as PDF."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.drawing.template import drill_template
from dryfit.generators.writers.pdf import write_pdf
from dryfit.generators.writers.register import Order, file_kind


@file_kind("template", "drill-template.pdf", "Paper at true size to drill by; check its scale bars first.")
def _template(order: Order, path: Path) -> None:
    drawing = drill_template(order.report.job, order.small_paper, order.fails, order.allowed, order.written)
    write_pdf(drawing, path)
