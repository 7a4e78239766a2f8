"""Other holes, the part turned or mounted from the other side: what is proposed, by hand on the plain part."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from dryfit.models.edits import Edit
from dryfit.models.findings import Finding
from dryfit.models.resolve import with_edits
from tests.generators.remedies.proposals import COATED, FAILS, edits_of, proposed, short
from tests.plain import PANEL, asked, at


@pytest.mark.parametrize(("play", "hole"), [(-0.1, 20.3), (0.04, 20.2), (0.05, 20.1), (-1.0, 21.2)])
def test_a_round_hole_is_opened_to_the_tenth_that_leaves_its_play(tmp_path: Path, play: float, hole: float) -> None:
    of = asked(tmp_path, at(0, cutout="{hole: 20}"))
    (only,) = proposed("open the cut-out", of, short(-play))
    (first, second) = only.edits
    assert (first, second) == (Edit(0, ("cutout", "hole"), hole), Edit(0, ("cutout", "outline"), None))
    assert only.says == f"Open the hole to {hole:g} mm."


def test_a_box_is_opened_on_every_side(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{outline: {box: [20, 10]}}"), COATED)
    (only,) = proposed("open the cut-out", of, short(0.2))  # 0.35 lacking: 0.175 on each side
    assert only.says == "Open the hole by 0.2 mm on every side before coating."
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.main.size == pytest.approx((20.4, 10.4))


def test_a_hole_with_its_play_or_nothing_measured_is_not_opened(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0))
    assert proposed("open the cut-out", of, short(-0.15)) == []
    assert proposed("open the cut-out", of, Finding("goes-in", "A", FAILS, "")) == []


def test_fixing_holes_are_drilled_so_that_the_screw_drops_through(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{fixings: 2.9}"))
    (only,) = proposed("open the fixings", of, short(0.1))
    assert only.edits == (Edit(0, ("cutout", "fixings"), 3.2),)  # 2.98 at its largest and 0.19, the next drill
    assert only.says == "Drill the fixing holes to 3.2 mm (3.2 mm)."
    coated = asked(tmp_path, at(0, cutout="{fixings: 2.9}"), COATED)
    assert proposed("open the fixings", coated, short(0.1))[0].edits == (Edit(0, ("cutout", "fixings"), 3.4),)
    assert proposed("open the fixings", asked(tmp_path, at(0)), short(0.1)) == []
    assert proposed("open the fixings", asked(tmp_path, at(0, hardware="{}"), fixings=None), short(0.1)) == []


def test_an_inch_screw_may_be_drilled_for_with_any_drill(tmp_path: Path) -> None:
    hardware = "{screw: No. 4-40, head: pan, length: 1/2 in, nut: hexagon, washers: []}"
    of = asked(tmp_path, at(0, hardware=hardware, cutout="{fixings: 2.5}"))
    (only,) = proposed("open the fixings", of, short(0.1))
    assert "in" in only.says or "No." in only.says
    assert 2.9 < float(only.edits[0].value) < 3.05  # 0.112 in less its allowance, and a tenth


def test_larger_fixing_holes_go_back_to_what_the_part_asks_for(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{fixings: 4}"))
    assert proposed("smaller fixings", of, short(0.1))[0].edits == (Edit(0, ("cutout", "fixings"), 3.4),)
    coated = asked(tmp_path, at(0, cutout="{fixings: 4}"), COATED)
    assert proposed("smaller fixings", coated, short(0.1))[0].edits[0].value == pytest.approx(3.6, abs=0.01)
    assert proposed("smaller fixings", asked(tmp_path, at(0)), short(0.1)) == []
    assert proposed("smaller fixings", asked(tmp_path, at(0, hardware="{}"), fixings=None), short(0.1)) == []


@pytest.mark.parametrize(("angle", "way"), [(7, "anticlockwise"), (-7, "clockwise")])
def test_a_part_is_turned_until_its_holes_line_up(tmp_path: Path, angle: float, way: str) -> None:
    x, y = 15 * math.cos(math.radians(angle)), 15 * math.sin(math.radians(angle))
    of = asked(tmp_path, at(0, cutout=f"{{at: [[{-x}, {-y}], [{x}, {y}]]}}"))
    (only,) = proposed("turn the part", of, short(1))
    assert only.edits == (Edit(0, ("part_turn",), pytest.approx(angle)),)
    assert only.says == f"Turn the part 7.0 degrees {way} in its cut-out."


def test_a_part_that_lines_up_or_cannot_is_not_turned(tmp_path: Path) -> None:
    assert proposed("turn the part", asked(tmp_path, at(0)), short(1)) == []
    other = asked(tmp_path, at(0, cutout="{at: [[0, 15]]}"))
    assert proposed("turn the part", other, short(1)) == []
    assert proposed("turn the part", asked(tmp_path, at(0, hardware="{}"), fixings=None), short(1)) == []


def test_a_turn_goes_on_from_how_the_part_stands(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, part_turn="30", cutout="{at: [[-15, 0], [15, 0]]}"))
    (only,) = proposed("turn the part", of, short(1))
    assert only.edits == (Edit(0, ("part_turn",), 0),)
    assert "30.0 degrees clockwise" in only.says


def test_fixing_holes_are_drilled_anew_where_the_part_has_its_own(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{across: 28, up: 1}"))
    (only,) = proposed("redrill the fixings", of, short(1))
    assert only.edits[-1] == Edit(0, ("cutout", "at"), [[-15, 0], [15, 0]])
    assert only.edits[:-1] == tuple(Edit(0, ("cutout", key), None) for key in ("across", "up", "mirror"))
    assert only.says == "Drill the fixing holes at (-15.00, +0.00) and (+15.00, +0.00) mm from the axis."
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.fixings == after.places[0].mounting.fixings
    assert proposed("redrill the fixings", asked(tmp_path, at(0)), short(1)) == []


def test_the_other_side_is_proposed_with_its_hole_and_hardware_anew(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware="{}"), cutout_rear={"round": 24})
    found = proposed("other side", of, short(1))
    assert edits_of(found) == [
        (Edit(0, ("mount",), "rear"),),
        (Edit(0, ("mount",), "rear"), Edit(0, ("cutout", "hole"), 24), Edit(0, ("cutout", "outline"), None)),
    ]
    assert [r.says for r in found] == [
        "Mount the part from the rear.", "Mount the part from the rear, in the hole that it wants there."
    ]  # fmt: skip
    wished = proposed("other side", asked(tmp_path, at(0)), short(1))
    assert edits_of(wished) == [(Edit(0, ("mount",), "rear"), Edit(0, ("hardware",), None))]
    assert wished[0].says == "Mount the part from the rear, its hardware chosen anew."


def test_from_the_rear_the_other_side_is_the_front(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware="{}", mount="rear", cutout="{hole: 24}"))
    found = proposed("other side", of, short(1))
    assert found[0].edits == (Edit(0, ("mount",), "front"),)
    assert found[1].edits[1] == Edit(0, ("cutout", "hole"), 22)
    only_front = asked(tmp_path, at(0), mount=["front"])
    assert proposed("other side", only_front, short(1)) == []


@pytest.mark.parametrize("asks", ["{screw: M3}", "{head: pan}", "{length: 10}", "{nut: thin}", "{washers: []}"])
def test_any_hardware_asked_for_at_the_place_is_chosen_anew(tmp_path: Path, asks: str) -> None:
    found = proposed("other side", asked(tmp_path, at(0, hardware=asks)), short(1))
    assert Edit(0, ("hardware",), None) in found[0].edits


def test_metal_or_retention_asked_for_stays_on_the_other_side(tmp_path: Path) -> None:
    for asks in ("{metal: brass}", "{retention: thread locker}"):
        found = proposed("other side", asked(tmp_path, at(0, hardware=asks)), short(1))
        assert found[0].edits == (Edit(0, ("mount",), "rear"),)


FINISHED = COATED.replace("}", ", holes_finished: true}")


@pytest.mark.parametrize(
    ("panel", "cutout", "hole", "says"),
    [
        (PANEL, "{hole: 20}", 20.2, "Open the hole to 20.2 mm."),
        (COATED, "{hole: 20}", 20.2, "Open the hole to 20.2 mm before coating."),
        (FINISHED, "{hole: 20}", 20.2, "Open the hole to 20.2 mm."),  # written as it is to be when coated
    ],
    ids=["bare", "punched", "finished"],
)
def test_a_hole_is_opened_as_the_layout_has_it(tmp_path: Path, panel: str, cutout: str, hole: float, says: str) -> None:
    of = asked(tmp_path, at(0, cutout=cutout), panel)
    (only,) = proposed("open the cut-out", of, short(0.02))  # 0.17 to the play that is wanted
    assert only.edits == (Edit(0, ("cutout", "hole"), hole), Edit(0, ("cutout", "outline"), None))
    assert only.says == says
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.main.size[0] == pytest.approx(of.job.places[0].cutout.main.size[0] + 0.2)


@pytest.mark.parametrize(("lacks", "by"), [(0.05, 0.1), (0.06, 0.2), (0.25, 0.2), (-0.14, 0.1)])
def test_a_box_is_opened_by_tenths_on_every_side(tmp_path: Path, lacks: float, by: float) -> None:
    of = asked(tmp_path, at(0, cutout="{outline: {box: [22, 21]}}"))
    (only,) = proposed("open the cut-out", of, short(lacks))  # and 0.15 of play, half of it on each side
    assert only.says == f"Open the hole by {by:g} mm on every side."
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.main.size == pytest.approx((22 + 2 * by, 21 + 2 * by))


def test_a_hole_off_the_axis_is_opened_where_it_is(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{outline: {round: 20, at: [0.5, -0.25]}}"))
    (only,) = proposed("open the cut-out", of, short(0.05))
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.main.centre == pytest.approx((0.5, -0.25))
    assert after.places[0].cutout.main.size == pytest.approx((20.2, 20.2))


def test_a_metric_screw_is_drilled_for_with_a_metric_drill(tmp_path: Path) -> None:
    hardware = "{screw: M4, head: pan, length: 12, nut: hexagon, washers: []}"
    of = asked(tmp_path, at(0, hardware=hardware, cutout="{fixings: 3.9}"))
    (only,) = proposed("open the fixings", of, short(0.1))
    assert only.says == "Drill the fixing holes to 4.2 mm (4.2 mm)."  # 3.978 and 0.19; No. 19 is 4.216


def test_holes_as_large_as_wanted_are_left(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{fixings: 3.18}"))  # 2.98 and 0.19: two holes, each off and small
    assert proposed("open the fixings", of, short(0.1)) == []
    assert proposed("open the fixings", asked(tmp_path, at(0, cutout="{fixings: 3.17}")), short(0.1)) != []
    assert proposed("smaller fixings", asked(tmp_path, at(0, cutout="{fixings: 3.4}")), short(0.1)) == []


def test_a_pattern_of_another_number_is_met_by_no_turn(tmp_path: Path) -> None:
    for spots in ("[[0, 15]]", "[[0, 15], [3, 3], [5, -5]]"):
        assert proposed("turn the part", asked(tmp_path, at(0, cutout=f"{{at: {spots}}}")), short(1)) == []


def test_what_stands_on_the_axis_of_another_pattern_is_drilled_anew(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, part_turn="90", cutout="{at: [[-15, 0], [15, 0]]}"))
    (only,) = proposed("redrill the fixings", of, short(1))
    assert only.says == "Drill the fixing holes at (+0.00, -15.00) and (+0.00, +15.00) mm from the axis."
    bare = asked(tmp_path, at(0, hardware="{}"), fixings=None)
    assert proposed("redrill the fixings", bare, short(1)) == []


def test_the_hole_of_the_other_side_is_punched_for_its_coating(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware="{}"), COATED, cutout_rear={"round": 24})
    found = proposed("other side", of, short(1))
    assert found[1].edits[1] == Edit(0, ("cutout", "hole"), 24.2)
    same = asked(tmp_path, at(0, hardware="{}", mount="rear"), COATED)
    assert len(proposed("other side", same, short(1))) == 1  # one hole for both sides
