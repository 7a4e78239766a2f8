"""What the layout does not say is told, with what it takes; what it says is asked, and no longer told."""

from __future__ import annotations

import json
from pathlib import Path

from dryfit.generators.drawing.report_sheet import report_sheet
from dryfit.generators.lists.unasked import unasked
from dryfit.generators.page.page import page
from dryfit.generators.pipeline import judged
from dryfit.generators.writers.report_json import report_json
from tests.generators.drawing.sheets_seen import texts
from tests.helpers import job, place

PLATE = "size: [120, 60], thickness: 3"
TWO = (place("xlr3-socket", at="[-20, 0]", label="A"), place("bnc-d", at="[20, 0]", label="B"))


def test_a_depth_that_is_not_written_is_told_with_what_it_takes(tmp_path: Path) -> None:
    report = judged(job(tmp_path, "\n".join(TWO), panel=f"{{{PLATE}}}"))
    (says,) = unasked(report)
    reach = max(place.part.rear[-1].stop for place in report.job.places) - 3
    assert f"reaches {reach:g} mm behind it" in says
    assert "`depth` is not written" in says
    assert json.loads(report_json(report))["unasked"] == [says]
    assert says in page(report, ())
    told = [text.text for sheet in report_sheet(report).sheets for text in texts(sheet.marks)]
    assert "NOT ASKED" in told


def test_a_depth_that_is_written_is_asked(tmp_path: Path) -> None:
    for depth in ("30", "200"):
        report = judged(job(tmp_path, place("xlr3-socket"), panel=f"{{{PLATE}, depth: {depth}}}"))
        assert unasked(report) == ()
    assert {f.verdict.value for f in report.findings if f.check == "rear-room"} == {"fits"}


def test_knobs_come_by_themselves_and_how_near_they_stand_is_told(tmp_path: Path) -> None:
    at = {"A": "[-30, 0]", "B": "[0, 0]", "C": "[28.5, 0]"}
    knobs = "\n".join(place("potentiometer", at=spot, label=name) for name, spot in at.items())
    deep = f"{{{PLATE}, depth: 80}}"
    (says,) = unasked(judged(job(tmp_path, knobs, panel=deep)))
    assert "B and C stand 28.5 mm apart" in says
    assert unasked(judged(job(tmp_path, place("potentiometer"), panel=deep))) == ()


def test_plugs_that_are_screwed_on_want_screwlocks(tmp_path: Path) -> None:
    panel = "{size: [120, 60], thickness: 1.5, depth: 80}"
    (says,) = unasked(judged(job(tmp_path, place("dsub-9", label="LINK"), panel=panel)))
    assert "screwlocks take the place of the screws of LINK, two each" in says
    assert unasked(judged(job(tmp_path, place("dsub-9", plug="none"), panel=panel))) == ()
    assert unasked(judged(job(tmp_path, place("xlr3-socket"), panel=panel))) == ()
