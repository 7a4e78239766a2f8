"""Shared makings of tests: jobs from a few lines of YAML."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from dryfit.generators.pipeline import check
from dryfit.generators.report import Report
from dryfit.models.findings import Finding
from dryfit.models.job import Job
from dryfit.models.resolve import read_job

ROOT = Path(__file__).parents[1]
LAYOUTS = ROOT / "models" / "data" / "layouts"


def job(folder: Path, places: str, panel: str = "", rest: str = "") -> Job:
    """Return the job of a layout with one panel and the places given as YAML list items."""
    panel = panel or "{rack_units: 2, thickness: 1/8 in}"
    path = folder / "layout.yaml"
    path.write_text(f"title: Test\norigin: centre\npanel: {panel}\n{rest}\nplaces:\n{places}\n", encoding="utf-8")
    return read_job(path)


def place(part: str, **keys: str) -> str:
    """Return one list item of ``places``."""
    given = {"at": "[0, 0]", "label": "A", **keys}
    return "\n".join([f"  - part: {part}", *(f"    {key}: {value}" for key, value in given.items())])


def report(folder: Path, places: str, panel: str = "", rest: str = "") -> Report:
    """Return the report of such a layout."""
    return check(job(folder, places, panel, rest))


@cache
def demo(name: str) -> Report:
    """Return the report of a demo layout, checked once for all tests of a process."""
    return check(read_job(LAYOUTS / f"{name}.yaml"))


def finding(of: Report, name: str, place_name: str = "A") -> Finding:
    """Return the one finding of a check at a place."""
    found = [f for f in of.findings if f.check == name and f.place == place_name]
    assert found, f"{name} said nothing of {place_name}"
    return found[0]
