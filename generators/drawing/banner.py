"""The banner at the head of every page of a panel that fails: that it is not for manufacture, and what fails."""

from __future__ import annotations

from dryfit.generators.drawing.marks import Block, Mark, Pen, Text, frame
from dryfit.generators.drawing.textblocks import HEIGHT, fitted, wrapped
from dryfit.generators.lists.failing import HEADLINE, Fails, reasons
from dryfit.models.geometry.rectangles import Rectangle

LARGE = 5.0  # mm; ISO 3098 size next but one over that of the views' names
PAD = 1.5  # mm between the frame and its text
ROWS = 3  # of what fails; a sheet of the drawing tells all in sentences
STEP = 1.6 * HEIGHT


def banner(fails: Fails, width: float) -> Block | None:
    """Return the banner, as wide as told, its upper left corner at the origin; None for a panel that may be made."""
    if not fails:
        return None
    head, height = fitted(HEADLINE, width - 2 * PAD, LARGE)
    marks: list[Mark] = [Text(width / 2, -PAD - LARGE, head, height, "centre")]
    y = -PAD - LARGE
    for row in _rows("; ".join(_unbroken(reason) for reason in reasons(fails)), width - 2 * PAD):
        y -= STEP
        marks.append(Text(width / 2, y, row, HEIGHT, "centre"))
    box = Rectangle(0.0, y - PAD - 0.3 * HEIGHT, width, 0.0)
    return Block("banner", (*marks, frame(box, Pen.OUTLINE)), box)


def _unbroken(reason: str) -> str:
    """Return a reason that breaks between the names of places only."""
    return ", ".join(name.replace(" ", "\u00a0") for name in reason.split(", "))


def _rows(text: str, width: float) -> list[str]:
    """Return the text in as many rows as there may be, the last cut short where that is not all."""
    rows = list(wrapped(text, width, HEIGHT))
    if len(rows) <= ROWS:
        return rows
    cut, _ = fitted(f"{rows[ROWS - 1]} {rows[ROWS]}…", width, HEIGHT, HEIGHT)
    return [*rows[: ROWS - 1], cut]
