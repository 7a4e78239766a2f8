"""What is live on a part and lies on metal makes all such parts of the panel one contact."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.pipeline import check
from dryfit.models.findings import Verdict
from tests.helpers import finding, job, place


@pytest.mark.parametrize("panel", ["", ", coating: 0.08, finish: powder coat", ", material: steel"])
def test_a_live_bush_on_metal_fails_coated_or_not(tmp_path: Path, panel: str) -> None:
    report = check(job(tmp_path, place("socket-4"), panel=f"{{size: [80, 60], thickness: 2{panel}}}"))
    told = finding(report, "live-bush")
    assert told.verdict is Verdict.FAILS
    assert told.advice == "Take one with an insulated bush, or a panel of plastic."


def test_on_plastic_it_fits(tmp_path: Path) -> None:
    report = check(job(tmp_path, place("socket-4"), panel="{size: [80, 60], thickness: 3, material: ABS}"))
    assert finding(report, "live-bush").verdict is Verdict.FITS


@pytest.mark.parametrize("part", ["socket-4-plastic", "socket-4-shrouded", "binding-post", "bnc-bush"])
def test_of_what_is_insulated_or_earthed_it_is_not_asked(tmp_path: Path, part: str) -> None:
    report = check(job(tmp_path, place(part), panel="{size: [80, 60], thickness: 2}"))
    assert not [f for f in report.findings if f.check == "live-bush"]
