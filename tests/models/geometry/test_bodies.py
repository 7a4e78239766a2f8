"""Bodies: volumes, placing, and the gap of slices that share a z range."""

from __future__ import annotations

import math

import pytest

from dryfit.models.geometry.bodies import (
    Body,
    Contact,
    Placement,
    Slice,
    Straight,
    Taper,
    closest,
    cone,
    prism,
    slice_gap,
)
from dryfit.models.geometry.outlines import Outline, box, polygon, round_
from tests.plain import about


def test_volume_is_the_closed_form_and_survives_placing() -> None:
    body = Body("nut and cone", (prism(box(10, 10), 0, 2, (round_(4),)), cone(6, 3, 2, 5)))
    expected = (100 - 4 * math.pi) * 2 + math.pi * 3 * (36 + 18 + 9) / 12
    assert body.volume == pytest.approx(expected)
    placed = Body("placed", Placement(1, 2, 3, 30, flip=True).apply(body))
    assert placed.volume == pytest.approx(expected)
    assert placed.box.z0 == pytest.approx(-2)
    assert placed.box.z1 == pytest.approx(3)


def test_slices_that_share_no_z_range_never_touch() -> None:
    assert closest((prism(round_(5), 0, 1),), (prism(round_(5), 1, 2),)) is None


def test_a_body_in_a_hole_is_clear_by_the_air_around_it() -> None:
    plate = prism(box(50, 50), -3, 0, (round_(24), round_(3).moved(15, 0)))
    barrel = prism(round_(23.8), -20, 0)
    found = closest((barrel,), (plate,))
    assert found is not None
    assert found.gap == pytest.approx(0.1)
    assert (found.z0, found.z1) == (-3, 0)


def test_a_cone_is_closest_at_its_wide_end() -> None:
    found = closest((cone(6, 2, 0, 4),), (prism(round_(2).moved(5, 0), 1, 10),))
    assert found is not None
    assert found.gap == pytest.approx(5 - 1 - 2.5)


# --- profiles -------------------------------------------------------------------------------------------


def _same(a: Outline, b: Outline) -> bool:
    return len(a.corners) == len(b.corners) and a.box == pytest.approx(b.box) and a.area == pytest.approx(b.area)


@pytest.mark.parametrize(("share", "across"), [(0.0, 6.0), (0.25, 5.0), (0.5, 4.0), (1.0, 2.0)])
def test_a_taper_narrows_evenly_about_its_axis(share: float, across: float) -> None:
    assert _same(Taper(6, 2, 1, 3).at(share), round_(across).moved(1, 3))


@pytest.mark.parametrize(("low", "high", "widest"), [(6, 2, 6), (2, 6, 6), (4, 4, 4), (2, 3, 3), (0, 2, 2), (2, 0, 2)])
def test_a_taper_is_widest_at_its_larger_end(low: float, high: float, widest: float) -> None:
    assert _same(Taper(low, high, 5, -2).widest, round_(widest).moved(5, -2))


def test_a_taper_is_moved_turned_and_seen_from_behind() -> None:
    taper = Taper(6, 2, 1, 3)
    assert taper.moved(10, 20) == Taper(6, 2, 11, 23)
    assert taper.turned(90) == Taper(6, 2, -3, 1)
    assert taper.flipped() == Taper(2, 6, -1, 3)
    assert taper.mean_area == pytest.approx(math.pi / 12 * (36 + 12 + 4))
    assert Taper(4, 4).mean_area == pytest.approx(math.pi * 4)


def test_a_straight_profile_is_the_same_all_the_way_up() -> None:
    outline = polygon(((0, 0), (6, 0), (1, 3)))
    profile = Straight(outline)
    assert profile.at(0.0) is profile.at(0.7) is profile.widest is outline
    assert profile.moved(10, 20).outline.box == (10, 20, 16, 23)
    assert profile.turned(90).outline.box == pytest.approx((-3, 0, 0, 6))
    assert profile.flipped().outline.box == pytest.approx((-6, 0, 0, 3))
    assert profile.mean_area == pytest.approx(9)


