"""The coupon: a small plate with graded holes, printed as drawn, from which a printer's compensation is learned."""

from __future__ import annotations

from collections.abc import Sequence

from dryfit.generators.lettering.typeface import text_width
from dryfit.generators.testplate.labels import PLACE_HEIGHTS, Label, letter_depth
from dryfit.generators.testplate.pieces import Piece, plate_piece
from dryfit.generators.testplate.seams import BED_EDGE
from dryfit.models.geometry.outlines import Outline, box, round_
from dryfit.models.printer import COUPON_HOLES, Printer

THICKNESS = 3.0  # mm, about that of a panel: holes in thin plates print alike
MARGIN = 4.0  # mm of plate round every hole and its legend
LEGEND_GAP = 1.5  # mm from a hole to the legend under it
WIDEST = 90.0  # mm
LEAST_COLUMN = 9.0  # mm, room for a legend such as 3.2

Drawn = tuple[Outline, tuple[Outline, ...], tuple[Label, ...]]


def coupon(printer: Printer) -> Piece:
    """Return the coupon: holes in rows from the smallest, each with its diameter under it.

    On a very small bed the largest holes are left out.
    """
    height = PLACE_HEIGHTS[0] * printer.nozzle
    width, depth = (side - 2 * BED_EDGE for side in printer.bed[:2])
    count = len(COUPON_HOLES)
    plate, holes, labels = _drawn(COUPON_HOLES, height, min(WIDEST, width))
    while count > 1 and plate.size.height > depth:
        count -= 1
        plate, holes, labels = _drawn(COUPON_HOLES[:count], height, min(WIDEST, width))
    deep = letter_depth(THICKNESS, printer.layer)
    return plate_piece("coupon", plate, holes, labels, thickness=THICKNESS, deep=deep)


def _drawn(diameters: Sequence[float], height: float, widest: float) -> Drawn:
    """Return plate, holes and legends, rows no wider than ``widest``; the upper left corner is the origin."""
    holes: list[Outline] = []
    labels: list[Label] = []
    x, top, deepest, right = MARGIN, 0.0, 0.0, 0.0
    for diameter in diameters:
        legend = f"{diameter:g}"
        wide = text_width(legend, height)
        column = max(diameter, LEAST_COLUMN, wide)
        if x > MARGIN and x + column + MARGIN > widest:
            x, top = MARGIN, deepest
        middle, base = x + column / 2, top - MARGIN - diameter - LEGEND_GAP - height
        holes.append(round_(diameter).moved(middle, top - MARGIN - diameter / 2))
        labels.append(Label(legend, middle - wide / 2, base, height))
        x += column + MARGIN
        deepest, right = min(deepest, base), max(right, x)
    bottom = deepest - MARGIN
    return box(right, -bottom).moved(right / 2, bottom / 2), tuple(holes), tuple(labels)
