"""A bounded child process, in which a stranger's file is read.

It has little time and memory and hands back plain data only; whatever happens to it becomes one line about the file.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Sequence

from dryfit.generators.intake.reading.bounds import REFUSED
from dryfit.models.reading.errors import printable

LONGEST_SAID = 200  # letters of the child's own words repeated


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