# --- slices ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("z0", "z1"), [(1.0, 1.0), (2.0, 1.0)])
def test_a_slice_without_height_is_refused(z0: float, z1: float) -> None:
    with pytest.raises(ValueError, match="must have height"):
        prism(round_(5), z0, z1)


def test_a_slice_has_the_volume_of_its_profile_less_its_holes() -> None:
    one = Slice(Straight(box(10, 8)), 2, 5, (Straight(box(2, 2)), Taper(2, 4, 3, 0)))
    assert one.volume == pytest.approx((80 - 4 - math.pi / 12 * (4 + 8 + 16)) * 3)
    assert Body("two", (one, prism(box(1, 1), 5, 7))).volume == pytest.approx(one.volume + 2)


@pytest.mark.parametrize(("z", "share"), [(1, 0.0), (2, 0.0), (3, 0.25), (4, 0.5), (6, 1.0), (7, 1.0)])
def test_a_level_is_so_far_up_a_slice(z: float, share: float) -> None:
    assert prism(round_(5), 2, 6).share(z) == share


def test_a_slice_is_straight_only_with_all_of_its_holes() -> None:
    plate = Straight(box(10, 10))
    assert Slice(plate, 0, 1).is_straight
    assert Slice(plate, 0, 1, (Straight(round_(2)),)).is_straight
    assert not Slice(plate, 0, 1, (Straight(round_(2)), Taper(2, 4))).is_straight
    assert not Slice(Taper(2, 4), 0, 1).is_straight


def test_a_slice_covers_its_widest_section() -> None:
    one = Slice(Taper(2, 6, 1, 3), -4, 5)
    assert one.plan == (-2, 0, 4, 6)
    assert one.box == (-2, 0, -4, 4, 6, 5)


@pytest.mark.parametrize("flip", [False, True])
def test_a_slice_is_flipped_then_turned_then_shifted_with_its_holes(flip: bool) -> None:
    one = Slice(Straight(box(10, 8).moved(1, 2)), 2, 5, (Taper(2, 4, 3, 1), Straight(box(2, 1).moved(2, 3))))
    there = one.placed(100, 200, 300, 90, flip)
    # flipped: x mirrored about the y axis, z from -5 to -2; a quarter turn takes (x, y) to (-y, x)
    x = -1 if flip else 1
    assert (there.z0, there.z1) == ((295, 298) if flip else (302, 305))
    assert there.profile.widest.centre == pytest.approx((100 - 2, 200 + x * 1))
    assert there.profile.widest.size == pytest.approx((8, 10))
    taper, hole = there.holes
    assert isinstance(taper, Taper)
    assert (taper.low, taper.high) == ((4, 2) if flip else (2, 4))
    assert (taper.x, taper.y) == pytest.approx((100 - 1, 200 + x * 3))
    assert hole.widest.centre == pytest.approx((100 - 3, 200 + x * 2))
    assert hole.widest.size == pytest.approx((1, 2))


def test_a_body_stands_where_it_is_placed() -> None:
    body = Body("plate", (prism(box(10, 8), 0, 2), prism(round_(4).moved(3, 0), 2, 6)), "brass", (0, 2))
    assert body.box == (-5, -4, 0, 5, 4, 6)
    assert Placement().apply(body) == tuple(s.placed(0, 0, 0, 0, False) for s in body.slices)
    there = Body("there", Placement(10, 20, 30, 90, flip=True).apply(body))
    assert there.box == pytest.approx((10 - 4, 20 - 5, 30 - 6, 10 + 4, 20 + 5, 30))
    assert there.slices[1].profile.widest.centre == pytest.approx((10, 20 - 3))
    assert Body("one", ()) == Body("one", (), "", None, None)


# --- gaps -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("shared", "meets"), [(0.0, False), (1e-6, False), (3e-6, True), (1.0, True), (-1.0, False)])
def test_slices_meet_where_they_share_more_than_a_touch_of_height(shared: float, meets: bool) -> None:
    below, above = prism(round_(4), -3, 0), prism(round_(4).moved(5, 0), -shared, 3)
    for one, other in ((below, above), (above, below)):
        found = slice_gap(one, other)
        assert (found is not None) is meets
        assert (closest((one,), (other,)) is not None) is meets
        if found is not None:
            assert found == Contact(about(1), -shared, 0)


