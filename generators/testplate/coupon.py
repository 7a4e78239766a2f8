"""The coupon: a small plate with graded holes, printed as drawn, from which a printer's compensation is learned."""

from __future__ import annotations

from dryfit.generators.testplate.lettering import PLACE_HEIGHTS, Label, letter_depth
from dryfit.generators.testplate.pieces import Piece, plate_piece
from dryfit.generators.testplate.seams import BED_EDGE
from dryfit.models.outlines import Outline, box, round_
from dryfit.models.printer import COUPON_HOLES, Printer

THICKNESS = 3.0  # mm, about that of a panel: holes in thin plates print alike
MARGIN = 4.0  # mm of plate round every hole and its legend
WIDEST = 90.0  # mm
LEAST_COLUMN = 9.0  # mm, room for a legend such as 3.2


def coupon(printer: Printer) -> Piece:
    """Return the coupon: holes in rows from the smallest, each with its diameter under it."""
    from dryfit.generators.drawing.font import text_width

    height = PLACE_HEIGHTS[0] * printer.nozzle
    widest = min(WIDEST, printer.bed[0] - 2 * BED_EDGE)
    holes: list[Outline] = []
    labels: list[Label] = []
    x, top, deepest, right = MARGIN, 0.0, 0.0, 0.0
    for diameter in COUPON_HOLES:
        column = max(diameter, LEAST_COLUMN, text_width(f"{diameter:g}", height))
        if x + column + MARGIN > widest:
            x, top, deepest = MARGIN, deepest, 0.0
        middle = x + column / 2
        holes.append(round_(diameter).moved(middle, top - MARGIN - diameter / 2))
        base = top - MARGIN - diameter - 1.5 - height
        labels.append(Label(f"{diameter:g}", middle - text_width(f"{diameter:g}", height) / 2, base, height))
        x += column + MARGIN
        deepest, right = min(deepest, base), max(right, x)
    bottom = deepest - MARGIN
    plate = box(right, -bottom).moved(right / 2, bottom / 2)
    deep = letter_depth(THICKNESS, printer.layer)
    return plate_piece("coupon", plate, holes, labels, thickness=THICKNESS, deep=deep)
