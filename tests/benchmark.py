"""Times of the main job on this machine: ``python -m tests.benchmark``. No test asserts a time.

Unset PYTHONDONTWRITEBYTECODE and compile first, or every import compiles anew.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.page.markup import element
from dryfit.generators.page.page import Live, bare_page, page
from dryfit.generators.pipeline import check, cross_check
from dryfit.generators.report import Report
from dryfit.models.resolve import read_job
from tests.generators.page.browser import chromium

ROOT = Path(__file__).parents[1]
IN_PROCESS = 96
ROW = 16  # places in a row
TIGHT = 27.0  # mm from place to place
RUNS = 5  # fresh processes, of which the middle one counts
LAYOUTS = ROOT / "models/data/layouts"
FLOORS = {
    "check --quick foyer": "import numpy, click, pydantic, yaml",
    "check foyer": "import trimesh",
    "check trouble": "import trimesh",
    "parts": "import click, pydantic, yaml",
}
"""Commands, each with what it cannot do without."""


def layout_of(folder: Path, count: int, pitch: float) -> Path:
    """Write a panel of ``count`` sockets in rows."""
    path, rows, up = folder / f"{count}-{pitch:g}.yaml", -(-count // ROW), pitch + 13
    entries = "".join(
        f"  - {{part: xlr3-socket, label: 'R{row} {{n}}', count: {min(ROW, count - ROW * row)}, "
        f"at: [38, {24 + up * row}], pitch: {pitch}}}\n"
        for row in range(rows)
    )
    size = f"[{60 + pitch * (ROW + 1)}, {60 + up * rows}]"
    path.write_text(f"title: Bench\npanel: {{size: {size}, thickness: 3}}\nplaces:\n{entries}")
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
    """Print the processor time of some work, and return what it returns."""
    start = time.process_time()
    result = work()
    print(f"{what:60} {1000 * (time.process_time() - start):9.1f} ms")
    return result


def _fresh(arguments: list[str]) -> tuple[float, float]:
    """Return processor and wall time of a fresh process, s, of each the middle of several runs."""
    found = []
    for _ in range(RUNS):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=False, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        found.append((cpu, time.perf_counter() - start))
    return statistics.median(cpu for cpu, _ in found), statistics.median(wall for _, wall in found)


def _commands() -> None:
    """Print the commands in fresh processes beside their floors."""
    for command, floor in FLOORS.items():
        words = [str(LAYOUTS / f"{word}.yaml") if word in ("foyer", "trouble") else word for word in command.split()]
        least, _ = _fresh(["-c", floor])
        cpu, wall = _fresh(["-m", "dryfit.cli.main", *words])
        print(f"{command:24} cpu {cpu:6.2f} s, wall {wall:6.2f} s; floor {least:5.2f} s, {cpu / least:5.1f} times")


def main() -> None:
    """Print one line a measurement."""
    _commands()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        mixed = read_job(_mixed(folder))
        found = _timed("hardware chosen and checked, 24 places of 8 kinds, first", lambda: check(mixed))
        _timed("the same again", lambda: check(mixed))
        assert isinstance(found, Report)
        print(f"    {len({item for s in found.stacks.values() for item in s.items})} items, {found.verdict}")
        job = read_job(layout_of(folder, IN_PROCESS, TIGHT))
        report = _timed(f"check in process, first time, {IN_PROCESS} places", lambda: check(job))
        assert isinstance(report, Report)
        _timed(f"check in process, again, {IN_PROCESS} places", lambda: check(job))
        _timed(f"mesh engine, {IN_PROCESS} places", lambda: cross_check(report))
        _files(report, folder)
        _pages(report, folder)


def _pages(many: Report, folder: Path) -> None:
    """Print sizes of pages and the times to their first pictures; the floor is what loading the program takes."""
    foyer = check(read_job(LAYOUTS / "foyer.yaml"))
    texts = {
        "three.js alone (floor)": (_program_alone(), "head script:not([id])"),
        "page of foyer": (page(foyer, ()), "#stage[data-drawn]"),
        f"page of {IN_PROCESS} places": (page(many, ()), "#stage[data-drawn]"),
    }
    with suppress(pytest.skip.Exception), chromium() as launch:  # where there is no browser
        browser = launch()
        for name, (text, drawn) in texts.items():
            path = folder / "page.html"
            path.write_text(text, encoding="utf-8")
            times = [_until(browser, path, drawn) for _ in range(RUNS)]
            print(f"{name:30} {len(text.encode()) / 1000:6.0f} kB, first picture {statistics.median(times):6.0f} ms")


def _program_alone() -> str:
    """Return a page with the program and nothing to show: it is unpacked and started, with all of three.js in it."""
    whole = bare_page("Floor", Live(0, element("p")))
    return whole.replace(" data-live", " data-left-out")


def _until(browser: Any, path: Path, drawn: str) -> float:
    """Return how long it takes to open a page until it has drawn something, ms."""
    opened = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    start = time.perf_counter()
    opened.goto(path.as_uri())
    opened.wait_for_selector(drawn, state="attached")
    taken = 1000 * (time.perf_counter() - start)
    opened.context.close()
    return taken


def _files(report: Report, folder: Path) -> None:
    from dryfit.generators.writers.register import Order, chosen

    order = Order(report)
    for kind in chosen(report):
        _timed(f"{kind.name}, {IN_PROCESS} places", lambda kind=kind: kind.make(order, folder / kind.name))  # type: ignore


if __name__ == "__main__":
    main()
