"""Thousands of layouts in one run, by one process, by two, and by an engine one of whose workers is killed.

``python tests/many.py [COUNT]``, by default 5000: prints the rate and the most memory of each way, for a tenth of the
layouts and for all of them, so that what grows is seen; all ways must give the same table byte for byte.
"""

from __future__ import annotations

import os
import random
import resource
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

COUNT, SEED = 5000, 3
PARTS = ("xlr3-socket", "xlr3-pins", "8p8c-d", "bnc-d", "loudspeaker-4", "combination-jack-threaded", "blank-d")
TEMPLATE = """\
title: Room {name}
panel: {size: [{wide}, 88], thickness: {sheet}, coating: {coat}}
hardware: {threads: [M3], heads: [countersunk, pan], retention: tooth washer}
places:
  - {part: {first}, label: "A {n}", at: [32, 44], count: {count}, pitch: {pitch}}
  - {part: {second}, label: B, at: [{right}, 44], mount: front}
"""
TABLES = ("results.csv", "results.jsonl")


def rows(count: int) -> Iterator[str]:
    """Yield the lines of a table of parameters: panels loose and tight, thin and thick, coated and bare."""
    chance = random.Random(SEED)
    yield "name,wide,sheet,coat,first,second,count,pitch,right"
    for number in range(count):
        places, pitch = chance.randint(1, 8), chance.choice((25.5, 27, 30, 33.25, 40))
        right = 32 + places * pitch + chance.choice((0, 2, 8))
        wide = round(right + chance.choice((14, 18, 30)), 3)
        first, second = chance.choice(PARTS), chance.choice(PARTS)
        sheet, coat = chance.choice((1, 1.5, 2, 2.5, 3, 3.175)), chance.choice((0, 0, 0.06, 0.1))
        yield f"room-{number:05},{wide},{sheet},{coat},{first},{second},{places},{pitch},{round(right, 3)}"


def run(folder: Path, name: str, count: int, *words: str) -> tuple[bytes, ...]:
    """Run the batch of the first layouts in a process of its own, print what it took, and return its tables."""
    fill, out = folder / f"{count}.csv", folder / name
    fill.write_text("\n".join(rows(count)) + "\n", encoding="utf-8")
    command = [sys.executable, "-m", "dryfit.cli.main", "batch", str(folder / "room.yaml"), "--fill", str(fill)]
    begun = time.monotonic()
    child = os.posix_spawn(
        sys.executable, [*command, "--quick", "--out", str(out), *words], os.environ,
        file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)],
    )  # fmt: skip
    _, status, used = os.wait4(child, 0)
    assert os.waitstatus_to_exitcode(status) in (0, 1, 2), status
    seconds = time.monotonic() - begun
    workers = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1000
    print(f"{name:16} {count:6} layouts {count / seconds:7.1f} a second; {used.ru_maxrss / 1000:.0f} MB, "
          f"workers so far {workers:.0f} MB at most", flush=True)  # fmt: skip
    return tuple((out / table).read_bytes() for table in TABLES)


@contextmanager
def engine() -> Iterator[str]:
    """Run an engine of two workers, one of which is killed after some seconds; give its address."""
    from distributed import LocalCluster

    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:  # type: ignore[no-untyped-call]
        timer = threading.Timer(8.0, _kill_one, (cluster,))
        timer.start()
        try:
            yield cluster.scheduler_address
        finally:
            timer.cancel()


def _kill_one(cluster: object) -> None:
    workers = list(cluster.workers.values())  # type: ignore[attr-defined]
    process = workers[0].process.pid
    print(f"                 worker {process} is killed", flush=True)
    os.kill(process, signal.SIGKILL)


def main(count: int = COUNT) -> int:
    """Run every way and compare; return the exit status."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "room.yaml").write_text(TEMPLATE, encoding="utf-8")
        few = run(folder, "one-few", count // 10, "--processes", "1")
        found = {"one": run(folder, "one", count, "--processes", "1")}
        found["two"] = run(folder, "two", count, "--processes", "2")
        with engine() as address:
            found["engine"] = run(folder, "engine", count, "--scheduler", address)
        same = len(set(found.values())) == 1
        lines = found["one"][0].splitlines()
        whole = len(lines) == count + 1 and lines[: count // 10 + 1] == few[0].splitlines()
    print(f"tables {'alike' if same else 'DIFFER'}, {'whole' if whole else 'NOT WHOLE'}")
    return int(not (same and whole))


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
