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
from tests.plain import M3, PANEL, PART, asked, at, plain

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
    lipped = PANEL.replace("}", ", lip: 20, bend_radius: 2}")
    found = finding(plain(tmp_path, at(0, 26, turn="90"), lipped), "nut-room")
    # the panel's edge is at 50 mm, the lip 3 mm thick, its bend 2 mm inside; the nut is 26 + 15 mm up
    assert found.measured == pytest.approx(45 - 41 - OVER_CORNERS / 2, abs=1e-4)


@pytest.mark.parametrize(("across", "word"), [(20, "nut driver reaches"), (26, "use a spanner")])
def test_a_driver_must_pass_what_is_behind_the_nut(tmp_path: Path, across: float, word: str) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 10}, {"outline": {"round": across}, "from": 10, "to": 30}]
    made = plain(tmp_path, at(0), rear=rear, cutout={"round": 27}, fixings=_fixings(16))
    found = finding(made, "nut-room")
    assert found.verdict is FITS
    assert word in found.says


# --- neighbours and other nuts ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("apart", "verdict", "room"),
    [
        (6.5, FITS, 6.5 - OVER_CORNERS),  # both spin: corner to corner
        (6.4, TIGHT, 0.9),  # 0.05 corner to corner, 0.9 with their flats to each other
        (5.61, TIGHT, 0.11),
        (5.59, FAILS, 0.09),
        (5.4, FAILS, -0.1),
    ],
)
@pytest.mark.parametrize("upright", [False, True])
def test_nuts_of_one_place_turn_their_flats_to_each_other(
    tmp_path: Path, apart: float, verdict: Verdict, room: float, upright: bool
) -> None:
    spots: list[list[float]] = [[15, 0], [15 + apart, 0]]
    if upright:
        spots = [[15, -apart / 2], [15, apart / 2]]
    flange = {"outline": {"box": [60, 60]}, "thick": 2}
    made = asked(tmp_path, at(0), fixings=_at(spots), flange=flange)
    found = finding(made, "nut-room")
    assert found.verdict is verdict, found.says
    if upright and verdict is TIGHT:  # it stops at the first angle that is wide enough: with a flat to the barrel
        assert 0.1 <= (found.measured or 0.0) <= room + 1e-4
    else:
        assert found.measured == pytest.approx(room, abs=1e-4)
    assert found.bodies[0].startswith("A: nut")
    assert found.view == "rear"
    if verdict is not FITS:
        assert "other nut" in found.says
    turns = made.stacks["A"].rest
    assert turns is not None
    assert turns.spins is (verdict is FITS)
    if (
        verdict is not FITS and not upright
    ):  # a flat lies at 0 degrees in a hexagon, and each sixth of a turn from there
        assert all(t % 60 == pytest.approx(0) for t in turns.turns)


def _at(spots: list[list[float]]) -> dict[str, Any]:
    return {**PART["fixings"], "at": spots}


@pytest.mark.parametrize(
    ("apart", "verdict", "room"),
    [(36.5, FITS, None), (36.0, TIGHT, 0.5), (35.61, TIGHT, 0.11), (35.59, FAILS, 0.09), (35.4, FAILS, -0.1)],
)
def test_nuts_of_neighbours_turn_their_flats_to_each_other(
    tmp_path: Path, apart: float, verdict: Verdict, room: float | None
) -> None:
    flange = {"outline": {"box": [35, 30]}, "thick": 2}
    made = asked(tmp_path, f"{at(0)}\n{at(apart, label='B')}", flange=flange)
    for name, number, other in (("A", 2, "B: nut 1"), ("B", 1, "A: nut 2")):
        found = finding(made, "nut-room", name)
        assert found.verdict is verdict, found.says
        if room is not None:
            assert found.measured == pytest.approx(room, abs=1e-4)
        assert found.bodies == (f"{name}: nut {number}", other)
        assert found.beside == (("B",) if name == "A" else ("A",))


def test_a_neighbours_nut_is_faced_wherever_it_stands(tmp_path: Path) -> None:
    # the nut of the next place is 17 degrees up from this one's, 5.65 mm away: no other angle leaves 0.1 mm
    x, y = 5.65 * math.cos(math.radians(17)), 5.65 * math.sin(math.radians(17))
    flange = {"outline": {"box": [35, 3]}, "thick": 2}
    made = asked(tmp_path, f"{at(0)}\n{at(30 + x, y, label='B')}", flange=flange)
    found = finding(made, "nut-room")
    assert found.verdict is TIGHT
    assert found.measured == pytest.approx(0.15, abs=1e-6)
    rest = made.stacks["A"].rest
    assert rest is not None
    assert rest.turns == pytest.approx((0, 17))


def test_a_nut_between_two_things_stands_at_the_first_angle_that_clears_both(tmp_path: Path) -> None:
    # walls 3 mm left and right of the nut at 15: its flats to both
    rear = [
        {"outline": {"polygon": [[-10, -9], [12.1, -9], [12.1, 9], [-10, 9]]}, "from": 0, "to": 20},
        {"outline": {"polygon": [[17.9, -9], [19, -9], [19, 9], [17.9, 9]]}, "from": 0, "to": 20},
    ]
    made = asked(tmp_path, at(0, cutout="{outline: {box: [40, 20]}}"), rear=rear, fixings=_at([[15, 0], [-15, 0]]))
    found = finding(made, "nut-room")
    assert (found.verdict, found.bodies) == (TIGHT, ("A: nut 1",))
    assert found.measured == pytest.approx(2.9 - 2.75)
    assert "flat to the body" in found.says


