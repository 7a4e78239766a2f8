"""A panel is judged with its parts at the worse end of their dimensions, and drawn with them as they are meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.findings import Verdict
from dryfit.models.resolve import parse_job

PARTS = """\
parts:
  mine:
    title: Mine
    family: test
    flange: {outline: {box: [26, 31], corner: 3}, thick: 2}
    cutout: {round: 24}
    fixings: {at: [[-9.5, 12], [9.5, -12]], hole: 3.4, panel: 3.4}
    rear: [{outline: {round: 23.6}, from: 0, to: 20}]
    sources:
      flange.outline.width: {source: two drawings, greatest: 26.4}
      flange.thick: {source: two drawings, greatest: 2.6}
      rear.0.width: {source: two drawings, greatest: 23.8}
"""
LAYOUT = """\
title: Two
panel: {size: [120 mm, 60 mm], thickness: 2 mm, coating: 0.05 mm}
parts: [own.yaml]
places:
  - {part: mine, label: "A", at: [-14 mm, 0 mm]}
  - {part: mine, label: "B", at: [14 mm, 0 mm]}
origin: centre
hardware: {threads: [M3]}
"""


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Report:
    folder: Path = tmp_path_factory.mktemp("worse")
    (folder / "own.yaml").write_text(PARTS)
    return judged(parse_job(folder / "layout.yaml", LAYOUT))


def measured(report: Report, check: str) -> float:
    return next(f.measured for f in report.findings if f.check == check and f.place == "A" and f.measured is not None)


def test_a_body_passes_its_hole_at_its_greatest(report: Report) -> None:
    assert measured(report, "cutout-size") == pytest.approx(24 - 23.8)  # the hole is cut for the coating


def test_neighbours_keep_clear_at_their_widest(report: Report) -> None:
    assert measured(report, "body-room") == pytest.approx(28 - 26.4)  # two halves of 26.4, 28 apart


def test_a_screw_is_long_enough_for_the_thickest_flange(report: Report) -> None:
    stack = report.stacks["A"]
    assert measured(report, "screw-length") == pytest.approx(stack.protrusion - (2.6 - 2))


def test_the_assembly_shows_parts_as_they_are_meant(report: Report) -> None:
    parts = [i for i in report.assembly.instances if i.role == "part"]
    widths = {round(i.box[3] - i.box[0], 6) for i in parts}
    assert widths == {26.0}
    assert all(finding.verdict is not Verdict.FAILS for finding in report.findings)
