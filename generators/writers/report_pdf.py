"""The report as PDF, for a client or a file: with a picture where this machine can draw one."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.drawing.report_sheet import report_sheet
from dryfit.generators.writers.pdf import write_pdf
from dryfit.generators.writers.png import pictures
from dryfit.generators.writers.register import Order, file_kind
from dryfit.models.reading.errors import DryfitError

SHOWN = {"three-quarter.png": "From the front, without plugs.", "plugs.png": "With its plugs in."}


@file_kind("report", "report.pdf", "Verdict, pictures, findings with their gaps, hardware: for a client.")
def _write(order: Order, path: Path) -> None:
    write_pdf(report_sheet(order.report, order.small_paper, _pictures(order)), path)


def _pictures(order: Order) -> dict[str, bytes]:
    """Return the pictures of the first page; none without graphics, for all else can be told without."""
    try:
        made = order.once(pictures)
    except DryfitError:
        return {}
    return {says: made[name] for name, says in SHOWN.items() if name in made}
