"""STEP files of other programs, read and measured, or refused in one line: which, how long it took, how it ended.

    python tests/strangers.py FOLDER [--most-bytes N] [--seconds N]

A file that ends in anything but a measured part, a question, or one line is counted as a fault.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from dryfit.generators.intake.measuring.outcome import FACET, Wanted, named, outcome, write_part
from dryfit.generators.intake.measuring.standing import Unclear
from dryfit.generators.intake.reading.step import LONGEST, read_step
from dryfit.models.reading.errors import DryfitError, InputError

SUFFIXES = {".step", ".stp", ".p21"}


def ended(path: Path, seconds: float) -> tuple[str, str]:
    """Return how a file ended, and what was said of it."""
    try:
        shapes = read_step(path, FACET, seconds)
    except InputError as refused:
        return ("refused" if "\n" not in str(refused) else "FAULT"), str(refused).removeprefix(f"{path}: ")
    solids = f"{len(shapes.solids)} solids, {sum(len(s.faces) for s in shapes.solids)} faces"
    try:
        made = outcome(path.name, named(path, None), shapes, Wanted())
    except Unclear as unclear:
        made = outcome(path.name, named(path, None), shapes, Wanted(front=unclear.ways[0]))
        return "asked", f"{solids}: {unclear.why}; {_written(made)}"
    return "measured", f"{solids}: {_written(made)}"


def _written(made: object) -> str:
    with tempfile.TemporaryDirectory() as folder:
        off = write_part(made, Path(folder) / "part.yaml")  # type: ignore[arg-type]
    return f"held to {off:.4f} mm"


def main() -> None:
    """Read every STEP file of a folder, the smallest first."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--most-bytes", type=int, default=64_000_000)
    parser.add_argument("--seconds", type=float, default=LONGEST)
    given = parser.parse_args()
    files = sorted((f for f in given.folder.iterdir() if f.suffix.lower() in SUFFIXES), key=lambda f: f.stat().st_size)
    ends: Counter[str] = Counter()
    for path in files:
        if path.stat().st_size > given.most_bytes:
            continue
        began = time.monotonic()
        try:
            how, said = ended(path, given.seconds)
        except DryfitError as error:
            how, said = "told", str(error)
        except Exception as error:
            how, said = "FAULT", f"{type(error).__name__}: {error}"
        ends[how] += 1
        print(
            f"{how:9}{time.monotonic() - began:6.1f} s  {path.name} ({path.stat().st_size} bytes): {said}", flush=True
        )
    print(", ".join(f"{count} {how}" for how, count in ends.items()))
    sys.exit(ends["FAULT"] > 0)


if __name__ == "__main__":
    main()
