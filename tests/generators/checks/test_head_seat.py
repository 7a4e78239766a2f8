"""Heads on their seats, by hand.

M3 (ISO 7045, 7046-1): pan head 5.6 mm across; countersunk head 6.3 mm theoretical, cone 90 to 92 degrees, 1.65 mm high.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Finding, Verdict
from tests.helpers import finding
from tests.plain import M3, about, asked, at, length, plain, told

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


# --- all that is told ------------------------------------------------------------------------------------------------

PAN, CONE = "head: ISO 7045; seating: common practice", "head: ISO 7046-1; seating: common practice"
PUNCHED = "{hole: 22, fixings: 3.4, countersink: {diameter: 6.4, angle: 90, from: front}}"


def _told(folder: Path, hardware: str = M3, mount: str = "front", thick: float = 2, **of_part: Any) -> Finding:
    flange = {"outline": {"box": [40, 40]}, "thick": thick}
    made = asked(folder, at(0, hardware=hardware, mount=mount), flange=flange, fixings=_fixings(**of_part))
    (found,) = told(made, "head-seat")
    return found


def _wanted(verdict: Verdict, says: str, measured: float, limit: float = 0.0, source: str = CONE) -> Finding:
    return length("head-seat", verdict, says, measured, limit=limit, bodies=("A: screw 1",), source=source)


@pytest.mark.parametrize(
    ("part", "verdict", "land", "says"),
    [
        ({"hole": 5.0}, FITS, 0.3, "bears on a ring 0.3 mm wide on the flange."),
        ({"hole": 5.002}, TIGHT, 0.299, "bears on a ring 0.3 mm wide on the flange."),
        ({"hole": 5.6}, TIGHT, 0.0, "bears on a ring 0 mm wide on the flange."),
        ({"hole": 5.602}, FAILS, -0.001, "has no land on the flange: it falls into the hole."),
        ({"seat": {"diameter": 5.4}}, TIGHT, 0.1, "bears on a ring 0.1 mm wide on the flange."),
        ({"seat": {"diameter": 5.8}}, FAILS, -0.1, "has no land on the flange: it falls into the countersink."),
        ({"mount": "rear", "panel": 4.0}, FITS, 0.8, "bears on a ring 0.8 mm wide on the panel."),
    ],
)  # (5.6 - opening) / 2
def test_a_flat_head_is_told_its_ring(
    tmp_path: Path, part: dict[str, Any], verdict: Verdict, land: float, says: str
) -> None:
    mount = part.get("mount", "front")
    fixings = {**_fixings(), **{key: value for key, value in part.items() if key != "mount"}}
    (found,) = told(asked(tmp_path, at(0, mount=mount), fixings=fixings), "head-seat")
    assert found == _wanted(verdict, f"The pan head {says}", land, source=PAN)


def test_a_head_on_a_washer_is_told_of_the_washer(tmp_path: Path) -> None:
    boss = {"thread": "M3", "depth": 6}  # from behind a panel hole of 5 mm; the washer's own hole is 3.2
    hardware = "{screw: M3, head: pan, length: 6, washers: [plain]}"
    made = asked(tmp_path, at(0, hardware=hardware), fixings={**_fixings(), "panel": 5.0, "boss": boss})
    (found,) = told(made, "head-seat")
    assert (found.says, found.view) == ("The pan head bears on a ring 1.2 mm wide on the washer.", "rear")


@pytest.mark.parametrize("mount", ["front", "rear"])
def test_a_cone_on_a_plain_hole_stands_on_its_edge(tmp_path: Path, mount: str) -> None:
    # it sinks until it is as wide as the hole: (6.3 - 3.4) / 2 below its top
    says = "A countersunk head on a plain hole bears on an edge and stands 1.45 mm proud."
    assert _told(tmp_path, SUNK, mount) == _wanted(FAILS, says, -1.45)


FACE = "the face of the flange"
LEAST = "The countersunk head, 5.2 mm at its smallest,"
LIMIT = -1.65 / 2  # half of the head's height below the face


@pytest.mark.parametrize(
    ("across", "verdict", "sunk", "says"),
    # cones of 90 degrees: half of what the seat is wider than 6.3 mm; the rim of the least head, 5.2 mm, and a cone of
    # 92 degrees are the limits of the tolerance
    [
        (6.3, FITS, 0.0, f"lies 0 mm below {FACE} (-0.02 mm to 0 mm over its tolerance) and bears on its cone."),
        (5.7, FITS, -0.3, f"stands 0.3 mm proud of {FACE} (0.28 mm to 0.3 mm over its tolerance) and bears on its "
                          "cone."),
        (5.68, TIGHT, -0.31, f"stands 0.31 mm proud of {FACE} (0.29 mm to 0.31 mm over its tolerance) and bears on its "
                             "cone."),
        (4.65, TIGHT, LIMIT, None),
        (4.64, FAILS, -0.83, f"stands 0.83 mm proud of {FACE} (0.8 mm to 0.83 mm over its tolerance): the countersink "
                             "is too small for it."),
    ],
)  # fmt: skip
def test_a_cone_is_told_how_far_it_stands_proud(
    tmp_path: Path, across: float, verdict: Verdict, sunk: float, says: str | None
) -> None:
    found = _told(tmp_path, SUNK, seat={"diameter": across, "angle": 90})
    assert found == _wanted(verdict, f"The countersunk head {says}" if says else found.says, sunk, LIMIT)


@pytest.mark.parametrize(
    ("hole", "verdict", "ring", "says"),
    # the least head is 5.2 mm across its rim
    [
        (4.6, FITS, None, ""),
        (4.62, TIGHT, 0.29, "and bears on a ring of its cone no more than 0.29 mm wide."),
        (5.2, TIGHT, 0.0, "and bears on a ring of its cone no more than 0 mm wide."),
        (5.22, FAILS, -0.01, f"{LEAST} falls through the 5.22 mm hole of the flange."),
        (6.5, FAILS, -0.65, f"{LEAST} falls through the 6.5 mm hole of the flange."),
    ],
)  # fmt: skip
def test_the_least_head_must_not_fall_through_its_seat_and_wants_a_ring(
    tmp_path: Path, hole: float, verdict: Verdict, ring: float | None, says: str
) -> None:
    found = _told(tmp_path, SUNK, hole=hole, seat={"diameter": 6.6, "angle": 90})
    assert found.verdict is verdict, found.says
    if ring is not None:
        assert found.says.endswith(says)
        assert found == _wanted(verdict, found.says, ring)


@pytest.mark.parametrize("thick", [1.5, 1.49])
def test_a_knife_edge_is_told_by_what_is_lacking(tmp_path: Path, thick: float) -> None:
    found = _told(tmp_path, SUNK, thick=thick, seat={"diameter": 6.4, "angle": 90})
    if thick < 1.5:
        assert found == _wanted(FAILS, "The countersink goes through the flange: a knife edge.", -0.01)
    else:
        assert (found.verdict, found.measured) == (FITS, about(0.05))


@pytest.mark.parametrize(
    ("angle", "sunk", "on"),
    [
        # the seat ends (6.4 - 3.4) / 2 / tan 50 = 1.2587 down; the head is 3.4 wide 1.45 below its top
        (100, 1.2587 - 1.45, "lower edge"),
        # a head 5.5 across meets the seat (6.4 - 5.5) / 2 / tan 41 = 0.5177 down, its rim is 0.4 high
        (82, 0.5177 - 0.4, "rim"),
    ],
)
def test_a_head_on_a_seat_of_another_angle_bears_on_an_edge(tmp_path: Path, angle: float, sunk: float, on: str) -> None:
    found = _told(tmp_path, SUNK, seat={"diameter": 6.4, "angle": angle})
    assert (found.verdict, found.limit) == (TIGHT, about(LIMIT))
    assert found.measured == about(sunk, within=1e-4)
    assert found.says.endswith(f"and bears only on the {on} of its seat.")


def test_a_cone_in_the_panel_is_told_of_the_panel(tmp_path: Path) -> None:
    (found,) = told(asked(tmp_path, at(0, hardware=SUNK, mount="rear", cutout=PUNCHED)), "head-seat")
    assert (found.verdict, found.measured, found.view) == (FITS, about(0.05), "front")
    assert "below the face of the panel" in found.says


def test_a_head_from_behind_is_seen_from_the_rear(tmp_path: Path) -> None:
    boss = {"thread": "M3", "depth": 6}
    made = asked(tmp_path, at(0, hardware="{screw: M3, head: pan, length: 6}"), fixings={**_fixings(), "boss": boss})
    assert told(made, "head-seat")[0].view == "rear"
