"""STEP files as plain data, read with the kernel in a bounded child process.

The kernel is a large program in C++: a stranger's file may make it crash, hang, or take all memory.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from pydantic import TypeAdapter, ValidationError

from dryfit.generators.intake.reading.child import in_child
from dryfit.generators.intake.reading.shapes import Shapes
from dryfit.models.reading.stepfile import look_at_step, wrong_step

LONGEST = 120  # seconds; the largest files that people hand around are read in a third of it
MOST_MEMORY = 4_000_000_000  # bytes of addresses; the kernel itself takes 600 million of them before it reads anything
LARGEST_ANSWER = 400_000_000  # bytes of plain data

_ANSWER = TypeAdapter(Shapes)


def read_step(path: Path, facet: float | None = None, seconds: float = LONGEST, memory: int = MOST_MEMORY) -> Shapes:
    """Return the solids of a STEP file, with meshes that stray by at most ``facet`` mm if that is given.

    Raises:
        InputError: in one line, if it is no such file, is too large, holds no solid, or is more than the kernel can
            read within ``seconds`` and ``memory`` (bytes; where the system can limit it).
    """
    look_at_step(path)
    with TemporaryDirectory(prefix="dryfit-") as folder:
        answer = Path(folder) / "answer.json"
        said = _run(path, answer, facet, seconds, memory)
        if said:
            raise wrong_step(path, said, "a STEP file with a solid body")
        return _read(path, answer)


def _run(path: Path, answer: Path, facet: float | None, seconds: float, memory: int) -> str:
    """Run the kernel over a file, and return what went wrong, or nothing."""
    code = "from dryfit.generators.intake.reading.kernel import main; main()"
    return in_child(code, (str(path.absolute()), str(answer), str(facet or 0.0)), seconds, memory)


def _read(path: Path, answer: Path) -> Shapes:
    if answer.stat().st_size > LARGEST_ANSWER:
        raise wrong_step(path, "holds more faces than can be looked at", "one part or panel")
    try:
        return _ANSWER.validate_json(answer.read_bytes())
    except ValidationError:
        raise wrong_step(path, "is read by the kernel into what is no shape", "a STEP file with a solid body") from None
