"""The plug on its way home, by hand: a flange 2 mm thick, pan heads of M3, 2.4 mm high and 5.6 mm across, at 15 mm."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _plug(*across: float, steps: tuple[float, ...] = (40,)) -> dict[str, Any]:
    starts = (0, *steps[:-1])
    sections = [
        {"outline": {"round": d}, "from": start, "to": stop}
        for d, start, stop in zip(across, starts, steps, strict=True)
    ]
    return {"body": sections}


@pytest.mark.parametrize(
    ("seat", "room", "verdict"), [(2.6, 0.2, FITS), (2.5, 0.1, FITS), (2.45, 0.05, TIGHT), (2.0, -0.4, FAILS)]
)
def test_a_collar_over_the_heads_stops_on_them(tmp_path: Path, seat: float, room: float, verdict: Verdict) -> None:
    found = finding(plain(tmp_path, at(0), plug=_plug(39), seat=seat), "plug-seats")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room)  # seat - 2.4


@pytest.mark.parametrize(("seat", "verdict"), [(0.1, FITS), (0.05, TIGHT)])
def test_a_collar_within_the_heads_stops_on_the_flange(tmp_path: Path, seat: float, verdict: Verdict) -> None:
    found = finding(plain(tmp_path, at(0), plug=_plug(16), seat=seat), "plug-seats")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(seat)


def test_a_wide_grip_that_begins_above_the_heads_clears_them(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0), plug=_plug(16, 39, steps=(5, 40)), seat=0.3)
    found = finding(made, "plug-seats")
    assert found.verdict is FITS
    assert found.measured == pytest.approx(0.3)  # the collar on the flange; the grip is 0.3 + 5 - 2.4 above the heads


@pytest.mark.parametrize(("across", "verdict"), [(20, FITS), (24, FAILS)])
def test_behind_the_panel_the_collar_must_pass_the_hole(tmp_path: Path, across: float, verdict: Verdict) -> None:
    made = plain(tmp_path, at(0, mount="rear"), plug=_plug(across), seat=1, rear=[], cutout={"round": 22})
    found = finding(made, "plug-seats")  # its shoulder is 2 mm behind the front face
    assert found.verdict is verdict, found.says


def test_plugs_side_by_side_need_their_own_room(tmp_path: Path) -> None:
    for apart, verdict in ((41.2, FITS), (40.8, FAILS)):
        made = plain(tmp_path, f"{at(0)}\n{at(apart, label='B')}", plug=_plug(41), seat=5)
        assert finding(made, "plug-seats").verdict is verdict, apart
