"""Lips by hand: a panel of 120 x 80 mm, 2 mm thick, inside radius 2: bends begin 4 mm from the edges."""

from __future__ import annotations

import math
from typing import Any

import pytest

from dryfit.generators.bodies.lips import End, Lip, fold, lips
from dryfit.models.geometry.folds import Fold
from dryfit.models.panel import EDGES, Panel
from dryfit.models.tables.panels import materials
from tests.plain import about


def _panel(*edges: str, **changes: Any) -> Panel:
    values = {"lip": 15.0, "bend_radius": 2.0, "lips": edges, **changes}
    return Panel(120.0, 80.0, 2.0, materials()["steel"], **values)


WHOLE, SHORT = End(60, 60), End(40, 40)
OF = {
    "right": Lip("right", 60, 56, 40, SHORT, SHORT),
    "top": Lip("top", 40, 36, 60, WHOLE, WHOLE),
    "left": Lip("left", 60, 56, 40, SHORT, SHORT),
    "bottom": Lip("bottom", 40, 36, 60, WHOLE, WHOLE),
}


@pytest.mark.parametrize("edge", EDGES)
def test_a_lip_runs_along_the_whole_of_its_edge(edge: str) -> None:
    assert lips(_panel(edge)) == (OF[edge],)
    assert (OF[edge].length, OF[edge].left.relief) == (80 if edge in ("right", "left") else 120, 0)


def test_lips_are_told_anticlockwise_from_the_right_whatever_their_order_in_the_layout() -> None:
    assert [lip.edge for lip in lips(_panel("bottom", "left", "right", "top"))] == ["right", "top", "left", "bottom"]
    assert lips(_panel("top", lip=0.0)) == ()


@pytest.mark.parametrize(
    ("edges", "ends"),
    # half of the edge less 4 for the bend of the other lip and half a millimetre past it; left and right as one stands
    # before the edge with its outside up
    [
        (("top", "right"), {"top": (False, True), "right": (True, False)}),
        (("top", "left"), {"top": (True, False), "left": (False, True)}),
        (("bottom", "right"), {"bottom": (True, False), "right": (False, True)}),
        (("bottom", "left"), {"bottom": (False, True), "left": (True, False)}),
        (("top", "bottom"), {"top": (False, False), "bottom": (False, False)}),
        (EDGES, dict.fromkeys(EDGES, (True, True))),
    ],
)
def test_lips_that_meet_share_the_relief_of_their_corner(
    edges: tuple[str, ...], ends: dict[str, tuple[bool, bool]]
) -> None:
    for lip in lips(_panel(*edges)):
        half = 40 if lip.edge in ("right", "left") else 60
        wanted = [End(half - 4.5, half, True) if meets else End(half, half) for meets in ends[lip.edge]]
        assert [lip.left, lip.right] == wanted
        assert lip.floor == lip.fold - 0.5


@pytest.mark.parametrize(
    ("clear", "end"),
    [(None, WHOLE), (120.0, WHOLE), (130.0, WHOLE), (110.0, End(53, 55)), (119.0, End(57.5, 59.5))],
)
def test_rails_leave_less_for_a_lip_and_its_reliefs(clear: float | None, end: End) -> None:
    (lip,) = lips(_panel("top", clear_width=clear))
    assert lip.left == lip.right == end


@pytest.mark.parametrize(
    ("edge", "there"), [("right", (36, -10)), ("top", (10, 36)), ("left", (-36, 10)), ("bottom", (-10, -36))]
)
def test_a_point_before_a_lip_is_on_its_side_of_the_panel(edge: str, there: tuple[float, float]) -> None:
    lip = OF[edge]
    assert lip.turn == {"right": -90, "top": 0, "left": 90, "bottom": 180}[edge]
    assert lip.point(10, 36) == there
    box = lip.between(-5, 30, 15, 36).box
    corners = sorted([lip.point(-5, 30), lip.point(15, 36)])
    assert (box.left, box.right) == (corners[0][0], corners[1][0])
    assert (box.bottom, box.top) == tuple(sorted((corners[0][1], corners[1][1])))


def test_the_strip_of_a_bend_runs_past_the_edge_or_up_to_its_reliefs() -> None:
    assert OF["top"].strip(36).box == (-61, 36, 61, 41)
    assert OF["top"].strip(35.5, 0.1).box == (-61, 35.5, 61, 41)
    assert OF["right"].strip(56).box == pytest.approx((56, -41, 61, 41))
    short = Lip("top", 40, 36, 60, WHOLE, End(53, 55))
    assert short.strip(36).box == (-61, 36, 53, 41)
    assert short.strip(36, 0.1).box == pytest.approx((-61, 36, 53.1, 41))
    assert Lip("top", 40, 36, 60, End(53, 55), WHOLE).strip(36, 0.1).box == pytest.approx((-53.1, 36, 61, 41))


def test_reliefs_stand_beside_the_ends_narrowed_by_a_coating() -> None:
    assert list(OF["top"].reliefs()) == []
    short = Lip("top", 40, 36, 60, End(51, 53), End(54, 57))
    assert [r.box for r in short.reliefs()] == [pytest.approx((-53, 35.5, -51, 41)), pytest.approx((54, 35.5, 57, 41))]
    assert [r.box for r in short.reliefs(0.1)] == [
        pytest.approx((-52.9, 35.6, -51.1, 41)), pytest.approx((54.1, 35.6, 56.9, 41)),
    ]  # fmt: skip
    corner = Lip("top", 40, 36, 60, WHOLE, End(55.5, 60, True))
    assert [r.box for r in corner.reliefs(0.1)] == [pytest.approx((55.6, 35.6, 61, 41))]
    lying = Lip("left", 60, 56, 40, SHORT, End(35.5, 40, True))
    assert [r.box for r in lying.reliefs()] == [pytest.approx((-61, 35.5, -55.5, 41))]


def test_a_fold_under_a_coating_is_thicker_longer_and_narrower_inside() -> None:
    lip = Lip("left", 60, 56, 40, End(30, 32), End(35, 37))
    assert fold(_panel("left"), lip) == Fold(90, -30, 35, 60, 2, 2, 4, -17)
    coated = fold(_panel("left"), lip, 0.1)
    assert tuple(vars(coated).values()) == pytest.approx((90, -30.1, 35.1, 60.1, 2.2, 1.9, 4.1, -17.2))
    sharp = fold(_panel("left", bend_radius=0.05), lip, 0.1)
    assert (sharp.inside, sharp.outside) == (0, about(2.15))
    assert math.isclose(sharp.end, -17.2)


def test_a_lip_is_as_long_as_both_of_its_ends_are_off_the_middle() -> None:
    assert Lip("top", 40, 36, 60, End(30, 32), End(55.5, 60, True)).length == 85.5
