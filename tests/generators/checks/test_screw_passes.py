"""A screw in its holes, by hand: M3 is at most 2.98 mm (6g: ISO 965-1)."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import PANEL, at, plain

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
