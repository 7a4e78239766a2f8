"""Head seats: worked by hand for pairs of cone angle, size and seat."""

from __future__ import annotations

import math

import pytest

from dryfit.generators.seats import proud_limits, seat
from dryfit.models import fasteners
from dryfit.models.fields import Countersink

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
