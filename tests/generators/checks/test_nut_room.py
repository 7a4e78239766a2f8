"""Nuts beside what stands about them, by hand.

A barrel of 20 mm; the M3 nut (ISO 4032) is 5.5 mm across its flats and 5.5 / cos 30 = 6.351 mm over its corners, and
2.4 mm high. Nuts lie from 3 to 5.4 mm behind the panel's face.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding, place
from tests.plain import M3, PANEL, PART, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
OVER_CORNERS = 5.5 / math.cos(math.radians(30))
BAR: dict[str, Any] = {
    "title": "Bar",
    "family": "test",
    "flange": {"outline": {"box": [70, 20]}, "thick": 2},
    "cutout": {"box": [62, 12]},
    "rear": [{"outline": {"box": [60, 10]}, "from": 0, "to": 10}],
    "mount": ["rear"],
}


def _fixings(radius: float, angle: float = 0.0) -> dict[str, Any]:
    x, y = radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle))
    return {**PART["fixings"], "at": [[x, y], [-x, -y]]}


@pytest.mark.parametrize("angle", [0, 17, 50, 90])
@pytest.mark.parametrize(
    ("radius", "room", "verdict"),
    [
        (15, 5 - OVER_CORNERS / 2, FITS),
        (13.28, 3.28 - OVER_CORNERS / 2, FITS),  # spins, 0.10 clear
        (13.27, 3.27 - 2.75, TIGHT),  # does not spin, 0.52 clear with a flat to the barrel
        (12.86, 2.86 - 2.75, TIGHT),
        (12.84, 2.84 - 2.75, FAILS),
        (12.7, 2.7 - 2.75, FAILS),
    ],
)
def test_a_nut_spins_on_its_corners_or_stands_with_a_flat_to_the_barrel(
    tmp_path: Path, angle: float, radius: float, room: float, verdict: Verdict
) -> None:
    found = finding(plain(tmp_path, at(0), fixings=_fixings(radius, angle)), "nut-room")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room, abs=1e-4)


@pytest.mark.parametrize(("starts", "verdict"), [(5.5, FITS), (5.3, FAILS), (2.9, FAILS)])
def test_a_step_of_the_body_counts_from_the_nuts_far_face_on(tmp_path: Path, starts: float, verdict: Verdict) -> None:
    rear = [
        {"outline": {"round": 20}, "from": 0, "to": starts},
        {"outline": {"round": 26}, "from": starts, "to": 20},
    ]
    made = plain(tmp_path, at(0, cutout="{hole: 27}"), rear=rear, fixings=_fixings(15.6))
    assert finding(made, "nut-room").verdict is verdict  # 15.6 - 13 - 2.75 < 0


def test_a_washer_carries_the_nut_back_to_a_step(tmp_path: Path) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 5.5}, {"outline": {"round": 26}, "from": 5.5, "to": 20}]
    hardware = M3.replace("[]", "[split]")  # 0.8 mm: the nut ends 6.2 mm behind the face
    made = plain(tmp_path, at(0, hardware=hardware), rear=rear,
                 cutout={"round": 27}, fixings=_fixings(15.6))  # fmt: skip
    assert finding(made, "nut-room").verdict is FAILS


@pytest.mark.parametrize(
    ("spot", "turn", "own_turn"), [("[29, 0]", "90", "0"), ("[0, 29]", "0", "90"), ("[-29, 0]", "270", "0")]
)
def test_a_neighbour_counts_as_it_is_turned(tmp_path: Path, spot: str, turn: str, own_turn: str) -> None:
    beside = place("bar", label="B", mount="rear", at=spot, turn=turn)
    made = plain(tmp_path, f"{at(0, turn=own_turn)}\n{beside}", also={"bar": BAR})
    # a flange of 20 mm behind the panel, its middle 29 mm from the axis; the nut 15 mm from it
    assert finding(made, "nut-room").measured == pytest.approx(29 - 10 - 15 - OVER_CORNERS / 2, abs=1e-4)


def test_a_folded_lip_is_in_the_nuts_way(tmp_path: Path) -> None:
    lipped = PANEL.replace("}", ", lip: 20, bend_radius: 1}")
    found = finding(plain(tmp_path, at(0, 28, turn="90"), lipped), "nut-room")
    # the panel's edge is at 50 mm, the lip 3 mm thick; the nut is 28 + 15 mm up
    assert found.measured == pytest.approx(47 - 43 - OVER_CORNERS / 2, abs=1e-4)


@pytest.mark.parametrize(("across", "word"), [(20, "nut driver reaches"), (26, "use a spanner")])
def test_a_driver_must_pass_what_is_behind_the_nut(tmp_path: Path, across: float, word: str) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 10}, {"outline": {"round": across}, "from": 10, "to": 30}]
    made = plain(tmp_path, at(0), rear=rear, cutout={"round": 27}, fixings=_fixings(16))
    found = finding(made, "nut-room")
    assert found.verdict is FITS
    assert word in found.says
