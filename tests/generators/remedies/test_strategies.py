"""What each strategy proposes: sentence and edits, by hand on the plain part, before anything is tried."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.remedies.legends import pattern_of, shortened
from dryfit.generators.remedies.moves import lacking
from dryfit.generators.remedies.register import strategies
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy, Verdict
from dryfit.models.resolve import with_edits
from tests.plain import M3, PANEL, PART, asked, at

FAILS = Verdict.FAILS
COATED = PANEL.replace("}", ", coating: 0.1}")
WIDE = "{size: [400, 100], thickness: 3}"


def _proposed(name: str, of: Report, finding: Finding) -> list[Remedy]:
    return list(strategies()[name](of, finding))


def _short(by: float, place: str = "A", **more: Any) -> Finding:
    """Return a finding that lacks so many mm."""
    return Finding.of_length("web", place, FAILS, "", measured=-by, limit=0.0, **more)


def _edits(remedies: list[Remedy]) -> list[tuple[Edit, ...]]:
    return [remedy.edits for remedy in remedies]


# --- moves -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("short", "step"), [(0.0, 0.5), (0.25, 0.5), (0.26, 1.0), (0.75, 1.0), (0.8, 1.5), (-3.0, 0.5)]
)
def test_a_quarter_more_than_is_lacking_is_asked_for_in_halves(short: float, step: float) -> None:
    assert lacking(_short(short)) == step


def test_what_is_not_a_length_asks_for_one_step() -> None:
    assert lacking(Finding("metals", "A", FAILS, "", margin=-3.0, unit="V")) == 0.5
    assert lacking(Finding("metals", "A", FAILS, "")) == 0.5


def test_moves_apart_go_along_the_way_between_and_in_halves_for_both(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(-20)}\n{at(20, label='B')}")
    found = _proposed("move apart", of, _short(0.7, beside=("B",)))
    assert _edits(found)[:3] == [
        (Edit(1, ("at",), [21, 0]),),
        (Edit(0, ("at",), [-21, 0]),),
        (Edit(1, ("at",), [20.5, 0]), Edit(0, ("at",), [-20.5, 0])),
    ]
    assert [r.says for r in found[:3]] == [
        "Move B 1 mm right.", "Move A 1 mm left.", "Move B 0.5 mm right. Move A 0.5 mm left."
    ]  # fmt: skip
    assert (Edit(1, ("at",), [22, 0]),) in _edits(found)  # twice and three times as far
    assert (Edit(1, ("at",), [23, 0]),) in _edits(found)
    assert (Edit(1, ("at",), [24, 0]),) not in _edits(found)


def test_an_odd_number_of_steps_is_shared_unevenly(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(0, -25)}\n{at(0, 15, label='B')}")
    found = _proposed("move apart", of, _short(0.1, beside=("B",)))
    assert _edits(found)[:3] == [
        (Edit(1, ("at",), [0, 15.5]),),
        (Edit(0, ("at",), [0, -25.5]),),
        (Edit(1, ("at",), [0, 15.5]),),
    ]
    assert found[0].says == "Move B 0.5 mm up."
    assert found[1].says == "Move A 0.5 mm down."


def test_slanting_neighbours_move_along_the_slant_then_straight(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(-20, -20)}\n{at(20, 20, label='B')}", "{size: [300, 300], thickness: 3}")
    moved = [e[0].value for e in _edits(_proposed("move apart", of, _short(0.7, beside=("B",)))) if len(e) == 1]
    assert moved[:2] == [[21, 21], [-21, -21]]  # 0.71 along each, in whole steps
    assert [21, 20] in moved
    assert [20, 21] in moved


def test_moves_end_at_the_edge_of_the_panel(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(39.5)}\n{at(79.5, label='B')}")  # the second ends 0.5 mm from the edge
    found = _edits(_proposed("move apart", of, _short(0.7, beside=("B",))))
    assert (Edit(1, ("at",), [80.5, 0]),) not in found
    assert (Edit(0, ("at",), [38.5, 0]),) in found
    assert (Edit(1, ("at",), [80, 0]), Edit(0, ("at",), [39, 0])) in found


def test_without_a_named_neighbour_the_nearest_three_are_tried(tmp_path: Path) -> None:
    spots = (("B", 42), ("C", -43), ("D", 90), ("E", 140))
    of = asked(tmp_path, "\n".join([at(0), *(at(x, label=n) for n, x in spots)]), WIDE)
    entries = {edit.entry for remedy in _proposed("move apart", of, _short(0.1)) for edit in remedy.edits}
    assert entries == {0, 1, 2, 3}


def test_a_row_gets_more_pitch_kept_at_its_first_its_middle_or_its_last(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-40, count="3", pitch="40", label="'A {n}'"), WIDE)
    names = [p.name for p in of.job.places]
    found = _proposed("move apart", of, _short(0.7, names[0], beside=(names[1],)))
    assert _edits(found)[:3] == [
        (Edit(0, ("pitch",), 41),),
        (Edit(0, ("pitch",), 41), Edit(0, ("at",), [-41, 0])),
        (Edit(0, ("pitch",), 41), Edit(0, ("at",), [-42, 0])),
    ]
    assert [r.says for r in found[:3]] == [
        "Widen the pitch to 41 mm.",
        "Widen the pitch to 41 mm, about the middle of the row.",
        "Widen the pitch to 41 mm, to the other side.",
    ]
    after = with_edits(of.job, found[2].edits)
    assert after is not None
    assert [p.x for p in after.places] == [-42, -1, 40]


def test_a_slanting_row_keeps_its_slant(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-60, -20, count="2", pitch="[30, 40]"), WIDE)
    first = of.job.places[0].name
    found = _proposed("move apart", of, _short(4.5, first, beside=(of.job.places[1].name,)))
    assert found[0].edits == (Edit(0, ("pitch",), [33, 44]),)  # 50 mm and 5 more
    assert found[0].says == "Widen the pitch to 55 mm."


def test_pitch_that_leaves_the_panel_is_not_proposed(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-40, count="3", pitch="40"), "{size: [122, 100], thickness: 3}")
    names = [p.name for p in of.job.places]
    found = _proposed("move apart", of, _short(0.2, names[0], beside=(names[1],)))
    # half a millimetre more twice over: 1 mm left on each side
    assert [r.edits for r in found][:3] == [
        (Edit(0, ("pitch",), 40.5),),
        (Edit(0, ("pitch",), 40.5), Edit(0, ("at",), [-40.5, 0])),
        (Edit(0, ("pitch",), 40.5), Edit(0, ("at",), [-41, 0])),
    ]
    assert [r.says for r in found][3:] == ["Widen the pitch to 41 mm, about the middle of the row."]


def test_moves_inwards_go_towards_the_middle_along_each_axis_and_both(tmp_path: Path) -> None:
    of = asked(tmp_path, at(70, -25))
    found = _proposed("move inwards", of, _short(0.7))
    assert _edits(found)[:3] == [
        (Edit(0, ("at",), [69, -25]),), (Edit(0, ("at",), [70, -24]),), (Edit(0, ("at",), [69, -24]),)
    ]  # fmt: skip
    assert [r.says for r in found[:3]] == ["Move A 1 mm left.", "Move A 1 mm up.", "Move A 1 mm left and 1 mm up."]
    assert _edits(found)[3] == (Edit(0, ("at",), [68, -25]),)
    assert len(found) == 9


def test_what_hangs_over_the_edge_comes_in_by_all_of_it(tmp_path: Path) -> None:
    for x, there in ((84.2, 79.7), (-84.2, -79.7)):
        found = _proposed("move inwards", asked(tmp_path, at(x, 0)), _short(0.1))
        assert found[0].edits == (Edit(0, ("at",), [there, 0]),)  # 4.2 over the edge: 4.5 in halves
    upper = _proposed("move inwards", asked(tmp_path, at(0, 33.2)), _short(0.1))
    assert (Edit(0, ("at",), [0, 29.7]),) in _edits(upper)


def test_a_row_moves_as_one(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-84, count="3", pitch="42", label="'A {n}'"))
    names = [p.name for p in of.job.places]
    found = _proposed("move inwards", of, _short(0.1, names[1]))
    assert found[0].edits == (Edit(0, ("at",), [-80, 0]),)
    assert found[0].says == f"Move the row of {names[0]} to {names[2]} 4 mm right."


def test_positions_are_written_from_where_the_layout_measures(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, 0))
    assert of.job.origin_centre
    from dataclasses import replace

    corner = replace(of, job=replace(of.job, origin_centre=False))
    found = _proposed("move inwards", corner, _short(0.1))
    assert found[0].edits == (Edit(0, ("at",), [100.5, 50]),)  # the panel is 200 x 100


def test_rows_above_and_below_spread(tmp_path: Path) -> None:
    places = "\n".join([at(0, 0), at(50, 0, "B"), at(0, 25, "C"), at(0, -25, "D"), at(50, -26, "E")])
    of = asked(tmp_path, places, flange={"outline": {"box": [34, 16]}, "thick": 2})
    found = _proposed("spread the rows", of, _short(0.7))
    assert _edits(found) == [
        (Edit(2, ("at",), [0, 26]),), (Edit(3, ("at",), [0, -26]), Edit(4, ("at",), [50, -27]))
    ]  # fmt: skip
    assert [r.says for r in found] == ["Move everything above it 1 mm up.", "Move everything below it 1 mm down."]


def test_rows_at_the_edge_do_not_spread(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(0, 0)}\n{at(0, 42, 'B')}\n{at(50, 40, 'C')}",
               flange={"outline": {"box": [34, 16]}, "thick": 2})  # fmt: skip
    assert _proposed("spread the rows", of, _short(0.1)) == []
    assert _proposed("spread the rows", asked(tmp_path, at(0)), _short(0.1)) == []


# --- holes -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("play", "hole"), [(-0.1, 20.3), (0.04, 20.2), (0.05, 20.1), (-1.0, 21.2)])
def test_a_round_hole_is_opened_to_the_tenth_that_leaves_its_play(tmp_path: Path, play: float, hole: float) -> None:
    of = asked(tmp_path, at(0, cutout="{hole: 20}"))
    (only,) = _proposed("open the cut-out", of, _short(-play))
    (first, second) = only.edits
    assert (first, second) == (Edit(0, ("cutout", "hole"), hole), Edit(0, ("cutout", "outline"), None))
    assert only.says == f"Open the hole to {hole:g} mm."


def test_a_box_is_opened_on_every_side(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{outline: {box: [20, 10]}}"), COATED)
    (only,) = _proposed("open the cut-out", of, _short(0.2))  # 0.35 lacking: 0.175 on each side
    assert only.says == "Open the hole by 0.2 mm on every side before coating."
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.main.size == pytest.approx((20.4, 10.4))


def test_a_hole_with_its_play_or_nothing_measured_is_not_opened(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0))
    assert _proposed("open the cut-out", of, _short(-0.15)) == []
    assert _proposed("open the cut-out", of, Finding("goes-in", "A", FAILS, "")) == []


def test_fixing_holes_are_drilled_so_that_the_screw_drops_through(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{fixings: 2.9}"))
    (only,) = _proposed("open the fixings", of, _short(0.1))
    assert only.edits == (Edit(0, ("cutout", "fixings"), 3.2),)  # 2.98 at its largest and 0.19, the next drill
    assert only.says == "Drill the fixing holes to 3.2 mm (3.2 mm)."
    coated = asked(tmp_path, at(0, cutout="{fixings: 2.9}"), COATED)
    assert _proposed("open the fixings", coated, _short(0.1))[0].edits == (Edit(0, ("cutout", "fixings"), 3.4),)
    assert _proposed("open the fixings", asked(tmp_path, at(0)), _short(0.1)) == []
    assert _proposed("open the fixings", asked(tmp_path, at(0, hardware="{}"), fixings=None), _short(0.1)) == []


def test_an_inch_screw_may_be_drilled_for_with_any_drill(tmp_path: Path) -> None:
    hardware = "{screw: No. 4-40, head: pan, length: 1/2 in, nut: hexagon, washers: []}"
    of = asked(tmp_path, at(0, hardware=hardware, cutout="{fixings: 2.5}"))
    (only,) = _proposed("open the fixings", of, _short(0.1))
    assert "in" in only.says or "No." in only.says
    assert 2.9 < float(only.edits[0].value) < 3.05  # 0.112 in less its allowance, and a tenth


def test_larger_fixing_holes_go_back_to_what_the_part_asks_for(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{fixings: 4}"))
    assert _proposed("smaller fixings", of, _short(0.1))[0].edits == (Edit(0, ("cutout", "fixings"), 3.4),)
    coated = asked(tmp_path, at(0, cutout="{fixings: 4}"), COATED)
    assert _proposed("smaller fixings", coated, _short(0.1))[0].edits[0].value == pytest.approx(3.6, abs=0.01)
    assert _proposed("smaller fixings", asked(tmp_path, at(0)), _short(0.1)) == []
    assert _proposed("smaller fixings", asked(tmp_path, at(0, hardware="{}"), fixings=None), _short(0.1)) == []


@pytest.mark.parametrize(("angle", "way"), [(7, "anticlockwise"), (-7, "clockwise")])
def test_a_part_is_turned_until_its_holes_line_up(tmp_path: Path, angle: float, way: str) -> None:
    import math

    x, y = 15 * math.cos(math.radians(angle)), 15 * math.sin(math.radians(angle))
    of = asked(tmp_path, at(0, cutout=f"{{at: [[{-x}, {-y}], [{x}, {y}]]}}"))
    (only,) = _proposed("turn the part", of, _short(1))
    assert only.edits == (Edit(0, ("part_turn",), pytest.approx(angle)),)
    assert only.says == f"Turn the part 7.0 degrees {way} in its cut-out."


def test_a_part_that_lines_up_or_cannot_is_not_turned(tmp_path: Path) -> None:
    assert _proposed("turn the part", asked(tmp_path, at(0)), _short(1)) == []
    other = asked(tmp_path, at(0, cutout="{at: [[0, 15]]}"))
    assert _proposed("turn the part", other, _short(1)) == []
    assert _proposed("turn the part", asked(tmp_path, at(0, hardware="{}"), fixings=None), _short(1)) == []


def test_a_turn_goes_on_from_how_the_part_stands(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, part_turn="30", cutout="{at: [[-15, 0], [15, 0]]}"))
    (only,) = _proposed("turn the part", of, _short(1))
    assert only.edits == (Edit(0, ("part_turn",), 0),)
    assert "30.0 degrees clockwise" in only.says


def test_fixing_holes_are_drilled_anew_where_the_part_has_its_own(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, cutout="{across: 28, up: 1}"))
    (only,) = _proposed("redrill the fixings", of, _short(1))
    assert only.edits[-1] == Edit(0, ("cutout", "at"), [[-15, 0], [15, 0]])
    assert only.edits[:-1] == tuple(Edit(0, ("cutout", key), None) for key in ("across", "up", "mirror"))
    assert only.says == "Drill the fixing holes at (-15.00, +0.00) and (+15.00, +0.00) mm from the axis."
    after = with_edits(of.job, only.edits)
    assert after is not None
    assert after.places[0].cutout.fixings == after.places[0].mounting.fixings
    assert _proposed("redrill the fixings", asked(tmp_path, at(0)), _short(1)) == []


def test_the_other_side_is_proposed_with_its_hole_and_hardware_anew(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware="{}"), cutout_rear={"round": 24})
    found = _proposed("other side", of, _short(1))
    assert _edits(found) == [
        (Edit(0, ("mount",), "rear"),),
        (Edit(0, ("mount",), "rear"), Edit(0, ("cutout", "hole"), 24), Edit(0, ("cutout", "outline"), None)),
    ]
    assert [r.says for r in found] == [
        "Mount the part from the rear.", "Mount the part from the rear, in the hole that it wants there."
    ]  # fmt: skip
    wished = _proposed("other side", asked(tmp_path, at(0)), _short(1))
    assert _edits(wished) == [(Edit(0, ("mount",), "rear"), Edit(0, ("hardware",), None))]
    assert wished[0].says == "Mount the part from the rear, its hardware chosen anew."


def test_from_the_rear_the_other_side_is_the_front(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware="{}", mount="rear", cutout="{hole: 24}"))
    found = _proposed("other side", of, _short(1))
    assert found[0].edits == (Edit(0, ("mount",), "front"),)
    assert found[1].edits[1] == Edit(0, ("cutout", "hole"), 22)
    only_front = asked(tmp_path, at(0), mount=["front"])
    assert _proposed("other side", only_front, _short(1)) == []


@pytest.mark.parametrize("asks", ["{screw: M3}", "{head: pan}", "{length: 10}", "{nut: thin}", "{washers: []}"])
def test_any_hardware_asked_for_at_the_place_is_chosen_anew(tmp_path: Path, asks: str) -> None:
    found = _proposed("other side", asked(tmp_path, at(0, hardware=asks)), _short(1))
    assert Edit(0, ("hardware",), None) in found[0].edits


def test_metal_or_retention_asked_for_stays_on_the_other_side(tmp_path: Path) -> None:
    for asks in ("{metal: brass}", "{retention: thread locker}"):
        found = _proposed("other side", asked(tmp_path, at(0, hardware=asks)), _short(1))
        assert found[0].edits == (Edit(0, ("mount",), "rear"),)


# --- fasteners -------------------------------------------------------------------------------------------------------


def test_other_hardware_keeps_what_it_can(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("length: 12", "length: 6")))
    found = _proposed("other hardware", of, _short(1))
    wanted = [r.edits[0].value for r in found]
    assert all(r.edits[0].path == ("hardware",) and r.edits[0].entry == 0 for r in found)
    assert wanted[0] == {"screw": "M3", "length": "8 mm", "head": "pan", "nut": "hexagon", "washers": []}
    assert found[0].says == "Take M3 x 8 mm pan screws with hexagon nuts (5.5 mm across flats)."
    assert all(r.says.startswith("Take ") for r in found)
    assert len({r.says for r in found}) == len(found)
    kinds = {(w["head"], w.get("nut")) for w in wanted}
    assert ("pan", "thin") in kinds or ("pan", "self-locking") in kinds


def test_the_metal_asked_for_is_asked_for_again(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("length: 12", "length: 6, metal: brass")))
    found = _proposed("other hardware", of, _short(1))
    assert {r.edits[0].value.get("metal") for r in found} == {"brass"}


def test_hardware_in_use_is_not_proposed(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("length: 12", "length: 8")))
    assert all(r.edits[0].value.get("length") != "8 mm" or r.edits[0].value["head"] != "pan"
               or r.edits[0].value["nut"] != "hexagon" or r.edits[0].value["washers"] != []
               for r in _proposed("other hardware", of, _short(1)))  # fmt: skip


@pytest.mark.parametrize(
    ("air", "metals_"),
    [("indoor", ["stainless", "nickel", "brass", "zinc", "steel"]), ("damp", ["stainless", "nickel", "brass", "zinc"])],
)
def test_screws_of_every_metal_are_proposed_but_plain_steel_where_damp_stays(
    tmp_path: Path, air: str, metals_: list[str]
) -> None:
    of = asked(tmp_path, at(0, hardware="{metal: zinc}"), rest=f"environment: {air}")
    found = _proposed("other metal", of, _short(1))
    assert [r.edits for r in found] == [(Edit(0, ("hardware", "metal"), name),) for name in metals_]
    assert found[0].says == "Take stainless steel screws."
    assert _proposed("other metal", asked(tmp_path, at(0)), _short(1)) == []


def test_a_coating_is_proposed_where_part_and_panel_touch_bare(tmp_path: Path) -> None:
    touching = Finding("metals", "A", FAILS, "Part and panel: ...")
    bare = _proposed("coat the panel", asked(tmp_path, at(0)), touching)
    assert [r.says[:4] for r in bare] == ["Coat", "Keep"]
    assert all(r.edits == () for r in bare)
    assert [r.says[:4] for r in _proposed("coat the panel", asked(tmp_path, at(0), COATED), touching)] == ["Keep"]
    screw = Finding("metals", "A", FAILS, "Screw and panel: ...")
    assert [r.says[:4] for r in _proposed("coat the panel", asked(tmp_path, at(0)), screw)] == ["Keep"]


def test_the_earth_point_is_masked_where_a_coating_covers_it(tmp_path: Path) -> None:
    earth = {**PART, "earth": True}
    changes = {k: v for k, v in earth.items() if k == "earth"}
    (only,) = _proposed("mask the earth point", asked(tmp_path, at(0), COATED, **changes), _short(1))
    assert only.edits == (Edit(None, ("mask_earth",), True),)
    masked = COATED.replace("}", ", mask_earth: true}")
    assert _proposed("mask the earth point", asked(tmp_path, at(0), masked, **changes), _short(1)) == []
    assert _proposed("mask the earth point", asked(tmp_path, at(0), PANEL, **changes), _short(1)) == []
    assert _proposed("mask the earth point", asked(tmp_path, at(0), COATED), _short(1)) == []


# --- legends ---------------------------------------------------------------------------------------------------------


def test_words_are_cut_shorter_then_left_out() -> None:
    assert list(shortened("MONITOR RETURN")) == ["MONITO RETURN", "MONI RETU", "MON RET", "MON"]
    assert list(shortened("GUEST 1")) == ["GUES 1", "GUE 1", "1"]
    assert list(shortened("MIC LINE {n}")) == ["MIC LIN {n}", "MIC {n}", "{n}"]
    assert list(shortened("IN")) == []
    assert list(shortened("AUX IN")) == ["AUX"]


def test_signs_that_cannot_be_drawn_are_left_out_first() -> None:
    assert next(shortened("IN\u2603 A", "\u2603")) == "IN A"
    assert list(shortened("\u2603", "\u2603")) == []
    assert next(shortened("  AB   CD ", "")) == "AB CD"


def test_a_row_that_counts_has_its_number_in_common() -> None:
    assert pattern_of(("IN 1", "IN 2", "IN 3")) == ("IN {n}", 1)
    assert pattern_of(("IN 7", "IN 8")) == ("IN {n}", 7)
    assert pattern_of(("2 IN 7", "2 IN 8")) == ("2 IN {n}", 7)
    assert pattern_of(("IN 1", "IN 3")) == ("IN 1", 0)
    assert pattern_of(("IN 1",)) == ("IN 1", 0)
    assert pattern_of(("IN", "IN")) == ("IN", 0)


def test_a_row_of_legends_is_shortened_as_one_and_told_as_this_one_reads(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-50, count="3", pitch="50", label="'A {n}'", first="5", legend="'MONITOR {n}'"))
    found = _proposed("shorter legend", of, _short(1, of.job.places[1].name))
    assert found[0].edits == (Edit(0, ("legend",), "MONITO {n}"),)
    assert found[0].says == 'Shorten its legend to "MONITO 6", or to another text that is no wider.'
