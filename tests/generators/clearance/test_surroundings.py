"""What stands around a place, in its own frame: distances by hand, whichever way place and neighbour are turned."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.clearance.surroundings import Around, Obstacle, around
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import hexagon, round_
from tests.plain import PANEL, at, first_stacks, plain_job

RACK = "{rack_units: 1, thickness: 3}"
LIPPED = PANEL.replace("}", ", lip: 20, bend_radius: 2}")


def _around(folder: Path, places: str, panel: str = PANEL, hardware: bool = False, **given: Any) -> tuple[Around, ...]:
    job = plain_job(folder, places, panel, **given)
    return around(job, first_stacks(job) if hardware else {})


def _box(obstacle: Obstacle) -> tuple[float, ...]:
    lows, highs = [s.box[:3] for s in obstacle.slices], [s.box[3:] for s in obstacle.slices]
    return tuple(round(v, 6) for v in (*map(min, zip(*lows)), *map(max, zip(*highs))))  # noqa: B905


@pytest.mark.parametrize(("turn", "spot"), [("0", (50, 0)), ("90", (0, -50)), ("180", (-50, 0)), ("270", (0, 50))])
def test_a_neighbour_stands_where_a_turned_place_sees_it(tmp_path: Path, turn: str, spot: tuple[float, float]) -> None:
    here = _around(tmp_path, f"{at(-30, turn=turn)}\n{at(20, label='B')}")[0]
    (seen,) = here.surroundings.obstacles
    assert (seen.name, here.names, here.places) == ("next part", ("B: plain",), ("B",))
    x, y = spot
    assert _box(seen) == (x - 20, y - 20, -20, x + 20, y + 20, 2)  # barrel and flange


def test_a_neighbour_is_turned_by_what_it_is_turned_more(tmp_path: Path) -> None:
    flange = {"outline": {"box": [60, 40]}, "thick": 2}
    places = f"{at(-30, turn='90')}\n{at(20, label='B', turn='180', part_turn='0')}"
    one, other = _around(tmp_path, places, flange=flange)
    assert _box(one.surroundings.obstacles[0])[:2] == (-20, -50 - 30)  # turned 90 degrees against the first
    assert _box(other.surroundings.obstacles[0])[:2] == (50 - 20, -30)


def test_a_part_turned_in_its_hole_stands_turned(tmp_path: Path) -> None:
    flange = {"outline": {"box": [60, 40]}, "thick": 2}
    one, other = _around(tmp_path, f"{at(-30)}\n{at(20, label='B', part_turn='90')}", flange=flange)
    assert _box(one.surroundings.obstacles[0])[:2] == (50 - 20, -30)
    assert _box(other.surroundings.obstacles[0])[:2] == (-50 - 30, -20)  # seen from the frame of its place


def test_fasteners_of_neighbours_are_seen_once_they_are_chosen(tmp_path: Path) -> None:
    places = f"{at(-21)}\n{at(21, label='B')}"
    assert [o.name for o in _around(tmp_path, places)[0].surroundings.obstacles] == ["next part"]
    here = _around(tmp_path, places, hardware=True)[0]
    names = [o.name for o in here.surroundings.obstacles]
    assert sorted(names) == [
        "next nut",
        "next part",
        "next screw",
    ]  # those 27 mm off: the further ones are out of reach
    nut = here.surroundings.obstacles[names.index("next nut")]
    assert here.names[names.index("next nut")] == "B: nut 1"
    assert here.places[names.index("next nut")] == "B"
    assert _box(nut)[2::3] == (-5.4, -3)


def test_only_nuts_can_be_turned_out_of_the_way(tmp_path: Path) -> None:
    here = _around(tmp_path, f"{at(-21)}\n{at(21, label='B')}", hardware=True)[0].surroundings
    for obstacle in here.obstacles:
        assert (obstacle.least is not obstacle.slices) is (obstacle.name == "next nut")
    (nut,) = (o for o in here.obstacles if o.name == "next nut")
    assert nut.slices == (prism(hexagon(5.5).moved(27, 0), -5.4, -3, (round_(3).moved(27, 0),)),)
    assert nut.least[0].profile.at(0.0).is_circle
    assert nut.least[0].box[:2] == pytest.approx((27 - 2.75, -2.75))


@pytest.mark.parametrize(("apart", "seen"), [(53.9, 1), (54.1, 0)])
@pytest.mark.parametrize("way", [(1, 0), (-1, 0), (0, 1), (0, -1)])
def test_what_is_more_than_14_mm_off_is_not_seen(tmp_path: Path, way: tuple[int, int], apart: float, seen: int) -> None:
    panel = "{size: [300, 300], thickness: 3}"  # flanges of 40 mm
    here = _around(tmp_path, f"{at(0)}\n{at(way[0] * apart, way[1] * apart, 'B')}", panel)[0]
    assert len(here.surroundings.obstacles) == seen


def test_room_for_a_finger_at_the_latch_is_looked_at_too(tmp_path: Path) -> None:
    latch = {"on": "part", "at": [0, 30], "height": 2, "finger": {"round": 20}}
    panel = "{size: [300, 300], thickness: 3}"
    places = f"{at(0, -20)}\n{at(0, 53.9, 'B')}"  # its flange begins 33.9 + 20 mm from the axis; the finger ends at 40
    assert len(_around(tmp_path, places, panel, latch=latch)[0].surroundings.obstacles) == 1
    assert not _around(tmp_path, places, panel)[0].surroundings.obstacles


def test_plugs_of_neighbours_are_told_from_parts(tmp_path: Path) -> None:
    plug = {"body": [{"outline": {"round": 30}, "from": 0, "to": 40}]}
    here = _around(tmp_path, f"{at(-21)}\n{at(21, label='B')}", plug=plug, seat=3)[0].surroundings
    told = {o.name: (o.is_plug, o.is_neighbour) for o in here.obstacles}
    assert told == {"next part": (False, True), "next plug": (True, True)}
    (plug_seen,) = (o for o in here.obstacles if o.is_plug)
    assert _box(plug_seen) == (27, -15, 5, 57, 15, 45)  # its shoulder 3 mm before the flange of 2


# --- holes -----------------------------------------------------------------------------------------------------------


def test_holes_of_others_are_seen_as_finished_and_its_own_are_not(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.1}")
    here = _around(tmp_path, f"{at(-17)}\n{at(17, label='B', turn='90')}", coated)[0].surroundings
    assert sorted(round(h.size[0], 6) for h in here.holes) == [3.4, 3.4, 22]
    assert sorted((round(h.centre.x, 6), round(h.centre.y, 6)) for h in here.holes) == [(34, -15), (34, 0), (34, 15)]


def test_holes_are_seen_in_the_frame_of_a_turned_place(tmp_path: Path) -> None:
    here = _around(tmp_path, f"{at(-17, turn='90')}\n{at(17, label='B')}")[0].surroundings
    # the far fixing hole, 49 mm off, is out of reach: half a flange and 14 mm
    assert sorted((round(h.centre.x, 6), round(h.centre.y, 6)) for h in here.holes) == [(0, -34), (0, -19)]


# --- walls and edges -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("x", "sides"), [(0, 0), (191, 0), (195, 1), (-195, 1)])
def test_rack_rails_stand_225_mm_from_the_middle(tmp_path: Path, x: float, sides: int) -> None:
    flange = {"outline": {"box": [36, 40]}, "thick": 2}  # 14 mm of reach beyond 18
    here = _around(tmp_path, at(x), RACK, flange=flange)[0]
    walls = [o for o in here.surroundings.obstacles if o.name == "rack rail"]
    assert len(walls) == sides
    if sides:
        left, _, low, right, _, high = _box(walls[0])
        assert (left if x > 0 else -right) == pytest.approx(225 - abs(x))
        assert (low, high) == (-1000, -3)
        assert here.names == ("rack rail",)
        assert here.places == ("",)


@pytest.mark.parametrize(("y", "turn", "side"), [(20, "0", 1), (-20, "0", -1), (20, "90", 1)])
def test_a_lip_stands_behind_its_edge_in_the_frame_of_the_place(tmp_path: Path, y: float, turn: str, side: int) -> None:
    here = _around(tmp_path, at(0, y, turn=turn), LIPPED)[0].surroundings
    (lip,) = here.obstacles
    assert lip.name == "panel lip"
    left, bottom, low, right, top, high = _box(lip)
    assert (low, high) == (-23, -3)
    if turn == "90":
        assert (left, right) == pytest.approx((25, 30))  # wall and bend are 45 to 50 mm up, 20 of them below the place
    else:
        assert sorted((abs(bottom), abs(top))) == pytest.approx([25, 30])
        assert bottom * side > 0


def test_a_place_far_from_the_edges_sees_no_lip_and_no_edge(tmp_path: Path) -> None:
    panel = "{size: [200, 200], thickness: 3, lip: 20, bend_radius: 2}"
    here = _around(tmp_path, at(0), panel)[0].surroundings
    assert here.obstacles == ()
    assert here.edge is None


@pytest.mark.parametrize(("x", "near"), [(65.9, False), (66.1, True), (-66.1, True)])
def test_the_edge_of_the_sheet_is_seen_within_14_mm(tmp_path: Path, x: float, near: bool) -> None:
    edge = _around(tmp_path, at(x))[0].surroundings.edge  # the flange ends 20 mm from the axis, the panel at 100
    assert (edge is not None) is near
    if edge is not None:
        assert (edge.box.right if x > 0 else -edge.box.left) == pytest.approx(100 - abs(x))


def test_a_lipped_panel_is_flat_up_to_its_bends(tmp_path: Path) -> None:
    edge = _around(tmp_path, at(0, 20), LIPPED)[0].surroundings.edge
    assert edge is not None
    assert edge.box.top == pytest.approx(50 - 3 - 2 - 20)


def test_like_places_in_like_company_see_the_same(tmp_path: Path) -> None:
    places = "\n".join(at(-75 + 50 * i, label=name) for i, name in enumerate("ABCD"))
    panel = "{size: [300, 100], thickness: 3}"
    seen = [here.surroundings for here in _around(tmp_path, places, panel, hardware=True)]
    assert seen[1] == seen[2]
    assert hash(seen[1]) == hash(seen[2])
    assert seen[0] != seen[1]