def test_a_clash_is_told_by_what_it_lacks_at_best(tmp_path: Path) -> None:
    found = finding(asked(tmp_path, at(0), fixings=_fixings(12.6)), "nut-room")
    assert found.measured == pytest.approx(2.6 - 2.75)
    assert found.limit == 0.1
    assert found.margin == pytest.approx(2.6 - 2.75 - 0.1)
    assert "clashes with the body by 0.15 mm, however it is turned" in found.says
    close = finding(asked(tmp_path, at(0), fixings=_fixings(12.8)), "nut-room")
    assert "has only 0.05 mm beside the body; 0.1 mm is wanted" in close.says


def test_a_nut_with_nothing_near_has_nothing_to_measure(tmp_path: Path) -> None:
    found = finding(asked(tmp_path, at(0), fixings=_fixings(19)), "nut-room")  # 9 - 3.18 mm from the barrel
    assert (found.verdict, found.measured, found.margin) == (FITS, None, None)
    assert "nothing near" in found.says


def test_the_tightest_of_all_nuts_is_told(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0), fixings=_at([[15, 0], [0, 13], [-14, 0]]))
    found = finding(made, "nut-room")
    assert found.bodies == ("A: nut 2",)
    assert found.measured == pytest.approx(3 - 2.75)


@pytest.mark.parametrize(("across", "drives"), [(21.6, True), (21.8, False)])
def test_a_driver_is_as_wide_as_it_is_told_in_the_table(tmp_path: Path, across: float, drives: bool) -> None:
    # the 5.5 mm driver is 8.3 mm across: from a nut at 15 it leaves 15 - 4.15 = 10.85
    rear = [{"outline": {"round": 18}, "from": 0, "to": 10}, {"outline": {"round": across}, "from": 10, "to": 30}]
    made = asked(tmp_path, at(0), rear=rear, cutout={"round": 22})
    rest = made.stacks["A"].rest
    assert rest is not None
    assert rest.driver is drives
    assert ("nut driver reaches it" in finding(made, "nut-room").says) is drives


@pytest.mark.parametrize(("start", "drives"), [(62.9, False), (63.1, True)])
def test_a_driver_is_60_mm_long(tmp_path: Path, start: float, drives: bool) -> None:
    rear = [{"outline": {"round": 18}, "from": 0, "to": start}, {"outline": {"round": 40}, "from": start, "to": 80}]
    rest = asked(tmp_path, at(0, cutout="{hole: 40}"), rear=rear).stacks["A"].rest  # from 3 mm behind the face on
    assert rest is not None
    assert rest.driver is drives


def test_the_next_nut_of_a_place_is_in_the_drivers_way(tmp_path: Path) -> None:
    # 8.3 / 2 + 6.351 / 2 = 7.33 mm
    flange = {"outline": {"box": [60, 60]}, "thick": 2}
    for apart, drives in ((7.4, True), (7.2, False)):
        rest = asked(tmp_path, at(0), fixings=_at([[15, 0], [15 + apart, 0]]), flange=flange).stacks["A"].rest
        assert rest is not None
        assert rest.driver is drives, apart


def test_without_a_nut_nothing_is_asked_of_it(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, hardware=M3.replace("hexagon", "none")))
    assert not [f for f in made.findings if f.check == "nut-room"]
    assert made.stacks["A"].rest is None


# --- rivets ----------------------------------------------------------------------------------------------------------

RIVET = "{screw: rivet 3.2 mm, length: 8}"  # body 3.28 mm at its largest: 4.92 mm when set; 4.8 mm behind the panel


@pytest.mark.parametrize(("radius", "verdict"), [(12.57, FITS), (12.55, FAILS), (12.0, FAILS)])
def test_the_blind_side_of_a_rivet_needs_its_room(tmp_path: Path, radius: float, verdict: Verdict) -> None:
    found = finding(asked(tmp_path, at(0, hardware=RIVET), fixings=_fixings(radius)), "nut-room")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(radius - 10 - 1.5 * 3.28 / 2)
    assert (found.bodies, found.view, found.limit) == (("A: screw 1",), "rear", 0.1)


@pytest.mark.parametrize(("starts", "near"), [(7.7, True), (7.9, False)])
def test_the_blind_side_of_a_rivet_ends_where_the_table_says(tmp_path: Path, starts: float, near: bool) -> None:
    rear = [{"outline": {"round": 18}, "from": 0, "to": starts}, {"outline": {"round": 28}, "from": starts, "to": 20}]
    made = asked(tmp_path, at(0, hardware=RIVET, cutout="{hole: 28}"), rear=rear, fixings=_fixings(17))
    found = finding(made, "nut-room")
    # 3 mm of panel and 4.8 mm behind it; beside it 17 - 2.46 - 14 mm; without it 17 - 2.46 - 9 is no matter
    assert (found.measured is not None) is near
    if near:
        assert found.measured == pytest.approx(17 - 2.46 - 14)
    else:
        assert "nothing is near it" in found.says
