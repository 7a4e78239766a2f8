"""Times of the main job on this machine: ``python tests/benchmark.py``. No test asserts a time.

Unset PYTHONDONTWRITEBYTECODE and compile first, or every import compiles anew.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from dryfit.generators.pipeline import check, cross_check
from dryfit.generators.report import Report
from dryfit.models.resolve import read_job

ROOT = Path(__file__).parents[1]
SIZES = (16, 96)


def _layout(folder: Path, count: int) -> Path:
    """Write a 6-unit panel of ``count`` sockets in rows of sixteen."""
    path = folder / f"{count}.yaml"
    rows = "".join(
        f"  - {{part: xlr3-socket, label: 'R{row} {{n}}', count: 16, at: [{38}, {24 + 40 * row}], pitch: 27}}\n"
        for row in range(count // 16)
    )
    path.write_text(f"title: Bench\npanel: {{rack_units: 6, thickness: 3}}\nplaces:\n{rows}")
    return path


KINDS = (
    ("xlr3-socket", 10), ("xlr3-pins", 4), ("8p8c-d", 3), ("bnc-d", 2), ("loudspeaker-4", 2), ("din-5", 1),
    ("combination-jack-threaded", 1), ("mains-quarter-turn-inlet", 1),
)  # fmt: skip


def _mixed(folder: Path) -> Path:
    """Write a 4-unit panel of 24 places of eight kinds, no thread named: the whole choice is open."""
    path = folder / "mixed.yaml"
    rows, spot = [], 0
    for kind, count in KINDS:
        for n in range(count):
            x, y = 45 + 48 * (spot % 8), 30 + 55 * (spot // 8)
            mount = "rear" if "threaded" in kind else "front"
            rows.append(f"  - {{part: {kind}, label: {kind} {n}, at: [{x}, {y}], mount: {mount}}}\n")
            spot += 1
    path.write_text(f"title: Mixed\npanel: {{rack_units: 4, thickness: 3}}\nplaces:\n{''.join(rows)}")
    return path


def _timed(what: str, work: Callable[[], object]) -> object:
    start = time.perf_counter()
    result = work()
    print(f"{what:60} {1000 * (time.perf_counter() - start):9.1f} ms")
    return result


def _fresh(code: str) -> Callable[[], object]:
    return lambda: subprocess.run([sys.executable, "-c", code], check=False, capture_output=True)


def main() -> None:
    """Print one line a measurement."""
    _timed("fresh process, nothing", _fresh("pass"))
    _timed(
        "fresh process, numpy + pydantic + click + ruamel.yaml", _fresh("import numpy, pydantic, click, ruamel.yaml")
    )
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        mixed = read_job(_mixed(folder))
        found = _timed("hardware chosen and checked, 24 places of 8 kinds, first", lambda: check(mixed))
        _timed("the same again", lambda: check(mixed))
        assert isinstance(found, Report)
        print(f"    {len({item for s in found.stacks.values() for item in s.items})} items, {found.verdict}")
        for count in SIZES:
            path = _layout(folder, count)
            run = f"from dryfit.cli.main import main; main(['check', {str(path)!r}"
            _timed(f"fresh `check --quick`, {count} places", _fresh(f"{run}, '--quick'])"))
            _timed(f"fresh `check`, {count} places", _fresh(f"{run}])"))
            job = _timed(f"read and resolve, {count} places", lambda path=path: read_job(path))  # type: ignore[misc]
            report = _timed(f"check in process, first time, {count} places", lambda job=job: check(job))  # type: ignore
            assert isinstance(report, Report)
            _timed(f"check in process, again, {count} places", lambda job=job: check(job))  # type: ignore
            _timed(f"mesh engine, {count} places", lambda report=report: cross_check(report))  # type: ignore
        assert isinstance(report, Report)
        _files(report, folder)


def _files(report: Report, folder: Path) -> None:
    from dryfit.generators.writers.register import Order, chosen

    order = Order(report)
    for kind in chosen(report):
        _timed(f"{kind.name}, {SIZES[-1]} places", lambda kind=kind: kind.make(order, folder / kind.name))  # type: ignore


if __name__ == "__main__":
    main()
