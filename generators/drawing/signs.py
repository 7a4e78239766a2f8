"""The signs of the verdicts: a disc with a tick, a triangle with a bar, a square with a cross; told without colour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dryfit.generators.drawing.marks import Fill, Mark, Stroke
from dryfit.models.findings import Verdict
from dryfit.models.geometry.contours import Circle, Curve
from dryfit.models.geometry.points import Point

HALF = 8.0  # of a sign's size, in the units its lines are given in
THICK = 2.2  # of its lines, in the same units
FILLS: dict[Verdict, Fill] = {Verdict.FITS: "fits", Verdict.TIGHT: "tight", Verdict.FAILS: "fails"}
_LINES: dict[Verdict, tuple[tuple[Point, Point], ...]] = {
    Verdict.FITS: ((Point(-3.6, -0.2), Point(-1.0, -3.0)), (Point(-1.4, -3.2), Point(3.8, 3.0))),
    Verdict.TIGHT: ((Point(0.0, 3.2), Point(0.0, -2.0)), (Point(0.0, -3.8), Point(0.0, -5.6))),
    Verdict.FAILS: ((Point(-3.6, -3.6), Point(3.6, 3.6)), (Point(-3.6, 3.6), Point(3.6, -3.6))),
}


def sign(verdict: Verdict, x: float, y: float, size: float) -> Iterator[Mark]:
    """Yield the sign of a verdict about (x, y), ``size`` mm across."""
    scale, at, fill = size / (2 * HALF), Point(x, y), FILLS[verdict]
    if verdict is Verdict.FITS:
        yield Stroke(Circle(x, y, size / 2), None, fill)
    elif verdict is Verdict.TIGHT:
        yield _filled([Point(0.0, 8.0), Point(-8.6, -7.0), Point(8.6, -7.0)], at, scale, fill)
    else:
        yield _filled([Point(-7.0, -7.0), Point(7.0, -7.0), Point(7.0, 7.0), Point(-7.0, 7.0)], at, scale, fill)
    for start, end in _LINES[verdict]:
        across = (end - start) * (THICK / 2 / (end - start).length)
        aside = Point(-across.y, across.x)
        yield _filled([start - aside, end - aside, end + aside, start + aside], at, scale, "white")


def _filled(points: Sequence[Point], at: Point, scale: float, fill: Fill) -> Stroke:
    return Stroke(Curve(tuple((*(at + point * scale), 0.0) for point in points)), None, fill)
