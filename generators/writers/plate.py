"""The test plate: all pieces by name as 3MF, what they take as JSON, and one STL for each."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.testplate.plate import Plate, plate_for, summary_json
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.stl import write_pieces_stl
from dryfit.generators.writers.threemf import write_3mf
from dryfit.generators.writers.whole import write_whole
from dryfit.models.printer import generic_printer


def plate(order: Order) -> Plate:
    """Return the test plate for the printer of the order."""
    return plate_for(order.report.job, order.report.assembly, order.printer or generic_printer())


@file_kind("test-plate", "test-plate.3mf", "The panel in plastic: tiles, keys and coupon to print.")
def _package(order: Order, path: Path) -> None:
    write_3mf(order.once(plate).pieces, f"{order.title}: test plate", path)


@file_kind("test-plate", "test-plate.json", "Its tiles, filament and notes.")
def _summary(order: Order, path: Path) -> None:
    write_whole(path, summary_json(order.once(plate)).encode())


@file_kind("test-plate", "test-plate/", "The same, one STL for each piece.")
def _pieces(order: Order, folder: Path) -> None:
    write_pieces_stl(order.once(plate).pieces, folder)
