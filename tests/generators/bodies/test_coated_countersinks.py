"""Countersinks under a coating: the layer lies normal to the cone, and the finished face stands one layer higher."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from dryfit.generators.bodies.meshes import mesh
from dryfit.generators.bodies.panel import panel_body
from dryfit.generators.joints.joint import joint
from dryfit.models.geometry.bodies import Taper
from dryfit.models.reading.errors import InputError
from dryfit.models.reading.fields import Countersink
from tests.helpers import job, place

PANEL = "{size: [120 mm, 120 mm], thickness: 3 mm, coating: 0.1 mm}"
SUNK = "{fixings: 3.4 mm, across: 19 mm, up: 24 mm, countersink: {diameter: 6.4 mm, from: SIDE}}"


def test_a_coated_cone_of_90_degrees_is_narrower_by_083_of_the_coating() -> None:
    # tan 45 = 1 and 1 / cos 45 = 1.41421: 6.4 + 2 x 0.1 x (1 - 1.41421) = 6.31716
    assert Countersink(diameter=6.4).coated(0.1).diameter == pytest.approx(6.31716, abs=1e-5)
    assert Countersink(diameter=6.4).coated(0.1).angle == 90


@pytest.mark.parametrize("angle", [60, 82, 90, 100, 120])
def test_the_coated_cone_lies_the_coating_away_from_the_bare_one(angle: float) -> None:
    bare, coating = Countersink(diameter=6.4, angle=angle), 0.1
    coated, half = bare.coated(coating), math.radians(angle / 2)
    for depth in (0.0, 0.5, 1.0):  # below the finished face, which stands one coating above the bare one
        apart = (bare.across(depth - coating) - coated.across(depth)) / 2
        assert apart * math.cos(half) == pytest.approx(coating)


def test_without_coating_a_countersink_is_as_it_was_cut() -> None:
    sink = Countersink(diameter=6.4)
    assert sink.coated(0.0) is sink


@pytest.mark.parametrize("side", ["front", "rear"])
def test_the_finished_panel_has_the_coated_cone_at_its_finished_face(tmp_path: Path, side: str) -> None:
    made = job(tmp_path, place("xlr3-socket", cutout=SUNK.replace("SIDE", side)), PANEL)
    body = panel_body(made.panel, made.holes())
    face = body.slices[-1] if side == "front" else body.slices[0]
    cones = [hole for hole in face.holes if isinstance(hole, Taper)]
    assert len(cones) == 2
    for cone in cones:
        assert max(cone.low, cone.high) == pytest.approx(6.31716, abs=1e-5)
        assert min(cone.low, cone.high) == pytest.approx(3.2)  # 3.4 less 0.1 of coating all round
    depth = (6.31716 - 3.2) / 2
    assert face.z1 - face.z0 == pytest.approx(depth, abs=1e-5)
    assert mesh(body).volume == pytest.approx(body.volume, rel=1e-4)


def test_heads_are_seated_in_the_finished_cone(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket", mount="rear", cutout=SUNK.replace("SIDE", "front")), PANEL)
    found = joint(made.places[0].mounting, made.panel)
    assert found is not None
    assert found.head.sink is not None
    assert found.head.sink.diameter == pytest.approx(6.31716, abs=1e-5)


def test_a_countersink_no_wider_than_its_hole_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="the countersink is no wider than its hole"):
        job(tmp_path, place("xlr3-socket", cutout="{fixings: 3.4 mm, countersink: {diameter: 3.4 mm}}"), PANEL)
