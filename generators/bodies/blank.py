"""The blank: what is cut before it is bent. A flat panel is its own blank; folded lips are laid flat.

A lip is folded back from its edge by 90 degrees, so that its outer face is flush with that edge of the finished panel
and its end lies ``lip`` mm behind the rear face. Where rack rails leave less room than the panel is wide, lips end
short of them, with a relief slot beside each; where two lips meet, the corner is notched. All lengths mm, panel axes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.bodies.lips import End, Lip, lips
from dryfit.models.geometry.contours import Contour, Curve, Vertex, contour
from dryfit.models.geometry.outlines import Corner
from dryfit.models.geometry.points import Point
from dryfit.models.panel import CORNERS, EDGES, Panel
from dryfit.models.tables.bends import RIGHT_ANGLE, bend_allowance, bend_rule

QUARTER_BULGE = math.tan(math.pi / 8)  # of a quarter turn
SAME = 1e-9  # mm; neighbouring edges compute the corner between them each for itself


@dataclass(frozen=True)
class Blank:
    """The flat pattern: its contour, and the middle line of each bend (two points)."""

    contour: Contour
    bends: tuple[tuple[Point, Point], ...]
    width: float
    height: float
    k: float
    allowance: float  # of one bend; 0 for a flat panel
    basis: str  # where the allowance comes from


def blank(panel: Panel) -> Blank:
    """Return the flat pattern of a panel.

    Raises:
        ValueError: if the lip is shorter than its own bend, or the panel lower than its two bends.
    """
    if not panel.folded:
        return Blank(contour(panel.outline), (), panel.width, panel.height, 0.0, 0.0, "")
    if panel.lip < panel.bend_radius:
        raise ValueError(f"a lip of {panel.lip:g} mm is shorter than its bend radius of {panel.bend_radius:g} mm")
    if panel.flat_sides.is_empty:
        raise ValueError(f"a panel {panel.height:g} mm high has no room for two bends")
    k, allowance, basis = allowance_of(panel)
    longer = allowance + panel.lip - panel.bend_radius - panel.setback  # than the edge of the bent panel
    shape = _contour(panel, longer)
    bends = tuple(_bend_line(lip, lip.fold + allowance / 2) for lip in lips(panel))
    return Blank(shape, bends, *shape.box.size, k, allowance, basis)


def allowance_of(panel: Panel) -> tuple[float, float, str]:
    """Return K factor and allowance (mm) of one bend of a panel, and where they come from."""
    radius, thick = panel.bend_radius, panel.thickness
    if panel.allowance is not None:
        k = (panel.allowance / math.radians(RIGHT_ANGLE) - radius) / thick
        return k, panel.allowance, "the shop's own"
    rule = bend_rule()
    k, basis = (panel.k_factor, "the shop's own") if panel.k_factor is not None else (rule.k(radius, thick), rule.name)
    return k, bend_allowance(RIGHT_ANGLE, radius, thick, k), basis


def silhouette(panel: Panel) -> Contour:
    """Return the bent panel seen from the front, with the reliefs beside its lips."""
    return _contour(panel, 0.0) if panel.folded else contour(panel.outline)


def _bend_line(lip: Lip, y: float) -> tuple[Point, Point]:
    start, end = sorted((lip.point(-lip.left.at, y), lip.point(lip.right.at, y)))
    return start, end


def _contour(panel: Panel, longer: float) -> Curve:
    """Return the contour of a panel with lips, anticlockwise from its lower right, each lip ``longer`` than flush."""
    folded = {lip.edge: lip for lip in lips(panel)}
    corners = dict(zip(CORNERS, panel.outline.corners, strict=True))
    vertices: list[Vertex] = []
    for number, edge in enumerate(EDGES):
        vertices += _corner(corners[(EDGES[number - 1], edge)], folded.get(EDGES[number - 1]), folded.get(edge))
        vertices += _along(folded[edge], longer) if edge in folded else ()
    return Curve(tuple(_distinct(vertices)))


def _corner(corner: Corner, before: Lip | None, after: Lip | None) -> Iterator[Vertex]:
    """Yield the panel's own corner between two edges; nothing where a lip takes its place."""
    ends = [end for end in (before and before.left, after and after.right) if end]
    halves = [lip.half for lip in (before, after) if lip]
    if any(end.to >= half for end, half in zip(ends, halves, strict=True)):
        return
    start, stop = corner.ends
    yield (*start, QUARTER_BULGE if corner.is_round else 0.0)
    if corner.is_round:
        yield (*stop, 0.0)


def _along(lip: Lip, longer: float) -> Iterator[Vertex]:
    """Yield the contour of a lip, from its right end to its left."""
    top = lip.reach + longer
    right = list(_end(lip, lip.right, top))
    left = [(-x, y) for x, y in reversed(list(_end(lip, lip.left, top)))]
    yield from ((*lip.point(x, y), 0.0) for x, y in (*right, *left))


def _end(lip: Lip, end: End, top: float) -> Iterator[tuple[float, float]]:
    """Yield the contour at the right end of a lip, or of its mirror image: the relief beside it, then its corner."""
    if end.relief > 0:
        yield from ((end.to, lip.reach),) if end.to < lip.half else ()
        yield from ((end.to, lip.floor),) if not end.meets else ()
        yield (end.at, lip.floor)
    yield (end.at, top)


def _distinct(vertices: list[Vertex]) -> Iterator[Vertex]:
    """Yield vertices without those that only repeat the one before."""
    for before, here in zip([vertices[-1], *vertices[:-1]], vertices, strict=True):
        if math.dist(before[:2], here[:2]) > SAME:
            yield here
