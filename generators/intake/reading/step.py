"""STEP files as plain data, read with the kernel in a bounded child process.

The kernel is a large program in C++: a stranger's file may make it crash, hang, or take all memory.
"""

from __future__ import annotations

import stat
from pathlib import Path
from tempfile import TemporaryDirectory

from pydantic import TypeAdapter, ValidationError

from dryfit.generators.intake.reading.child import in_child
from dryfit.generators.intake.reading.shapes import Shapes
from dryfit.models.reading.errors import Fault, InputError, display_path

LARGEST_STEP = 64_000_000  # bytes; a maker's connector with every contact and spring has some ten million
LONGEST = 120  # seconds; the largest files that people hand around are read in a third of it
MOST_MEMORY = 4_000_000_000  # bytes of addresses; the kernel itself takes 600 million of them before it reads anything
LARGEST_ANSWER = 400_000_000  # bytes of plain data
HEAD = b"ISO-10303-21"  # how every such file begins (ISO 10303-21, 5.3)
LOOKED_AT = 4096  # bytes, within which it begins: comments may stand before it

_ANSWER = TypeAdapter(Shapes)


def read_step(path: Path, facet: float | None = None, seconds: float = LONGEST, memory: int = MOST_MEMORY) -> Shapes:
    """Return the solids of a STEP file, with meshes that stray by at most ``facet`` mm if that is given.

    Raises:
        InputError: in one line, if it is no such file, is too large, holds no solid, or is more than the kernel can
            read within ``seconds`` and ``memory`` (bytes; where the system can limit it).
    """
    _looked_at(path)
    with TemporaryDirectory(prefix="dryfit-") as folder:
        answer = Path(folder) / "answer.json"
        said = _run(path, answer, facet, seconds, memory)
        if said:
            raise _wrong(path, said, "a STEP file with a solid body")
        return _read(path, answer)


def _looked_at(path: Path) -> None:
    """Refuse what is no plain file, is too large, or does not begin as a STEP file does."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            what = "is a folder" if stat.S_ISDIR(found.st_mode) else "is no plain file"
            raise _wrong(path, what, "a STEP file")
        with path.open("rb") as stream:
            begins = stream.read(LOOKED_AT)
    except FileNotFoundError:
        raise _wrong(path, "there is no such file", "an existing STEP file") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "its name is not a path"
        raise _wrong(path, f"cannot be read: {reason}", "a readable STEP file") from None
    if found.st_size > LARGEST_STEP:
        raise _wrong(path, f"is too large, {found.st_size} bytes", f"at most {LARGEST_STEP} bytes")
    if HEAD not in begins:
        raise _wrong(path, "is no STEP file", f"one that begins with {HEAD.decode()}")


def _run(path: Path, answer: Path, facet: float | None, seconds: float, memory: int) -> str:
    """Run the kernel over a file, and return what went wrong, or nothing."""
    code = "from dryfit.generators.intake.reading.kernel import main; main()"
    return in_child(code, (str(path.absolute()), str(answer), str(facet or 0.0)), seconds, memory)


def _read(path: Path, answer: Path) -> Shapes:
    if answer.stat().st_size > LARGEST_ANSWER:
        raise _wrong(path, "holds more faces than can be looked at", "one part or panel")
    try:
        return _ANSWER.validate_json(answer.read_bytes())
    except ValidationError:
        raise _wrong(path, "is read by the kernel into what is no shape", "a STEP file with a solid body") from None


def _wrong(path: Path, what: str, expected: str) -> InputError:
    return InputError([Fault(display_path(path), None, what, expected)])
