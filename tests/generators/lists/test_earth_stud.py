"""An earth stud: what is bought for it, how it is put together, and where the metal stays bare."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.drawing.fabrication import _earth_mask
from dryfit.generators.lists.purchase import purchase_list
from dryfit.generators.lists.steps import steps
from dryfit.models.findings import Verdict
from dryfit.models.measures import MM
from tests.plain import asked

STUD = "  - {part: earth-stud-m6, label: EARTH, at: [0, 0]}"
PANEL = "{size: [200, 100], thickness: 2, coating: 0.06, mask_earth: true}"


def test_its_ring_washer_and_second_nut_are_bought_and_told(tmp_path: Path) -> None:
    report = asked(tmp_path, STUD, PANEL)
    assert report.verdict is Verdict.FITS
    earth = {item.item: item.needed for item in purchase_list(report) if item.group == "earth"}
    assert earth == {
        "ring terminal for M6, crimped to the earth wire": 1,
        "Toothed lock washer DIN 6797 - A 6.4": 1,
        "Hexagon nut ISO 4032 - M6": 1,
    }
    (bond,) = (step for step in steps(report) if "protective earth" in step.title)
    assert bond.places == ("EARTH",)
    assert "behind its nut that lies on bare metal: toothed lock washer" in bond.lines[0]


def test_a_coating_that_is_not_masked_fails_it(tmp_path: Path) -> None:
    report = asked(tmp_path, STUD, PANEL.replace(", mask_earth: true", ""))
    assert [f.check for f in report.findings if f.verdict is Verdict.FAILS] == ["metals"]


def test_a_plastic_panel_is_bonded_to_nothing(tmp_path: Path) -> None:
    report = asked(tmp_path, STUD, "{size: [200, 100], thickness: 3, material: ABS}")
    assert not [item for item in purchase_list(report) if item.group == "earth"]


def test_the_drawing_says_where_the_metal_stays_bare(tmp_path: Path) -> None:
    (note,) = _earth_mask(asked(tmp_path, STUD, PANEL).job, MM)
    assert "round the hole A of place 1 (EARTH) on the rear face" in note
    assert "⌀21 " in note  # three times the hole of 6.6 mm and two coatings, in whole millimetres
