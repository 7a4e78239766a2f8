"""A screw in its holes, by hand: M3 is at most 2.98 mm (6g: ISO 965-1)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Finding, Verdict
from tests.helpers import finding
from tests.plain import M3, PANEL, about, asked, at, fixings, length, plain, told

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _fixings(hole: float, panel: float) -> dict[str, object]:
    return {"at": [[-15, 0], [15, 0]], "hole": hole, "panel": panel}


@pytest.mark.parametrize(
    ("flange", "panel", "room", "verdict"),
    [
        (3.4, 3.4, 0.42, FITS),
        (3.4, 3.2, 0.22, FITS),
        (3.08, 3.4, 0.10, FITS),
        (3.07, 3.4, 0.09, TIGHT),
        (3.4, 2.98, 0.0, TIGHT),
        (3.4, 2.9, -0.08, FAILS),
        (2.9, 3.4, -0.08, FAILS),
    ],
)
def test_the_tighter_of_both_holes_decides(
    tmp_path: Path, flange: float, panel: float, room: float, verdict: Verdict
) -> None:
    found = finding(plain(tmp_path, at(0), fixings=_fixings(flange, panel)), "screw-passes")
    assert found.verdict is verdict
    assert found.measured == pytest.approx(room)


def test_coating_narrows_the_panel_hole_and_not_the_flange_hole(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.1}")
    as_punched = at(0, cutout="{hole: 23, fixings: 3.4}")
    found = finding(plain(tmp_path, as_punched, coated, fixings=_fixings(3.4, 3.4)), "screw-passes")
    assert found.measured == pytest.approx(3.4 - 0.2 - 2.98)
    found = finding(plain(tmp_path, as_punched, coated, fixings=_fixings(3.1, 3.4)), "screw-passes")
    assert found.measured == pytest.approx(3.1 - 2.98)


def test_the_parts_own_hole_is_punched_larger_by_the_coating(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.1}")
    made = plain(tmp_path, at(0), coated, fixings=_fixings(3.6, 3.4))
    assert finding(made, "screw-passes").measured == pytest.approx(3.4 - 2.98)


def test_a_boss_is_not_asked_for_a_clearance_hole(tmp_path: Path) -> None:
    fixings = {**_fixings(2.5, 3.4), "boss": {"thread": "M3", "depth": 10}}
    made = plain(tmp_path, at(0, hardware="{head: pan, length: 8}", mount="rear"), fixings=fixings)
    assert finding(made, "screw-passes").measured == pytest.approx(3.4 - 2.98)


# --- all that is told ------------------------------------------------------------------------------------------------

FINEST = "largest major diameter, ISO 724; 6g ISO 965-1; finest clearance ISO 273"
LOOSEST = "loosest clearance hole: ISO 273 or its inch like; a quarter more: common practice"
SUNK = M3.replace("pan", "countersunk")
SEAT = {"diameter": 7, "angle": 90}
RIVET = "{screw: rivet 3.2 mm}"
FILLS = "body and hole: ISO 15977"


def _told(folder: Path, flange: float, panel: float, hardware: str = M3, **more: Any) -> Finding:
    made = asked(folder, at(0, hardware=hardware), fixings=fixings(hole=flange, panel=panel, **more))
    (found,) = told(made, "screw-passes")
    return found


def _wanted(verdict: Verdict, says: str, room: float, source: str = FINEST) -> Finding:
    return length("screw-passes", verdict, says, room, bodies=("A: screw 1",), source=source)


@pytest.mark.parametrize(
    ("flange", "panel", "verdict", "room", "words"),
    [
        (3.4, 3.4, FITS, 0.42, "drops into the 3.4 mm panel hole with 0.42 mm to spare"),  # alike: the panel is told
        (3.08, 3.4, FITS, 0.1, "drops into the 3.08 mm flange hole with 0.1 mm to spare"),
        (3.079, 3.4, TIGHT, 0.099, "has only 0.099 mm to spare in the 3.08 mm flange hole"),
        (3.4, 2.98, TIGHT, 0.0, "has only 0 mm to spare in the 2.98 mm panel hole"),
        (3.4, 2.97, FAILS, -0.01, "does not pass the 2.97 mm panel hole: 0.01 mm too thick"),
        (2.9, 3.9, FAILS, -0.08, "does not pass the 2.9 mm flange hole: 0.08 mm too thick"),
    ],
)
def test_the_tighter_hole_is_told_with_what_it_leaves(
    tmp_path: Path, *, flange: float, panel: float, verdict: Verdict, room: float, words: str
) -> None:
    says = f"The M3 screw, 2.98 mm at its largest, {words}."
    assert _told(tmp_path, flange, panel) == _wanted(verdict, says, room)


@pytest.mark.parametrize(
    ("flange", "panel", "told_of", "shift"),
    # the loosest hole of ISO 273 is 3.6, 0.6 more than the screw: a quarter more is 0.75. M3 is 2.874 at its smallest
    [(3.76, 3.4, "3.76 mm flange", 0.44), (3.4, 3.8, "3.8 mm panel", 0.46), (3.9, 3.8, "3.9 mm flange", 0.51)],
)
def test_a_screw_much_too_thin_for_its_wider_hole_may_shift(
    tmp_path: Path, flange: float, panel: float, told_of: str, shift: float
) -> None:
    says = (
        f"The M3 screw is much too thin for the {told_of} hole: its head may shift {shift} mm either way; "
        "3.6 mm is the loosest usual hole."
    )
    assert _told(tmp_path, flange, panel) == _wanted(TIGHT, says, max(flange, panel) - 2.98, LOOSEST)


@pytest.mark.parametrize(("flange", "panel"), [(3.75, 3.4), (3.4, 3.75)])
def test_a_quarter_more_than_the_loosest_hole_is_not_too_loose(tmp_path: Path, flange: float, panel: float) -> None:
    assert _told(tmp_path, flange, panel).verdict is FITS


def test_a_cone_centres_its_screw_in_the_wider_hole_and_not_in_the_other(tmp_path: Path) -> None:
    assert _told(tmp_path, 4, 3.4, SUNK, seat=SEAT).verdict is FITS
    found = _told(tmp_path, 3.4, 4, SUNK, seat=SEAT)
    assert (found.verdict, found.measured) == (TIGHT, about(4 - 2.98))
    assert "4 mm panel hole" in found.says


def test_a_boss_has_no_hole_that_a_screw_could_be_too_thin_for(tmp_path: Path) -> None:
    boss = {"thread": "M3", "depth": 10}
    made = asked(tmp_path, at(0, hardware="{head: pan, length: 8}", mount="rear"),
                 fixings=fixings(hole=6, panel=3.4, boss=boss))  # fmt: skip
    (found,) = told(made, "screw-passes")
    assert (found.verdict, found.measured) == (FITS, about(0.42))


@pytest.mark.parametrize(
    ("flange", "panel", "verdict", "room", "says"),
    # a rivet of 3.2 mm is at most 3.28 and fills up to 3.4
    [
        (3.4, 3.3, FITS, 0.0, "The rivet passes and fills holes of 3.3 mm to 3.4 mm."),
        (3.3, 3.35, FITS, 0.05, "The rivet passes and fills holes of 3.3 mm to 3.35 mm."),
        (3.28, 3.3, FITS, 0.1, "The rivet passes and fills holes of 3.28 mm to 3.3 mm."),
        (3.27, 3.4, FAILS, -0.01, "The rivet, 3.28 mm at its largest, does not pass the 3.27 mm flange hole."),
        (3.4, 3.27, FAILS, -0.01, "The rivet, 3.28 mm at its largest, does not pass the 3.27 mm panel hole."),
        (3.3, 3.45, TIGHT, -0.05, "The 3.45 mm panel hole is wider than the 3.4 mm that the rivet fills."),
        (4.2, 3.3, TIGHT, -0.8, "The 4.2 mm flange hole is wider than the 3.4 mm that the rivet fills."),
    ],
)
def test_a_rivet_has_to_pass_its_holes_and_to_fill_them(
    tmp_path: Path, *, flange: float, panel: float, verdict: Verdict, room: float, says: str
) -> None:
    assert _told(tmp_path, flange, panel, RIVET) == _wanted(verdict, says, room, FILLS)
