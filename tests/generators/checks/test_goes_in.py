"""The way in, by hand: parts through their hole, heads, nuts and washers past what stands beside them.

M3: pan head 5.6 mm across, nut 5.5 mm across flats, plain washer 7 mm. The screws stand 15 mm from the axis.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Finding, Verdict
from tests.helpers import finding, place
from tests.plain import M3, PANEL, asked, at, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
WASHERS = M3.replace("[]", "[plain]")


def _round(across: float, start: float, stop: float) -> dict[str, Any]:
    return {"outline": {"round": across}, "from": start, "to": stop}


# --- the part through its hole ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("across", "verdict", "play"), [(21.5, FITS, 0.5), (22, FITS, 0.0), (22.1, FAILS, -0.1), (26, FAILS, -4.0)]
)
def test_what_is_wider_behind_must_pass_the_hole_too(
    tmp_path: Path, across: float, verdict: Verdict, play: float
) -> None:
    rear = [_round(20, 0, 5), _round(across, 5, 12)]
    found = finding(asked(tmp_path, at(0), rear=rear), "goes-in")
    assert found.verdict is verdict, found.says
    if verdict is FAILS:
        assert found.measured == pytest.approx(play, abs=1e-3)
        assert found.margin == pytest.approx(play, abs=1e-3)
        assert f"{across:g} mm" in found.says
        assert found.view == "front"


def test_coating_on_the_wall_of_the_hole_is_in_the_way(tmp_path: Path) -> None:
    rear = [_round(20, 0, 5), _round(21.9, 5, 12)]
    coated = PANEL.replace("}", ", coating: 0.1}")
    bare = asked(tmp_path, at(0, cutout="{hole: 22}"), rear=rear)
    thick = asked(tmp_path, at(0, cutout="{hole: 22}"), coated, rear=rear)
    assert finding(bare, "goes-in").verdict is FITS
    assert finding(thick, "goes-in").measured == pytest.approx(21.8 - 21.9, abs=1e-3)


@pytest.mark.parametrize(("across", "verdict"), [(21, FITS), (23, FAILS)])
def test_a_rear_mounted_part_comes_through_with_what_stands_before_its_flange(
    tmp_path: Path, across: float, verdict: Verdict
) -> None:
    front = [_round(16, 0, 6), _round(across, 6, 9)]  # 3 mm of it stand before the panel
    found = finding(asked(tmp_path, at(0, mount="rear"), front=front), "goes-in")
    assert found.verdict is verdict, found.says
    if verdict is FAILS:
        assert found.measured == pytest.approx(22 - 23, abs=1e-3)
        assert "ahead of the panel" in found.says


def test_the_flange_itself_does_not_pass_the_hole(tmp_path: Path) -> None:
    for mount in ("front", "rear"):
        assert finding(asked(tmp_path, at(0, mount=mount)), "goes-in").verdict is FITS


def test_a_part_of_nothing_but_a_flange_goes_straight_in(tmp_path: Path) -> None:
    found = finding(asked(tmp_path, at(0), rear=[]), "goes-in")
    assert found.verdict is FITS


def test_the_tightest_step_of_several_is_told(tmp_path: Path) -> None:
    rear = [_round(20, 0, 4), _round(23, 4, 8), _round(24, 8, 12), _round(22.5, 12, 16)]
    found = finding(asked(tmp_path, at(0), rear=rear), "goes-in")
    assert found.measured == pytest.approx(22 - 24, abs=1e-3)
    assert "24 mm" in found.says


# --- heads -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("across", "verdict"), [(24.3, FITS), (24.5, FAILS)])
def test_a_screw_head_must_pass_what_stands_on_the_flange(tmp_path: Path, across: float, verdict: Verdict) -> None:
    made = asked(tmp_path, at(0), front=[_round(20, 0, 10), _round(across, 10, 20)])  # 15 - 2.8 = 12.2
    found = finding(made, "goes-in")
    assert found.verdict is verdict, found.says
    if verdict is FAILS:
        assert found.measured == pytest.approx(12.2 - across / 2)
        assert found.bodies[0] == "A: screw 1"
        assert found.view == "front"


def test_every_fixing_needs_its_way(tmp_path: Path) -> None:
    beside = {"outline": {"polygon": [[12, -5], [20, -5], [20, 5], [12, 5]]}, "from": 8, "to": 20}
    found = finding(asked(tmp_path, at(0), front=[beside]), "goes-in")
    assert (found.verdict, found.bodies[0]) == (FAILS, "A: screw 2")


def test_a_head_behind_the_panel_is_driven_in_from_behind(tmp_path: Path) -> None:
    boss = {"boss": {"thread": "M3", "depth": 6}}
    hardware = "{screw: M3, head: pan, length: 6}"
    rear = [_round(20, 0, 10), _round(25, 10, 20)]
    made = asked(tmp_path, at(0, hardware=hardware, cutout="{hole: 26}"), rear=rear, fixings=fixings(**boss))
    found = finding(made, "goes-in")
    assert (found.verdict, found.view) == (FAILS, "rear")
    assert found.measured == pytest.approx(15 - 2.8 - 12.5)


# --- nuts and washers ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("across", "verdict"), [(24.4, FITS), (24.6, FAILS)])
def test_a_nut_must_pass_what_hangs_behind_it(tmp_path: Path, across: float, verdict: Verdict) -> None:
    rear = [_round(20, 0, 10), _round(across, 10, 20)]  # 15 - 2.75 = 12.25
    found = finding(asked(tmp_path, at(0, cutout="{hole: 26}"), rear=rear), "goes-in")
    assert found.verdict is verdict, found.says
    if verdict is FAILS:
        assert found.measured == pytest.approx(12.25 - across / 2)
        assert (found.bodies[0], found.view) == ("A: nut 1", "rear")


@pytest.mark.parametrize(("across", "verdict"), [(22.9, FITS), (23.1, FAILS)])
def test_a_washer_wider_than_its_nut_must_pass_too(tmp_path: Path, across: float, verdict: Verdict) -> None:
    rear = [_round(20, 0, 10), _round(across, 10, 20)]  # 15 - 3.5 = 11.5
    found = finding(asked(tmp_path, at(0, hardware=WASHERS, cutout="{hole: 26}"), rear=rear), "goes-in")
    assert found.verdict is verdict, found.says
    if verdict is FAILS:
        assert found.bodies[0] == "A: plain washer 1"


def test_what_stands_beside_the_nut_itself_is_no_matter_of_its_way(tmp_path: Path) -> None:
    rear = [_round(26, 0, 5), _round(20, 5, 20)]  # the nut ends 5.4 mm behind the face: nothing beyond it
    found = finding(asked(tmp_path, at(0, cutout="{hole: 27}"), rear=rear), "goes-in")
    assert found.verdict is FITS


# --- neighbours ------------------------------------------------------------------------------------------------------


def _wide(z: float) -> dict[str, Any]:
    """Return a part from the rear, whose body is wide from z mm behind the panel's rear face on."""
    return {
        "title": "Wide", "family": "test", "flange": {"outline": {"box": [10, 40]}, "thick": 1},
        "cutout": {"box": [4, 4]}, "rear": [_round(60, z, z + 20)], "mount": ["rear"],
    }  # fmt: skip


