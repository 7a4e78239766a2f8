"""The flat pattern of a panel with lips: the blank with its bend lines, dimensioned from its own lower left corner."""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.bodies.blank import Blank, blank
from dryfit.generators.drawing.dimensions import Ordinate, ordinates
from dryfit.generators.drawing.marks import DATUM, Block, Mark, Pen, Stroke, Text, around, block, circle, line
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE
from dryfit.models.geometry.contours import Contour, Curve, contour
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job
from dryfit.models.measures import MM, Measures

SAME = 1e-6  # mm; bend lines and edges are computed


def flat_pattern(job: Job, room: Size, written: Measures = MM) -> Block:
    """Return the blank as it is cut, at the largest standard scale at which it is no larger than ``room`` on paper."""
    flat = blank(job.panel)
    scale = next(s for s in scales(1.0) if flat.contour.box.size.scaled(s).fits(room))
    marks: list[Mark] = [Stroke(flat.contour.scaled(scale))]
    marks += [Stroke(contour(hole.outline).scaled(scale), Pen.THIN) for hole in job.holes()]
    marks += [line(start * scale, end * scale, Pen.FOLD) for start, end in flat.bends]
    marks += _ordinates(flat, scale, written)
    datum = job.panel.datum
    marks.append(circle(*(datum * scale), DATUM, Pen.THIN))
    left, bottom, _, _ = around(marks)
    radius, allowance = (written.number(v) for v in (job.panel.bend_radius, flat.allowance))
    told = f"{len(flat.bends)} × 90° to the rear at the lines, inside R{radius}; allowance {allowance} each"
    marks.append(Text(left, bottom - TITLE - 3.0, f"FLAT PATTERN  {scale_text(scale)}", TITLE))
    marks.append(Text(left, bottom - TITLE - 3.0 - 2 * HEIGHT, told, HEIGHT))
    here = " / ".join(written.number(at - start) for at, start in zip(datum, flat.contour.box[:2], strict=True))
    origin = f"the datum of the front view, and of the cut file, is at {here} (circled)"
    marks.append(Text(left, bottom - TITLE - 3.0 - 3.7 * HEIGHT, origin, HEIGHT))
    return block("flat pattern", marks)


def _ordinates(flat: Blank, scale: float, written: Measures) -> Iterator[Mark]:
    """Yield ordinates of square corners and bend lines, from the lower left corner of the blank."""
    box, corners = flat.contour.box, tuple(_square_corners(flat.contour))
    across = {box.left, box.right, *(p.x for p in corners), *(a.x for a, b in flat.bends if abs(a.x - b.x) < SAME)}
    up = {box.bottom, box.top, *(p.y for p in corners), *(a.y for a, b in flat.bends if abs(a.y - b.y) < SAME)}
    yield from ordinates(
        [Ordinate(written.number(x - box.left), x * scale) for x in across], box.bottom * scale, "below"
    )
    yield from ordinates([Ordinate(written.number(y - box.bottom), y * scale) for y in up], box.left * scale, "left")


def _square_corners(shape: Contour) -> Iterator[Point]:
    """Yield the corners of a contour that no arc starts or ends at."""
    if isinstance(shape, Curve):
        before = (*shape.vertices[-1:], *shape.vertices[:-1])
        pairs = zip(shape.vertices, before, strict=True)
        yield from (Point(x, y) for (x, y, bulge), (_, _, last) in pairs if bulge == last == 0)
