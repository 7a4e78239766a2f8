"""Metals in contact: which pairs suffer in which air, what a coating changes, and the earth point."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.metals import Touch
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.tables.metals import metals
from tests.helpers import finding, place, report
from tests.plain import M3, about, asked, at, length, told

BARE = "{rack_units: 2, thickness: 3 mm}"
COATED = "{rack_units: 2, thickness: 3 mm, coating: 0.06 mm}"


def plated(folder: Path, metal: str, air: str, panel: str = COATED, washers: str = "[]") -> Finding:
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
    assert plated(tmp_path, metal, air).verdict is verdict


def test_a_noble_screw_in_a_large_sheet_of_aluminium_is_the_lesser_evil(tmp_path: Path) -> None:
    found = plated(tmp_path, "stainless", "damp", BARE)
    assert found.verdict is Verdict.TIGHT
    assert found.margin == pytest.approx(0.25 - 0.6)  # V: nickel-plated flange on aluminium is the worst of the place
    assert "Coat" in found.advice


def test_teeth_cut_through_a_coating(tmp_path: Path) -> None:
    without = plated(tmp_path, "stainless", "damp")
    through = plated(tmp_path, "stainless", "damp", washers="[tooth]")
    assert without.margin == pytest.approx(0.25 - 0.2)
    assert through.margin == pytest.approx(0.25 - 0.4)
    assert through.verdict is Verdict.TIGHT


def test_the_remedy_names_a_metal_that_helps_and_it_does(tmp_path: Path) -> None:
    found = plated(tmp_path, "zinc", "damp")
    (change,) = found.edits
    assert change.path == ("hardware", "metal")
    assert plated(tmp_path, str(change.value), "damp").verdict is Verdict.FITS


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


# --- all that is told ------------------------------------------------------------------------------------------------
# Volts below gold: nickel 0.3, brass 0.45, stainless 0.5, aluminium 0.9, zinc 1.25. Tolerated: dry 0.5, damp 0.25,
# salt air 0.15.

AIR = {"indoor": "dry rooms", "damp": "damp or unheated rooms", "salt air": "salt air and outdoors"}
PLAIN = "{size: [200, 100], thickness: 3}"
PAINTED = PLAIN.replace("}", ", coating: 0.05}")
SOURCE = "anodic index and its guideline: difference of anodic index tolerated "
EARTH = "bare-metal contact for protective earth: common practice; local codes decide"


def _all(
    folder: Path, air: str, panel: str, part: str = "nickel", screw: str = "stainless", **more: Any
) -> list[Finding]:
    hardware = M3.replace("}", f", metal: {screw}}}") if screw else M3
    keys = more.pop("keys", {})
    made = asked(folder, at(0, hardware=more.pop("hardware", hardware), **keys), panel, rest=f"environment: {air}",
                 metal=part, **more)  # fmt: skip
    return told(made, "metals")


def _volts(verdict: Verdict, what: str, apart: float, tolerated: float, air: str) -> Finding:
    says = f"{what}, {apart:.2f} V apart; {tolerated:.2f} V is tolerated in {AIR[air]}."
    return Finding("metals", "A", verdict, says, about(tolerated - apart), "V")


@pytest.mark.parametrize(
    ("air", "panel", "part", "screw", "verdict", "what", "apart", "tolerated"),
    [
        ("indoor", PLAIN, "nickel", "stainless", Verdict.TIGHT,
         "Part and panel: nickel-plated brass on aluminium", 0.6, 0.5),
        ("damp", PLAIN, "nickel", "stainless", Verdict.TIGHT,
         "Part and panel: nickel-plated brass on aluminium", 0.6, 0.25),
        ("salt air", PLAIN, "nickel", "stainless", Verdict.FAILS,
         "Part and panel: nickel-plated brass on aluminium", 0.6, 0.15),
        ("damp", PAINTED, "nickel", "stainless", Verdict.FITS,
         "Screw and part: stainless steel on nickel-plated brass", 0.2, 0.25),
        ("salt air", PAINTED, "nickel", "stainless", Verdict.FAILS,
         "Screw and part: stainless steel on nickel-plated brass", 0.2, 0.15),
        ("salt air", PAINTED, "brass", "nickel", Verdict.FITS,
         "Screw and part: nickel-plated brass on brass", 0.15, 0.15),
        ("damp", PAINTED, "nickel", "zinc", Verdict.FAILS,
         "Screw and part: zinc-plated steel on nickel-plated brass", 0.95, 0.25),
        ("indoor", PAINTED, "nickel", "zinc", Verdict.TIGHT,
         "Screw and part: zinc-plated steel on nickel-plated brass", 0.95, 0.5),
        ("damp", PLAIN, "plastic", "zinc", Verdict.FAILS,
         "Screw and panel: zinc-plated steel on aluminium", 0.35, 0.25),
        ("damp", PLAIN, "plastic", "stainless", Verdict.TIGHT,
         "Screw and panel: stainless steel on aluminium", 0.4, 0.25),
    ],
)  # fmt: skip
def test_the_worst_contact_is_told_in_full(
    tmp_path: Path, *, air: str, panel: str, part: str, screw: str, verdict: Verdict, what: str, apart: float,
    tolerated: float,
) -> None:  # fmt: skip
    (found,) = _all(tmp_path, air, panel, part, screw)
    assert found.source.startswith(SOURCE)
    assert replace(found, source="") == _volts(verdict, what, apart, tolerated, air)


@pytest.mark.parametrize(
    ("one", "other", "small", "suffers"),
    [
        ("zinc", "nickel", "zinc", True),
        ("nickel", "zinc", "zinc", True),
        ("nickel", "zinc", "nickel", False),
        ("zinc", "nickel", None, False),
        ("zinc", "zinc", "zinc", False),
    ],
)
def test_a_fastener_suffers_only_where_it_is_the_lesser_metal(
    one: str, other: str, small: str | None, suffers: bool
) -> None:
    known = metals()
    touch = Touch("screw and part", known[one], known[other], None if small is None else known[small])
    assert touch.small_suffers is suffers
    assert touch.apart == pytest.approx(abs(known[one].anodic_index - known[other].anodic_index))


def test_without_two_metals_nothing_is_said_to_touch(tmp_path: Path) -> None:
    nothing = Finding("metals", "A", Verdict.FITS, "No two metals are known to touch.", unit="V",
                      source="anodic index and its guideline")  # fmt: skip
    assert _all(tmp_path, "damp", PAINTED, "nickel", "") == [nothing]
    assert _all(tmp_path, "damp", PLAIN, "plastic", "") == [nothing]
    assert _all(tmp_path, "damp", PLAIN.replace("}", ", material: ABS}"), "plastic", "zinc") == [nothing]


TOOTHED = M3.replace("}", ", metal: stainless}")


@pytest.mark.parametrize(
    ("hardware", "keys", "what"),
    [
        (TOOTHED.replace("[]", "[plain]"), {}, "Screw and part"),
        (TOOTHED.replace("[]", "[tooth]"), {}, "Screw and panel"),
        (TOOTHED.replace("[]", "[plain, tooth]"), {}, "Screw and panel"),
        (TOOTHED.replace("hexagon", "tooth-washer nut"), {}, "Screw and panel"),
        (TOOTHED.replace("[]", "[tooth]"), {"mount": "rear"}, "Screw and part"),  # the nut lies on the flange
    ],
    ids=["a plain washer", "teeth", "teeth beside another washer", "a nut with teeth", "teeth on the flange"],
)
def test_only_teeth_on_the_panel_cut_its_coating(
    tmp_path: Path, hardware: str, keys: dict[str, str], what: str
) -> None:
    # stainless on nickel is 0.2 apart, on the panel of aluminium 0.4
    (found,) = _all(tmp_path, "damp", PAINTED, hardware=hardware, keys=keys)
    assert found.says.startswith(what), found.says


def test_the_body_of_a_rivet_is_aluminium_whatever_is_asked_for(tmp_path: Path) -> None:
    (found,) = _all(tmp_path, "damp", PAINTED, hardware="{screw: rivet 3.2 mm}",
                    fixings={"at": [[-15, 0], [15, 0]], "hole": 3.4, "panel": 3.4})  # fmt: skip
    assert found.says.startswith("Screw and part: aluminium on nickel-plated brass, 0.60 V apart")
    assert found.verdict is Verdict.FAILS  # the rivet is the one that goes


@pytest.mark.parametrize(
    ("panel", "wanted"),
    [
        (PLAIN, Finding("metals", "A", Verdict.FITS, "The earth point is bare metal: bond the panel to it, and test "
                        "the bond.", source=EARTH)),
        (PAINTED, length("metals", Verdict.FAILS, "The coating keeps the protective earth from the panel: its earth "
                         "point needs bare metal.", -0.05, source=EARTH)),
        (PAINTED.replace("}", ", mask_earth: true}"),
         Finding("metals", "A", Verdict.FITS, "The earth point is kept free of coating: bond the panel to it, and test "
                 "the bond.", source=EARTH)),
        (PLAIN.replace("}", ", material: ABS}"), None),
    ],
    ids=["bare", "coated", "masked", "plastic"],
)  # fmt: skip
def test_the_earth_point_is_told_in_full(tmp_path: Path, panel: str, wanted: Finding | None) -> None:
    assert _all(tmp_path, "indoor", panel, "plastic", "", earth=True)[1:] == ([] if wanted is None else [wanted])


def test_a_part_without_earth_is_told_of_none(tmp_path: Path) -> None:
    assert len(_all(tmp_path, "indoor", PAINTED, "plastic", "")) == 1


def test_each_place_is_told_of_its_own_contacts(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-50, hardware=M3.replace('}', ', metal: zinc}'))}\n{at(50, label='B')}", PAINTED,
                 metal="nickel", rest="environment: damp")  # fmt: skip
    assert [f.verdict for f in told(made, "metals")] == [Verdict.FAILS]
    assert [f.says for f in told(made, "metals", "B")] == ["No two metals are known to touch."]