def test_a_neighbour_over_a_nut_can_be_mounted_after_it(tmp_path: Path) -> None:
    # the next body spans 45 - 30 = 15 mm on: half over the nut at 15, 12 mm behind it
    places = f"{at(0)}\n{place('wide', label='B', mount='rear', at='[45, 0]')}"
    found = finding(asked(tmp_path, places, also={"wide": _wide(12)}, rear=[_round(20, 0, 9)]), "goes-in")
    assert (found.verdict, found.bodies, found.beside) == (TIGHT, ("A: nut 2", "B: wide"), ("B",))
    assert found.measured == pytest.approx(45 - 30 - 15 - 2.75)
    assert "before that is mounted" in found.says


def test_a_nut_in_a_lip_has_no_way_there_either(tmp_path: Path) -> None:
    lipped = PANEL.replace("}", ", lip: 20, bend_radius: 1.5}")
    made = asked(tmp_path, at(0, 31.5, turn="90"), lipped, flange={"outline": {"box": [36, 30]}, "thick": 2})
    found = finding(made, "nut-room")  # the lip begins 47 mm up, the nut reaches 31.5 + 15 + 2.75
    assert (found.verdict, found.bodies) == (FAILS, ("A: nut 2", "panel lip"))
    assert finding(made, "goes-in").verdict is FAILS


def test_a_plug_next_door_is_drawn_out_for_a_screwdriver(tmp_path: Path) -> None:
    plug = {"body": [_round(60, 0, 40)]}
    made = asked(tmp_path, f"{at(0)}\n{at(42, label='B')}", plug=plug, seat=5)
    assert finding(made, "goes-in").verdict is FITS


# --- bushes ----------------------------------------------------------------------------------------------------------

BUSH: dict[str, Any] = {"thread": 12, "length": 9, "nut_across": 15, "nut_height": 2}


