"""A flat blank with bend lines folded up again: the size of the panel, its lips, and the holes in its front.

What :mod:`dryfit.generators.bodies.blank` does to lay a panel flat, the other way round: a bend takes up its allowance
half on each side of its line. Thickness and inside radius are not drawn; by the usual rule they give the allowance. mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from dryfit.generators.intake.plates.plate import Folded, Plate, centred
from dryfit.models.geometry.contours import contour
from dryfit.models.geometry.outlines import filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.panel import EDGES, Edge
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.bends import RIGHT_ANGLE, bend_allowance, bend_rule

LEVEL = 0.01  # mm that the ends of a bend line may differ by and still run along an edge
SAME_LIP = 0.1  # mm that the lips of a panel may differ in depth: a layout has one depth for all


@dataclass(frozen=True)
class _Bend:
    """A bend line along an edge: where it lies, and how far the blank reaches past it."""

    edge: Edge
    at: float
    past: float


def folded_up(plate: Plate, thickness: float, radius: float | None = None) -> Plate:
    """Return a plate with its lips folded along its bend lines, in sheet so thick; as it is where none are drawn.

    Without a ``radius`` the bends are as tight inside as the sheet is thick (common practice), which is said.
    """
    bends = tuple(_along_edges(plate))
    if not bends:
        return plate
    inside = thickness if radius is None else radius
    taken = bend_allowance(RIGHT_ANGLE, inside, thickness, bend_rule().k(inside, thickness))
    depths = {bend.edge: bend.past - taken / 2 + inside for bend in bends}
    out = thickness + inside - taken / 2  # from a bend line to the outer face of its lip
    sides = dict(zip(("left", "bottom", "right", "top"), plate.box, strict=True))
    for bend in bends:
        sides[bend.edge] = bend.at + (out if bend.edge in {"right", "top"} else -out)
    whole = Rectangle(**sides)
    kept = tuple(opening for opening in plate.openings if whole.holds(opening.box))
    said = (*plate.said, *_said(depths, inside, radius is None, len(plate.openings) - len(kept)))
    edges = tuple(edge for edge in EDGES if edge in depths)
    folded = Folded(round(max(depths.values()), 3), edges, inside)
    return centred(replace(plate, contour=contour(filled(whole)), openings=kept, bends=(), said=said, folded=folded))


def _along_edges(plate: Plate) -> Iterator[_Bend]:
    """Yield the outermost bend line along each edge."""
    found: dict[Edge, _Bend] = {}
    for start, end in plate.bends:
        for bend in _bend(plate.box, start, end):
            if bend.edge not in found or bend.past < found[bend.edge].past:
                found[bend.edge] = bend
    yield from found.values()


def _bend(box: Rectangle, start: Point, end: Point) -> Iterator[_Bend]:
    middle = (start + end) * 0.5 - box.centre
    if abs(start.y - end.y) <= LEVEL < abs(start.x - end.x):
        yield (
            _Bend("top", start.y, box.top - start.y) if middle.y > 0 else _Bend("bottom", start.y, start.y - box.bottom)
        )
    elif abs(start.x - end.x) <= LEVEL < abs(start.y - end.y):
        yield (
            _Bend("right", start.x, box.right - start.x) if middle.x > 0 else _Bend("left", start.x, start.x - box.left)
        )


def _said(depths: dict[Edge, float], inside: float, guessed: bool, lost: int) -> Iterator[str]:
    basis = "as the sheet is thick (--bend-radius says otherwise)" if guessed else "as given"
    yield (
        f"the blank is folded up along its bend lines: lips of {format_mm(max(depths.values()))}, "
        f"{format_mm(inside)} inside radius, {basis}, by {bend_rule().name}"
    )
    if max(depths.values()) - min(depths.values()) > SAME_LIP:
        told = ", ".join(f"{edge} {format_mm(depth)}" for edge, depth in depths.items())
        yield f"its lips differ in depth, a layout has one: {told}"
    if lost:
        yield f"left out: {lost} holes in the lips"
