"""The true solids of the parts of a job, read once, each held by the sections that are judged in its stead."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from dryfit.generators.bodies.parts import part_body
from dryfit.generators.bodies.real import DISTINCT, Reals, RealSolid, Skin
from dryfit.generators.intake.measuring.outcome import FACET, MOST_LEFT_OUT
from dryfit.generators.intake.reading.child import in_child
from dryfit.generators.intake.reading.step import LONGEST, MOST_MEMORY
from dryfit.generators.intake.solids.enclosed import Stray, furthest_stray
from dryfit.generators.intake.solids.keeping import SHAPE, SHOWN, SKIN
from dryfit.generators.report import Report
from dryfit.models.catalogue.parts import Part, Solid
from dryfit.models.catalogue.solids import SolidFile
from dryfit.models.reading.errors import Fault, InputError, quote
from dryfit.models.reading.stepfile import look_at_step, wrong_step
from dryfit.models.reading.units import format_mm

HOLDS = f"sections that hold it to {MOST_LEFT_OUT:g} mm; `dryfit measure` writes such"


def with_solids(report: Report) -> Report:
    """Return the report with the true solids of its parts: for files, pictures and meshes, never for a verdict.

    Raises:
        InputError: in one line each, if a solid cannot be read, or stands out of the sections that are judged.
    """
    found = reals(report.job.solids.values())
    return replace(report, reals=found) if found else report


def reals(files: Iterable[SolidFile]) -> Reals:
    """Return the solids of parts by their kinds.

    Raises:
        InputError: as :func:`with_solids`.
    """
    found: dict[str, RealSolid] = {}
    faults: list[Fault] = []
    for file in files:
        try:
            found[file.name] = _held(file)
        except InputError as error:
            faults.extend(error.faults)
    if faults:
        raise InputError(faults)
    return found


def _held(file: SolidFile) -> RealSolid:
    """Return the solid of a part, held by its sections."""
    if (fault := file.fault) is not None:
        raise InputError([fault])
    real = read_solid(file.path, file.solid)
    stray = _stray(real, file.name, file.part)
    if stray.by > MOST_LEFT_OUT:
        what = f"the solid {quote(file.solid.file)} stands {format_mm(stray.by)} out of the sections of {file.name}"
        where = f"at x {stray.x:.2f}, y {stray.y:.2f}, z {stray.z:.2f} mm of the part"
        raise InputError([file.told(f"{what} {where}", HOLDS)])
    return real


@lru_cache(maxsize=DISTINCT)
def _stray(real: RealSolid, name: str, part: Part) -> Stray:
    slices = part_body(name, part, part.mount[0]).slices
    return furthest_stray(real.skin.corners, real.skin.triangles, slices)


def read_solid(path: Path, solid: Solid) -> RealSolid:
    """Return the solid in a STEP file in the frame of its part; read once while the file stays the same.

    Raises:
        InputError: in one line, as :func:`dryfit.generators.intake.reading.step.read_step`.
    """
    look_at_step(path)
    return _read(_File(path, hashlib.sha256(path.read_bytes()).hexdigest()), solid)


@dataclass(frozen=True)
class _File:
    """What a file holds, wherever it lies."""

    path: Path = field(compare=False)
    digest: str


@lru_cache(maxsize=DISTINCT)
def _read(file: _File, solid: Solid) -> RealSolid:
    code = "from dryfit.generators.intake.solids.keeping import main; main()"
    with TemporaryDirectory(prefix="dryfit-") as folder:
        stands = (solid.front, solid.up, *map(repr, solid.at), repr(FACET))
        said = in_child(code, (str(file.path.absolute()), folder, *stands), LONGEST, MOST_MEMORY)
        if said:
            raise wrong_step(file.path, said, "a STEP file with a solid body")
        return _answer(file.path.name, Path(folder))


def _answer(name: str, folder: Path) -> RealSolid:
    (skin, sound), (shown, _) = (_skin(folder / file) for file in (SKIN, SHOWN))
    return RealSolid(name, (folder / SHAPE).read_bytes(), skin, shown, sound)


def _skin(path: Path) -> tuple[Skin, bool]:
    with np.load(path, allow_pickle=False) as saved:
        return Skin(saved["corners"], saved["triangles"]), bool(saved["sound"])
