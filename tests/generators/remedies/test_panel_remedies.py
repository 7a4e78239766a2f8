"""What cures by another sheet or a deeper box: told with what is sold, tried on the whole panel, and true when done."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.pipeline import check
from dryfit.generators.report import Report
from dryfit.models.findings import Verdict
from tests.helpers import job, place


def told(report: Report, name: str) -> set[str]:
    return {f.advice for f in report.findings if f.check == name and f.verdict is not Verdict.FITS}


def checked(folder: Path, part: str, panel: str) -> Report:
    return check(job(folder, place(part), panel=f"{{{panel}}}"))


@pytest.mark.parametrize(
    ("part", "sheet", "advice", "cure"),
    [
        ("dsub-9", "thickness: 3 mm", "Take sheet 2 mm thick.", "thickness: 2 mm"),
        ("dsub-9", "thickness: 3 mm, coating: 0.1", "Take sheet 1.5 mm thick.", "thickness: 1.5 mm, coating: 0.1"),
        ("dsub-9", "thickness: 1/8 in", "Take sheet 1/16 in (1.59 mm) thick.", "thickness: 1/16 in"),
        ("keystone-blank", "thickness: 3 mm", "Take sheet 1.5 mm thick.", "thickness: 1.5 mm"),
        ("keystone-blank", "thickness: 0.8 mm", "Take sheet 1.5 mm thick.", "thickness: 1.5 mm"),
    ],
)
def test_a_sheet_that_the_part_suits_is_proposed(tmp_path: Path, part: str, sheet: str, advice: str, cure: str) -> None:
    size = "size: [4 in, 3 in]" if " in" in sheet else "size: [100, 80]"
    assert told(checked(tmp_path, part, f"{size}, {sheet}"), "mount-side") == {advice}
    assert told(checked(tmp_path, part, f"{size}, {cure}"), "mount-side") == set()


@pytest.mark.parametrize(
    ("part", "panel", "advice"),
    [
        ("hdmi-d", "plate: uk-1, thickness: 2 mm", "Take a box 47 mm deep."),
        ("jack-3-bush", "plate: uk-1, thickness: 1.5 mm", "Take a box 35 mm deep."),
        ("xlr3-socket", "plate: us-2, thickness: 0.08 in", "Take a box 2 1/2 in (63.5 mm) deep."),
    ],
)
def test_the_shallowest_box_that_is_deep_enough_is_proposed(tmp_path: Path, part: str, panel: str, advice: str) -> None:
    assert told(checked(tmp_path, part, panel), "rear-room") == {advice}


def test_where_no_box_is_deep_enough_or_there_is_none_nothing_is_proposed(tmp_path: Path) -> None:
    for panel in ("plate: uk-1, thickness: 2, depth: 47", "size: [100, 80], thickness: 2, depth: 20"):
        advice = told(checked(tmp_path, "fan-80" if "uk" not in panel else "hdmi-d", panel), "rear-room")
        assert not any("box" in text for text in advice), panel
