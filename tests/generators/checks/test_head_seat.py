"""Heads on their seats, by hand.

M3 (ISO 7045, 7046-1): pan head 5.6 mm across; countersunk head 6.3 mm theoretical, cone 90 to 92 degrees, 1.65 mm high.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import M3, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SUNK = M3.replace("pan", "countersunk")


def _fixings(hole: float = 3.4, **more: Any) -> dict[str, Any]:
    return {"at": [[-15, 0], [15, 0]], "hole": hole, "panel": 3.4, **more}


@pytest.mark.parametrize(
    ("hole", "land", "verdict"), [(3.4, 1.1, FITS), (5.0, 0.3, FITS), (5.2, 0.2, TIGHT), (5.8, -0.1, FAILS)]
)
def test_a_pan_head_bears_on_what_its_hole_leaves(tmp_path: Path, hole: float, land: float, verdict: Verdict) -> None:
    found = finding(plain(tmp_path, at(0), fixings=_fixings(hole)), "head-seat")
    assert found.verdict is verdict
    assert found.measured == pytest.approx(land)  # (5.6 - hole) / 2


def test_a_pan_head_on_the_panel_bears_on_what_the_panel_hole_leaves(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0, mount="rear"), fixings={**_fixings(3.4), "panel": 4.0})
    assert finding(made, "head-seat").measured == pytest.approx((5.6 - 4.0) / 2)


@pytest.mark.parametrize(
    ("across", "sunk", "verdict"),
    [(6.4, 0.05, FITS), (6.0, -0.15, FITS), (5.7, -0.3, FITS), (5.6, -0.35, TIGHT), (4.7, -0.8, TIGHT)],
)
def test_a_cone_in_its_like_sinks_by_half_the_difference(
    tmp_path: Path, across: float, sunk: float, verdict: Verdict
) -> None:
    seat = {"diameter": across, "angle": 90}
    found = finding(plain(tmp_path, at(0, hardware=SUNK), fixings=_fixings(seat=seat)), "head-seat")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(sunk)  # (across - 6.3) / 2, cones of 90 degrees: depth is half the width


def test_a_countersink_of_less_than_half_the_heads_height_fails(tmp_path: Path) -> None:
    seat = {"diameter": 4.6, "angle": 90}  # half of 1.65 mm is 0.825, and the head stands 0.85 mm proud
    assert finding(plain(tmp_path, at(0, hardware=SUNK), fixings=_fixings(seat=seat)), "head-seat").verdict is FAILS


def test_limits_of_the_cones_angle_are_told(tmp_path: Path) -> None:
    seat = {"diameter": 6.4, "angle": 90}
    says = finding(plain(tmp_path, at(0, hardware=SUNK), fixings=_fixings(seat=seat)), "head-seat").says
    # a cone of 92 degrees on a rim of 5.2 mm, the least of both, touches with its rim: the seat is that wide
    # (6.4 - 5.2) / 2 = 0.6 mm down, and the cone lies (6.3 - 5.2) / 2 / tan 46 = 0.531 mm under the head's top;
    # one of 90 degrees sinks 0.05
    assert "-0.07 mm to -0.05 mm" in says, says


def test_a_countersunk_head_on_a_plain_hole_fails(tmp_path: Path) -> None:
    assert finding(plain(tmp_path, at(0, hardware=SUNK)), "head-seat").verdict is FAILS


@pytest.mark.parametrize(("side", "verdict"), [("front", FITS), ("rear", FAILS)])
def test_a_head_in_front_sits_only_in_a_countersink_from_the_front(tmp_path: Path, side: str, verdict: Verdict) -> None:
    cut = f"{{hole: 22, fixings: 3.4, countersink: {{diameter: 6.4, angle: 90, from: {side}}}}}"
    found = finding(plain(tmp_path, at(0, hardware=SUNK, mount="rear", cutout=cut)), "head-seat")
    assert found.verdict is verdict, found.says


@pytest.mark.parametrize(("thick", "verdict"), [(1.51, FITS), (1.49, FAILS)])
def test_a_countersink_through_the_flange_leaves_a_knife_edge(tmp_path: Path, thick: float, verdict: Verdict) -> None:
    seat = {"diameter": 6.4, "angle": 90}  # meets a hole of 3.4 mm (6.4 - 3.4) / 2 = 1.5 mm down
    flange = {"outline": {"box": [40, 40]}, "thick": thick}
    found = finding(plain(tmp_path, at(0, hardware=SUNK), flange=flange, fixings=_fixings(seat=seat)), "head-seat")
    assert found.verdict is verdict, found.says
