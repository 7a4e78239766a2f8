"""Metals in contact: which pairs suffer in which air, what a coating changes, and the earth point."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.tables.metals import metals
from tests.helpers import finding, place, report

BARE = "{rack_units: 2, thickness: 3 mm}"
COATED = "{rack_units: 2, thickness: 3 mm, coating: 0.06 mm}"


def told(folder: Path, metal: str, air: str, panel: str = COATED, washers: str = "[]") -> Finding:
    hardware = f"{{metal: {metal}, nut: hexagon, washers: {washers}}}"
    rest = f"environment: {air}\nhardware: {{threads: [M3]}}"
    return finding(report(folder, place("bnc-d", hardware=hardware), panel, rest), "metals")


@pytest.mark.parametrize(
    ("metal", "air", "verdict"),
    [
        ("stainless", "indoor", Verdict.FITS),  # 0.20 V to a nickel-plated flange
        ("stainless", "damp", Verdict.FITS),
        ("stainless", "salt air", Verdict.FAILS),
        ("nickel", "salt air", Verdict.FITS),  # like on like
        ("zinc", "indoor", Verdict.TIGHT),  # 0.95 V, but dry
        ("zinc", "damp", Verdict.FAILS),  # the small screw is the one that goes
    ],
)
def test_screws_on_a_plated_flange_of_a_coated_panel(tmp_path: Path, metal: str, air: str, verdict: Verdict) -> None:
    assert told(tmp_path, metal, air).verdict is verdict


def test_a_noble_screw_in_a_large_sheet_of_aluminium_is_the_lesser_evil(tmp_path: Path) -> None:
    found = told(tmp_path, "stainless", "damp", BARE)
    assert found.verdict is Verdict.TIGHT
    assert found.margin == pytest.approx(0.25 - 0.6)  # V: nickel-plated flange on aluminium is the worst of the place
    assert "Coat" in found.advice


def test_teeth_cut_through_a_coating(tmp_path: Path) -> None:
    without = told(tmp_path, "stainless", "damp")
    through = told(tmp_path, "stainless", "damp", washers="[tooth]")
    assert without.margin == pytest.approx(0.25 - 0.2)
    assert through.margin == pytest.approx(0.25 - 0.4)
    assert through.verdict is Verdict.TIGHT


def test_the_remedy_names_a_metal_that_helps_and_it_does(tmp_path: Path) -> None:
    found = told(tmp_path, "zinc", "damp")
    (change,) = found.edits
    assert change.path == ("hardware", "metal")
    assert told(tmp_path, str(change.value), "damp").verdict is Verdict.FITS


def test_plastic_corrodes_nothing(tmp_path: Path) -> None:
    found = report(tmp_path, place("bnc-d"), "{rack_units: 2, thickness: 3 mm, material: ABS}").findings
    assert {f.verdict for f in found if f.check == "metals"} == {Verdict.FITS}


def earth(of: Report) -> list[Finding]:
    return [f for f in of.findings if f.check == "metals" and "earth" in f.says]


@pytest.mark.parametrize(
    ("panel", "verdict"),
    [
        (BARE, Verdict.FITS),
        (COATED, Verdict.FAILS),
        (COATED.replace("}", ", mask_earth: true}"), Verdict.FITS),
    ],
)
def test_protective_earth_wants_bare_metal(tmp_path: Path, panel: str, verdict: Verdict) -> None:
    (found,) = earth(report(tmp_path, place("mains-quarter-turn-inlet"), panel))
    assert found.verdict is verdict


def test_the_index_of_a_panel_material_is_that_of_the_same_metal() -> None:
    from dryfit.models.tables.panels import materials

    for name in set(metals()) & set(materials()):
        assert materials()[name].anodic_index == metals()[name].anodic_index, name
