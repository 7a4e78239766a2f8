"""Holes grouped into places: known patterns turned, mirrored, drilled a little off, and side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import pytest

from dryfit.generators.intake.panels.places import Found, Grouped, grouped
from dryfit.generators.intake.plates.plate import Opening
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.geometry.contours import contour
from dryfit.models.geometry.outlines import Outline, box, d_shape, round_
from dryfit.models.geometry.points import Point

D = (Point(-9.5, 12.0), Point(9.5, -12.0))


def holes(
    main: Outline, spots: Sequence[Point], at: tuple[float, float], turn: float = 0.0, fixing: float = 3.2
) -> Iterator[Opening]:
    """Yield a main hole and its fixing holes about a point, turned."""
    for outline in (main, *(round_(fixing).moved(*spot) for spot in spots)):
        there = outline.turned(turn).moved(*at)
        yield Opening(contour(there), there)


def group(*openings: Iterator[Opening]) -> Grouped:
    return grouped([hole for some in openings for hole in some], load_catalogue())


def only(made: Grouped) -> Found:
    assert made.unexplained == ()
    (place,) = made.places
    return place


@pytest.mark.parametrize("turn", [0.0, 90.0, 37.0])
def test_the_d_pattern_is_found_however_it_is_turned(turn: float) -> None:
    place = only(group(holes(round_(24), D, (10, 5), turn)))
    assert tuple(place.at) == pytest.approx((10, 5))
    assert place.turn == pytest.approx(turn, abs=0.001)
    assert not place.mirrored
    assert "xlr3-socket" in place.parts
    assert place.like[0].pattern == "d-hole"


def test_a_mirrored_pattern_is_told_from_one_turned() -> None:
    place = only(group(holes(round_(24), [at.mirrored() for at in D], (0, 0))))
    assert (place.mirrored, place.turn) == (True, 0.0)
    assert sorted(place.spots) == sorted(at.mirrored() for at in D)


def test_a_pattern_drilled_half_a_millimetre_off_keeps_its_own_holes() -> None:
    spots = (Point(-9.25, 12.0), Point(9.25, -12.0))
    place = only(group(holes(round_(23.6), spots, (0, 0))))
    assert place.parts[0] not in {"xlr3-socket-old-pitch"}
    assert "xlr3-socket" in place.parts
    assert place.spots == spots
    assert place.off == pytest.approx(0.4)


def test_the_older_pitch_is_told_from_the_common_one() -> None:
    spots = (Point(-8.35, 12.827), Point(8.35, -12.827))
    assert only(group(holes(round_(24), spots, (0, 0)))).parts[0] == "xlr3-socket-old-pitch"


def test_mixed_patterns_side_by_side_are_told_apart_and_read_row_by_row() -> None:
    made = group(
        holes(round_(24), D, (40, 30)),
        holes(round_(24), D, (14, 31)),
        holes(round_(31), [Point(x, y) for x in (-14.6, 14.6) for y in (-14.6, 14.6)], (80, 30)),
        holes(d_shape(12.9, 11.8), (), (14, -10), 90.0),
        holes(box(27.6, 20), (Point(-20, 0), Point(20, 0)), (60, -10)),
        holes(round_(11.9), (), (100, -30)),
    )
    names = [place.parts[0] for place in made.places]
    assert [n in names for n in ("loudspeaker-8", "bnc-bush-insulated")] == [True, True]
    assert [tuple(place.at) for place in made.places[:3]] == [(14, 31), (40, 30), (80, 30)]
    assert made.places[3].turn == 90.0
    assert "iec-c14-filter" in made.places[4].parts
    assert made.unexplained == ()


def test_holes_like_nothing_are_left_unexplained() -> None:
    made = group(holes(round_(4.1), (), (0, 0)), holes(box(33, 7), (), (30, 0)))
    assert made.places == ()
    assert len(made.unexplained) == 2


def test_a_part_whose_axis_is_not_in_the_middle_of_its_hole_keeps_its_axis_when_turned() -> None:
    part = load_catalogue().parts["iec-c14-fuse-switch"]
    assert part.fixings is not None
    spots = [Point(*at) for at in part.fixings.at]
    for turn in (0.0, 90.0, -120.0):
        place = only(group(holes(part.cutout, spots, (7, 3), turn, part.fixings.panel)))
        assert tuple(place.at) == pytest.approx((7, 3), abs=0.001)
        assert math.isclose(place.turn, turn, abs_tol=0.001)
