"""The panel as it is seen from the front, parts and screws in place, each place with its number and its verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dryfit.generators.bodies.assembly import Instance, Role
from dryfit.generators.drawing.marks import Block, Fill, Mark, Pen, Stroke, Text, block
from dryfit.generators.drawing.signs import sign
from dryfit.generators.drawing.views import lettering
from dryfit.generators.lettering.legends import clear_legends
from dryfit.generators.report import Report
from dryfit.models.geometry.bodies import Slice
from dryfit.models.geometry.contours import Circle, contour
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Place

FILLS: dict[Role, Fill] = {"panel": "pale", "part": "grey", "screw": "white", "nut": "white", "washer": "white"}
SIGN = 3.6  # mm on paper
NUMBER = 1.8  # mm on paper; the least height of ISO 3098
ALONG = 0.92  # of the way from the middle of a flange to its lower left corner, where a D flange has no screw
LEAST_LETTER = 0.6  # mm on paper; smaller legends would be specks


def front_picture(report: Report, room: Size) -> Block:
    """Return the panel as large as the room allows; the frame about it leaves room for signs at its edges."""
    panel = report.job.panel
    scale = min((room.width - SIGN) / panel.width, (room.height - SIGN) / panel.height)
    return block("panel from the front", _marks(report, scale))


def _marks(report: Report, scale: float) -> Iterator[Mark]:
    panel, bodies = report.assembly.panel, report.assembly.bodies_in_place
    if panel is not None:
        yield from _slice(panel.slices[-1], "pale", scale, Pen.OUTLINE)
    shown = [i for i in bodies if i.role != "plug" and i.box.z1 > -report.job.panel.finished]
    yield from _bodies(shown, -report.job.panel.finished, scale)
    for legend in clear_legends(report.job):
        if legend.height * scale >= LEAST_LETTER:
            yield from lettering(legend, scale)
    for number, place in enumerate(report.job.places, start=1):
        yield from _tag(report, number, place, scale)


def _bodies(shown: Iterable[Instance], behind: float, scale: float) -> Iterator[Mark]:
    """Yield the slices of all bodies from the rearmost on, each painted over those behind it."""
    slices = [(s, FILLS[i.role]) for i in shown for s in i.slices if s.z1 > behind]
    for one, fill in sorted(slices, key=lambda pair: pair[0].z1):
        yield from _slice(one, fill, scale, Pen.THIN)


def _slice(one: Slice, fill: Fill, scale: float, pen: Pen) -> Iterator[Mark]:
    yield Stroke(contour(one.profile.at(1.0)).scaled(scale), pen, fill)
    for hole in one.holes:
        yield Stroke(contour(hole.at(1.0)).scaled(scale), Pen.THIN, "white")


def _tag(report: Report, number: int, place: Place, scale: float) -> Iterator[Mark]:
    """Yield the number of a place in a disc on its part, and its verdict at the corner of its flange."""
    box = place.flange.box
    x, y = box.centre * scale
    yield Stroke(Circle(x, y, 1.2 * NUMBER), Pen.THIN, "white")
    yield Text(x, y - NUMBER / 2, str(number), NUMBER, "centre")
    corner = (box.centre + (Point(box.left, box.bottom) - box.centre) * ALONG) * scale
    yield from sign(report.verdict_of(place.name), corner.x, corner.y, SIGN)
