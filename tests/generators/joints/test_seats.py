"""Head seats: worked by hand for pairs of cone angle, size and seat."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from dryfit.generators.joints.seats import proud_limits, seat
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables import fasteners

M3, M3_PAN = fasteners.heads("M3", "countersunk")[0], fasteners.heads("M3", "pan")[0]
M3_RAISED = fasteners.heads("M3", "raised countersunk")[0]
NO_4 = fasteners.heads("No. 4-40", "countersunk")[0]
SINK = Countersink(diameter=6.4, angle=90)


def test_same_cone_sinks_by_half_the_difference_of_the_theoretical_diameters() -> None:
    rest = seat(M3, 3.3, SINK)
    assert rest.bearing == "cone"
    assert rest.sunk == pytest.approx((6.4 - 6.3) / 2)
    assert rest.proud == pytest.approx(-0.05)


def test_a_raised_head_stands_its_crown_proud() -> None:
    assert seat(M3_RAISED, 3.3, SINK).proud == pytest.approx(0.7 - 0.05)


def test_82_degrees_in_a_90_degree_seat_bears_on_its_lower_edge() -> None:
    rest = seat(NO_4, 3.3, SINK)
    bottom = (6.4 - 3.3) / 2  # depth of a 90 degree cone
    assert NO_4.theoretical is not None
    to_hole = (NO_4.theoretical - 3.3) / 2 / math.tan(math.radians(41))
    assert rest.bearing == "lower edge"
    assert rest.sunk == pytest.approx(bottom - to_hole)


def test_a_head_wider_than_a_narrow_seat_hangs_on_its_upper_edge() -> None:
    rest = seat(NO_4, 3.0, Countersink(diameter=4.0, angle=60))
    assert rest.bearing == "upper edge"
    assert rest.sunk < 0


def test_a_countersunk_head_on_a_plain_hole_bears_on_the_edge() -> None:
    rest = seat(M3, 3.2, None)
    assert rest.bearing == "upper edge"
    assert rest.proud == pytest.approx((6.3 - 3.2) / 2)


def test_a_pan_head_needs_a_land() -> None:
    assert seat(M3_PAN, 3.2, None).land == pytest.approx((5.6 - 3.2) / 2)
    fallen = seat(M3_PAN, 3.2, SINK)
    assert fallen.bearing == "rim"
    assert fallen.land == pytest.approx((5.6 - 6.4) / 2)


def test_a_head_smaller_than_its_hole_bears_on_nothing() -> None:
    assert seat(M3, 8.0, None).bearing == "nothing"


def test_tolerance_of_the_rim_decides_where_angles_differ() -> None:
    low, high = proud_limits(NO_4, 2.9, Countersink(diameter=5.0, angle=60))
    assert low < high


# --- every head on every seat, against a profile lowered step by step ------------------------------------------------

HEADS = [h for h in fasteners.heads() if h.kind in ("countersunk", "raised countersunk", "pan", "button")]
SEATS = [None, SINK, *(Countersink(diameter=d, angle=a) for d, a in ((5.6, 82), (8.0, 100), (10.4, 90)))]
STEPS = 4000  # points along the radius; the profiles are straight between their corners, so few would do


def _underside(head: fasteners.Head, radius: np.ndarray) -> np.ndarray:
    """Return how far below its reference plane the head's underside lies at each radius; -inf outside the head."""
    if head.angle is None:
        return np.where(radius <= head.diameter / 2, 0.0, -np.inf)
    slope = math.tan(math.radians(head.angle / 2))
    return np.where(radius <= head.diameter / 2, ((head.theoretical or head.diameter) / 2 - radius) / slope, -np.inf)


def _surface(hole: float, sink: Countersink | None, radius: np.ndarray) -> np.ndarray:
    """Return how far below its face the material lies at each radius; +inf over the hole."""
    deep = np.zeros_like(radius)
    if sink is not None:
        slope = math.tan(math.radians(sink.angle / 2))
        deep = np.maximum(0.0, (sink.diameter / 2 - radius) / slope)
    return np.where(radius < hole / 2, np.inf, deep)


@pytest.mark.parametrize("sink", SEATS, ids=lambda s: "plain" if s is None else f"{s.diameter:g} at {s.angle:g}")
@pytest.mark.parametrize("head", HEADS, ids=lambda h: f"{h.thread} {h.kind} {h.drive.split()[0]}")
def test_a_head_comes_to_rest_where_its_profile_first_touches(head: fasteners.Head, sink: Countersink | None) -> None:
    hole = fasteners.thread(head.thread).major + 0.3
    rest = seat(head, hole, sink)
    if rest.bearing == "nothing" or (sink is not None and sink.diameter <= hole):
        assert head.diameter <= hole or (sink is not None and sink.diameter <= hole)
        return
    edges = [hole / 2, head.diameter / 2, *([sink.diameter / 2] if sink is not None else [])]
    radius = np.unique(np.concatenate([np.linspace(0.01, head.diameter, STEPS), edges]))
    lowest = float(np.min((_surface(hole, sink, radius) - _underside(head, radius))[radius <= head.diameter / 2]))
    assert rest.sunk == pytest.approx(lowest, abs=1e-6)


