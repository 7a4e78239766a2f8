"""Kills builds at random times and proves by the manifest that the folder stays whole: ``tests/kills.py``.

    python tests/kills.py [KIND ...]

KIND: build only these kinds of file; by default all, which takes an hour.

Half of the kills fall anywhere in a build, half just as the new files take the place of the old. After every kill the
folder must hold the whole old build or the whole new one; caught in the change itself (a millisecond) it holds part of
one alone, without a manifest, and the next start completes it. The user's own files must be as they were.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from dryfit.generators.folder import ENTERING, OLD, READY, complete
from dryfit.generators.manifest import MANIFEST, digest, read_manifest, torn
from dryfit.models.reading.datafiles import data_text

SEED = 20
KILLS = 200
USERS = {"notes.txt": b"bring the 6 mm drill", "test-plate/measured.txt": b"3.02"}
HIDDEN = ".dryfit-"

Builds = dict[str, dict[str, str]]  # by the name of a layout: the digest of every file


def give_user_files(folder: Path) -> None:
    """Put files of a user's into a folder."""
    for name, data in USERS.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def killed(command: Sequence[str], when: Callable[[], bool]) -> bool:
    """Run a command and kill it as soon as ``when`` says so; return whether it was still running."""
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        while process.poll() is None and not when():
            pass
        was_running = process.poll() is None
        process.kill()
    return was_running


def at(seconds: float) -> Callable[[], bool]:
    """Return a condition that comes true after a time."""
    end = time.monotonic() + seconds

    def come() -> bool:
        time.sleep(0.001)
        return time.monotonic() >= end

    return come


def in_the_change(folder: Path, seconds: float) -> Callable[[], bool]:
    """Return a condition that comes true some time after the change of files began."""
    begun: list[float] = []

    def come() -> bool:
        if not begun and any(os.path.exists(folder / name) for name in (READY, ENTERING, OLD)):
            begun.append(time.perf_counter())
        return bool(begun) and time.perf_counter() >= begun[0] + seconds

    return come


def visible(folder: Path) -> dict[str, str]:
    """Return the digests of the files that stand in a folder, less hidden ones and the user's."""
    files = (path for path in folder.rglob("*") if path.is_file())
    names = {path.relative_to(folder).as_posix(): path for path in files}
    return {n: digest(p) for n, p in names.items() if not n.startswith(HIDDEN) and n not in USERS}


def state(folder: Path, builds: Builds) -> str:
    """Return what a folder holds: the name of the whole build, or ``in the change``; complete it then.

    Raises:
        AssertionError: if it holds a mixture, half a build that nothing completes, or not the user's files.
    """
    found, files = "in the change", visible(folder)
    if not (folder / MANIFEST).exists():
        belongs = [name for name, whole in builds.items() if files.items() <= whole.items()]
        assert belongs, f"a mixture: {sorted(files)}"
        complete(folder)
    else:
        found = next((name for name, whole in builds.items() if files == whole), "")
        assert found, f"neither old nor new: {sorted(files)}"
    complete(folder)
    assert torn(folder) == ()
    assert visible(folder) in builds.values()
    for name, data in USERS.items():
        assert (folder / name).read_bytes() == data, name
    return found


def kill_builds(commands: Mapping[str, Sequence[str]], folder: Path, builds: Builds, seconds: float) -> None:
    """Kill builds, of one layout and the next in turn, and print what the folder held after it."""
    chance, told = random.Random(SEED), Counter[tuple[str, bool]]()
    for number in range(KILLS):
        name = list(commands)[number % len(commands)]
        when = at(chance.uniform(0, seconds)) if number % 2 else in_the_change(folder, chance.uniform(0, 0.004))
        running = killed(commands[name], when)
        held = state(folder, builds)
        told["new" if held == name else held if held == "in the change" else "old", running] += 1
    for (held, running), count in sorted(told.items()):
        print(f"{count:4} {'killed' if running else 'done before the kill'}: {held}")


def main(kinds: Sequence[str]) -> None:
    """Kill builds of two layouts into one folder."""
    with tempfile.TemporaryDirectory() as name:
        base, folder = Path(name), Path(name) / "out"
        text = data_text("layouts/blank.yaml")
        commands, only = {}, [word for kind in kinds for word in ("--only", kind)]
        for layout, units in (("two", "2"), ("three", "3")):
            (base / layout).write_text(text.replace("rack_units: 2", f"rack_units: {units}"), encoding="utf-8")
            words = [sys.executable, "-m", "dryfit.cli.main", "build", str(base / layout), "--out", str(folder), *only]
            commands[layout] = words
        builds, seconds = {}, 0.0
        give_user_files(folder)
        for layout, command in commands.items():
            begun = time.monotonic()
            subprocess.run(command, check=False, stdout=subprocess.DEVNULL)
            seconds = max(seconds, time.monotonic() - begun)
            assert read_manifest(folder) is not None
            builds[layout] = visible(folder)
        kill_builds(commands, folder, builds, seconds)


if __name__ == "__main__":
    main(sys.argv[1:])
