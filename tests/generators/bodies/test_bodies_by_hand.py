"""Bodies of parts, fasteners and panel, and where they stand, slice by slice, by hand on the plain part."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from dryfit.generators.bodies.assemble import plug_seat
from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.fasteners import screw_body
from dryfit.generators.bodies.panel import sink_depth
from dryfit.generators.bodies.parts import bush_nut_body, part_body
from dryfit.generators.report import Report
from dryfit.models.catalogue.parts import Bush
from dryfit.models.geometry.bodies import Straight, Taper
from dryfit.models.tables import fasteners
from tests.plain import M3, PANEL, about, asked, at, fixings

SEAT = {"diameter": 6.4, "angle": 90}
BOSS = {"thread": "M3", "depth": 6}
SHORT = "{screw: M3, head: pan, length: 6}"


def _body(of: Report, name: str) -> Instance:
    return next(i for i in of.assembly.instances if i.name == name)


def _levels(instance: Instance) -> list[tuple[float, float]]:
    return sorted((round(s.z0, 6), round(s.z1, 6)) for s in instance.slices)


def _part(of: Report) -> Instance:
    return _body(of, "A: plain")


# --- parts -----------------------------------------------------------------------------------------------------------


def test_a_front_mounted_part_stands_with_its_flange_on_the_panel(tmp_path: Path) -> None:
    front = [{"outline": {"round": 8}, "from": 1, "to": 5}]
    assert _levels(_part(asked(tmp_path, at(0), front=front))) == [(-20, 0), (0, 2), (3, 7)]


def test_a_rear_mounted_part_lies_with_its_flange_behind_the_panel(tmp_path: Path) -> None:
    front = [{"outline": {"round": 8}, "from": 0, "to": 5}]
    made = asked(tmp_path, at(0, mount="rear"), front=front)
    assert _levels(_part(made)) == [(-25, -5), (-5, -3), (-3, 2)]


def test_coating_carries_a_rear_mounted_part_further_back(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, mount="rear"), PANEL.replace("}", ", coating: 0.1}"))
    assert _levels(_part(made))[-1] == (-5.2, -3.2)


def test_the_flange_has_its_fixing_holes_through_and_screws_pass_it(tmp_path: Path) -> None:
    body = part_body("plain", asked(tmp_path, at(0)).job.places[0].part, "front")
    (flange,) = (s for s in body.slices if s.z0 == 0)
    assert sorted((h.widest.centre.x, round(h.widest.size[0], 9)) for h in flange.holes) == [(-15, 3.4), (15, 3.4)]
    assert body.passed == (0, 2)


def test_a_countersunk_flange_is_straight_below_its_cones(tmp_path: Path) -> None:
    part = asked(tmp_path, at(0), fixings=fixings(seat=SEAT)).job.places[0].part
    low, high = (s for s in part_body("plain", part, "front").slices if s.z1 > 0)
    assert (low.z0, low.z1, high.z1) == (0, about(2 - 1.5), 2)  # 90 degrees: as deep as 6.4 less 3.4, halved
    assert all(isinstance(h, Straight) for h in low.holes)
    assert {(h.x, h.low, h.high) for h in high.holes if isinstance(h, Taper)} == {(-15, 3.4, 6.4), (15, 3.4, 6.4)}


def test_a_cone_through_the_whole_flange_is_wider_below_than_its_hole(tmp_path: Path) -> None:
    flange = {"outline": {"box": [40, 40]}, "thick": 1}
    part = asked(tmp_path, at(0), fixings=fixings(seat=SEAT), flange=flange).job.places[0].part
    (only,) = (s for s in part_body("plain", part, "front").slices if s.z1 > 0)
    (hole, _) = only.holes
    assert isinstance(hole, Taper)
    assert (hole.low, hole.high) == (about(6.4 - 2), 6.4)


def test_bosses_are_bored_from_the_face_that_lies_on_the_panel(tmp_path: Path) -> None:
    rear = [{"outline": {"box": [38, 38]}, "from": 0, "to": 10}]
    part = asked(tmp_path, at(0), fixings=fixings(boss=BOSS), rear=rear, cutout={"box": [39, 39]}).job.places[0].part
    behind = part_body("plain", part, "rear")  # opens in the flange's front face, at z = 2, 6 mm deep
    bored = sorted((s.z0, s.z1) for s in behind.slices if s.holes)
    assert bored == [(-4, 0), (0, 2)]
    assert all(h.widest.size[0] == 3 for s in behind.slices for h in s.holes)
    assert {round(h.widest.centre.x) for s in behind.slices for h in s.holes} == {-15, 15}
    before = part_body("plain", part, "front")  # opens in the flange's rear face and runs forward, through it
    assert sorted((s.z0, s.z1) for s in before.slices if s.holes) == [(0, 2)]
    whole = 38 * 38 * 10 + 40 * 40 * 2
    assert behind.volume == pytest.approx(whole - 2 * math.pi / 4 * 9 * 6)
    assert before.volume == pytest.approx(whole - 2 * math.pi / 4 * 9 * 2)


def test_a_boss_is_not_bored_where_the_body_is_too_narrow(tmp_path: Path) -> None:
    part = asked(tmp_path, at(0), fixings=fixings(boss=BOSS)).job.places[0].part
    behind = part_body("plain", part, "rear")  # the barrel of 20 mm does not reach the fixings at 15
    assert [(s.z0, s.z1) for s in behind.slices if s.holes] == [(0, 2)]


def test_a_plug_stands_with_its_shoulder_the_seat_before_the_flange(tmp_path: Path) -> None:
    plug = {"body": [{"outline": {"round": 16}, "from": 0, "to": 40}],
            "nose": [{"outline": {"round": 10}, "from": 1, "to": 8}]}  # fmt: skip
    made = asked(tmp_path, f"{at(-50)}\n{at(50, label='B', mount='rear', turn='90')}", plug=plug, seat=3)
    assert _levels(_body(made, "A: plain-plug")) == [(-3, 4), (5, 45)]  # 2 + 3
    assert _levels(_body(made, "B: plain-plug")) == [(-8, -1), (0, 40)]  # -3 + 3
    assert plug_seat(made.job.places[0], made.job.panel) == 5
    assert (_body(made, "B: plain-plug").placement.x, _body(made, "B: plain-plug").placement.turn) == (50, 90)


def test_part_and_plug_turn_with_the_place_and_in_the_hole(tmp_path: Path) -> None:
    plug = {"body": [{"outline": {"box": [16, 8]}, "from": 0, "to": 40}]}
    made = asked(tmp_path, at(0, turn="90", part_turn="30"), plug=plug, seat=3)
    for name in ("A: plain", "A: plain-plug", "A: screw 1"):
        assert _body(made, name).placement.turn == 120


BUSH = Bush(thread=12, length=9, nut_across=15, nut_height=2, washer=1, washer_across=18)


def test_the_nut_of_a_bush_stands_on_its_washer() -> None:
    washer, nut = bush_nut_body(BUSH).slices
    assert (washer.z0, washer.z1, nut.z0, nut.z1) == (0, 1, 1, 3)
    assert washer.volume == pytest.approx(math.pi / 4 * (18**2 - 12**2))
    assert nut.volume == pytest.approx(2 * (15**2 * math.sqrt(3) / 2 - math.pi / 4 * 12**2))


def test_a_washer_is_at_least_as_wide_as_its_nut_and_none_is_drawn_of_no_thickness() -> None:
    small = bush_nut_body(BUSH.model_copy(update={"washer_across": 14.0}))
    assert small.slices[0].profile.widest.size[0] == 15
    (nut,) = bush_nut_body(BUSH.model_copy(update={"washer": 0.0})).slices
    assert (nut.z0, nut.z1) == (0, 2)


@pytest.mark.parametrize(
    ("side", "mount", "levels"), [("front", "rear", [(0, 1), (1, 3)]), ("rear", "front", [(-6, -4), (-4, -3)])]
)
def test_the_nut_of_a_bush_lies_on_the_side_it_belongs_to(
    tmp_path: Path, side: str, mount: str, levels: list[tuple[float, float]]
) -> None:
    bush = {**BUSH.model_dump(), "nut_side": side}
    made = asked(tmp_path, at(0, hardware="{}", mount=mount), fixings=None, cutout={"round": 12.6}, bush=bush, rear=[])
    assert _levels(_body(made, "A: bush nut")) == levels


# --- fasteners -------------------------------------------------------------------------------------------------------


def test_everything_on_a_fixing_axis_stands_where_the_stack_says(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, hardware=M3.replace("[]", "[plain, split]")))
    assert _levels(_body(made, "A: screw 1"))[:2] == [(-10, 2), (2, 3.2)]  # shank, and half of the head's 2.4 straight
    assert _levels(_body(made, "A: plain washer 1")) == [(-3.5, -3)]
    assert _levels(_body(made, "A: split washer 1")) == [(-4.3, -3.5)]
    assert _levels(_body(made, "A: nut 1")) == [(-6.7, -4.3)]
    assert [_body(made, f"A: nut {n}").placement.x for n in (1, 2)] == [-15, 15]


def test_a_screw_from_behind_is_turned_over_with_its_washers(tmp_path: Path) -> None:
    hardware = "{screw: M3, head: pan, length: 6, washers: [plain, split]}"
    made = asked(tmp_path, at(0, hardware=hardware), fixings=fixings(boss=BOSS))
    assert _levels(_body(made, "A: plain washer 1")) == [(-3.5, -3)]
    assert _levels(_body(made, "A: split washer 1")) == [(-4.3, -3.5)]
    screw = _body(made, "A: screw 1")
    assert _levels(screw)[-1] == (-4.3, 1.7)
    assert _levels(screw)[0] == (-6.7, -5.5)
    assert screw.placement.flip


def test_fasteners_stand_where_a_turned_place_has_its_fixings(tmp_path: Path) -> None:
    made = asked(tmp_path, at(10, 5, turn="90"))
    spots = {(round(i.placement.x, 6), round(i.placement.y, 6)) for i in made.assembly.of("nut")}
    assert spots == {(10, -10), (10, 20)}


def test_a_nut_stands_at_the_angle_it_came_to_rest_at(tmp_path: Path) -> None:
    x, y = 13 * math.cos(math.radians(17)), 13 * math.sin(math.radians(17))
    made = asked(tmp_path, at(0, turn="90"), fixings=fixings(at=[[x, y], [-x, -y]]))
    assert [i.placement.turn % 60 for i in made.assembly.of("nut")] == pytest.approx([47, 47])  # 90 + 17


def test_a_pan_head_is_straight_for_half_its_height_and_narrows_to_its_crown() -> None:
    head = fasteners.heads("M3", "pan")[0]
    shank, side, top = screw_body(fasteners.Screw(fasteners.thread("M3"), head, 10.0)).slices
    assert (shank.z0, shank.z1, side.z1, top.z1) == (-10, 0, 1.2, 2.4)
    assert (shank.profile.widest.size[0], side.profile.widest.size[0]) == (3, 5.6)
    assert isinstance(top.profile, Taper)
    assert (top.profile.low, top.profile.high) == (5.6, about(0.45 * 5.6))


def test_a_countersunk_head_has_a_rim_above_its_cone() -> None:
    head = fasteners.heads("M3", "countersunk")[0]
    shank, cone, rim = screw_body(fasteners.Screw(fasteners.thread("M3"), head, 10.0)).slices
    # theoretical 6.3, real 5.5: a rim of 0.4; down to 3 mm the cone of 90 degrees is 1.25 high
    assert (shank.z0, shank.z1) == (-10, about(-1.65))
    assert (cone.z0, cone.z1, rim.z1) == (about(-1.65), about(-0.4), 0)
    assert isinstance(cone.profile, Taper)
    assert (cone.profile.low, cone.profile.high, rim.profile.widest.size[0]) == (3, 5.5, 5.5)


def test_a_raised_head_has_a_crown_above_its_rim() -> None:
    head = fasteners.heads("M3", "raised countersunk")[0]
    crown = screw_body(fasteners.Screw(fasteners.thread("M3"), head, 10.0)).slices[-1]
    assert (crown.z0, crown.z1) == (0, 0.7)
    assert isinstance(crown.profile, Taper)
    assert (crown.profile.low, crown.profile.high) == (5.5, about(0.45 * 5.5))


def test_bodies_carry_the_metal_asked_for(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, hardware=M3.replace("[]", "[plain], metal: brass")))
    for name in ("A: screw 1", "A: plain washer 1", "A: nut 1"):
        assert _body(made, name).body.material == "brass"
    assert _body(asked(tmp_path, at(0)), "A: screw 1").body.material == ""


# --- the panel -------------------------------------------------------------------------------------------------------


def _panel(folder: Path, panel: str = PANEL, cutout: str = "{}") -> Instance:
    return _body(asked(folder, at(0, hardware="{screw: M3}", cutout=cutout), panel), "panel")


def test_the_panel_is_its_plate_less_its_holes(tmp_path: Path) -> None:
    body = _panel(tmp_path)
    assert _levels(body) == [(-3, 0)]
    assert body.body.volume == pytest.approx(3 * (200 * 100 - math.pi / 4 * (22**2 + 2 * 3.4**2)))


def test_coating_grows_the_plate_and_narrows_the_holes(tmp_path: Path) -> None:
    body = _panel(tmp_path, PANEL.replace("}", ", coating: 0.1}"), cutout="{hole: 22, fixings: 3.4}")
    assert _levels(body) == [(-3.2, 0)]
    assert body.box.plan == pytest.approx((-100.1, -50.1, 100.1, 50.1))
    assert sorted(round(h.widest.size[0], 6) for h in body.slices[0].holes) == [3.2, 3.2, 21.8]


@pytest.mark.parametrize("side", ["front", "rear"])
def test_a_countersink_in_the_panel_narrows_from_its_face_on(tmp_path: Path, side: str) -> None:
    cutout = f"{{fixings: 3.4, countersink: {{diameter: 6.4, angle: 90, from: {side}}}}}"
    body = _panel(tmp_path, cutout=cutout)
    assert _levels(body) == [(-3, -1.5), (-1.5, 0)]
    low, high = sorted(body.slices, key=lambda s: s.z0)
    coned, straight = (high, low) if side == "front" else (low, high)
    tapers = [h for h in coned.holes if isinstance(h, Taper)]
    ends = (3.4, 6.4) if side == "front" else (6.4, 3.4)
    assert [(t.low, t.high) for t in tapers] == [pytest.approx(ends)] * 2
    assert sorted(t.x for t in tapers) == [-15, 15]
    assert all(isinstance(h, Straight) for h in straight.holes)


def test_countersinks_from_both_faces_are_cut_at_both_levels(tmp_path: Path) -> None:
    sink = "{{fixings: 3.4, countersink: {{diameter: {}, angle: 90, from: {}}}}}"
    places = (
        at(-50, hardware="{screw: M3}", cutout=sink.format(6.4, "front")) + "\n"
        + at(50, label="B", hardware="{screw: M3}", cutout=sink.format(5.4, "rear"))
    )  # fmt: skip
    body = _body(asked(tmp_path, places), "panel")
    assert _levels(body) == [(-3, -2), (-2, -1.5), (-1.5, 0)]
    removed = math.pi / 12 * (6.4**2 + 6.4 * 3.4 + 3.4**2) * 1.5 + math.pi / 4 * 3.4**2 * 1.5
    removed += math.pi / 12 * (5.4**2 + 5.4 * 3.4 + 3.4**2) * 1.0 + math.pi / 4 * 3.4**2 * 2
    assert body.body.volume == pytest.approx(3 * (20000 - 2 * math.pi / 4 * 22**2) - 2 * removed)


def test_a_countersink_through_the_whole_sheet_ends_nowhere_within_it(tmp_path: Path) -> None:
    thin = PANEL.replace("thickness: 3", "thickness: 1")
    made = asked(tmp_path, at(0, hardware="{screw: M3}", cutout="{fixings: 3.4, countersink: {diameter: 6.4, angle: "
                              "90}}"), thin)  # fmt: skip
    (only,) = _body(made, "panel").slices
    tapers = [h for h in only.holes if isinstance(h, Taper)]
    assert [(t.low, t.high) for t in tapers] == [pytest.approx((4.4, 6.4))] * 2
    holes = [hole for hole in made.job.holes() if hole.purpose == "fixing"]
    assert [sink_depth(hole) for hole in holes] == [pytest.approx(1.5)] * 2


def test_lips_hang_behind_the_upper_and_lower_edge(tmp_path: Path) -> None:
    body = _panel(tmp_path, PANEL.replace("}", ", lip: 20, bend_radius: 2, coating: 0.1}"))
    walls = [s for s in body.slices if s.z0 < -20]
    assert [(s.z0, s.z1) for s in walls] == [about((-23.2, -3.2))] * 2
    sides = sorted((s.box.plan.bottom, s.box.plan.top) for s in walls)
    assert sides == [about((-50.1, -46.9)), about((46.9, 50.1))]  # coated on both of their faces


def test_the_assembly_names_every_body_once_and_the_panel_first(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-30)}\n{at(30, label='B')}").assembly
    assert [i.name for i in made.instances] == [
        "panel", "A: plain", "A: screw 1", "A: nut 1", "A: screw 2", "A: nut 2",
        "B: plain", "B: screw 1", "B: nut 1", "B: screw 2", "B: nut 2",
    ]  # fmt: skip
    assert made.panel is made.instances[0]
    assert len(made.bodies_in_place) == 10
    assert len(made.bodies()) == 4
    assert [i.role for i in made.of("part", "nut")] == ["part", "nut", "nut"] * 2
