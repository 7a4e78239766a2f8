"""Outlines found again from points along them, and written as the plainest shape that holds them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from dryfit.generators.intake.measuring.fitted import SAME, alike, fitted
from dryfit.generators.intake.measuring.hulls import Wall, hull, stands_out
from dryfit.models.geometry.outlines import Outline, clearance, round_
from dryfit.models.reading.fields import MOST_POINTS, read_outline

FACET = 0.005


def seen(outline: Outline) -> Outline:
    """Return the hull of points along an outline and of some within it, its round walls known."""
    points = np.array([*outline.path(FACET / 5, outside=False), outline.centre, outline.centre * 0.9])
    found = hull(points, [Wall(c.x, c.y, c.radius) for c in outline.corners if c.is_round], FACET)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "written",
    [
        {"round": 23.876},
        {"round": 6.1, "at": [3.0, -2.5]},
        {"box": [26.0, 31.0], "corner": 3.5},
        {"box": [12.0, 10.0]},
        {"box": [14.9, 17.0], "corner": 0.4, "at": [0.0, 1.25]},
        {"hexagon": 22.0},
        {"hexagon": 14.0, "turn": 17.0},
        {"d": [12.0, 10.4]},
        {"d": [9.5, 8.8], "turn": 90.0, "at": [1.0, 1.0]},
        {"slot": [14.0, 4.2]},
        {"slot": [14.0, 4.2], "turn": 30.0},
        {"polygon": [[-13.6, 5.1], [-13.6, -9.6], [13.6, -9.6], [13.6, 5.1], [9.1, 9.6], [-9.1, 9.6]]},
        {"polygon": [[-10.053, 5.485], [10.053, 5.485], [8.118, -5.485], [-8.118, -5.485]], "corner": 1.5},
    ],
    ids=str,
)
def test_a_shape_is_found_again_from_points_along_it(written: dict[str, Any]) -> None:
    true = read_outline(written)
    found = fitted(seen(true))
    assert alike(found.outline, true, SAME)
    assert set(found.written) - {"turn", "at"} == set(written) - {"turn", "at"}
    assert found.off == 0


def test_a_shape_without_a_name_is_held_by_a_polygon_that_a_part_file_may_have() -> None:
    ring = [(20 * math.cos(t) * (1 + 0.2 * math.cos(t)), 14 * math.sin(t)) for t in np.linspace(0, 2 * math.pi, 400)]
    round_about = hull(np.array(ring), (), FACET)
    assert round_about is not None
    assert len(round_about.corners) > MOST_POINTS
    found = fitted(round_about)
    assert len(found.written["polygon"]) <= MOST_POINTS
    assert clearance(round_about, found.outline) >= -SAME
    assert 0 < found.off < 0.1


def test_a_barrel_with_posts_at_two_corners_is_held_without_the_other_two() -> None:
    circles = [Wall(0.0, 0.0, 10.0, True), Wall(-9.5, 12.0, 2.5, True), Wall(9.5, -12.0, 2.5, True)]
    points = [p for x, y, r, _ in circles for p in round_(2 * r).moved(x, y).path(0.001, outside=False)]
    found = hull(np.array(points), circles, FACET)
    assert found is not None
    shape = fitted(found)
    assert stands_out(found, shape.outline) <= SAME
    assert stands_out(shape.outline, found) <= 0.02
    assert "polygon" in shape.written


def test_what_was_laid_around_a_free_surface_may_stand_off_it_but_holds_it() -> None:
    faceted = hull(np.array(read_outline({"round": 20.0}).path(0.02, outside=False)), (), FACET)
    assert faceted is not None
    assert "polygon" in fitted(faceted).written
    found = fitted(faceted, slack=0.05)
    assert found.written == {"round": 20.0}


def test_points_in_one_line_enclose_nothing() -> None:
    assert hull(np.array([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [3.0, 3.0]]), (), FACET) is None
