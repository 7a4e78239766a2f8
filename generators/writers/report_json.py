"""The report as JSON: the contract of ``dryfit check --json``. Lengths are mm."""

from __future__ import annotations

import json
from pathlib import Path

from dryfit.generators.joints.stacks import Stack
from dryfit.generators.pipeline import Report
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.findings import Change, Finding
from dryfit.models.job import Place

SCHEMA = 1
DECIMALS = 4  # of a mm: far below any tolerance, and free of rounding noise


@file_kind("report", "report.json", "All findings, for programs.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, report_json(order.report).encode())


def report_json(report: Report) -> str:
    """Return the whole report as JSON text, the same for the same input."""
    data = {
        "schema": SCHEMA,
        "layout": report.job.source,
        "verdict": str(report.verdict),
        "places": [_place(place, report.stacks.get(place.name)) for place in report.job.places],
        "findings": [_finding(finding) for finding in report.findings],
        "second_bags": [bag.says for bag in report.second_bags],
    }
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _place(place: Place, stack: Stack | None) -> dict[str, object]:
    return {
        "place": place.name,
        "part": place.kind,
        "mount": place.mount,
        "x": round(place.x, DECIMALS),
        "y": round(place.y, DECIMALS),
        "hardware": None if stack is None else _hardware(stack),
    }


def _hardware(stack: Stack) -> dict[str, object]:
    return {
        "screw": stack.thread.name,
        "length": round(stack.screw.length, DECIMALS),
        "head": stack.screw.head.kind,
        "nut": stack.nut.kind if stack.nut is not None else "none",
        "washers": [washer.kind for washer in stack.washers],
        "driver": stack.screw.head.drive,
    }


def _finding(finding: Finding) -> dict[str, object]:
    return {
        "check": finding.check,
        "place": finding.place,
        "verdict": str(finding.verdict),
        "measured": round(finding.measured, DECIMALS),
        "limit": round(finding.limit, DECIMALS),
        "says": finding.says,
        "remedy": finding.remedy,
        "source": finding.source,
        "changes": [_change(change) for change in finding.changes],
    }


def _change(change: Change) -> dict[str, object]:
    return {"entry": change.entry, "path": list(change.path), "value": change.value}
