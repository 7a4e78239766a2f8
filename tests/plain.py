"""A made-up part of round numbers, so that every figure of a check can be worked out beside the test."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from dryfit.generators import pipeline
from dryfit.generators.joints.candidates import candidates
from dryfit.generators.joints.joint import joint
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.job import Job
from tests.helpers import job, place

PANEL = "{size: [200, 100], thickness: 3}"
M3 = "{screw: M3, head: pan, length: 12, nut: hexagon, washers: []}"

PART: dict[str, Any] = {
    "title": "Plain",
    "family": "test",
    "flange": {"outline": {"box": [40, 40]}, "thick": 2},
    "cutout": {"round": 22},
    "fixings": {"at": [[-15, 0], [15, 0]], "hole": 3.4, "panel": 3.4},
    "rear": [{"outline": {"round": 20}, "from": 0, "to": 20}],
    "mount": ["front", "rear"],
}
"""A barrel of 20 mm in a hole of 22 mm, two screws 15 mm left and right of its axis, a flange 2 mm thick."""


def about(value: Any, within: float | None = None) -> Any:
    """Return what is equal to about a value, for comparisons inside tuples."""
    return pytest.approx(value, abs=within)


def fixings(**changes: Any) -> dict[str, Any]:
    """Return the fixings of the plain part, changed."""
    return {**PART["fixings"], **changes}


def plain_job(
    folder: Path, places: str, panel: str = PANEL, *, also: Any = None, plug: Any = None, rest: str = "", **changes: Any
) -> Job:
    """Return the job of a layout whose places may hold the part ``plain``, changed where ``changes`` says so.

    ``also`` holds more parts by name; ``plug`` is a plug of the plain part; ``rest`` is more of the layout.
    """
    part = {name: value for name, value in {**PART, **changes}.items() if value is not None}
    plugs = {"plain-plug": {"title": "Plain plug", "travel": 10, **plug}} if plug else {}
    part = {**part, "plugs": list(plugs)}
    text = json.dumps({"parts": {"plain": part, **(also or {})}, "plugs": plugs})  # YAML takes it as it is
    (folder / "plain.yaml").write_text(text, encoding="utf-8")
    return job(folder, places, panel, f"parts: [plain.yaml]\n{rest}")


def plain(folder: Path, places: str, panel: str = PANEL, **given: Any) -> Report:
    """Return the report of such a layout, remedies included."""
    return pipeline.check(plain_job(folder, places, panel, **given))


def asked(folder: Path, places: str, panel: str = PANEL, **given: Any) -> Report:
    """Return the report of such a layout with all that every check says: nothing folded into what it follows from.

    Without remedies, which take most of the time.
    """
    made = plain_job(folder, places, panel, **given)
    with mock.patch.object(pipeline, "folded", tuple):
        return pipeline.judged(made)


def first_stacks(made: Job) -> dict[str, Stack]:
    """Return the first stack that the layout allows at each place that has fixing holes, not judged."""
    joints = {place: joint(place.mounting, made.panel) for place in made.places}
    return {place.name: next(candidates(place.mounting, of)) for place, of in joints.items() if of is not None}


def stack(folder: Path, places: str, panel: str = PANEL, **given: Any) -> Stack:
    """Return that of the first place of a layout."""
    return next(iter(first_stacks(plain_job(folder, places, panel, **given)).values()))


def at(x: float, y: float = 0.0, label: str = "A", hardware: str = M3, **keys: str) -> str:
    """Return the entry of a plain part at a point from the middle of the panel."""
    return place("plain", at=f"[{x}, {y}]", label=label, hardware=hardware, **keys)


def told(made: Report, check: str, place_name: str = "A") -> list[Finding]:
    """Return all that a check tells of a place, without remedies, in its order."""
    return [replace(f, remedy=None) for f in made.findings if f.check == check and f.place == place_name]


def length(
    check: str, verdict: Verdict, says: str, measured: float, *, limit: float = 0.0, at_place: str = "A", **more: Any
) -> Finding:
    """Return the finding of a length that is wanted, all of it, its figures to rounding."""
    margin = 0.0 if abs(measured - limit) < 1e-9 else measured - limit
    return Finding(check, at_place, verdict, says, about(margin, 1e-6), "mm", about(measured, 1e-6), limit, **more)
