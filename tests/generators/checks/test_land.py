"""Rings of metal under heads, washers and nuts, by areas worked out beside the tests.

M3: pan head 5.6 mm across, nut 5.5 mm across flats, plain washer ISO 7089 7 mm across with a hole of 3.2 mm.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding, place
from tests.plain import M3, PANEL, PART, asked, at, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
WASHER = math.pi / 4 * (7.0**2 - 3.2**2)  # mm2 that a plain washer bears on: what all are compared with
SUNK = M3.replace("pan", "countersunk")
SEAT = {"diameter": 6.4, "angle": 90}
NO_NUT = M3.replace("hexagon", "none")


def _round(across: float) -> float:
    return math.pi / 4 * across**2


def _segment(radius: float, apart: float) -> float:
    """Return what of a circle lies beyond a line that far from its centre."""
    return radius**2 * math.acos(apart / radius) - apart * math.sqrt(radius**2 - apart**2)


def _hexagon(across: float) -> float:
    return across**2 * math.sqrt(3) / 2


def _wide(**changes: Any) -> dict[str, Any]:
    """Return a part with a small barrel, so that nothing but its own fixing hole is near a fastener."""
    return {"cutout": {"round": 12}, "rear": [{"outline": {"round": 10}, "from": 0, "to": 20}], **changes}


@pytest.mark.parametrize(("hole", "verdict"), [(3.4, FITS), (4.4, FITS), (4.9, TIGHT), (5.4, FAILS), (5.5, FAILS)])
def test_a_pan_head_bears_on_what_its_hole_leaves(tmp_path: Path, hole: float, verdict: Verdict) -> None:
    found = finding(asked(tmp_path, at(0, hardware=M3.replace("[]", "[plain]")), **_wide(fixings=fixings(hole=hole))),
                    "land")  # fmt: skip
    share = (_round(5.6) - _round(hole)) / WASHER
    assert verdict is (FITS if share >= 0.25 else TIGHT if share >= 0.1 else FAILS)
    assert found.verdict is verdict, found.says
    assert found.margin == pytest.approx(share - 0.1)
    assert (found.unit, found.measured, found.limit) == ("share", None, None)
    assert (found.bodies, found.view) == (("A: screw 1",), "front")
    assert f"{_round(5.6) - _round(hole):.1f} mm2" in found.says


@pytest.mark.parametrize(
    ("hole", "across", "washers"), [(3.4, None, "[]"), (4.4, None, "[]"), (3.4, 7.0, "[plain]"), (5.0, 6.2, "[split]")]
)
def test_nut_or_washer_bears_on_what_the_panels_hole_leaves(
    tmp_path: Path, hole: float, across: float | None, washers: str
) -> None:
    hardware = SUNK.replace("[]", washers)
    made = asked(tmp_path, at(0, hardware=hardware, cutout=f"{{fixings: {hole}}}"), **_wide(fixings=fixings(seat=SEAT)))
    found = finding(made, "land")
    outer = _hexagon(5.5) if across is None else _round(across)
    assert found.margin == pytest.approx((outer - _round(hole)) / WASHER - 0.1)
    what = "nut" if across is None else f"{washers.strip('[]')} washer"
    assert found.bodies in ((f"A: {what} 1",), (f"A: {what} 2",))
    assert found.view == "rear"
    assert found.says.startswith(f"The {what} bears on")


def test_a_countersunk_head_without_a_nut_bears_on_its_cone_only(tmp_path: Path) -> None:
    boss = fixings(boss={"thread": "M3", "depth": 6})
    hardware = "{screw: M3, head: countersunk, length: 6}"
    found = finding(asked(tmp_path, at(0, hardware=hardware, mount="rear", cutout="{countersink: "
                          "{diameter: 6.4, angle: 90}}"), fixings=boss), "land")  # fmt: skip
    assert (found.verdict, found.says, found.margin) == (FITS, "Every head sits on its cone.", None)


def test_a_countersink_under_a_flat_head_takes_its_land(tmp_path: Path) -> None:
    seat = {"diameter": 4.6, "angle": 90}
    found = finding(asked(tmp_path, at(0, hardware=NO_NUT), **_wide(fixings=fixings(seat=seat))), "land")
    assert found.margin == pytest.approx((_round(5.6) - _round(4.6)) / WASHER - 0.1)


def test_a_washer_under_the_head_is_what_bears_on_the_panel(tmp_path: Path) -> None:
    boss = fixings(boss={"thread": "M3", "depth": 6})
    hardware = "{screw: M3, head: pan, length: 6, washers: [plain]}"
    found = finding(asked(tmp_path, at(0, hardware=hardware, cutout="{fixings: 4}"), fixings=boss), "land")
    assert found.margin == pytest.approx((_round(7.0) - _round(4.0)) / WASHER - 0.1)
    assert (found.bodies, found.view) == (("A: plain washer 1",), "rear")


@pytest.mark.parametrize(("radius", "verdict"), [(12, TIGHT), (13, FITS), (15, FITS)])
def test_a_head_near_the_main_hole_hangs_over_it(tmp_path: Path, radius: float, verdict: Verdict) -> None:
    # rear-mounted: heads on the panel, beside a hole of 22 mm; at 12 mm a head reaches 1.8 mm over it, clear at 15
    boss = fixings(at=[[-radius, 0], [radius, 0]], boss={"thread": "M3", "depth": 6})
    found = finding(asked(tmp_path, at(0, hardware="{screw: M3, head: pan, length: 6}", mount="rear"), fixings=boss),
                    "land")  # fmt: skip
    r, big, d = 2.8, 11.0, radius
    over = 0.0
    if r + big > d:  # two segments on the common chord
        x = (d * d + r * r - big * big) / (2 * d)
        over = _segment(r, x) + _segment(big, d - x)
    assert found.margin == pytest.approx((_round(5.6) - _round(3.4) - over) / WASHER - 0.1, abs=1e-6)
    kept = 1 - over / (_round(5.6) - _round(3.4))
    assert verdict is (TIGHT if kept < 0.75 else FITS)
    assert found.verdict is verdict
    assert ("hangs over an edge" in found.says) is (verdict is TIGHT)


def test_a_nut_is_turned_as_it_came_to_rest(tmp_path: Path) -> None:
    # 13 mm from the axis the nut stands with a flat to the barrel, and half of it over the hole of 26 mm
    rear = [{"outline": {"round": 20}, "from": 0, "to": 20}]
    spots = fixings(at=[[-13, 0], [13, 0]], seat=SEAT)
    made = asked(tmp_path, at(0, hardware=SUNK, cutout="{hole: 26}"), rear=rear, fixings=spots)
    assert finding(made, "nut-room").verdict is TIGHT
    found = finding(made, "land")
    assert found.margin == pytest.approx((_beyond_a_circle(5.5, 13.0) - _round(3.4)) / WASHER - 0.1, abs=0.01)


def _beyond_a_circle(across: float, radius: float) -> float:
    """Return how much of a hexagon with flats left and right lies outside a circle through its middle, by strips."""
    step, half, tip = 0.002, across / 2, across / math.sqrt(3)
    total = 0.0
    for x in ((i + 0.5) * step - half for i in range(int(across / step))):
        inner = math.sqrt(radius**2 - (radius + x) ** 2) if x < 0 else 0.0
        total += 2 * max(0.0, tip - abs(x) / math.sqrt(3) - inner) * step
    return total


@pytest.mark.parametrize("seated", [True, False])
def test_a_nut_over_the_edge_of_the_sheet_lacks_what_hangs_over(tmp_path: Path, seated: bool) -> None:
    # the sheet ends 2 mm beyond the fixing, where the nut has a corner: 5.5 / sqrt 3 mm out
    spots = fixings(at=[[0, -15], [0, 15]], **({"seat": SEAT} if seated else {}))
    made = asked(tmp_path, at(83, 0, hardware=SUNK, turn="270"), **_wide(fixings=spots))
    found = finding(made, "land")
    hangs = (5.5 / math.sqrt(3) - 2.0) ** 2 * math.sqrt(3)
    assert found.margin == pytest.approx((_hexagon(5.5) - _round(3.4) - hangs) / WASHER - 0.1, abs=1e-3)


def test_holes_of_the_next_place_take_land_too(tmp_path: Path) -> None:
    # the next main hole, 12 mm across, begins 1 mm right of the fixing's centre: 15 + 1 + 6 = 22; what it shares
    # with the fixing hole is taken twice, which is on the safe side
    post = {**PART, "fixings": None, "flange": {"outline": {"box": [4, 4]}, "thick": 2}, "cutout": {"round": 12},
            "rear": []}  # fmt: skip
    del post["fixings"]
    boss = fixings(boss={"thread": "M3", "depth": 6})
    places = (
        at(0, hardware="{screw: M3, head: pan, length: 6}", mount="rear")
        + "\n"
        + place("post", label="B", at="[22, 0]")
    )
    found = finding(asked(tmp_path, places, also={"post": post}, **_wide(fixings=boss)), "land")
    x = (7 * 7 + 2.8**2 - 6**2) / (2 * 7)
    over = _segment(2.8, x) + _segment(6.0, 7 - x)
    assert found.margin == pytest.approx((_round(5.6) - _round(3.4) - over) / WASHER - 0.1, abs=1e-6)
    assert found.bodies == ("A: screw 2",)


# --- bushes ----------------------------------------------------------------------------------------------------------

BUSH: dict[str, Any] = {"thread": 12, "length": 9, "nut_across": 15, "nut_height": 2}


def _bush(folder: Path, hole: float = 12.6, panel: str = PANEL, x: float = 0.0, **changes: Any) -> Any:
    side = {**BUSH, **changes}.get("nut_side", "front")
    mount, field = ("rear", "front") if side == "front" else ("front", "rear")
    body: dict[str, Any] = {"rear": [], field: [{"outline": {"round": 12}, "from": 0, "to": 9}]}
    made = asked(folder, at(x, hardware="{}", mount=mount, cutout=f"{{hole: {hole}}}"), panel, fixings=None,
                 cutout={"round": 12.6}, bush={**BUSH, **changes},
                 flange={"outline": {"box": [20, 20]}, "thick": 2}, **body)  # fmt: skip
    return finding(made, "land")


@pytest.mark.parametrize("side", ["front", "rear"])
@pytest.mark.parametrize("hole", [12.6, 14.0])
def test_the_nut_of_a_bush_bears_on_what_the_hole_leaves_of_it(tmp_path: Path, side: str, hole: float) -> None:
    found = _bush(tmp_path, hole, nut_side=side)
    share = (_hexagon(15) - _round(hole)) / (_hexagon(15) - _round(12))
    assert found.margin == pytest.approx(share - 0.1, abs=1e-6)
    assert (found.bodies, found.view) == (("A: bush nut",), side)
    assert found.says.startswith("The bush nut bears on")


def test_a_washer_under_the_nut_of_a_bush_is_what_bears(tmp_path: Path) -> None:
    found = _bush(tmp_path, 14.0, washer=1, washer_across=18)
    share = (_round(18) - _round(14)) / (_round(18) - _round(12))
    assert found.margin == pytest.approx(share - 0.1)
    assert found.says.startswith("The washer under the bush nut bears on")


def test_a_washer_smaller_than_the_nut_of_a_bush_takes_its_width(tmp_path: Path) -> None:
    found = _bush(tmp_path, 14.0, washer=1, washer_across=14)
    assert found.margin == pytest.approx((_round(15) - _round(14)) / (_round(15) - _round(12)) - 0.1)


def test_the_nut_of_a_bush_over_the_edge_lacks_what_hangs_over(tmp_path: Path) -> None:
    whole = _bush(tmp_path)
    over = _bush(tmp_path, x=93.0)  # its flats are left and right: the sheet ends 7 of 7.5 mm out
    strip = 0.5 * (15 / math.sqrt(3) + 0.5 / math.sqrt(3))  # a flat side of the hexagon, and what widens within 0.5 mm
    full = _hexagon(15) - _round(12)
    assert whole.margin - over.margin == pytest.approx(strip / full, abs=1e-3)
