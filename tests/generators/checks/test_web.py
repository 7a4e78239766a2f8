"""Metal between holes, to edges, corners and reliefs, and to the bends of lips; the arithmetic stands beside."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.checks.web import metal_between
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.findings import Verdict
from dryfit.models.geometry.outlines import clearance, round_
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.panels import materials
from tests.helpers import finding, job, place


def report(folder: Path, places: str, panel: str) -> Report:
    """Return the report of a layout, without remedies."""
    return judged(job(folder, places, panel))


ROUND_HOLE = "{hole: 16 mm, fixings: 3.2 mm, across: 19, up: 24}"


def test_a_hole_in_a_round_corner_is_measured_to_its_arc(tmp_path: Path) -> None:
    # corner 30: its arc is about (30, 30) from the corner; the axis at (13, 13) lies 17 sqrt 2 = 24.04 from that
    # centre, so 30 - 24.04 - 8 = -2.04
    part = place("loudspeaker-4", at="[-47, -47]", cutout="{hole: 16 mm}", turn="45")
    found = finding(report(tmp_path, part, "{size: [120, 120], thickness: 2, corner: 30}"), "web")
    assert found.verdict is Verdict.FAILS
    assert (found.measured or 0.0) <= -2.04 + 0.005


def test_a_corner_alone_takes_the_metal_of_a_blank_hole() -> None:
    panel = Panel(120.0, 120.0, 2.0, materials()["aluminium"], corner=30.0)
    assert clearance(round_(16).moved(-47, -47), panel.outline) == pytest.approx(30 - 17 * 2**0.5 - 8)


@pytest.mark.parametrize(
    ("up", "verdict", "left"),
    # thickness 2, radius 2: the bend begins 4 mm from the outer face at y = -40, tight up to 6 mm. A hole of 24 mm:
    [(-24.2, Verdict.FAILS, -0.2), (-23.5, Verdict.TIGHT, 0.5), (-21.9, Verdict.FITS, None)],
)
def test_holes_keep_radius_and_two_thicknesses_from_the_outer_face_of_a_lip(
    tmp_path: Path, up: float, verdict: Verdict, left: float | None
) -> None:
    panel = "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 2, lips: [EDGE]}"
    part = place("xlr3-socket", at=f"[0, {up}]", cutout="{across: 30, up: 1}", plug="none")
    bottom = finding(report(tmp_path, part, panel.replace("EDGE", "bottom")), "web")
    assert bottom.verdict is verdict
    if left is not None:
        assert bottom.measured == pytest.approx(left)
        assert "bend of the bottom lip" in bottom.says
        assert "1.5 to 2.5" in bottom.source
    top = finding(report(tmp_path, part, panel.replace("EDGE", "top")), "web")
    assert "bend" not in top.says


def test_a_side_lip_keeps_holes_off_the_side(tmp_path: Path) -> None:
    panel = "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 2, lips: [left]}"
    found = finding(report(tmp_path, place("xlr3-socket", at="[-44.5, 0]"), panel), "web")
    assert found.verdict is Verdict.FAILS
    assert found.measured == pytest.approx(60 - 4 - 44.5 - 12)  # -0.5: 24 mm hole, bend begins at 56
    assert "bend of the left lip" in found.says


def test_the_relief_between_two_lips_is_an_edge(tmp_path: Path) -> None:
    # radius 6, thickness 2: the notch reaches 6 + 2 + 0.5 = 8.5 in from both edges, to (-51.5, -31.5)
    panel = "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 6, lips: [left, bottom]}"
    part = place("xlr3-socket", at="[-39.9, -19.9]", cutout="{across: 1, up: 1, fixings: 3.2}", plug="none")
    found = [f for f in report(tmp_path, part, panel).findings if f.check == "web"]
    assert found[0].verdict in (Verdict.TIGHT, Verdict.FAILS)


def _fixing(x: float, sink: float, side: str) -> Hole:
    return Hole(round_(3.4).moved(x, 0), "fixing", "A", Countersink(diameter=sink), side)  # type: ignore[arg-type]


def test_countersinks_from_one_face_meet_at_that_face_and_from_both_within_the_sheet() -> None:
    panel = Panel(100.0, 100.0, 3.0, materials()["aluminium"])
    # 7.4 of 90 degrees in 3.4 is 2 deep. At one face: 8 - 7.4 = 0.6
    assert metal_between(panel, _fixing(0, 7.4, "front"), _fixing(8, 7.4, "front")) == pytest.approx(0.6)
    # from both faces of 3 mm: at either face 8 - 3.7 - 1.7 = 2.6; 1 mm down the front one is 5.4 across and the rear
    # one, 2 mm from its own face, 3.4: 8 - 2.7 - 1.7 = 3.6; so the faces decide
    assert metal_between(panel, _fixing(0, 7.4, "front"), _fixing(8, 7.4, "rear")) == pytest.approx(2.6)
    # in 2 mm sheet both run through it: at either face 8 - 3.7 - 1.7, and the same at every level between
    thin = Panel(100.0, 100.0, 2.0, materials()["aluminium"])
    assert metal_between(thin, _fixing(0, 7.4, "front"), _fixing(8, 7.4, "rear")) == pytest.approx(2.6)


def test_a_rear_countersink_beside_a_main_hole_takes_its_web(tmp_path: Path) -> None:
    # fixing 15.305 off the axis, hole 24, countersink 7.4: 15.305 - 12 - 3.7 = -0.395
    cut = "{hole: 24 mm, fixings: 3.4 mm, across: 19, up: 24, countersink: {diameter: 7.4, from: front}}"
    made = report(tmp_path, place("xlr3-socket", mount="rear", cutout=cut), "{size: [120, 120], thickness: 3}")
    found = finding(made, "web")
    assert found.verdict is Verdict.FAILS
    assert found.measured == pytest.approx(-0.395, abs=0.001)
