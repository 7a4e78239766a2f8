"""How time and memory grow with the number of places: ``python -m tests.growth [WORD ...]``. No test asserts a time.

A check with meshes, then every kind of file (or those named), each alone in a fresh process as the command would make
it; of the files, what the report took is not counted. Processor time, with that of processes it starts; the greatest
memory of either. The exponents are those from the last but one to the last number of places: 1 is linear.
"""

from __future__ import annotations

import math
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dryfit.generators.pipeline import check
from dryfit.generators.writers.register import chosen
from dryfit.models.resolve import read_job
from tests.benchmark import layout_of

SIZES = (8, 32, 128, 500)
PITCHES = {"loose": 40.0, "tight": 27.0}  # mm
CHECK = "check"
MOST_SECONDS = 900

CHILD = """
import gc, resource, sys, time
from pathlib import Path
from dryfit.cli.main import GARBAGE
from dryfit.generators.pipeline import check, cross_check
from dryfit.generators.writers.register import Order, named
from dryfit.models.resolve import read_job

def used():
    who = [resource.getrusage(one) for one in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in who), max(one.ru_maxrss for one in who) / 1024

gc.set_threshold(*GARBAGE)
layout, what, out = sys.argv[1:]
before, _ = used()
report = check(read_job(Path(layout)))
if what == "check":
    cross_check(report)
else:
    before, _ = used()
    named(what).make(Order(report), Path(out) / what)
after, most = used()
print(after - before, most)
"""


@dataclass(frozen=True)
class Use:
    """What some work took: processor time, s, and the greatest memory, MB."""

    seconds: float
    megabytes: float


def _used(layout: Path, what: str, folder: Path) -> Use:
    command = [sys.executable, "-c", CHILD, str(layout), what, str(folder)]
    run = subprocess.run(command, check=True, capture_output=True, text=True, timeout=MOST_SECONDS)
    seconds, megabytes = run.stdout.split()[-2:]
    return Use(float(seconds), float(megabytes))


def _exponent(less: float, more: float) -> float:
    return math.log(more / less) / math.log(SIZES[-1] / SIZES[-2])


def _row(what: str, name: str, uses: Sequence[Use]) -> str:
    cells = " ".join(f"{use.seconds:8.2f} s {use.megabytes:5.0f} MB" for use in uses)
    time, memory = (_exponent(*pair) for pair in zip(*((u.seconds, u.megabytes) for u in uses[-2:]), strict=True))
    return f"{what:24} {name:6}{cells}   time {time:5.2f}, memory {memory:5.2f}"


def main(words: Sequence[str]) -> None:
    """Print a row a kind of file and pitch."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        layouts = {pitch: [layout_of(folder, count, mm) for count in SIZES] for pitch, mm in PITCHES.items()}
        kinds = [CHECK, *(kind.name for kind in chosen(check(read_job(layouts["tight"][0]))))]
        print(f"{'':30}" + " ".join(f"{f'{count} places':>19}" for count in SIZES) + "   exponents")
        for what in words or kinds:
            for pitch, made in layouts.items():
                print(_row(what, pitch, [_used(layout, what, folder) for layout in made]), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
