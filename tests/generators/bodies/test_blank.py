"""Flat patterns by hand: a panel of 120 x 80 mm, 2 mm thick, inside radius 2, lips of 15 mm, allowance 4.5 mm.

A lip is then 4.5 + 15 - 2 - 4 = 13.5 mm longer on the blank than the edge of the bent panel.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pytest

from dryfit.generators.bodies.blank import allowance_of, blank, silhouette
from dryfit.models.geometry.contours import Contour, Curve, contour
from dryfit.models.panel import EDGES, Panel
from dryfit.models.tables.bends import bend_rule
from dryfit.models.tables.panels import materials
from tests.plain import about

BULGE = math.tan(math.pi / 8)


def _panel(*edges: str, **changes: Any) -> Panel:
    values = {"lip": 15.0, "bend_radius": 2.0, "lips": edges, "allowance": 4.5, **changes}
    return Panel(120.0, 80.0, 2.0, materials()["steel"], **values)


def _vertices(shape: Contour) -> list[tuple[float, ...]]:
    assert isinstance(shape, Curve)
    return [tuple(round(v, 6) + 0.0 for v in vertex) for vertex in shape.vertices]


def _sharp(*points: tuple[float, float]) -> list[tuple[float, float, float]]:
    return [(x, y, 0.0) for x, y in points]


def test_a_flat_panel_is_its_own_blank() -> None:
    flat = _panel(lip=0.0, corner=5.0)
    made = blank(flat)
    assert made.contour == silhouette(flat) == contour(flat.outline)
    assert (made.bends, made.width, made.height, made.k, made.allowance, made.basis) == ((), 120, 80, 0, 0, "")


@pytest.mark.parametrize(
    ("edges", "far", "bent"),
    [
        (("top",), _sharp((60, -40), (60, 53.5), (-60, 53.5), (-60, -40)),
         _sharp((60, -40), (60, 40), (-60, 40), (-60, -40))),
        (("bottom",), _sharp((60, 40), (-60, 40), (-60, -53.5), (60, -53.5)),
         _sharp((60, 40), (-60, 40), (-60, -40), (60, -40))),
        (("right",), _sharp((73.5, -40), (73.5, 40), (-60, 40), (-60, -40)),
         _sharp((60, -40), (60, 40), (-60, 40), (-60, -40))),
        # the corner between two lips is notched to half a millimetre past both bends, at (55.5, 35.5)
        (("right", "top"),
         _sharp((73.5, -40), (73.5, 35.5), (55.5, 35.5), (55.5, 53.5), (-60, 53.5), (-60, -40)),
         _sharp((60, -40), (60, 35.5), (55.5, 35.5), (55.5, 40), (-60, 40), (-60, -40))),
    ],
)  # fmt: skip
def test_lips_are_laid_flat(
    edges: tuple[str, ...], far: list[tuple[float, ...]], bent: list[tuple[float, ...]]
) -> None:
    panel = _panel(*edges)
    assert sorted(_vertices(blank(panel).contour)) == sorted(far)
    assert _turned_alike(_vertices(blank(panel).contour), far)
    assert _turned_alike(_vertices(silhouette(panel)), bent)


def _turned_alike(ring: Sequence[tuple[float, ...]], wanted: Sequence[tuple[float, ...]]) -> bool:
    """Whether two rings are the same, wherever they begin."""
    return any(list(ring) == [*wanted[n:], *wanted[:n]] for n in range(len(wanted)))


def test_lips_on_all_sides_are_notched_at_all_corners() -> None:
    quarter = [(73.5, 35.5), (55.5, 35.5), (55.5, 53.5)]
    upper = [*quarter, *((-x, y) for x, y in reversed(quarter))]
    ring = _sharp(*upper, *((-x, -y) for x, y in upper))
    assert _turned_alike(_vertices(blank(_panel(*EDGES)).contour), ring)


def test_a_lip_short_of_the_rails_has_a_slot_at_each_end_and_the_panel_its_corners() -> None:
    # 110 between the rails: 106 of lip, reliefs of 2; slots half a millimetre past the bend
    panel = _panel("top", clear_width=110.0)
    slots = [(55, 40), (55, 35.5), (53, 35.5), (53, 53.5)]
    ring = _sharp((60, -40), (60, 40), *slots, *((-x, y) for x, y in reversed(slots)), (-60, 40), (-60, -40))
    assert _turned_alike(_vertices(blank(panel).contour), ring)


def test_corners_are_round_where_no_lip_takes_their_place() -> None:
    ring = [(60.0, -35.0, 0.0), (60.0, 53.5, 0.0), (-60.0, 53.5, 0.0), (-60.0, -35.0, round(BULGE, 6)),
            (-55.0, -40.0, 0.0), (55.0, -40.0, round(BULGE, 6))]  # fmt: skip
    assert _turned_alike(_vertices(blank(_panel("top", corner=5.0)).contour), ring)


@pytest.mark.parametrize(
    ("edge", "line"),
    [
        # the bend begins 4 from the edge; its middle is half of 4.5 further
        ("top", ((-60, 38.25), (60, 38.25))),
        ("bottom", ((-60, -38.25), (60, -38.25))),
        ("right", ((58.25, -40), (58.25, 40))),
        ("left", ((-58.25, -40), (-58.25, 40))),
    ],
)
def test_a_bend_is_told_by_its_middle_line(edge: str, line: tuple[tuple[float, float], ...]) -> None:
    made = blank(_panel(edge))
    assert made.bends == (line,)
    assert (made.width, made.height) == ((133.5, 80) if edge in ("left", "right") else (120, 93.5))


def test_a_bend_line_ends_where_its_lip_does() -> None:
    (line,) = blank(_panel("top", clear_width=110.0)).bends
    assert line == ((-53, 38.25), (53, 38.25))
    lines = blank(_panel("right", "top")).bends
    assert lines == (((58.25, -40), (58.25, 35.5)), ((-60, 38.25), (55.5, 38.25)))


def test_the_allowance_is_the_shops_own_or_follows_from_k() -> None:
    k = 4.5 / (math.pi / 2) - 2
    assert allowance_of(_panel("top")) == (about(k / 2), 4.5, "the shop's own")
    assert allowance_of(_panel("top", allowance=None, k_factor=0.4)) == (
        0.4, about(math.pi / 2 * (2 + 0.4 * 2)), "the shop's own",
    )  # fmt: skip
    rule = bend_rule()
    own = rule.k(2.0, 2.0)
    assert allowance_of(_panel("top", allowance=None)) == (own, about(math.pi / 2 * (2 + own * 2)), rule.name)
    made = blank(_panel("top"))
    assert (made.k, made.allowance, made.basis) == (about(k / 2), 4.5, "the shop's own")


def test_what_has_no_room_for_its_bends_is_refused() -> None:
    with pytest.raises(ValueError, match=r"a lip of 1\.9 mm is shorter than its bend radius of 2 mm"):
        blank(_panel("top", lip=1.9))
    assert blank(_panel("top", lip=2.0)).height == pytest.approx(80 + 4.5 + 2 - 2 - 4)
    with pytest.raises(ValueError, match="a panel 80 mm high has no room for two bends"):
        blank(_panel("top", "bottom", lip=45.0, bend_radius=38.0))
    made = blank(_panel("top", "bottom", lip=45.0, bend_radius=37.9))
    assert made.height == pytest.approx(80 + 2 * (4.5 + 45 - 37.9 - 39.9))
