"""Files of panels by their endings: which reader takes which, each in bounds."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.intake.plates.plate import Plate, plate_of
from dryfit.generators.intake.plates.solid_plates import plate_of_solid
from dryfit.generators.intake.reading.dxf import read_dxf
from dryfit.generators.intake.reading.step import read_step
from dryfit.models.reading.errors import Fault, InputError, display_path

DXF = (".dxf",)
STEP = (".step", ".stp")


def read_plate(path: Path, unit: str | None = None) -> Plate:
    """Return the plate that a file draws; ``unit`` (mm, in, cm, m) says what a DXF file is drawn in, where it
    does not: STEP files always do.

    Raises:
        InputError: if it is of no kind that is read, cannot be read, or goes over a bound.
    """
    if path.suffix.lower() in DXF:
        return plate_of(read_dxf(path), display_path(path), unit)
    if path.suffix.lower() in STEP:
        return plate_of_solid(read_step(path), display_path(path))
    raise InputError([Fault(display_path(path), None, "is of no kind that is read", "a .dxf or .step file")])
