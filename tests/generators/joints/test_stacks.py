"""Every number of a stack, by hand: a flange 2 mm thick on a panel of 3 mm, M3 screws (pitch 0.5 mm).

The pan head is 5.6 mm across; the hexagon nut is 2.4 mm high, the plain washer 0.5 mm thick with a hole of 3.2 mm,
the split washer 0.8 mm. The front face of the panel is z = 0.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.joints.stacks import Stack, lengths_to_try, needed_length
from tests.plain import M3, PANEL, at, fixings, stack

COATED = PANEL.replace("}", ", coating: 0.1}")
BOSS = {"thread": "M3", "depth": 6}
SHORT = "{screw: M3, head: pan, length: 6}"
WITH_PLAIN = "{screw: M3, head: pan, length: 6, washers: [plain]}"
SUNK = "{screw: M3, head: countersunk, length: 12, nut: hexagon, washers: []}"


def _stack(folder: Path, panel: str = PANEL, hardware: str = M3, place: Any = None, **changes: Any) -> Stack:
    return stack(folder, at(0, hardware=hardware, **(place or {})), panel, **changes)


def test_a_front_mounted_flange_lies_on_the_panel_and_the_nut_behind_it(tmp_path: Path) -> None:
    of = _stack(tmp_path)
    assert (of.joint.side, of.joint.points) == ("front", -1)
    assert (of.joint.head.of, of.joint.head.z, of.joint.head.hole, of.joint.head.thick) == ("flange", 2, 3.4, 2)
    assert (of.joint.far.of, of.joint.far.z, of.joint.far.hole, of.joint.far.thick) == ("panel", -3, 3.4, 3)
    assert (of.surface, of.head_plane, of.tip) == (2, 2, -10)
    assert of.nut_face == -3
    assert of.nut_end == pytest.approx(-5.4)
    assert of.grip == 5
    assert of.protrusion == pytest.approx(10 - 5.4)
    assert of.in_pitches(of.protrusion) == pytest.approx(9.2)
    assert of.engagement == pytest.approx(2.4)
    assert of.floor_left is None


def test_a_rear_mounted_flange_lies_behind_the_panel_and_the_nut_on_it(tmp_path: Path) -> None:
    of = _stack(tmp_path, place={"mount": "rear"})
    assert (of.joint.side, of.joint.points) == ("front", -1)
    assert (of.joint.head.of, of.joint.head.z) == ("panel", 0)
    assert (of.joint.far.of, of.joint.far.z) == ("flange", -5)
    assert (of.surface, of.head_plane, of.tip) == (0, 0, -12)
    assert of.nut_face == -5
    assert of.nut_end == pytest.approx(-7.4)
    assert of.grip == 5
    assert of.protrusion == pytest.approx(12 - 7.4)


def test_coating_thickens_the_panel_on_both_faces_and_narrows_its_holes(tmp_path: Path) -> None:
    front, rear = _stack(tmp_path, COATED), _stack(tmp_path, COATED, place={"mount": "rear"})
    punched = 3.6  # the hole is punched wider, so that 3.4 is left
    assert front.grip == rear.grip == pytest.approx(5.2)
    assert front.joint.far.z == pytest.approx(-3.2)
    assert rear.joint.far.z == pytest.approx(-5.2)
    assert front.joint.far.hole == pytest.approx(punched - 2 * 0.1)
    assert rear.joint.head.hole == pytest.approx(punched - 2 * 0.1)
    assert (front.joint.head.hole, rear.joint.far.hole) == (3.4, 3.4)  # those of the flange


def test_washers_under_the_nut_lengthen_the_grip_and_carry_the_nut_back(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware=M3.replace("[]", "[plain, split]"))
    assert [w.kind for w in of.under_nut] == ["plain", "split"]
    assert of.under_head == ()
    assert of.surface == 2
    assert of.nut_face == pytest.approx(-3 - 0.5 - 0.8)
    assert of.nut_end == pytest.approx(-3 - 0.5 - 0.8 - 2.4)
    assert of.grip == pytest.approx(5 + 1.3)
    assert of.protrusion == pytest.approx(10 - 3 - 1.3 - 2.4)


def test_a_screw_that_ends_in_its_nut_engages_what_is_in_it(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware=M3.replace("12", "6"))  # from 2 down to -4, the nut from -3 on
    assert of.engagement == pytest.approx(1)
    assert of.protrusion == pytest.approx(1 - 2.4)
    assert replace(of, screw=replace(of.screw, length=4.0)).engagement == 0


def test_without_a_nut_nothing_is_engaged(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware="{screw: M3, head: pan, length: 12, nut: none}")
    assert of.nut is None
    assert of.nut_end == of.nut_face == -3
    assert of.engagement == 0
    assert of.protrusion == pytest.approx(7)


def test_a_boss_behind_the_panel_is_screwed_from_the_front(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware=SHORT, place={"mount": "rear"}, fixings=fixings(boss=BOSS))
    assert (of.joint.side, of.joint.head.of, of.joint.head.z) == ("front", "panel", 0)
    assert (of.joint.far.of, of.joint.far.z) == ("flange", -3)  # the face in which the boss begins
    assert (of.surface, of.tip) == (0, -6)
    assert of.grip == 3
    assert of.engagement == pytest.approx(3)
    assert of.floor_left == pytest.approx(3)


def test_a_boss_before_the_panel_is_screwed_from_behind(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware=SHORT, fixings=fixings(boss=BOSS))
    assert (of.joint.side, of.joint.points) == ("rear", 1)
    assert (of.joint.head.of, of.joint.head.z) == ("panel", -3)
    assert (of.joint.far.of, of.joint.far.z) == ("flange", 0)
    assert (of.surface, of.head_plane, of.tip) == (-3, -3, 3)
    assert of.grip == 3
    assert of.engagement == pytest.approx(3)
    assert of.floor_left == pytest.approx(3)


@pytest.mark.parametrize(("mount", "surface", "tip"), [("rear", 0.5, -5.5), ("front", -3.5, 2.5)])
def test_a_washer_for_a_boss_lies_under_the_head(tmp_path: Path, mount: str, surface: float, tip: float) -> None:
    of = _stack(tmp_path, hardware=WITH_PLAIN, place={"mount": mount}, fixings=fixings(boss=BOSS))
    assert ([w.kind for w in of.under_head], of.under_nut) == (["plain"], ())
    assert of.surface == pytest.approx(surface)
    assert of.tip == pytest.approx(tip)
    assert of.grip == pytest.approx(3.5)
    assert of.engagement == pytest.approx(2.5)
    assert of.floor_left == pytest.approx(3.5)
    assert of.head_hole == 3.2  # of the washer, not of the panel
    assert of.nut_face == of.joint.far.z


def test_no_more_than_the_depth_of_a_boss_is_engaged(tmp_path: Path) -> None:
    long = SHORT.replace("6", "10")
    of = _stack(tmp_path, hardware=long, place={"mount": "rear"}, fixings=fixings(boss=BOSS))
    assert of.engagement == 6
    assert of.floor_left == pytest.approx(6 - 7)


def test_a_countersunk_head_is_measured_from_the_top_of_its_cone(tmp_path: Path) -> None:
    seat = {"diameter": 6.4, "angle": 90}
    of = _stack(tmp_path, hardware=SUNK, fixings=fixings(seat=seat))
    assert of.head_sink is not None
    assert of.is_centred
    assert of.head_plane == pytest.approx(2 - 0.05)  # half of 6.4 less the theoretical 6.3
    assert of.tip == pytest.approx(2 - 0.05 - 12)
    assert of.protrusion == pytest.approx(10.05 - 5.4)


def test_a_pan_head_over_a_countersink_is_not_centred_by_it(tmp_path: Path) -> None:
    of = _stack(tmp_path, fixings=fixings(seat={"diameter": 4.4, "angle": 90}))
    assert of.head_sink is not None
    assert not of.is_centred
    assert of.seat.land == pytest.approx((5.6 - 4.4) / 2)


def test_a_countersunk_head_on_a_plain_hole_is_not_centred(tmp_path: Path) -> None:
    assert not _stack(tmp_path, hardware=SUNK).is_centred


@pytest.mark.parametrize(
    ("mount", "cut_from", "meets"), [("rear", "front", True), ("rear", "rear", False), ("front", "front", False)]
)
def test_a_countersink_in_the_panel_serves_the_head_on_its_own_side_only(
    tmp_path: Path, mount: str, cut_from: str, meets: bool
) -> None:
    cutout = f"{{countersink: {{diameter: 6.4, angle: 90, from: {cut_from}}}}}"
    of = _stack(tmp_path, hardware=SUNK, place={"mount": mount, "cutout": cutout})
    assert (of.head_sink is not None) is meets


@pytest.mark.parametrize(("cut_from", "meets"), [("front", False), ("rear", True)])
def test_a_head_behind_the_panel_sinks_into_its_rear_face(tmp_path: Path, cut_from: str, meets: bool) -> None:
    cutout = f"{{countersink: {{diameter: 6.4, angle: 90, from: {cut_from}}}}}"
    hardware = SHORT.replace("pan", "countersunk")
    of = _stack(tmp_path, hardware=hardware, place={"cutout": cutout}, fixings=fixings(boss=BOSS))
    assert (of.head_sink is not None) is meets


def test_a_washer_under_the_head_covers_the_countersink(tmp_path: Path) -> None:
    place = {"mount": "rear", "cutout": "{countersink: {diameter: 6.4, angle: 90}}"}
    bare = _stack(tmp_path, hardware=SHORT, place=place, fixings=fixings(boss=BOSS))
    covered = _stack(tmp_path, hardware=WITH_PLAIN, place=place, fixings=fixings(boss=BOSS))
    assert bare.head_sink is not None
    assert covered.head_sink is None


def test_plastic_is_told_of_the_face_that_is_of_it(tmp_path: Path) -> None:
    of = _stack(tmp_path, metal="plastic")
    assert (of.joint.head.plastic, of.joint.far.plastic) == (True, False)
    of = _stack(tmp_path, PANEL.replace("}", ", material: ABS}"), place={"mount": "rear"})
    assert (of.joint.head.plastic, of.joint.far.plastic) == (True, False)


# --- lengths ---------------------------------------------------------------------------------------------------------


def test_the_least_length_ends_one_pitch_past_the_nut(tmp_path: Path) -> None:
    of = _stack(tmp_path)
    assert needed_length(of) == pytest.approx(2 + 3 + 2.4 + 0.5)
    assert needed_length(of, 2.5) == pytest.approx(2 + 3 + 2.4 + 1.25)
    assert needed_length(_stack(tmp_path, place={"mount": "rear"})) == pytest.approx(7.9)


@pytest.mark.parametrize("mount", ["front", "rear"])
def test_the_least_length_for_a_boss_engages_one_diameter(tmp_path: Path, mount: str) -> None:
    of = _stack(tmp_path, hardware=SHORT, place={"mount": mount}, fixings=fixings(boss=BOSS))
    assert needed_length(of) == pytest.approx(3 + 3)


def test_lengths_are_tried_from_the_aim_of_two_and_a_half_pitches_on(tmp_path: Path) -> None:
    of = _stack(tmp_path)  # least 7.9, aim 8.65
    assert list(lengths_to_try(of, (4, 6, 7, 8, 9, 10, 12))) == [9, 8, 10, 12, 7, 6, 4]


def test_lengths_for_a_boss_are_tried_from_the_longest_that_clears_its_floor_on(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware=SHORT, place={"mount": "rear"}, fixings=fixings(boss=BOSS))
    # the floor is 9 mm below the head; one pitch is left above it: 8.5; the least is 6
    assert list(lengths_to_try(of, (4, 5, 6, 8, 8.5, 9, 10))) == [8.5, 8, 6, 5, 4, 10, 9]


# --- what is bought --------------------------------------------------------------------------------------------------


def test_what_is_bought_names_every_piece_with_the_metal_asked_for(tmp_path: Path) -> None:
    bare = _stack(tmp_path, hardware=M3.replace("[]", "[plain]"))
    brass = _stack(tmp_path, hardware=M3.replace("[]", "[plain], metal: brass"))
    assert [group for group, _ in bare.items] == ["screw", "washer", "nut"]
    assert bare.items[1:] == (("washer", "Plain washer ISO 7089 - 3"), ("nut", "Hexagon nut ISO 4032 - M3"))
    assert all(theirs == f"{name}, brass" for (_, name), (_, theirs) in zip(bare.items, brass.items, strict=True))
    assert bare.hardware == (bare.screw, bare.nut, bare.washers)
    assert bare.hardware == brass.hardware


def test_without_a_nut_none_is_bought(tmp_path: Path) -> None:
    of = _stack(tmp_path, hardware=SHORT, place={"mount": "rear"}, fixings=fixings(boss=BOSS))
    assert [group for group, _ in of.items] == ["screw"]