# --- single numbers --------------------------------------------------------------------------------------------------


def test_limits_of_the_cones_angle_count_in_how_far_a_head_stands_proud() -> None:
    low, high = proud_limits(M3, 3.3, Countersink(diameter=6.4, angle=90))
    assert (M3.angle_min, M3.angle_max, M3.diameter_min) == (90, 92, 5.2)
    # at 90 degrees both cones meet, half of 6.4 less 6.3 below the face; at 92 the rim of 5.2 mm lies deepest, (6.4 -
    # 5.2) / 2 down the seat, less its own height
    assert high == pytest.approx(-0.05)
    assert low == pytest.approx(-(0.6 - (6.3 - 5.2) / 2 / math.tan(math.radians(46))))


def test_how_far_a_head_stands_proud_is_told_over_both_limits_of_its_angle_and_of_its_diameter() -> None:
    sink, inch = Countersink(diameter=5.0, angle=60), 25.4
    ends = [
        seat(replace(NO_4, diameter=across * inch, angle=angle), 2.9, sink).proud
        for across in (0.191, 0.212) for angle in (80.0, 82.0)
    ]  # fmt: skip
    assert proud_limits(NO_4, 2.9, sink) == pytest.approx((min(ends), max(ends)))
    wide = replace(NO_4, angle_min=None, angle_max=84.0)
    ends = [
        seat(replace(NO_4, diameter=d * inch, angle=a), 2.9, sink).proud for d in (0.191, 0.212) for a in (82.0, 84.0)
    ]
    assert proud_limits(wide, 2.9, sink) == pytest.approx((min(ends), max(ends)))
    plain = replace(NO_4, angle_min=None, angle_max=None)
    ends = [seat(replace(NO_4, diameter=d * inch), 2.9, sink).proud for d in (0.191, 0.212)]
    assert proud_limits(plain, 2.9, sink) == pytest.approx((min(ends), max(ends)))


def test_a_pan_head_lies_on_the_surface_and_stands_its_height_proud() -> None:
    rest = seat(M3_PAN, 3.2, None)
    assert (rest.bearing, rest.sunk, rest.proud, rest.depth) == ("flat", 0, 2.4, 0)


def test_a_pan_head_just_as_wide_as_its_hole_has_a_land_of_nothing() -> None:
    rest = seat(M3_PAN, 5.6, None)
    assert (rest.bearing, rest.land) == ("flat", 0)


def test_a_pan_head_falls_into_a_countersink_until_its_edge_meets_the_cone() -> None:
    rest = seat(M3_PAN, 3.2, Countersink(diameter=8.0, angle=82))
    down = (8.0 - 5.6) / 2 / math.tan(math.radians(41))
    assert rest.sunk == pytest.approx(down)
    assert rest.depth == pytest.approx(down)
    assert rest.proud == pytest.approx(2.4 - down)


@pytest.mark.parametrize("sink", [None, SINK])
def test_a_pan_head_no_wider_than_the_hole_falls_through(sink: Countersink | None) -> None:
    rest = seat(M3_PAN, 5.7, sink)
    assert (rest.bearing, rest.sunk, rest.proud, rest.depth) == ("nothing", 0, 0, 0)
    if sink is not None:
        assert seat(M3_PAN, 5.6, sink).bearing == "nothing"


def test_a_small_rim_in_a_wide_seat_comes_to_rest_on_the_cone_it_shares() -> None:
    rest = seat(M3, 3.3, Countersink(diameter=8.0, angle=90))
    # both cones are of 90 degrees: the head sinks until they meet, half of 8.0 less 6.3
    assert rest.sunk == pytest.approx(0.85)
    assert rest.bearing == "cone"
    assert rest.depth == pytest.approx(0.85 + 1.65)
    assert rest.land is None


def test_angles_one_degree_apart_still_bear_on_the_cone() -> None:
    for angle, bearing in ((91, "cone"), (89, "cone"), (91.1, "lower edge"), (88.9, "rim")):
        assert seat(M3, 3.3, Countersink(diameter=6.4, angle=angle)).bearing == bearing, angle


def test_a_head_that_falls_through_has_no_height() -> None:
    rest = seat(M3, 5.5, SINK)
    assert (rest.bearing, rest.sunk, rest.proud, rest.land, rest.depth) == ("nothing", 0, 0, None, 0)
