"""Moving places: what each strategy proposes, sentence and edits, by hand on the plain part."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.remedies.moves import lacking
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding
from dryfit.models.resolve import with_edits
from tests.generators.remedies.proposals import FAILS, WIDE, edits_of, proposed, short
from tests.plain import asked, at


@pytest.mark.parametrize(
    ("lacks", "step"), [(0.0, 0.5), (0.25, 0.5), (0.26, 1.0), (0.75, 1.0), (0.8, 1.5), (-3.0, 0.5)]
)
def test_a_quarter_more_than_is_lacking_is_asked_for_in_halves(lacks: float, step: float) -> None:
    assert lacking(short(lacks)) == step


def test_what_is_not_a_length_asks_for_one_step() -> None:
    assert lacking(Finding("metals", "A", FAILS, "", margin=-3.0, unit="V")) == 0.5
    assert lacking(Finding("metals", "A", FAILS, "")) == 0.5


def test_moves_apart_go_along_the_way_between_and_in_halves_for_both(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(-20)}\n{at(20, label='B')}")
    found = proposed("move apart", of, short(0.7, beside=("B",)))
    assert edits_of(found)[:3] == [
        (Edit(1, ("at",), [21, 0]),),
        (Edit(0, ("at",), [-21, 0]),),
        (Edit(1, ("at",), [20.5, 0]), Edit(0, ("at",), [-20.5, 0])),
    ]
    assert [r.says for r in found[:3]] == [
        "Move B 1 mm right.", "Move A 1 mm left.", "Move B 0.5 mm right. Move A 0.5 mm left."
    ]  # fmt: skip
    assert (Edit(1, ("at",), [22, 0]),) in edits_of(found)  # twice and three times as far
    assert (Edit(1, ("at",), [23, 0]),) in edits_of(found)
    assert (Edit(1, ("at",), [24, 0]),) not in edits_of(found)


def test_an_odd_number_of_steps_is_shared_unevenly(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(0, -25)}\n{at(0, 15, label='B')}")
    found = proposed("move apart", of, short(0.1, beside=("B",)))
    assert edits_of(found)[:3] == [
        (Edit(1, ("at",), [0, 15.5]),),
        (Edit(0, ("at",), [0, -25.5]),),
        (Edit(1, ("at",), [0, 15.5]),),
    ]
    assert found[0].says == "Move B 0.5 mm up."
    assert found[1].says == "Move A 0.5 mm down."


def test_slanting_neighbours_move_along_the_slant_then_straight(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(-20, -20)}\n{at(20, 20, label='B')}", "{size: [300, 300], thickness: 3}")
    moved = [e[0].value for e in edits_of(proposed("move apart", of, short(0.7, beside=("B",)))) if len(e) == 1]
    assert moved[:2] == [[21, 21], [-21, -21]]  # 0.71 along each, in whole steps
    assert [21, 20] in moved
    assert [20, 21] in moved


def test_moves_end_at_the_edge_of_the_panel(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(39.5)}\n{at(79.5, label='B')}")  # the second ends 0.5 mm from the edge
    found = edits_of(proposed("move apart", of, short(0.7, beside=("B",))))
    assert (Edit(1, ("at",), [80.5, 0]),) not in found
    assert (Edit(0, ("at",), [38.5, 0]),) in found
    assert (Edit(1, ("at",), [80, 0]), Edit(0, ("at",), [39, 0])) in found


def test_without_a_named_neighbour_the_nearest_three_are_tried(tmp_path: Path) -> None:
    spots = (("B", 42), ("C", -43), ("D", 90), ("E", 140))
    of = asked(tmp_path, "\n".join([at(0), *(at(x, label=n) for n, x in spots)]), WIDE)
    entries = {edit.entry for remedy in proposed("move apart", of, short(0.1)) for edit in remedy.edits}
    assert entries == {0, 1, 2, 3}


def test_a_row_gets_more_pitch_kept_at_its_first_its_middle_or_its_last(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-40, count="3", pitch="40", label="'A {n}'"), WIDE)
    names = [p.name for p in of.job.places]
    found = proposed("move apart", of, short(0.7, names[0], beside=(names[1],)))
    assert edits_of(found)[:3] == [
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
    found = proposed("move apart", of, short(4.5, first, beside=(of.job.places[1].name,)))
    assert found[0].edits == (Edit(0, ("pitch",), [33, 44]),)  # 50 mm and 5 more
    assert found[0].says == "Widen the pitch to 55 mm."


def test_pitch_that_leaves_the_panel_is_not_proposed(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-40, count="3", pitch="40"), "{size: [122, 100], thickness: 3}")
    names = [p.name for p in of.job.places]
    found = proposed("move apart", of, short(0.2, names[0], beside=(names[1],)))
    # half a millimetre more twice over: 1 mm left on each side
    assert [r.edits for r in found][:3] == [
        (Edit(0, ("pitch",), 40.5),),
        (Edit(0, ("pitch",), 40.5), Edit(0, ("at",), [-40.5, 0])),
        (Edit(0, ("pitch",), 40.5), Edit(0, ("at",), [-41, 0])),
    ]
    assert [r.says for r in found][3:] == ["Widen the pitch to 41 mm, about the middle of the row."]


def test_moves_inwards_go_towards_the_middle_along_each_axis_and_both(tmp_path: Path) -> None:
    of = asked(tmp_path, at(70, -25))
    found = proposed("move inwards", of, short(0.7))
    assert edits_of(found)[:3] == [
        (Edit(0, ("at",), [69, -25]),), (Edit(0, ("at",), [70, -24]),), (Edit(0, ("at",), [69, -24]),)
    ]  # fmt: skip
    assert [r.says for r in found[:3]] == ["Move A 1 mm left.", "Move A 1 mm up.", "Move A 1 mm left and 1 mm up."]
    assert edits_of(found)[3] == (Edit(0, ("at",), [68, -25]),)
    assert len(found) == 9


def test_what_hangs_over_the_edge_comes_in_by_all_of_it(tmp_path: Path) -> None:
    for x, there in ((84.2, 79.7), (-84.2, -79.7)):
        found = proposed("move inwards", asked(tmp_path, at(x, 0)), short(0.1))
        assert found[0].edits == (Edit(0, ("at",), [there, 0]),)  # 4.2 over the edge: 4.5 in halves
    upper = proposed("move inwards", asked(tmp_path, at(0, 33.2)), short(0.1))
    assert (Edit(0, ("at",), [0, 29.7]),) in edits_of(upper)


def test_a_row_moves_as_one(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-84, count="3", pitch="42", label="'A {n}'"))
    names = [p.name for p in of.job.places]
    found = proposed("move inwards", of, short(0.1, names[1]))
    assert found[0].edits == (Edit(0, ("at",), [-80, 0]),)
    assert found[0].says == f"Move the row of {names[0]} to {names[2]} 4 mm right."


def test_positions_are_written_from_where_the_layout_measures(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, 0))
    assert of.job.origin_centre
    corner = replace(of, job=replace(of.job, origin_centre=False))
    found = proposed("move inwards", corner, short(0.1))
    assert found[0].edits == (Edit(0, ("at",), [100.5, 50]),)  # the panel is 200 x 100


def test_rows_above_and_below_spread(tmp_path: Path) -> None:
    places = "\n".join([at(0, 0), at(50, 0, "B"), at(0, 25, "C"), at(0, -25, "D"), at(50, -26, "E")])
    of = asked(tmp_path, places, flange={"outline": {"box": [34, 16]}, "thick": 2})
    found = proposed("spread the rows", of, short(0.7))
    assert edits_of(found) == [
        (Edit(2, ("at",), [0, 26]),), (Edit(3, ("at",), [0, -26]), Edit(4, ("at",), [50, -27]))
    ]  # fmt: skip
    assert [r.says for r in found] == ["Move everything above it 1 mm up.", "Move everything below it 1 mm down."]


def test_rows_at_the_edge_do_not_spread(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(0, 0)}\n{at(0, 42, 'B')}\n{at(50, 40, 'C')}",
               flange={"outline": {"box": [34, 16]}, "thick": 2})  # fmt: skip
    assert proposed("spread the rows", of, short(0.1)) == []
    assert proposed("spread the rows", asked(tmp_path, at(0)), short(0.1)) == []


def test_a_slanting_pitch_is_written_to_thousandths(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-60, -20, count="2", pitch="[30, 31]"), WIDE)
    first, second = (place.name for place in of.job.places)
    found = proposed("move apart", of, short(0.7, first, beside=(second,)))
    # 43.139 mm and 1 more: 30 and 31 times 44.139 / 43.139
    assert found[0].edits == (Edit(0, ("pitch",), [30.695, 31.719]),)
    assert found[0].says == "Widen the pitch to 44.14 mm."


@pytest.mark.parametrize(
    ("spot", "there"),
    [((0, -33.2), (0, -29.7)), ((0, 33.2), (0, 29.7)), ((84.2, 0), (79.7, 0)), ((-84.2, 0), (-79.7, 0))],
)
def test_what_hangs_over_any_edge_comes_in_by_all_of_it(
    tmp_path: Path, spot: tuple[float, float], there: tuple[float, float]
) -> None:
    # a flange of 40 mm on a panel of 200 x 100 mm
    found = edits_of(proposed("move inwards", asked(tmp_path, at(*spot)), short(0.1)))
    assert found[0] == (Edit(0, ("at",), list(there)),)


def test_steps_of_a_move_grow_with_what_is_lacking_and_its_reach(tmp_path: Path) -> None:
    found = proposed("move inwards", asked(tmp_path, at(60, 20)), short(1.3))  # 1.55: two whole millimetres
    assert [e[0].value for e in edits_of(found)] == [
        [58, 20], [60, 18], [58, 18], [56, 20], [60, 16], [56, 16], [54, 20], [60, 14], [54, 14],
    ]  # fmt: skip


@pytest.mark.parametrize(("y", "moved"), [(0.5, False), (0.6, True)])
def test_only_what_is_more_than_a_step_above_is_spread(tmp_path: Path, y: float, moved: bool) -> None:
    of = asked(tmp_path, f"{at(0)}\n{at(60, y, 'B')}", flange={"outline": {"box": [34, 16]}, "thick": 2})
    found = proposed("spread the rows", of, short(0.1))
    assert [r.edits for r in found] == ([(Edit(1, ("at",), [60, y + 0.5]),)] if moved else [])


def test_neighbours_that_slant_downwards_are_moved_straight_to_their_own_sides(tmp_path: Path) -> None:
    of = asked(tmp_path, f"{at(-20, 20)}\n{at(20, -20, label='B')}", "{size: [300, 300], thickness: 3}")
    moved = [e[0].value for e in edits_of(proposed("move apart", of, short(0.7, beside=("B",)))) if len(e) == 1]
    assert moved[:6] == [[21, -21], [-21, 21], [21, -20], [-21, 20], [20, -21], [-20, 21]]
