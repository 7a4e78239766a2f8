"""Metal between holes, to edges, corners and reliefs, and to the bends of lips; the arithmetic stands beside."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.web import metal_between, rim
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.outlines import Outline, box, clearance, round_
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.panels import materials
from tests.helpers import finding, job, place
from tests.plain import PANEL, about, asked, at, length, told


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


# --- all that is told ------------------------------------------------------------------------------------------------
# The plain part has a main hole of 22 mm and two of 3.4 mm 15 mm left and right of it: 15 - 11 - 1.7 = 2.3 mm between.

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SOURCE = "web at least one sheet thickness, edge one and a half: common practice of sheet-metal shops"
BEND = (
    "holes keep inside radius and two thicknesses from the outer face of a lip: published guides ask for 1.5 to 2.5"
    " thicknesses and the radius (secondary text)"
)
THIN = PANEL.replace("thickness: 3", "thickness: 0.8")
OWN = "2.3 mm of metal is left between its main hole and its own fixing hole."


def _told(folder: Path, places: str, panel: str = PANEL, name: str = "A", **part: Any) -> Finding:
    (found,) = told(asked(folder, places, panel, **part), "web", name)
    return found


def _wanted(verdict: Verdict, says: str, left: float, limit: float = 1.0, **more: Any) -> Finding:
    return length("web", verdict, says, left, limit=limit, **{"source": SOURCE, **more})


@pytest.mark.parametrize(
    ("hole", "verdict", "left"), [(24.2, FITS, 1.2), (24.22, TIGHT, 1.19), (24.6, TIGHT, 1.0), (24.62, FAILS, 0.99)]
)
def test_a_part_keeps_its_own_holes_apart(tmp_path: Path, hole: float, verdict: Verdict, left: float) -> None:
    says = f"{left:g} mm of metal is left between its main hole and its own fixing hole."
    assert _told(tmp_path, at(0, cutout=f"{{hole: {hole}, fixings: 3.4}}")) == _wanted(verdict, says, left)


def test_a_hole_that_runs_into_its_own_fixing_hole_is_told_by_how_far(tmp_path: Path) -> None:
    says = "Its main hole runs 0.2 mm into its own fixing hole."
    assert _told(tmp_path, at(0, cutout="{hole: 27, fixings: 3.4}")) == _wanted(FAILS, says, 15 - 13.5 - 1.7)


@pytest.mark.parametrize("turn", ["0", "180"])
@pytest.mark.parametrize(
    ("x", "verdict", "says"),
    [
        (78.8, FITS, OWN),  # 100 - 78.8 - 16.7 is 4.5, one and a half thicknesses
        (78.9, TIGHT, "4.4 mm of metal is left between its fixing hole and the edge of the panel."),
        (82.3, TIGHT, "1 mm of metal is left between its fixing hole and the edge of the panel."),
        (82.4, FAILS, "Its fixing hole leaves 0.9 mm of metal to the edge; 1 mm is wanted."),
        (83.4, FAILS, "Its fixing hole runs 0.1 mm over the edge of the panel."),
    ],
)
def test_a_fixing_hole_keeps_its_distance_to_the_edge(
    tmp_path: Path, turn: str, x: float, verdict: Verdict, says: str
) -> None:
    left = 2.3 if verdict is FITS else 83.3 - x
    assert _told(tmp_path, at(x, turn=turn)) == _wanted(verdict, says, left)


def test_the_upper_edge_is_an_edge_too(tmp_path: Path) -> None:
    says = "4 mm of metal is left between its main hole and the edge of the panel."
    assert _told(tmp_path, at(0, 35)) == _wanted(TIGHT, says, 50 - 35 - 11)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(
    ("apart", "panel", "verdict", "says"),
    [
        (36.4, PANEL, FITS, OWN),  # 36.4 - 30 - 3.4 is one thickness
        (36.3, PANEL, TIGHT, "2.9 mm of metal is left between its fixing hole and the fixing hole of B."),
        (34.4, PANEL, TIGHT, "1 mm of metal is left between its fixing hole and the fixing hole of B."),
        (34.65, THIN, FITS, "1.25 mm of metal is left between its fixing hole and the fixing hole of B."),
        (34.4, THIN, TIGHT, "1 mm of metal is left between its fixing hole and the fixing hole of B."),
        (34.3, PANEL, FAILS, "0.9 mm of metal is left between its fixing hole and the fixing hole of B."),
        (34.3, THIN, FAILS, "0.9 mm of metal is left between its fixing hole and the fixing hole of B."),
        (33.3, PANEL, FAILS, "Its fixing hole runs 0.1 mm into the fixing hole of B."),
    ],
)
def test_holes_of_two_places_are_told_at_the_first_of_them(
    tmp_path: Path, *, sign: int, apart: float, panel: str, verdict: Verdict, says: str
) -> None:
    places = f"{at(-sign * apart / 2)}\n{at(sign * apart / 2, label='B')}"
    own = says == OWN
    wanted = _wanted(verdict, says, 2.3 if own else apart - 33.4, beside=() if own else ("B",))
    assert _told(tmp_path, places, panel) == wanted
    assert _told(tmp_path, places, panel, "B") == _wanted(FITS, OWN, 2.3, at_place="B")


def test_the_narrowest_of_two_neighbours_is_told(tmp_path: Path) -> None:
    places = f"{at(0)}\n{at(35.4, label='B')}\n{at(-35.3, label='C')}"
    assert _told(tmp_path, places).beside == ("C",)
    assert _told(tmp_path, places).measured == pytest.approx(1.9)


@pytest.mark.parametrize(("dx", "dy"), [(1, 0), (-1, 0), (0, 1), (0, -1)])
def test_webs_wider_than_fifty_millimetres_are_not_looked_for(tmp_path: Path, dx: int, dy: int) -> None:
    wide = "{size: [400, 400], thickness: 3}"

    def beside(apart: float) -> Finding:
        other = at(apart * dx, apart * dy, "B", "{}")
        return _told(tmp_path, f"{at(0, hardware='{}')}\n{other}", wide, fixings=None)

    assert (beside(71.9).measured, beside(71.9).beside) == (about(49.9), ("B",))
    assert (beside(72.1).measured, beside(72.1).beside) == (about(189), ())  # to the edge: 200 - 11


def test_a_rack_slot_is_told_as_such(tmp_path: Path) -> None:
    # the slot at the lower left ends at x = -227.4, its middle at y = -15.88; a hole of 4 mm beside it
    part = at(-227.4 + 2.5, -15.88, hardware="{}", cutout="{hole: 4}")
    says = "0.5 mm of metal is left between its main hole and the mounting hole."
    found = _told(tmp_path, part, "{rack_units: 1, thickness: 3}", fixings=None)
    assert found == _wanted(FAILS, says, 0.5, beside=())


@pytest.mark.parametrize(
    ("up", "verdict", "left", "says"),
    # lip on a panel 100 high, 3 thick, radius 2: the bend begins at 45; the main hole is 11 high; 3 more are wanted
    [
        (31.0, FITS, 2.3, OWN),
        (31.1, TIGHT, 2.9, "2.9 mm is left between its main hole and the bend of the top lip."),
        (34.0, TIGHT, 0.0, "0 mm is left between its main hole and the bend of the top lip."),
        (34.1, FAILS, -0.1, "Its main hole runs 0.1 mm into the bend of the top lip."),
    ],
)
def test_a_hole_keeps_off_the_bend_of_a_lip(
    tmp_path: Path, up: float, verdict: Verdict, left: float, says: str
) -> None:
    folded = PANEL.replace("}", ", lip: 20, bend_radius: 2, lips: [top]}")
    limit, source = (1.0, SOURCE) if says == OWN else (0.0, BEND)
    assert _told(tmp_path, at(0, up), folded) == _wanted(verdict, says, left, limit, source=source)


@pytest.mark.parametrize(
    ("left", "verdict", "says"),
    [
        (3.1, FITS, None),
        (2.9, TIGHT, "2.9 mm of metal is left between its main hole and the relief beside a lip."),  # 1.5 thicknesses
        (0.8, FAILS, "0.8 mm of metal is left between its main hole and the relief beside a lip."),
        (-0.3, FAILS, "Its main hole runs 0.3 mm into the relief beside a lip."),
    ],
)
def test_a_relief_is_an_edge_to_any_hole(tmp_path: Path, left: float, verdict: Verdict, says: str | None) -> None:
    # radius 6 and thickness 2: the notch reaches 8.5 in from both edges, its corner lies at (-51.5, -31.5)
    folded = "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 6, lips: [left, bottom]}"
    off = (1 + left) / 2**0.5
    part = at(-51.5 + off, -31.5 + off, hardware="{}", cutout="{hole: 2}")
    found = _told(tmp_path, part, folded, fixings=None)
    assert found.verdict is verdict
    if says:
        assert found == _wanted(verdict, says, left)


def test_a_countersink_is_told_as_such_and_is_as_wide_as_at_its_face(tmp_path: Path) -> None:
    cut = "{hole: 20, fixings: 3.4, countersink: {diameter: 6.4, angle: 90}}"
    says = "Its countersink leaves 0.8 mm of metal to the edge; 1 mm is wanted."
    found = _told(tmp_path, at(81, mount="rear", cutout=cut, hardware="{screw: M3}"))
    assert found == _wanted(FAILS, says, 100 - 81 - 15 - 3.2)


@pytest.mark.parametrize(
    ("outline", "sink", "taken"),
    [
        (round_(3.4), None, round_(3.4)),
        (round_(3.4), 3.4, round_(3.4)),
        (round_(3.4), 3.3, round_(3.4)),
        (round_(3.4), 3.5, round_(3.5)),
        (box(3, 5), 4, box(3, 5)),  # narrower than the hole is high
        (box(3, 5), 5.5, round_(5.5)),
    ],
)
def test_a_hole_takes_its_countersink_of_a_face_where_that_is_wider(
    outline: Outline, sink: float | None, taken: Outline
) -> None:
    cone = None if sink is None else Countersink(diameter=sink)
    assert rim(Hole(outline.moved(7, -3), "fixing", "A", cone)).box == pytest.approx(taken.moved(7, -3).box)


def test_metal_is_least_at_the_face_where_both_holes_are_wide() -> None:
    panel = Panel(100.0, 100.0, 3.0, materials()["aluminium"])
    plain = Hole(round_(3.4).moved(8, 5), "fixing", "B")
    for side in ("front", "rear"):
        sunk = Hole(round_(3.4).moved(2, 5), "fixing", "A", Countersink(diameter=5.4), side)
        assert metal_between(panel, sunk, plain) == pytest.approx(6 - 2.7 - 1.7)
        assert metal_between(panel, plain, sunk) == pytest.approx(6 - 2.7 - 1.7)


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("end", [1, -1])
def test_a_hole_beside_the_end_of_a_lip_is_off_its_bend(tmp_path: Path, side: int, end: int) -> None:
    # two units, thickness 2: lips end 223 mm from the middle, reliefs are 2 wide; the bend would begin at 40.06
    folded = "{rack_units: 2, thickness: 2, lip: 15, bend_radius: 2}"
    part = at(226.5 * end, 42 * side, hardware="{}", cutout="{hole: 2}")
    says = "0.5 mm of metal is left between its main hole and the relief beside a lip."
    assert _told(tmp_path, part, folded, fixings=None) == _wanted(FAILS, says, 226.5 - 1 - 225)


@pytest.mark.parametrize("end", [1, -1])
def test_a_hole_just_before_the_end_of_a_lip_is_in_its_bend(tmp_path: Path, end: int) -> None:
    folded = "{rack_units: 2, thickness: 2, lip: 15, bend_radius: 2}"
    part = at(221.5 * end, 41.055, hardware="{}", cutout="{hole: 2}")
    found = _told(tmp_path, part, folded, fixings=None)
    assert (found.measured, found.source) == (about(40.055 - 42.055), BEND)


def test_holes_that_just_meet_an_edge_run_into_nothing(tmp_path: Path) -> None:
    bare: dict[str, Any] = {"hardware": "{}"}
    found = _told(tmp_path, at(89, **bare), fixings=None)
    assert found == _wanted(FAILS, "Its main hole leaves 0 mm of metal to the edge; 1 mm is wanted.", 0.0)
    found = _told(tmp_path, f"{at(-11, **bare)}\n{at(11, label='B', **bare)}", fixings=None)
    says = "0 mm of metal is left between its main hole and the main hole of B."
    assert found == _wanted(FAILS, says, 0.0, beside=("B",))
    folded = "{rack_units: 2, thickness: 2, lip: 15, bend_radius: 2}"
    found = _told(tmp_path, at(226, 42, cutout="{hole: 2}", **bare), folded, fixings=None)
    says = "0 mm of metal is left between its main hole and the relief beside a lip."
    assert found == _wanted(FAILS, says, 0.0)
