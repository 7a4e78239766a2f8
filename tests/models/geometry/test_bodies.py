"""Bodies: volumes, placing, and the gap of slices that share a z range."""

from __future__ import annotations

import math

import pytest

from dryfit.models.geometry.bodies import Body, Placement, closest, cone, prism
from dryfit.models.geometry.outlines import box, round_


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
