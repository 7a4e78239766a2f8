"""What to measure first: only what is from memory, and near enough to turn a verdict; kind by kind, everywhere."""

from __future__ import annotations

import csv
import json
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

from dryfit.cli.printing import print_report
from dryfit.generators.checks.registry import hangs_on, names
from dryfit.generators.lists.measure_first import Unsure, measure_first
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.generators.writers.parts_csv import parts_csv
from dryfit.generators.writers.report_json import report_json
from dryfit.models.catalogue.dimensions import dimensions
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.resolve import parse_job

PARTS = """\
parts:
  mine:
    title: Mine
    family: test
    flange: {outline: {box: [26, 31], corner: 3}, thick: 2}
    cutout: {round: 24}
    rear: [{outline: {round: 20}, from: 0, to: 10}, {outline: {round: 18}, from: 10, to: 30}]
    sources: {rear: SOURCE}
"""
PLACES = '  - {part: mine, label: "A", at: [-30, 0]}\n  - {part: mine, label: "B", at: [30, 0]}\n'


def told(folder: Path, depth: float, source: str = "from memory") -> Report:
    (folder / "own.yaml").write_text(PARTS.replace("SOURCE", source))
    panel = f"panel: {{size: [160, 60], thickness: 2, depth: {depth}}}"
    layout = f"title: Two\n{panel}\norigin: centre\nparts: [own.yaml]\nplaces:\n{PLACES}"
    return judged(parse_job(folder / "layout.yaml", layout))


def deep(report: Report) -> list[Unsure]:
    return [unsure for unsure in measure_first(report) if "rear-room" in unsure.checks]


@pytest.mark.parametrize(("depth", "named"), [(28 + 2.9, True), (28 + 3.1, False), (28 - 2.9, True)])
def test_a_depth_from_memory_is_named_within_a_tenth_of_itself(tmp_path: Path, depth: float, named: bool) -> None:
    report = told(tmp_path, depth)  # it reaches 30 behind its flange; 2 of that stand in the panel, 28 behind it
    assert next(f.measured for f in report.findings if f.check == "rear-room") == pytest.approx(depth - 28)
    assert [(u.kind, u.path, u.value) for u in deep(report)] == ([("mine", "rear.1.depth", 30.0)] if named else [])


@pytest.mark.parametrize("source", ["kicad-d", "common practice", "my drawing"])
def test_what_rests_on_more_than_memory_is_not_named(tmp_path: Path, source: str) -> None:
    assert measure_first(told(tmp_path, 29)) != ()
    assert measure_first(told(tmp_path, 29, source)) == ()


def test_it_is_told_once_for_a_kind_on_screen_and_in_both_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    report = told(tmp_path, 29)
    print_report(report, False)
    assert capsys.readouterr().out.count("rear.1.depth 30 mm") == 1
    assert json.loads(report_json(report))["measure_first"] == [
        {"part": "mine", "dimension": "rear.1.depth", "value": 30.0, "checks": ["rear-room"]}
    ]
    (part,) = [row for row in csv.DictReader(parts_csv(report).splitlines()) if row["group"] == "part"]
    assert part["note"] == "measure before cutting; measure first: rear.1.depth 30 mm"


def test_what_checks_hang_on_are_dimensions_that_the_catalogue_has() -> None:
    catalogue = load_catalogue()
    paths = {found.path for part in catalogue.parts.values() for found in dimensions(part)}
    paths |= {f"plug.{found.path}" for plug in catalogue.plugs.values() for found in dimensions(plug)}
    wanted = [pattern for name in names() for pattern in hangs_on(name)]
    for pattern in {pattern.replace("through.", f"{side}.") for pattern in wanted for side in ("front", "rear")}:
        assert any(fnmatchcase(path, pattern) for path in paths), pattern
    assert "rear.*.depth" in wanted