@pytest.mark.parametrize("side", ["front", "rear"])
@pytest.mark.parametrize(("across", "verdict"), [(12, FITS), (11.5, FITS), (12.4, FAILS)])
def test_the_nut_of_a_bush_goes_over_what_stands_out_on_its_side(
    tmp_path: Path, side: str, across: float, verdict: Verdict
) -> None:
    mount, field = ("rear", "front") if side == "front" else ("front", "rear")
    changes: dict[str, Any] = {"rear": [], field: [_round(12, 0, 6), _round(across, 6, 15)]}
    made = asked(tmp_path, at(0, hardware="{}", mount=mount), fixings=None, cutout={"round": 12.6},
                 bush={**BUSH, "nut_side": side}, flange={"outline": {"box": [20, 20]}, "thick": 2},
                 **changes)  # fmt: skip
    found = finding(made, "goes-in")
    assert found.verdict is verdict, found.says
    if verdict is FAILS:
        assert found.measured == pytest.approx(12 - across)
        assert found.bodies == ("A: bush nut",)
        assert found.view == side


def test_a_bush_that_does_not_reach_through_takes_no_nut(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, hardware="{}", mount="rear"), fixings=None, cutout={"round": 12.6},
                 bush={**BUSH, "nut_side": "front"}, rear=[], front=[_round(12, 0, 2)],
                 flange={"outline": {"box": [20, 20]}, "thick": 2})  # fmt: skip
    found = finding(made, "goes-in")
    assert found.verdict is FAILS
    assert "does not reach through" in found.says


# --- one part past another -------------------------------------------------------------------------------------------


def _hooked(low: bool, high: bool) -> dict[str, Any]:
    """Return a part with a tongue to its right: low behind the panel at y -5 to -1, high before it at y 1 to 5."""
    tongue = {"outline": {"polygon": [[0, -5], [24, -5], [24, -1], [0, -1]]}, "from": 3, "to": 13}
    cap = {"outline": {"polygon": [[0, 1], [24, 1], [24, 5], [0, 5]]}, "from": 4, "to": 9}
    return {
        "title": "Hooked", "family": "test", "flange": {"outline": {"box": [10, 10]}, "thick": 2},
        "cutout": {"box": [60, 12]}, "rear": [tongue] if low else [], "front": [cap] if high else [],
        "mount": ["front", "rear"],
    }  # fmt: skip


def _hooks(folder: Path, one: dict[str, Any], other: dict[str, Any], mount: str = "front") -> list[Finding]:
    """Return what is told of two hooked parts 30 mm apart, the second turned half round, so that they interlock."""
    cutout = "{outline: {box: [60, 12]}}"
    places = (
        place("one", at="[0, 0]", cutout=cutout) + "\n"
        + place("other", at="[30, 0]", label="B", turn="180", cutout=cutout, mount=mount)
    )  # fmt: skip
    made = asked(folder, places, also={"one": one, "other": other})
    return [f for f in made.findings if f.check == "goes-in" and "past the other" in f.says]


def test_two_parts_of_which_each_lies_under_the_other_cannot_both_be_put_in(tmp_path: Path) -> None:
    (told,) = _hooks(tmp_path, _hooked(True, True), _hooked(True, True))
    assert (told.verdict, told.place, told.beside, told.bodies) == (FAILS, "A", ("B",), ("A: one", "B: other"))
    assert told.measured == pytest.approx(-4)  # tongues and caps are 4 mm wide
    assert told.view == "front"
    assert "in its way by 4 mm" in told.says


def test_a_part_that_lies_only_under_the_other_is_put_in_first(tmp_path: Path) -> None:
    assert _hooks(tmp_path, _hooked(True, True), _hooked(False, True)) == []
    assert _hooks(tmp_path, _hooked(False, True), _hooked(True, True)) == []


def test_parts_that_clash_where_they_rest_are_left_to_body_room(tmp_path: Path) -> None:
    grown = _hooked(True, True)
    grown["rear"] = [{"outline": {"polygon": [[0, -5], [24, -5], [24, 5], [0, 5]]}, "from": 3, "to": 13}]
    assert _hooks(tmp_path, grown, grown) == []


def test_the_worst_of_all_ways_is_told(tmp_path: Path) -> None:
    rear = [_round(20, 0, 10), _round(25, 10, 20)]
    front = [_round(20, 0, 10), _round(27, 10, 20)]
    found = finding(asked(tmp_path, at(0, cutout="{hole: 26}"), rear=rear, front=front), "goes-in")
    assert found.measured == pytest.approx(12.2 - 13.5)  # the head's way, worse than the nut's
