"""The test plate: a 3MF for each bedful, what they take as JSON, and one STL for each."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.testplate.beds import bedfuls
from dryfit.generators.testplate.plate import Plate, plate_for, summary_json
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.stl import title_of, write_pieces_stl
from dryfit.generators.writers.threemf import write_3mf
from dryfit.generators.writers.whole import write_whole
from dryfit.models.printer import generic_printer


def plate(order: Order) -> Plate:
    """Return the test plate for the printer of the order."""
    return plate_for(order.report.job, order.report.assembly, order.printer or generic_printer())


@file_kind("test-plate", "test-plate-beds/", "The panel in plastic: one 3MF for each bedful, as it is printed.")
def _beds(order: Order, folder: Path) -> None:
    made = order.once(plate)
    folder.mkdir(exist_ok=True)
    for number, laid in enumerate(bedfuls(made.pieces, made.printer.bed), start=1):
        write_3mf(laid, f"{order.title}: test plate, bed {number}", folder / f"bed-{number}.3mf")


@file_kind("test-plate", "test-plate.json", "Its tiles, filament and notes.")
def _summary(order: Order, path: Path) -> None:
    write_whole(path, summary_json(order.once(plate)).encode())


@file_kind("test-plate", "test-plate/", "The same, one STL for each piece.")
def _pieces(order: Order, folder: Path) -> None:
    write_pieces_stl(order.once(plate).pieces, folder, title_of(order))
