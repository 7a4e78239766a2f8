"""Play in a hole and windows of the way in, by hand and by trying every shift."""

from __future__ import annotations

import math

import pytest

from dryfit.generators.clearance.passing import SLIVER, Play, best_play, windows, within
from dryfit.models.geometry.bodies import cone, prism
from dryfit.models.geometry.outlines import Outline, box, clearance, d_shape, hexagon, polygon, round_, slot


@pytest.mark.parametrize(
    ("section", "hole", "air"),
    [
        (round_(20), round_(22), 1.0),
        (round_(22.5), round_(22), -0.25),
        (box(10, 6), box(10.4, 6.2), 0.1),
        (box(6, 6), round_(10), 5 - math.hypot(3, 3)),
        (hexagon(6), round_(8), 4 - 3 / math.cos(math.pi / 6)),
        (slot(10, 4), slot(10.6, 4.6), 0.3),
    ],
)
def test_what_is_even_about_its_axis_has_most_air_unshifted(section: Outline, hole: Outline, air: float) -> None:
    found = best_play((section,), hole)
    assert found.shift == (0, 0)
    assert found.air == pytest.approx(air)
    assert found.across == pytest.approx(2 * air)


@pytest.mark.parametrize("way", range(0, 360, 40))
def test_a_round_off_its_axis_is_shifted_back_to_the_middle_of_the_hole(way: int) -> None:
    x, y = 0.8 * math.cos(math.radians(way)), 0.8 * math.sin(math.radians(way))
    found = best_play((round_(20).moved(x, y),), round_(22))
    assert found.air == pytest.approx(1, abs=3e-4)
    assert found.shift == pytest.approx((-x, -y), abs=0.02)


def test_two_sections_that_pass_together_share_one_shift() -> None:
    # rounds of 10 mm, 1 mm left and right of the axis, in a hole of 16: alone each has 3, together 2
    left, right = round_(10).moved(-1, 0), round_(10).moved(1, 0)
    assert best_play((left,), round_(16)).air == pytest.approx(3, abs=3e-4)
    assert best_play((left, right), round_(16)).air == pytest.approx(2, abs=3e-4)


def test_a_key_on_one_side_is_passed_by_shifting_away_from_it() -> None:
    # a round of 10 in a hole of 12, and a box that reaches 6 mm to the right: shifted by d to the left the round has
    # 1 - d, the box 6 - (6 - d) at its middle and less at its corners
    sections = (round_(10), box(2, 2).moved(5, 0))
    found = best_play(sections, round_(12))
    tried = max((min(clearance(s.moved(-d / 1000, 0), round_(12)) for s in sections), d / 1000) for d in range(0, 1000))
    assert found.air == pytest.approx(tried[0], abs=5e-4)
    assert found.shift[0] == pytest.approx(-tried[1], abs=0.02)
    assert found.air > min(clearance(s, round_(12)) for s in sections)


@pytest.mark.parametrize(
    ("section", "hole"),
    [
        (d_shape(10, 8), d_shape(12, 10)),
        (polygon(((0, 0), (8, 0), (3, 6))), round_(9)),
        (box(6, 4).moved(1, 0.5), d_shape(12, 9)),
    ],
)
def test_no_shift_of_a_fine_grid_gives_more_air(section: Outline, hole: Outline) -> None:
    found = best_play((section,), hole)
    grid = [i / 10 for i in range(-45, 46)]
    assert found.air >= max(clearance(section.moved(x, y), hole) for x in grid for y in grid) - 2e-3
    assert clearance(section.moved(*found.shift), hole) == pytest.approx(found.air)


def test_play_counts_both_sides() -> None:
    assert Play(0.25).across == 0.5
    assert Play(-0.25).across == -0.5


# --- what lies in the sheet ------------------------------------------------------------------------------------------

STEPS = (prism(round_(20), -5, 0), prism(round_(26), -12, -5), cone(8, 14, -20, -12))


@pytest.mark.parametrize(
    ("low", "high", "across"),
    [
        (-3, 0, [20]), (-5, 0, [20]), (-6, -1, [20, 26]), (-12, -5, [26]), (-30, 0, [20, 26, 14]), (-20, -12, [14]),
        (0, 3, []), (-25, -20, []),
    ],
)  # fmt: skip
def test_sections_between_two_levels_are_the_widest_of_what_lies_there(
    low: float, high: float, across: list[float]
) -> None:
    assert [outline.size[0] for outline in within(STEPS, low, high)] == across


def test_like_sections_are_told_once() -> None:
    assert len(within((prism(round_(20), -5, 0), prism(round_(20), -9, -5)), -9, 0)) == 1


def test_a_part_from_the_front_has_each_of_its_steps_in_the_sheet_at_some_moment() -> None:
    found = list(windows(STEPS, 3, True))
    assert found == [
        (-3, 0),  # at rest
        (pytest.approx(-5 + SLIVER - 3), pytest.approx(-5 + SLIVER)),  # the last of the first step, the second after it
        (pytest.approx(-12 + SLIVER - 3), pytest.approx(-12 + SLIVER)),
        (pytest.approx(-20 + SLIVER - 3), pytest.approx(-20 + SLIVER)),
    ]
    sizes = [[o.size[0] for o in within(STEPS, *window)] for window in found]
    assert sizes == [[20], [20, 26], [26, 14], [14]]


def test_a_part_from_the_rear_moves_forward_through_the_sheet() -> None:
    slices = (prism(round_(30), -9, -3), prism(round_(20), -3, 2), prism(round_(16), 2, 6))
    found = list(windows(slices, 3, False))
    assert found == [
        (-3, 0),
        (pytest.approx(2 - SLIVER), pytest.approx(5 - SLIVER)),
        (pytest.approx(6 - SLIVER), pytest.approx(9 - SLIVER)),
    ]
    assert [[o.size[0] for o in within(slices, *window)] for window in found] == [[20], [20, 16], [16]]


def test_what_ends_within_the_sheet_is_met_at_rest() -> None:
    assert list(windows((prism(round_(20), -2, 0),), 3, True)) == [
        (-3, 0), (pytest.approx(-5 + SLIVER), pytest.approx(-2 + SLIVER)),
    ]  # fmt: skip
    assert list(windows((), 3, True)) == [(-3, 0)]
    assert list(windows((), 3, False)) == [(-3, 0)]
    assert list(windows((prism(round_(9), 0, 5),), 3, True)) == [(-3, 0)]
    assert list(windows((prism(round_(9), -8, -3),), 3, False)) == [(-3, 0)]
