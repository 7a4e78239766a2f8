"""Geometry against something outside: the kernel's own distances, and closed forms.

The kernel computes distances between exact surfaces by iteration; the outlines know them in closed form.
"""

from __future__ import annotations

import math

import cadquery as cq
import pytest

from dryfit.generators.bodies import solids
from dryfit.models.geometry.bodies import Body, Placement, prism
from dryfit.models.geometry.outlines import Outline, box, d_shape, gap, hexagon, polygon, round_, slot

SHAPES: list[Outline] = [
    round_(23.8), box(26, 31, 3), hexagon(5.5), slot(10.3, 6.8), d_shape(9.7, 9.0),
    polygon(((-10.3, 6), (10.3, 6), (8.2, -6), (-8.2, -6)), 1.5),
]  # fmt: skip
KERNEL = 1e-6  # mm, its own confusion is 1e-7


def solid(body: Body) -> cq.Shape:
    """Return a body's solid, so that the kernel can measure it."""
    return cq.Shape.cast(solids.solid(body))


@pytest.mark.parametrize("first", range(len(SHAPES)))
@pytest.mark.parametrize("second", range(len(SHAPES)))
def test_gaps_are_the_kernels_distances(first: int, second: int) -> None:
    a = SHAPES[first].turned(17 * first)
    b = SHAPES[second].turned(-31 * second).moved(33 * math.cos(first), 33 * math.sin(second + 1))
    bodies = [solid(Body(str(i), (prism(outline, 0, 2),))) for i, outline in enumerate((a, b))]
    exact = gap(a, b)
    if exact > 0:
        assert bodies[0].distance(bodies[1]) == pytest.approx(exact, abs=KERNEL)
    else:
        assert bodies[0].distance(bodies[1]) == pytest.approx(0, abs=KERNEL)


# Closed forms from the mensuration tables of handbooks (prism, cylinder, frustum of a cone), written out anew.
def test_volumes_are_the_handbooks() -> None:
    from dryfit.models.geometry.bodies import cone

    frustum = Body("f", (cone(6.3, 3.0, 0, 1.65),))
    r1, r2, h = 3.15, 1.5, 1.65
    assert solid(frustum).Volume() == pytest.approx(math.pi * h / 3 * (r1 * r1 + r1 * r2 + r2 * r2), rel=1e-9)
    nut = Body("n", (prism(hexagon(5.5), 0, 2.4, (round_(3),)),))
    assert solid(nut).Volume() == pytest.approx((0.8660254037844386 * 5.5**2 - math.pi * 2.25) * 2.4, rel=1e-9)


def test_flipping_turns_half_about_y() -> None:
    body = Body("b", (prism(d_shape(9.7, 9.0).moved(4, 1), 0, 2),))
    placed = Body("p", Placement(1, 2, 3, 30, flip=True).apply(body))
    kernel = solid(body).rotate((0, 0, 0), (0, 1, 0), 180).rotate((0, 0, 0), (0, 0, 1), 30).translate((1, 2, 3))
    assert solid(placed).intersect(kernel).Volume() == pytest.approx(body.volume, rel=1e-6)
