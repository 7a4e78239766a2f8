"""Meshes straight from slices, by hand: where each stands, what it holds and how much, upright, flipped and turned."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from dryfit.generators.bodies.meshes import FACETS, Quality, as_trimesh, matrix, mesh, placed_mesh, solid_mesh
from dryfit.models.geometry.bodies import Bent, Body, Placement, Slice, Straight, Taper, cone, prism
from dryfit.models.geometry.folds import Fold
from dryfit.models.geometry.outlines import Outline, box, hexagon, polygon, round_

TRIANGLE = polygon(((0, 0), (6, 0), (0, 3)))
EXACT: Quality = "show"


def _bounds(of: Any) -> list[float]:
    return [round(float(v), 4) + 0.0 for corner in of.bounds for v in corner]


def _near(made: float, true: float, outline: Outline, height: float, quality: Quality) -> bool:
    """Whether a volume is right to the facets of an outline: never less in checks, never more for the eye."""
    strays = outline.perimeter * height * FACETS[quality]
    return true - 1e-3 <= made <= true + strays if quality == "check" else true - strays <= made <= true + 1e-3


@pytest.mark.parametrize(
    ("piece", "volume", "bounds"),
    [
        (prism(TRIANGLE, 2, 5), 27, [0, 0, 2, 6, 3, 5]),
        (prism(TRIANGLE.moved(10, 20), -5, -1), 36, [10, 20, -5, 16, 23, -1]),
        (prism(box(10, 8), 0, 2, (box(2, 2).moved(3, 2), box(1, 2).moved(-3, -2))), (80 - 4 - 2) * 2,
         [-5, -4, 0, 5, 4, 2]),
        (prism(hexagon(6), 1, 2, (box(2, 2),)), 36 * math.sqrt(3) / 2 - 4, [-3, -3.4641, 1, 3, 3.4641, 2]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("quality", ["check", "show"])
def test_straight_slices_without_arcs_are_exact(
    piece: Slice, volume: float, bounds: list[float], quality: Quality
) -> None:
    made = mesh(Body("", (piece,)), quality)
    assert made.is_watertight
    assert made.volume == pytest.approx(volume, rel=1e-5)
    assert _bounds(made) == pytest.approx(bounds, abs=1e-3)


@pytest.mark.parametrize("quality", ["check", "show"])
@pytest.mark.parametrize(
    ("low", "high"), [(8.0, 4.0), (4.0, 8.0), (6.0, 6.0), (6.0, 0.0), (0.0, 6.0)],
    ids=["narrowing", "widening", "even", "to a point", "from a point"],
)  # fmt: skip
def test_cones_stand_where_they_should_with_the_wide_end_right(low: float, high: float, quality: Quality) -> None:
    made = mesh(Body("", (Slice(Taper(low, high, 10, 20), 3, 9),)), quality)
    assert made.is_watertight
    true = math.pi / 12 * (low**2 + low * high + high**2) * 6
    assert _near(made.volume, true, round_(max(low, high)), 6, quality)
    wide = max(low, high) / 2
    assert _bounds(made) == pytest.approx([10 - wide, 20 - wide, 3, 10 + wide, 20 + wide, 9], abs=0.01)
    for z, across in ((3, low), (9, high)):
        ends = made.vertices[np.isclose(made.vertices[:, 2], z)]
        reach = np.hypot(ends[:, 0] - 10, ends[:, 1] - 20).max()
        assert reach == pytest.approx(across / 2, abs=0.03)


@pytest.mark.parametrize("quality", ["check", "show"])
def test_holes_of_any_kind_are_taken_out_where_they_are(quality: Quality) -> None:
    plate = Slice(Straight(box(30, 20)), 1, 5, (Taper(4, 8, 9, 3), Straight(round_(4).moved(-8, -2))))
    made = mesh(Body("", (plate,)), quality)
    assert made.is_watertight
    true = 30 * 20 * 4 - math.pi / 12 * (16 + 32 + 64) * 4 - math.pi * 4 * 4
    strays = (math.pi * 8 * 5 + math.pi * 4 * 4) * FACETS[quality]
    assert made.volume == pytest.approx(true, abs=strays)
    inner = made.vertices[np.isclose(made.vertices[:, 2], 5) & (abs(made.vertices[:, 0]) < 14)]
    right, left = inner[inner[:, 0] > 0], inner[inner[:, 0] < 0]
    assert [right[:, 0].min(), right[:, 0].max()] == pytest.approx([9 - 4, 9 + 4], abs=0.03)
    assert [left[:, 1].min(), left[:, 1].max()] == pytest.approx([-2 - 2, -2 + 2], abs=0.03)
    lower = made.vertices[np.isclose(made.vertices[:, 2], 1) & (made.vertices[:, 0] > 0) & (made.vertices[:, 0] < 14)]
    assert [lower[:, 0].min(), lower[:, 0].max()] == pytest.approx([9 - 2, 9 + 2], abs=0.03)


def test_a_bored_cone_is_a_cone_less_its_bore() -> None:
    made = mesh(Body("", (cone(8, 4, 0, 6, 2),)), "show")
    assert made.volume == pytest.approx((math.pi / 12 * (64 + 32 + 16) - math.pi) * 6, abs=2.5)
    assert made.is_watertight


def test_meshes_for_checks_hold_bodies_and_leave_holes_small_and_those_for_the_eye_lie_within() -> None:
    ring = Body("", (prism(round_(20), 0, 1, (round_(10),)),))
    assert mesh(ring, "show").volume < ring.volume + 2 * math.pi * 5 * FACETS["show"]
    corners = mesh(ring, "check").vertices
    radii = np.hypot(corners[:, 0], corners[:, 1])
    outer, inner = radii[radii > 8], radii[radii < 8]
    assert outer.min() > 10  # tangents meet outside
    assert 10.004 < outer.max() < 10.00505  # 0.005 mm at most
    assert inner == pytest.approx(np.full(len(inner), 5.0), abs=1e-4)  # corners on the arc: chords run within
    shown = np.hypot(*mesh(ring, "show").vertices[:, :2].T)
    assert len(shown) < len(radii)  # 0.02 mm for the eye
    step = 2 * math.pi / ((shown > 8).sum() / 2)
    assert 0.019 < 10 * (1 - math.cos(step / 2)) <= 0.02
    assert shown[shown > 8] == pytest.approx(np.full((shown > 8).sum(), 10.0), abs=1e-4)


def test_slices_of_a_body_are_one_solid() -> None:
    body = Body("", (prism(box(10, 10), 0, 2), prism(box(4, 4).moved(1, 0), 2, 7)))
    made = mesh(body)
    assert made.is_watertight
    assert made.body_count == 1
    assert made.volume == pytest.approx(200 + 80)
    assert _bounds(made) == pytest.approx([-5, -5, 0, 5, 5, 7])
    assert solid_mesh(body, "show") is solid_mesh(body, "show")
    assert as_trimesh(solid_mesh(body, "check")).volume == pytest.approx(280)


@pytest.mark.parametrize(
    ("spot", "bounds"),
    [
        (Placement(), [0, 0, 2, 6, 3, 5]),
        (Placement(10, 20, 30), [10, 20, 32, 16, 23, 35]),
        (Placement(10, 20, 30, 90), [7, 20, 32, 10, 26, 35]),
        (Placement(10, 20, 30, 0, flip=True), [4, 20, 25, 10, 23, 28]),
        (Placement(10, 20, 30, 90, flip=True), [7, 14, 25, 10, 20, 28]),
        (Placement(0, 0, 0, 180), [-6, -3, 2, 0, 0, 5]),
    ],
)
def test_a_mesh_stands_where_its_slices_do(spot: Placement, bounds: list[float]) -> None:
    body = Body("", (prism(TRIANGLE, 2, 5),))
    made = as_trimesh(placed_mesh(body, spot, "check"))
    assert _bounds(made) == pytest.approx(bounds, abs=1e-4)
    assert tuple(Body("", spot.apply(body)).box) == pytest.approx(bounds)
    assert made.volume == pytest.approx(27)  # not turned inside out


def test_a_placement_as_a_matrix() -> None:
    assert matrix(Placement(1, 2, 3)).tolist() == [[1, 0, 0, 1], [0, 1, 0, 2], [0, 0, 1, 3], [0, 0, 0, 1]]
    half, root = 0.5, math.sqrt(0.75)
    assert matrix(Placement(turn=30)) == pytest.approx(
        np.array([[root, -half, 0, 0], [half, root, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1]])
    )
    assert matrix(Placement(turn=30, flip=True)) == pytest.approx(
        np.array([[-root, -half, 0, 0], [-half, root, 0, 0], [0, 0, -1, 0], [0, 0, 0, 1]])
    )


SHEET = (prism(box(100, 80), -4, -2), prism(box(100, 80), -2, 0))
GONE = (box(102, 8).moved(0, 38), box(10, 4).moved(-20, 0))
"""The upper edge from y = 34 on, past the edge, and a slot in the middle."""


def _bent(turn: float = 0) -> Body:
    fold = Fold(turn, -50, 40, 40, 4, 2, 6, -15)
    gone = tuple(outline.turned(turn) for outline in GONE)
    sheet = tuple(Slice(s.profile.turned(turn), s.z0, s.z1) for s in SHEET)
    return Body("", (*sheet, prism(box(90, 4).moved(-5, 38), -15, -4)), bent=Bent(sheet, gone, (fold,)))


@pytest.mark.parametrize("turn", [0, 90, 180])
def test_folded_sheet_has_its_bend_for_the_eye(turn: float) -> None:
    body = _bent(turn)
    assert body.bent is not None
    made = mesh(body, "show")
    (fold,) = body.bent.folds
    sheet = (100 * 80 - 100 * 6 - 10 * 4) * 4
    assert made.is_watertight
    assert made.volume == pytest.approx(sheet + fold.volume, abs=fold.outside * 90 * 0.03)
    corners = np.array([[-50, -40, -15], [50, 40, 0]])
    angle = math.radians(turn)
    turned = [(x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle), z)
              for x, y, z in corners]  # fmt: skip
    low, high = np.min(turned, axis=0), np.max(turned, axis=0)
    assert _bounds(made) == pytest.approx([*low, *high], abs=1e-3)
    wall = made.vertices[np.isclose(made.vertices[:, 2], -15)]
    along = wall[:, 0] * math.cos(angle) + wall[:, 1] * math.sin(angle)
    out = wall[:, 1] * math.cos(angle) - wall[:, 0] * math.sin(angle)
    assert [along.min(), along.max(), out.min(), out.max()] == pytest.approx([-50, 40, 36, 40], abs=1e-4)


def test_folded_sheet_is_its_slices_in_checks() -> None:
    body = _bent()
    assert mesh(body, "check").volume == pytest.approx(body.volume, rel=1e-6)
