"""The true solid of a part: a STEP file beside its part file, found and looked at from outside."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from dryfit.models.catalogue.parts import Part, Solid
from dryfit.models.reading.errors import Fault, InputError, quote
from dryfit.models.reading.stepfile import STEP_ENDS, look_at_step


@dataclass(frozen=True)
class SolidFile:
    """Where the solid of a part is, how it stands in its file, and who names it: part, file and line there."""

    name: str
    part: Part
    home: Path  # the part file
    written: Fault  # of the key in the part file, nothing said yet

    @property
    def path(self) -> Path:
        """Where it is."""
        return Path(os.path.realpath(self.home)).parent / self.solid.file

    @property
    def solid(self) -> Solid:
        """What the part says of it."""
        assert self.part.solid is not None  # else there is no such file
        return self.part.solid

    @property
    def fault(self) -> Fault | None:
        """What is wrong with the file, seen from outside, as a fault of the part file; None where nothing is."""
        said = quote(self.solid.file)
        if not self._lies_beside():
            return self.told(f"the solid {said} lies outside the folder of the part file", "a file in or below it")
        if not self.solid.file.lower().endswith(STEP_ENDS):
            return self.told(
                f"the solid {said} is no STEP file by its name", f"one that ends in {' or '.join(STEP_ENDS)}"
            )
        try:
            look_at_step(self.path)
        except InputError as error:
            (fault,) = error.faults
            return self.told(f"the solid {said}: {fault.what}", fault.expected)
        return None

    def told(self, what: str, expected: str) -> Fault:
        """Return a fault at the line where the part names its solid."""
        return Fault(self.written.file, self.written.line, what, expected)

    def _lies_beside(self) -> bool:
        name = self.solid.file
        if "\\" in name or PurePosixPath(name).is_absolute():
            return False
        return Path(os.path.realpath(self.path)).is_relative_to(Path(os.path.realpath(self.home)).parent)
