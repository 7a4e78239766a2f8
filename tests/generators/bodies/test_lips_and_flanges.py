"""Lips along the panel's edges, and flanges where they are mounted."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.bodies.lips import fold_line, lip_strips, relief_end
from dryfit.models.geometry.outlines import round_
from tests.helpers import job, place

LIPPED = "{rack_units: 2, thickness: 2 mm, lip: 15 mm, bend_radius: 1 mm}"


def test_a_lip_lies_along_each_edge_as_deep_as_asked(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket"), LIPPED).panel
    upper, lower = (strip.box for strip in lip_strips(panel, 3.0, 40.0))
    assert (upper.bottom, upper.top) == pytest.approx((37, 40))
    assert (lower.bottom, lower.top) == pytest.approx((-40, -37))
    assert (upper.left, upper.right) == pytest.approx((-panel.lip_length / 2, panel.lip_length / 2))


def test_a_flat_panel_has_no_lip(tmp_path: Path) -> None:
    assert lip_strips(job(tmp_path, place("xlr3-socket")).panel, 3.0, 40.0) == ()


def test_the_flat_ends_one_thickness_and_the_inside_radius_from_the_edge(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket"), LIPPED).panel
    assert fold_line(panel) == pytest.approx(panel.height / 2 - 3)


def test_a_relief_is_one_thickness_wide_beside_a_lip_short_of_the_rails(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket"), LIPPED).panel
    assert panel.lip_length < panel.width
    assert relief_end(panel) - panel.lip_length / 2 == pytest.approx(2)


def test_a_flange_turns_with_its_place_and_in_its_cut_out(tmp_path: Path) -> None:
    upright = job(tmp_path, place("xlr3-socket", at="[10, 5]")).places[0]
    assert upright.flange.size == pytest.approx((26, 31))
    for turns in ({"turn": "90"}, {"part_turn": "90"}):
        lying = job(tmp_path, place("xlr3-socket", at="[10, 5]", **turns)).places[0]
        assert lying.flange.size == pytest.approx((31, 26))
        assert lying.flange.centre == pytest.approx((10, 5))


def test_what_stands_to_the_right_of_a_part_stands_above_it_after_a_quarter_turn(tmp_path: Path) -> None:
    lying = job(tmp_path, place("xlr3-socket", at="[10, 5]", turn="90")).places[0]
    assert lying.mounted(round_(2).moved(7, 0)).centre == pytest.approx((10, 12))
