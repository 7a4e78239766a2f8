"""A STEP file read with the kernel in a bounded child process.

Files come from strangers and the kernel is a large program in C++: a file may make it crash, hang, or take all memory.
So it reads in a process of its own, whose time and memory are limited and which hands back plain data only; whatever
happens to it becomes one line about the file.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from pydantic import TypeAdapter, ValidationError

from dryfit.generators.intake.bounds import REFUSED
from dryfit.generators.intake.shapes import Shapes
from dryfit.models.reading.errors import printable
from dryfit.models.reading.stepfile import look_at_step, wrong_step

LONGEST = 120  # seconds; the largest files that people hand around are read in a third of it
MOST_MEMORY = 4_000_000_000  # bytes of addresses; the kernel itself takes 600 million of them before it reads anything
LARGEST_ANSWER = 400_000_000  # bytes of plain data
LONGEST_SAID = 200  # letters of the child's own words repeated

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
    code = "from dryfit.generators.intake.kernel import main; main()"
    return in_child(code, (str(path.absolute()), str(answer), str(facet or 0.0)), seconds, memory)


def in_child(code: str, told: Sequence[str], seconds: float, memory: int) -> str:
    """Run code in a process of its own, bounded, and return what went wrong, or nothing.

    It is told some words, then its memory (bytes) and its time (whole seconds), and limits itself to them.
    """
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    try:
        done = subprocess.run(
            [sys.executable, "-c", code, *told, str(memory), str(int(seconds) + 1)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            env=surroundings,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return f"is more than can be read in {seconds:g} seconds"
    if done.returncode == 0:
        return ""
    return _ended_badly(done.returncode, done.stderr.decode("utf-8", "replace"), memory)


def _ended_badly(status: int, stderr: str, memory: int) -> str:
    """Return in words how the child ended."""
    last = printable(stderr.strip().rsplit("\n", 1)[-1])[:LONGEST_SAID]
    if status == -getattr(signal, "SIGXCPU", 0) or status == -getattr(signal, "SIGKILL", 0):
        return "takes more time or memory to read than it is given"
    if "bad_alloc" in stderr or "MemoryError" in stderr:
        return f"takes more than {memory / 1e9:.1f} GB of memory to read"
    if status == REFUSED:
        return last
    name = signal.Signals(-status).name if status < 0 else f"status {status}"
    return f"breaks its reader ({name})"


def _read(path: Path, answer: Path) -> Shapes:
    if answer.stat().st_size > LARGEST_ANSWER:
        raise wrong_step(path, "holds more faces than can be looked at", "one part or panel")
    try:
        return _ANSWER.validate_json(answer.read_bytes())
    except ValidationError:
        raise wrong_step(path, "is read by the kernel into what is no shape", "a STEP file with a solid body") from None
