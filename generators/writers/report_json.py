"""The report as JSON: the contract of ``dryfit check --json``. Lengths are mm."""

from __future__ import annotations

import json
from pathlib import Path, PurePath

from dryfit.generators.joints.stacks import Stack
from dryfit.generators.lists.measure_first import Unsure, measure_first
from dryfit.generators.lists.unasked import unasked
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.catalogue.layers import Kept
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding
from dryfit.models.job import Place
from dryfit.models.version import version

SCHEMA = 3
DECIMALS = 4  # of a mm: far below any tolerance, and free of rounding noise


@file_kind("report", "report.json", "All findings, for programs.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, report_json(order.report).encode())


def report_json(report: Report) -> str:
    """Return the whole report as JSON text, the same for the same input."""
    data = {
        "schema": SCHEMA,
        "dryfit": version(),
        "layout": report.job.file,
        "layout_sha256": report.job.digest,
        "verdict": str(report.verdict),
        "places": [_place(place, report.stacks.get(place.name)) for place in report.job.places],
        "findings": [_finding(finding) for finding in report.findings],
        "second_bags": [bag.says for bag in report.second_bags],
        "measure_first": [_unsure(unsure) for unsure in measure_first(report)],
        "unasked": [*unasked(report)],
        "shelf": [_kept(kept) for kept in report.job.kept],
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
        "head_standard": stack.screw.head.standard,
        "nut": stack.nut.kind if stack.nut is not None else "none",
        "nut_standard": stack.nut.standard if stack.nut is not None else "",
        "washers": [washer.kind for washer in stack.washers],
        "driver": stack.screw.head.drive,
        "from": stack.joint.side,
        "nut_turns": [round(turn, DECIMALS) for turn in stack.rest.turns] if stack.rest is not None else [],
    }


def _finding(finding: Finding) -> dict[str, object]:
    remedy = finding.remedy
    return {
        "check": finding.check,
        "place": finding.place,
        "beside": list(finding.beside),
        "bodies": list(finding.bodies),
        "view": finding.view,
        "verdict": str(finding.verdict),
        "also": list(finding.also),
        "margin": _rounded(finding.margin),
        "unit": finding.unit,
        "measured": _rounded(finding.measured),
        "limit": _rounded(finding.limit),
        "says": finding.says,
        "remedy": remedy.says if remedy is not None else "",
        "source": finding.source,
        "changes": [_edit(edit) for edit in remedy.edits] if remedy is not None else [],
    }


def _unsure(unsure: Unsure) -> dict[str, object]:
    value = round(unsure.value, DECIMALS)
    return {"part": unsure.kind, "dimension": unsure.path, "value": value, "checks": list(unsure.checks)}


def _kept(kept: Kept) -> dict[str, object]:
    files = [path.name for path in kept.files]
    return {"kind": kept.kind, "name": kept.name, "files": files, "instead": PurePath(kept.instead).name}


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, DECIMALS) + 0.0


def _edit(edit: Edit) -> dict[str, object]:
    return {"entry": edit.entry, "path": list(edit.path), "value": edit.value}
