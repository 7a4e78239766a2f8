"""A bought panel whose holes are given as finished: what was cut is reckoned back, and nothing is taken twice."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.bodies.blank import blank
from dryfit.generators.bodies.panel import panel_body
from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.lists.holes import hole_chart
from dryfit.generators.pipeline import check, judged
from dryfit.generators.writers.dxf import notes
from dryfit.models.geometry.bodies import Taper
from dryfit.models.resolve import with_edits
from tests.generators.drawing.sheets_seen import texts
from tests.helpers import finding, job, place

PANEL = "{size: [120, 120], thickness: 3, coating: 0.1, holes_finished: true}"
WRITTEN = "{hole: 24 mm, fixings: 3.4 mm, countersink: {diameter: 6.4 mm}}"


def test_written_sizes_are_those_of_the_finished_holes(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket", cutout=WRITTEN), PANEL)
    cut = made.places[0].cutout
    assert cut.main.size.width == pytest.approx(24.2)  # 24 and 0.1 of coating all round
    assert cut.fixing_diameter == pytest.approx(3.6)
    assert cut.countersink is not None
    assert cut.countersink.diameter == pytest.approx(6.4 + 0.0828, abs=1e-4)  # 2 x 0.1 x (1.41421 - 1)
    face = panel_body(made.panel, made.holes()).slices[-1]
    assert max(hole.widest.size.width for hole in face.holes) == pytest.approx(24.0)
    assert {round(hole.high, 6) for hole in face.holes if isinstance(hole, Taper)} == {6.4}


def test_an_outline_given_finished_is_that_once_coated(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket", cutout="{outline: {d: [24, 23]}}"), PANEL)
    assert made.holes()[0].coated(0.1).outline.size == pytest.approx((24, 23))


def test_a_pattern_is_that_of_the_finished_panel(tmp_path: Path) -> None:
    panel = PANEL.replace("thickness", "holes: d-hole, thickness")
    bought, own = (job(tmp_path, place("xlr3-socket"), p) for p in (panel, panel.replace(", holes_finished: true", "")))
    for ours, theirs in zip(bought.holes(), own.holes(), strict=True):
        assert ours.outline.size.width - theirs.outline.size.width == pytest.approx(0.2)


def test_a_hole_to_suit_is_opened_for_the_coating_once(tmp_path: Path) -> None:
    bought, own = (job(tmp_path, place("xlr3-socket"), p) for p in (PANEL, PANEL.replace(", holes_finished: true", "")))
    assert [h.outline for h in bought.holes()] == [h.outline for h in own.holes()]


def test_a_barrel_that_just_passes_the_finished_hole_is_not_told_that_coating_closes_it(tmp_path: Path) -> None:
    part = place("xlr3-socket", cutout="{hole: 23.7 mm}")
    bought, own = (
        finding(judged(job(tmp_path, part, p)), "cutout-size") for p in (PANEL, PANEL.replace("true", "false"))
    )
    assert (bought.measured or 0) - (own.measured or 0) == pytest.approx(0.2)


def test_drawing_and_cut_file_say_that_sizes_were_given_finished(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket", cutout=WRITTEN), PANEL)
    told = " ".join(t.text for s in shop_drawing(made).sheets for t in texts(s.marks))
    assert "given finished, coating included" in told
    assert "As given, coated" in told
    assert hole_chart(made)[0].finished == "⌀24"
    assert any("given finished" in note for note in notes(made, blank(made.panel)))


def test_a_remedy_writes_finished_sizes_too(tmp_path: Path) -> None:
    made = check(job(tmp_path, place("xlr3-socket", cutout="{hole: 23 mm}"), PANEL))
    found = finding(made, "cutout-size")
    assert found.remedy is not None
    (size,) = [edit.value for edit in found.remedy.edits if edit.path == ("cutout", "hole")]
    assert f"to {size:g} mm." in found.remedy.says
    cured = with_edits(made.job, found.remedy.edits)
    assert cured is not None
    assert cured.places[0].cutout.main.size.width == pytest.approx(float(str(size)) + 0.2)
