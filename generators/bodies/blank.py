"""The blank: what is cut before it is bent. A flat panel is its own blank; folded lips are laid flat.

A lip is folded back from the top and the bottom edge by 90 degrees, so that its outer face is flush with that edge
of the finished panel and its end lies ``lip`` mm behind the rear face. Where rack rails leave less room than the
panel is wide, the lips end short of them, with a relief slot beside each. All lengths mm, panel axes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from dryfit.generators.bodies.lips import fold_line, relief_end
from dryfit.models.geometry.contours import Contour, Curve, Vertex, contour
from dryfit.models.geometry.points import Point
from dryfit.models.panel import Panel

K_FACTOR = 0.447
"""Share of the thickness at which the sheet keeps its length in a bend. From the empirical rule for aircraft sheet,
(0.01745 r + 0.0078 t) per degree, so K = 0.0078 / 0.01745 (US Navy aviation structural mechanic training course,
bend allowance formula)."""

RIGHT_ANGLE = 90.0  # degrees; every lip is folded square


def bend_allowance(angle: float, radius: float, thickness: float, k: float = K_FACTOR) -> float:
    """Return the length of sheet that a bend takes up: angle in degrees turned, inside radius and thickness in mm."""
    return math.radians(angle) * (radius + k * thickness)


@dataclass(frozen=True)
class Blank:
    """The flat pattern: its contour, and the middle line of each bend (two points)."""

    contour: Contour
    bends: tuple[tuple[Point, Point], ...]
    width: float
    height: float
    k: float
    allowance: float  # of one bend; 0 for a flat panel


def blank(panel: Panel, k: float = K_FACTOR) -> Blank:
    """Return the flat pattern of a panel.

    Raises:
        ValueError: if the lip is shorter than its own bend, or the panel lower than its two bends.
    """
    if panel.lip == 0:
        return Blank(contour(panel.outline), (), panel.width, panel.height, k, 0.0)
    if panel.lip < panel.bend_radius:
        raise ValueError(f"a lip of {panel.lip:g} mm is shorter than its bend radius of {panel.bend_radius:g} mm")
    tangent = fold_line(panel)
    if tangent < 0:
        raise ValueError(f"a panel {panel.height:g} mm high has no room for two bends")
    allowance = bend_allowance(RIGHT_ANGLE, panel.bend_radius, panel.thickness, k)
    end = tangent + allowance + panel.lip - panel.bend_radius
    half = panel.lip_length / 2
    middle = tangent + allowance / 2
    bends = tuple((Point(-half, y), Point(half, y)) for y in (middle, -middle))
    return Blank(_lipped(panel, half, tangent, end), bends, panel.width, 2 * end, k, allowance)


def _lipped(panel: Panel, half: float, tangent: float, end: float) -> Curve:
    """Return the contour of a blank with lips, anticlockwise from the lower right."""
    if half >= panel.width / 2:
        return Curve(((half, -end, 0.0), (half, end, 0.0), (-half, end, 0.0), (-half, -end, 0.0)))
    w, h, outer = panel.width / 2, panel.height / 2, relief_end(panel)
    r = min(panel.corner, w - outer, h)
    corner: tuple[Vertex, ...] = ((w, h, 0.0),)
    if r > 0:
        corner = ((w, h - r, math.tan(math.pi / 8)), (w - r, h, 0.0))
    steps = ((outer, h, 0.0), (outer, tangent, 0.0), (half, tangent, 0.0), (half, end, 0.0))
    right = corner + tuple(steps)
    left = tuple((-x, y, bulge) for (x, y, _), bulge in zip(reversed(right), _bulges_back(right), strict=True))
    upper = right + left
    lower = tuple((-x, -y, b) for x, y, b in upper)
    return Curve(upper + lower)


def _bulges_back(right: tuple[Vertex, ...]) -> list[float]:
    """Return the bulges of a chain walked backwards as its mirror image: same sense, one place on."""
    return [*(b for _, _, b in reversed(right[:-1])), 0.0]
