"""Bodies of two places, and of a place and its room, by hand: flanges of 40 mm."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from tests.helpers import finding
from tests.plain import PANEL, about, asked, at, fixings, length, plain, told

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
RACK = "{rack_units: 1, thickness: 3}"


@pytest.mark.parametrize(
    ("apart", "room", "verdict"),
    [(40.25, 0.25, FITS), (40.24, 0.24, TIGHT), (40, 0.0, TIGHT), (39.9, -0.1, FAILS)],
)
@pytest.mark.parametrize("upright", [False, True])
def test_flanges_side_by_side_are_their_distance_apart(
    tmp_path: Path, upright: bool, apart: float, room: float, verdict: Verdict
) -> None:
    b = at(0, apart / 2, "B") if upright else at(apart / 2, 0, "B")
    a = at(0, -apart / 2) if upright else at(-apart / 2, 0)
    found = finding(plain(tmp_path, f"{a}\n{b}"), "body-room")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room, abs=1e-6)


def test_a_turned_flange_reaches_out_with_its_corner(tmp_path: Path) -> None:
    made = plain(tmp_path, f"{at(-30)}\n{at(18.5, 0, 'B', turn='45')}")
    found = finding(made, "body-room")
    assert found.verdict is TIGHT
    assert found.measured == pytest.approx(48.5 - 20 - 20 * math.sqrt(2))


def test_the_nearest_of_two_neighbours_is_told(tmp_path: Path) -> None:
    made = plain(tmp_path, f"{at(-41)}\n{at(0, label='B')}\n{at(40.1, label='C')}")
    assert finding(made, "body-room", "A").measured == pytest.approx(1.0)
    assert "C" in finding(made, "body-room", "B").says
    assert finding(made, "body-room", "B").measured == pytest.approx(0.1)


def test_the_remedy_moves_the_neighbour_until_there_is_room(tmp_path: Path) -> None:
    found = finding(plain(tmp_path, f"{at(-20)}\n{at(19.9, label='B')}"), "body-room")
    assert found.verdict is FAILS
    assert "0.5 mm" in str(found.remedy)  # 0.1 into each other, and the 0.25 that is wanted, in steps of half a mm


@pytest.mark.parametrize(("up", "verdict"), [(2.2, FITS), (2.3, FAILS)])
def test_a_flange_must_stay_within_its_rack_unit(tmp_path: Path, up: float, verdict: Verdict) -> None:
    # half a rack unit is 22.225 mm (EIA-310), half the flange 20 mm
    made = plain(tmp_path, at(0, up), RACK)
    assert max(f.verdict.rank for f in made.findings if f.check == "body-room") == verdict.rank


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("x", "verdict"), [(214.9, FITS), (215.2, FAILS)])
def test_a_barrel_must_stay_between_the_rails(tmp_path: Path, side: int, x: float, verdict: Verdict) -> None:
    # 450 mm between the rails, barrel and flange 20 mm across
    made = plain(tmp_path, at(side * x), RACK, fixings=None, flange={"outline": {"box": [20, 40]}, "thick": 2})
    assert max(f.verdict.rank for f in made.findings if f.check == "body-room") == verdict.rank


# --- what is told, and at which place ---------------------------------------------------------------------------------


def _of(made: Report, name: str = "A") -> list[Finding]:
    return [f for f in made.findings if f.check == "body-room" and f.place == name]


def test_a_pair_is_told_at_the_first_of_its_places_with_both_names(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-20)}\n{at(20.1, label='B')}")
    (one,), (other,) = _of(made), _of(made, "B")
    assert (one.bodies, one.beside, one.view, one.limit) == (("A: plain", "B: plain"), ("B",), "front", 0)
    assert one.says == "A: plain and B: plain are 0.1 mm apart."
    assert (other.verdict, other.says, other.margin) == (FITS, "Nothing stands near its bodies.", None)


def test_the_names_are_told_in_the_order_of_the_layout(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-20, label='Z')}\n{at(20.1, label='B')}")
    (told,) = _of(made, "Z")
    assert (told.bodies, told.beside) == (("Z: plain", "B: plain"), ("B",))


def test_bodies_further_apart_than_two_millimetres_are_not_told(tmp_path: Path) -> None:
    assert _of(asked(tmp_path, f"{at(-20)}\n{at(21.9, label='B')}"))[0].measured == pytest.approx(1.9)
    assert _of(asked(tmp_path, f"{at(-20)}\n{at(22.1, label='B')}"))[0].measured is None


def test_a_clash_behind_the_panel_is_seen_from_the_rear(tmp_path: Path) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 5}, {"outline": {"box": [44, 20]}, "from": 5, "to": 20}]
    upright = fixings(at=[[0, -15], [0, 15]])  # clear of the bodies
    made = asked(tmp_path, f"{at(-21)}\n{at(21, label='B')}", rear=rear, fixings=upright)
    (told,) = _of(made)
    assert (told.verdict, told.view) == (FAILS, "rear")
    assert told.measured == told.margin == pytest.approx(-2)
    assert told.says == "A: plain and B: plain run 2 mm into each other."


def test_bodies_that_just_touch_are_nothing_apart_and_tight(tmp_path: Path) -> None:
    (told,) = _of(asked(tmp_path, f"{at(-20)}\n{at(20, label='B')}"))
    assert (told.verdict, told.measured, told.margin) == (TIGHT, 0, 0)


# --- beyond the panel's room -----------------------------------------------------------------------------------------


def test_what_reaches_into_the_next_unit_is_named_with_how_far(tmp_path: Path) -> None:
    for y, far in ((3, 0.775), (-4, 1.775)):
        told = [f for f in _of(asked(tmp_path, at(0, y), RACK)) if "rack unit" in f.says]
        assert (told[0].verdict, told[0].bodies, told[0].view) == (FAILS, ("A: plain",), "rear")
        assert told[0].measured == pytest.approx(-far)  # 20 + y beyond half of 44.45


def test_two_units_give_twice_the_room(tmp_path: Path) -> None:
    two = RACK.replace("1", "2", 1)
    assert not [f for f in _of(asked(tmp_path, at(0, 24.4), two)) if "rack unit" in f.says]
    (told,) = [f for f in _of(asked(tmp_path, at(0, 24.5), two)) if "rack unit" in f.says]
    assert told.measured == pytest.approx(44.45 - 44.5)


def test_only_what_stands_behind_a_rack_panel_meets_the_rails(tmp_path: Path) -> None:
    # the flange, 40 mm wide, lies before the panel; the barrel, 20 mm, behind it, 216 + 10 - 225
    told = [f for f in _of(asked(tmp_path, at(216, hardware="{}"), RACK, fixings=None)) if "rail" in f.says]
    assert [(f.verdict, f.bodies) for f in told if "rack rail" in f.says and "into the room" in f.says] == [
        (FAILS, ("A: plain", "rack rail"))
    ]
    (room,) = [f for f in told if "into the room" in f.says]
    assert room.measured == pytest.approx(-1)


@pytest.mark.parametrize(("spot", "over"), [((91, 0), 1), ((-92, 0), 2), ((0, 43), 3), ((0, -44), 4)])
def test_a_body_behind_the_edge_of_a_plain_panel_may_meet_a_wall(
    tmp_path: Path, spot: tuple[float, float], over: float
) -> None:
    flange = {"outline": {"round": 14}, "thick": 2}
    made = asked(tmp_path, at(*spot, hardware="{}"), flange=flange, fixings=None, cutout={"round": 12},
                 rear=[{"outline": {"round": 10}, "from": 0, "to": 4},
                       {"outline": {"round": 20}, "from": 4, "to": 20}])  # fmt: skip
    (told,) = [f for f in _of(made) if "over the edge" in f.says and "nothing" not in f.says]
    assert (told.verdict, told.bodies) == (TIGHT, ("A: plain",))
    assert told.measured == pytest.approx(-over)


@pytest.mark.parametrize(("spot", "over"), [((81, 0), 1), ((-82, 0), 2), ((0, 33), 3), ((0, -34), 4)])
@pytest.mark.parametrize("mount", ["front", "rear"])
def test_a_flange_over_the_edge_has_nothing_to_lie_on(
    tmp_path: Path, spot: tuple[float, float], over: float, mount: str
) -> None:
    made = asked(tmp_path, at(*spot, mount=mount))
    (told,) = [f for f in _of(made) if "nothing to lie on" in f.says]
    assert (told.verdict, told.bodies) == (FAILS, ("A: plain",))
    assert told.measured == pytest.approx(-over)


def test_a_flange_within_the_edge_is_told_nothing_of_it(tmp_path: Path) -> None:
    assert not [f for f in _of(asked(tmp_path, at(80, 30))) if "edge" in f.says]


def test_a_screw_head_over_the_edge_is_left_to_its_land(tmp_path: Path) -> None:
    boss = {"boss": {"thread": "M3", "depth": 6}, "at": [[-15, 0], [18, 0]], "hole": 3.4, "panel": 3.4}
    made = asked(tmp_path, at(80, hardware="{screw: M3, head: pan, length: 6}", mount="rear"), fixings=boss)
    assert not [f for f in _of(made) if "nothing to lie on" in f.says]


def test_the_furthest_of_a_places_bodies_is_told(tmp_path: Path) -> None:
    washers = "{screw: M3, head: pan, length: 12, nut: hexagon, washers: [plain]}"
    flange = {"outline": {"box": [35, 35]}, "thick": 2}
    made = asked(tmp_path, at(85, hardware=washers), flange=flange, fixings=fixings(at=[[-14, 0], [14, 0]]))
    (told,) = [f for f in _of(made) if "nothing to lie on" in f.says]
    # the flange reaches 102.5 mm, the washer 85 + 14 + 3.5 = 102.5; the nut 101.75
    assert told.measured == pytest.approx(-2.5)


# --- all that is told ------------------------------------------------------------------------------------------------

SOURCE = "positions and castings spread by tenths: common practice"
EIA = "450 mm between rails (IEC 60297-3-100, from memory); rack unit 44.45 mm (EIA-310)"
WALLS = "what the panel closes has its walls there: common practice"
NOTHING = Finding("body-room", "A", FITS, "Nothing stands near its bodies.", source=SOURCE)
BARE: dict[str, Any] = {"hardware": "{}"}


def _pair(verdict: Verdict, says: str, room: float, *bodies: str, **more: Any) -> Finding:
    return length("body-room", verdict, says, room, **{"bodies": bodies, "source": SOURCE, **more})


@pytest.mark.parametrize(
    ("apart", "verdict", "room", "says"),
    [
        (41.9, FITS, 1.9, "are 1.9 mm apart."),
        (40.25, FITS, 0.25, "are 0.25 mm apart."),
        (40.24, TIGHT, 0.24, "are 0.24 mm apart."),
        (40 - 5e-7, TIGHT, 0.0, None),  # rounding only
        (40 - 3e-6, FAILS, -3e-6, None),
        (39.5, FAILS, -0.5, "run 0.5 mm into each other."),
    ],
)
def test_two_places_side_by_side_are_told_in_full(
    tmp_path: Path, apart: float, verdict: Verdict, room: float, says: str | None
) -> None:
    made = asked(tmp_path, f"{at(-apart / 2)}\n{at(apart / 2, label='B')}")
    (found,) = told(made, "body-room")
    words = f"A: plain and B: plain {says}" if says else found.says
    assert found == _pair(verdict, words, room, "A: plain", "B: plain", beside=("B",))
    assert told(made, "body-room", "B") == [Finding("body-room", "B", FITS, NOTHING.says, source=SOURCE)]


def test_the_first_place_of_the_layout_tells_of_a_pair_and_is_named_first(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(60, label='Z')}\n{at(20, label='B')}\n{at(-20.1)}")
    assert told(made, "body-room", "Z")[0].bodies == ("Z: plain", "B: plain")
    assert told(made, "body-room", "B")[0].bodies == ("B: plain", "A: plain")
    assert told(made, "body-room", "A") == [NOTHING]


@pytest.mark.parametrize("spots", [(-40.2, 40.1), (40.2, -40.1)])
def test_of_two_neighbours_the_nearer_is_told_whichever_comes_first(tmp_path: Path, spots: tuple[float, float]) -> None:
    made = asked(tmp_path, f"{at(0)}\n{at(spots[0], label='B')}\n{at(spots[1], label='C')}")
    (found,) = told(made, "body-room")
    assert (found.beside, found.measured) == (("C",), about(0.1))


def test_bodies_of_one_place_are_told_only_where_they_clash(tmp_path: Path) -> None:
    near = fixings(at=[[-13, 0], [13, 0]])  # 13 - 10 less the nut's 2.75 leaves a quarter
    assert told(asked(tmp_path, at(0), fixings=near), "body-room") == [NOTHING]
    clash = fixings(at=[[-11, 0], [11, 0]])
    (found,) = told(asked(tmp_path, at(0), fixings=clash), "body-room")
    assert (found.verdict, found.beside, found.view) == (FAILS, (), "rear")
    assert {name[:6] for name in found.bodies} >= {"A: pla"}
    assert all(name.startswith("A: ") for name in found.bodies)


@pytest.mark.parametrize(("units", "y"), [(1, 3.0), (1, -3.0), (2, 25.0), (2, -25.0)])
def test_the_next_rack_unit_is_told_in_full(tmp_path: Path, units: int, y: float) -> None:
    over = 20 + abs(y) - units * 44.45 / 2
    found = told(asked(tmp_path, at(0, y), RACK.replace("1", str(units), 1)), "body-room")
    says = f"A: plain reaches {f'{over:.2f}'.rstrip('0')} mm into the rack unit above or below."
    told_ = length("body-room", FAILS, says, -over, bodies=("A: plain",), view="rear", source=EIA)
    assert [_with_words(f, says) for f in found] == [NOTHING, told_]


def _with_words(found: Finding, says: str) -> Finding:
    """Return a finding with other words where it has a length of hundredths, which are rounded to print."""
    return found if found.measured is None else Finding(**{**found.__dict__, "says": says})


@pytest.mark.parametrize("x", [216, -217])
def test_the_rail_is_told_in_full(tmp_path: Path, x: float) -> None:
    found = told(asked(tmp_path, at(x, **BARE), RACK, fixings=None), "body-room")
    over = abs(x) + 10 - 225
    says = f"A: plain reaches {over:g} mm into the room of the rack rail."
    assert found[1:] == [
        length("body-room", FAILS, says, -over, bodies=("A: plain", "rack rail"), view="rear", source=EIA)
    ]


@pytest.mark.parametrize(("spot", "over"), [((91, 0), 1), ((-92, 0), 2), ((0, 43), 3), ((0, -44), 4)])
def test_a_wall_at_the_edge_is_told_in_full(tmp_path: Path, spot: tuple[float, float], over: float) -> None:
    small = {"outline": {"round": 12}, "thick": 2}
    rear = [{"outline": {"round": 10}, "from": 0, "to": 4}, {"outline": {"round": 20}, "from": 4, "to": 20}]
    found = told(asked(tmp_path, at(*spot, **BARE), flange=small, fixings=None, cutout={"round": 11}, rear=rear),
                 "body-room")  # fmt: skip
    says = f"A: plain reaches {over:g} mm over the edge of the panel."
    assert found == [NOTHING, length("body-room", TIGHT, says, -over, bodies=("A: plain",), view="rear", source=WALLS)]


@pytest.mark.parametrize("mount", ["front", "rear"])
@pytest.mark.parametrize(("spot", "over"), [((81, 0), 1), ((-82, 0), 2), ((0, 33), 3), ((0, -34), 4)])
def test_a_flange_with_nothing_to_lie_on_is_told_in_full(
    tmp_path: Path, mount: str, spot: tuple[float, float], over: float
) -> None:
    found = told(asked(tmp_path, at(*spot, mount=mount, **BARE), fixings=None), "body-room")
    says = f"A: plain reaches {over:g} mm over the edge of the panel, with nothing to lie on."
    wanted = length("body-room", FAILS, says, -over, bodies=("A: plain",), view="rear", source="common practice")
    assert wanted in found
    others = [f for f in found if f not in (NOTHING, wanted)]
    # a flange behind the panel meets a wall there besides
    assert [(f.verdict, f.measured) for f in others] == ([] if mount == "front" else [(TIGHT, about(-over))])


def test_what_ends_at_an_edge_or_within_the_sheet_is_told_nothing(tmp_path: Path) -> None:
    assert told(asked(tmp_path, at(80, 30, **BARE), fixings=None), "body-room") == [NOTHING]
    within = [{"outline": {"round": 20}, "from": 0, "to": 3}]  # as deep as the panel is thick
    small = {"outline": {"round": 12}, "thick": 2}
    made = asked(tmp_path, at(92, 0, **BARE), fixings=None, rear=within, flange=small)
    assert told(made, "body-room") == [NOTHING]  # of the barrel, for nothing stands behind; the flange ends at 98


def test_round_corners_of_a_panel_leave_less_room_than_its_sides(tmp_path: Path) -> None:
    # corner 30: its arc is about (70, 20); a flange 20 mm across at (85, 35) lies 15 sqrt 2 = 21.21 from there
    cornered = PANEL.replace("}", ", corner: 30}")
    small = {"outline": {"round": 20}, "thick": 2}
    found = told(asked(tmp_path, at(85, 35, **BARE), cornered, fixings=None, flange=small, rear=[]), "body-room")
    assert [(f.verdict, f.measured) for f in found[1:]] == [(FAILS, about(30 - 10 - 15 * math.sqrt(2)))]
    found = told(asked(tmp_path, at(83, 33, **BARE), cornered, fixings=None, flange=small, rear=[]), "body-room")
    assert found == [NOTHING]  # 13 sqrt 2 = 18.38, less than 20
    found = told(asked(tmp_path, at(91, 0, **BARE), cornered, fixings=None, flange=small, rear=[]), "body-room")
    assert [(f.verdict, f.measured) for f in found[1:]] == [(FAILS, about(-1))]


def test_a_half_rack_panel_has_no_rails_but_walls_and_neighbours(tmp_path: Path) -> None:
    half_rack = "{rack_units: 1, half_width: true, thickness: 3}"
    half = asked(tmp_path, at(0), half_rack).job.panel.width / 2
    found = told(asked(tmp_path, at(half - 9, 3, **BARE), half_rack, fixings=None), "body-room")
    assert [(f.verdict, f.measured, f.source) for f in found[1:]] == [
        (FAILS, about(-0.775), EIA), (TIGHT, about(-1), WALLS),
    ]  # fmt: skip
    found = told(asked(tmp_path, at(9 - half, **BARE), half_rack, fixings=None), "body-room")
    assert [(f.verdict, f.measured, f.source) for f in found[1:]] == [(TIGHT, about(-1), WALLS)]
