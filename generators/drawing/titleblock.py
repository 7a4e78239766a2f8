"""The title block: the data fields of ISO 7200 and what a workshop needs beside them, 180 mm wide.

What neither layout nor shop fills in stays blank, to be written by hand: creator and approver may sign there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.drawing.marks import Block, Mark, Pen, Stroke, Text, circle, frame, line
from dryfit.generators.drawing.textblocks import fitted
from dryfit.models.geometry.contours import Curve
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.titles import Titles

WIDTH = 180.0  # ISO 7200: the title block is 180 mm wide, so that it fits A4
LABEL = 1.8  # mm; the small print that names a field: the least size of ISO 3098
ROWS = (9.0, 10.0, 9.0, 9.0)  # heights from the top
SHORT = (8.5, 8.5)  # heights of the rows of the block on following sheets


@dataclass(frozen=True)
class Fields:
    """Every field of one sheet's title block as text."""

    titles: Titles
    title: str
    kind: str  # document type
    revision: str
    scale: str
    paper: str
    material: str
    finish: str
    mass: str
    tolerance: str
    units: str
    sheet: int
    sheets: int
    third_angle: bool


Cell = tuple[str, str, float, float]  # label, value, width, height of the value


def title_block(f: Fields) -> Block:
    """Return the full block: four rows of fields."""
    t = f.titles
    rows: tuple[tuple[Cell, ...], ...] = (
        (
            ("Legal owner", t.owner, 58, 2.5),
            ("Responsible department", t.department, 40, 2.5),
            ("Technical reference", t.reference, 42, 2.5),
            ("Document type", f.kind, 40, 2.5),
        ),
        (
            ("Title", f.title, 98, 3.5),
            ("Identification number", t.number, 42, 2.5),
            ("Rev.", f.revision, 14, 2.5),
            ("Sheet", f"{f.sheet} / {f.sheets}", 26, 2.5),
        ),
        (
            ("Creator", t.creator, 36, 2.5),
            ("Approval person", t.approval, 36, 2.5),
            ("Date of issue", t.date, 26, 2.5),
            ("Document status", t.status, 30, 2.5),
            ("Scale", f.scale, 16, 2.5),
            ("Paper", f.paper, 14, 2.5),
            ("Projection", "", 22, 2.5),
        ),
        (
            ("Material", f.material, 58, 2.5),
            ("Finish", f.finish, 48, 2.5),
            ("General tolerance", f.tolerance, 36, 2.5),
            ("Mass", f.mass, 20, 2.5),
            ("Units", f.units, 18, 2.5),
        ),
    )
    marks = list(_rows(rows, ROWS))
    y = -ROWS[0] - ROWS[1] - ROWS[2] / 2
    marks += projection_symbol(WIDTH - 11.0, y - 1.5, f.third_angle)
    return Block("title block", tuple(marks), Rectangle(0.0, -sum(ROWS), WIDTH, 0.0))


def short_block(f: Fields) -> Block:
    """Return the two rows that following sheets carry: every mandatory field, and what tells sheets apart."""
    rows: tuple[tuple[Cell, ...], ...] = (
        (
            ("Legal owner", f.titles.owner, 46, 2.5),
            ("Title", f.title, 74, 2.5),
            ("Identification number", f.titles.number, 40, 2.5),
            ("Sheet", f"{f.sheet} / {f.sheets}", 20, 2.5),
        ),
        (
            ("Creator", f.titles.creator, 34, 2.5),
            ("Approval person", f.titles.approval, 34, 2.5),
            ("Date of issue", f.titles.date, 26, 2.5),
            ("Document type", f.kind, 30, 2.5),
            ("Rev.", f.revision, 18, 2.5),
            ("Scale", f.scale, 20, 2.5),
            ("Units", f.units, 18, 2.5),
        ),
    )
    return Block("title block", tuple(_rows(rows, SHORT)), Rectangle(0.0, -sum(SHORT), WIDTH, 0.0))


def _rows(rows: tuple[tuple[Cell, ...], ...], heights: tuple[float, ...]) -> Iterator[Mark]:
    top = 0.0
    yield frame(Rectangle(0.0, -sum(heights), WIDTH, 0.0), Pen.OUTLINE)
    for cells, height in zip(rows, heights, strict=True):
        x = 0.0
        for label, value, width, size in cells:
            yield Text(x + 1.0, top - LABEL - 0.9, label, LABEL)
            text, fit = fitted(value, width - 2.0, size)
            if text:
                yield Text(x + 1.0, top - height + 1.6, text, fit)
            if x > 0:
                yield line((x, top), (x, top - height))
            x += width
        top -= height
        if top > -sum(heights):
            yield line((0.0, top), (WIDTH, top))


def projection_symbol(x: float, y: float, third_angle: bool) -> Iterator[Mark]:
    """Yield the symbol of the projection method about (x, y) (ISO 5456-2): a cone frustum in two views, 12 mm wide.

    First angle: the side view stands left, its small end left, and the circles to the right of it. Third angle: the
    circles stand left of the same side view.
    """
    side, rings = (x - 4.0, x + 4.0) if not third_angle else (x + 4.0, x - 4.0)
    small, large, half = 1.0, 1.9, 1.9
    corners = ((side - half, -small), (side + half, -large), (side + half, large), (side - half, small))
    yield Stroke(Curve(tuple((px, y + py, 0.0) for px, py in corners)), Pen.OUTLINE)
    yield circle(rings, y, small)
    yield circle(rings, y, large)
    yield line((side - half - 0.5, y), (side + half + 0.5, y), Pen.THIN)
    yield line((rings - large - 0.5, y), (rings + large + 0.5, y), Pen.THIN)
    yield line((rings, y - large - 0.5), (rings, y + large + 0.5), Pen.THIN)