@pytest.mark.parametrize(("z0", "z1", "gap"), [(0, 4, 1.0), (0, 2, 2.0), (-5, 1, 2.5), (3, 9, 1.0)])
def test_the_gap_to_a_cone_is_that_at_its_wide_end_within_the_height_shared(z0: float, z1: float, gap: float) -> None:
    # a cone from 2 to 6 mm over 4 mm; a peg of 2 mm 5 mm off its axis: 5 - 1 - 1 less a quarter of the height
    pointed, peg = cone(2, 6, 0, 4), prism(round_(2).moved(0, 5), z0, z1)
    for found in (slice_gap(pointed, peg), slice_gap(peg, pointed)):
        assert found == Contact(about(gap), max(0, z0), min(4, z1))


def test_in_a_hole_the_air_counts_whichever_of_both_has_the_hole() -> None:
    plate = prism(box(50, 50), 0, 3, (round_(8).moved(-15, 0), round_(6).moved(15, 2)))
    peg = prism(round_(4).moved(15, 2.5), -5, 5)
    for found in (slice_gap(plate, peg), slice_gap(peg, plate)):
        assert found == Contact(about(0.5), 0, 3)
    # in the solid between both: 15 mm off the wider hole, in which there are 2 mm of air
    assert slice_gap(plate, prism(round_(4), 0, 3)) == Contact(about(2 - 15), 0, 3)


@pytest.mark.parametrize("swapped", [False, True])
def test_a_peg_in_a_countersink_is_nearest_where_that_is_narrow(swapped: bool) -> None:
    # 10 mm at the top down to 6 over 4 mm; a peg of 4 mm in its upper half has (8 - 4) / 2 of air at the lower end
    sunk = Slice(Straight(box(50, 50).moved(3, 1)), 0, 4, (Taper(6, 10, 3, 1),))
    peg = prism(round_(4).moved(3, 1), 2, 8)
    assert slice_gap(*((peg, sunk) if swapped else (sunk, peg))) == Contact(about(2), 2, 4)


@pytest.mark.parametrize("swapped", [False, True])
def test_a_pointed_peg_in_a_hole_is_nearest_where_it_is_wide(swapped: bool) -> None:
    plate, peg = prism(box(50, 50), 0, 4, (round_(8),)), cone(2, 6, 0, 4)
    assert slice_gap(*((peg, plate) if swapped else (plate, peg))) == Contact(about(1), 0, 4)


def test_the_closest_of_many_slices_is_told_with_where_it_is() -> None:
    ours = (prism(round_(2), 0, 1), prism(round_(4), 1, 2), prism(round_(2), 2, 9))
    theirs = (
        prism(round_(2).moved(6, 0), 0, 1),
        prism(round_(2).moved(5, 0), 1, 2),
        prism(round_(2).moved(5, 0), 3, 4),
    )
    assert closest(ours, theirs) == Contact(about(2), 1, 2)
    assert closest(tuple(reversed(ours)), tuple(reversed(theirs))) == Contact(about(2), 1, 2)
    assert closest(ours, iter(theirs), 2.1) == Contact(about(2), 1, 2)
    assert closest(ours, theirs, 2.0) is None


def test_what_is_near_by_its_box_alone_is_not_near() -> None:
    # boxes 1 mm apart along both axes, circles 6 sqrt 2 - 4 = 4.49
    found = closest((prism(round_(4), 0, 1),), (prism(round_(4).moved(6, 6), 0, 1),), 4.0)
    assert found is None


def test_a_bored_cone_is_a_ring() -> None:
    ring = cone(6, 4, 0, 3, 2)
    assert ring.volume == pytest.approx(3 * (math.pi / 12 * (36 + 24 + 16) - math.pi))
    assert (ring.profile, ring.holes) == (Taper(6, 4), (Straight(round_(2)),))
    assert cone(6, 4, 0, 3).holes == ()
