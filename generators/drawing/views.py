"""Views of the whole panel: front and rear, in true shape, with numbered places and ordinates from the datum."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from dryfit.generators.bodies.blank import silhouette
from dryfit.generators.bodies.lips import lips
from dryfit.generators.drawing.dimensions import PITCH, Ordinate, centre_cross, ordinates, past_edge, spread
from dryfit.generators.drawing.marks import DATUM, Block, Mark, Pen, Stroke, Text, block, line
from dryfit.generators.drawing.paper import scale_text
from dryfit.generators.drawing.textblocks import HEIGHT, SMALL, TITLE
from dryfit.generators.lettering.legends import Legend, clear_legends
from dryfit.generators.lettering.typeface import text_width
from dryfit.generators.lists.holes import Lettered, lettered_holes
from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.contours import Circle, Contour, Curve, contour
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.outlines import box, clearance
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job, Place
from dryfit.models.measures import MM, Measures
from dryfit.models.panel import Panel

LEGENDS_FROM = 0.5  # scale from which legends are drawn; smaller, nobody could read them
TINY = 1.0 + 1e-6
"""mm on paper: radius up to which a hole is drawn with a thin line and no cross, lest it be a blot. The millionth
keeps holes of one size alike: their sizes are differences of corners and carry rounding."""
AWAY = (1.2, 2.4, 4.0, 6.0, 8.0)  # mm on paper from a hole to a text beside it, the nearest wanted most
MOST_SHIFT = 10.0  # mm on paper an ordinate's text may stand beside where it belongs
CAPTION = TITLE + 3.0  # mm between a view and the base line of its name
EVERYWHERE = Rectangle(-math.inf, -math.inf, math.inf, math.inf)


@dataclass(frozen=True)
class View:
    """How panel coordinates (mm, origin at the centre) become paper: scaled, and mirrored when seen from behind."""

    scale: float
    side: Side = "front"

    def point(self, x: float, y: float) -> Point:
        """Return where a point is drawn."""
        return (Point(x, y).mirrored() if self.side == "rear" else Point(x, y)) * self.scale

    def box(self, box: Rectangle) -> Rectangle:
        """Return where a rectangle is drawn."""
        return (box.mirrored() if self.side == "rear" else box).scaled(self.scale)

    def shape(self, shape: Contour) -> Contour:
        """Return how a contour is drawn."""
        seen = shape.mirrored() if self.side == "rear" else shape
        return seen.scaled(self.scale)


@dataclass(frozen=True)
class Show:
    """What a view shows besides the panel and its holes: flanges of the parts, ordinates from the lower left corner.

    Without ``places`` the ordinates are only those of the panel's edges and rack holes, without ``numbers`` places are
    not numbered. ``written``: the units of ordinates.
    """

    parts: bool = True
    ordinates: bool = True
    places: bool = True
    numbers: bool = True
    written: Measures = MM


def in_line(view: Block, other: Block) -> Block:
    """Return a view as wide as another, so that they stand in line where one is put below the other."""
    left, right = min(view.box.left, other.box.left), max(view.box.right, other.box.right)
    return replace(view, box=view.box._replace(left=left, right=right))


def panel_view(job: Job, scale: float, side: Side, show: Show = Show()) -> Block:
    """Return the front or the rear view; only the front view carries ordinates."""
    view, items = View(scale, side), lettered_holes(job)
    marks = [*seen(job, items, view, show), *tags(job, items, view, items if show.numbers else _own(items))]
    if side == "front" and show.ordinates:
        marks += _positions(job, items, view, show)
    return captioned(marks, f"{side} view", f"{side.upper()} VIEW  {scale_text(scale)}")


def captioned(marks: list[Mark], name: str, caption: str, middle: float = 0.0) -> Block:
    """Return a view with its name below its middle."""
    bottom = min(mark.box.bottom for mark in marks)
    return block(name, (*marks, Text(middle, bottom - CAPTION, caption, TITLE, "centre")))


def seen(job: Job, items: Sequence[Lettered], view: View, show: Show, within: Rectangle = EVERYWHERE) -> Iterator[Mark]:
    """Yield what is seen of the panel: its outline and lips, and flanges, holes and legends that are partly ``within``.

    Where nobody could read them, legends are left out.
    """
    yield Stroke(view.shape(silhouette(job.panel)))
    yield from _lips(job.panel, view)
    for place in job.places if show.parts else ():
        if place.flange.box.overlaps(within):
            yield from _flange(place, view)
    for item in items:
        if item.hole.outline.box.overlaps(within):
            yield from _hole(item, view)
    if view.side == "front" and view.scale >= LEGENDS_FROM:
        for legend in clear_legends(job):
            if legend.outline.box.overlaps(within):
                yield from lettering(legend, view.scale)


def _own(items: Sequence[Lettered]) -> list[Lettered]:
    """Return the panel's own holes."""
    return [item for item in items if not item.hole.place]


def lettering(legend: Legend, scale: float) -> Iterator[Mark]:
    """Yield a legend as seen from the front: as text, or as outlines where its typeface is another than the sheet's."""
    if not legend.font:
        yield Text(legend.x * scale, legend.y * scale, legend.text, legend.height * scale)
    for loop in legend.loops if legend.font else ():
        yield Stroke(Curve(tuple((*point, 0.0) for point in loop)).scaled(scale), Pen.THIN)


def _lips(panel: Panel, view: View) -> Iterator[Mark]:
    """Yield the inner faces of folded lips: hidden lines from the front, visible from the rear."""
    pen = Pen.HIDDEN if view.side == "front" else Pen.OUTLINE
    for lip in lips(panel):
        y = lip.reach - panel.thickness
        yield line(view.point(*lip.point(-lip.left.at, y)), view.point(*lip.point(lip.right.at, y)), pen)


def _flange(place: Place, view: View) -> Iterator[Mark]:
    """Yield the outline of a flange: a thin line on its own side, hidden through the panel."""
    yield Stroke(view.shape(contour(place.flange)), Pen.THIN if place.mount == view.side else Pen.HIDDEN)


def _hole(item: Lettered, view: View) -> Iterator[Mark]:
    hole = item.hole
    radius = max(hole.outline.size) / 2 * view.scale
    yield Stroke(view.shape(contour(hole.outline)), Pen.OUTLINE if radius > TINY else Pen.THIN)
    sink = hole.countersink
    if sink is not None and hole.sunk_from == view.side:
        yield Stroke(view.shape(Circle(*item.at, sink.diameter / 2)), Pen.OUTLINE)
    elif sink is not None:
        yield Stroke(view.shape(Circle(*item.at, sink.diameter / 2)), Pen.HIDDEN)
    if hole.purpose != "main" and radius > TINY:
        yield from centre_cross(*view.point(*item.at), radius)


# --- numbers and letters beside things ------------------------------------------------------------------------------


def tags(job: Job, items: Sequence[Lettered], view: View, told: Sequence[Lettered]) -> Iterator[Mark]:
    """Yield the number of each place, in its hole or beside it, and the letter of each rack hole beside it.

    Only holes that are ``told`` have them, but all are kept clear of.
    """
    letters = _letters(job, view)
    marks: list[Mark] = []
    for tag in _tagged(job, items, view, told):
        marks += _marks(tag, view, letters)
    yield from sorted(marks, key=lambda mark: isinstance(mark, Text))  # texts mask the lines they stand on


@dataclass(frozen=True)
class Tag:
    """A number or letter that belongs to a hole, its size, and where it stands: None where there is no room for it."""

    item: Lettered
    text: str
    spot: Rectangle | None
    inside: bool


def numbers_all_but(most: float, job: Job, items: Sequence[Lettered], view: View) -> bool:
    """Whether all places but a share have a number in their hole, or beside it and no nearer to the hole of another."""
    main = [item for item in items if item.hole.purpose == "main"]
    holes = {item.hole.place: view.box(item.hole.outline.box) for item in main}
    lost = (tag for tag in _tagged(job, items, view, main) if not (tag.inside or _is_nearest(tag, holes)))
    return next(islice(lost, int(most * len(main)), None), None) is None


def _is_nearest(tag: Tag, holes: Mapping[str, Rectangle]) -> bool:
    if tag.spot is None:
        return False
    own = holes[tag.item.hole.place].gap_to(tag.spot)
    return all(own <= hole.gap_to(tag.spot) for hole in holes.values())


def _tagged(job: Job, items: Sequence[Lettered], view: View, told: Sequence[Lettered]) -> Iterator[Tag]:
    """Yield number or letter of every main hole and every one of the panel's own that is told, clear of all else."""
    boxes = [*_edges(job.panel, view.scale), *_letters(job, view)]
    boxes += [view.box(item.hole.outline.box) for item in items]
    taken = in_cells((*boxes, *(view.box(place.flange.box) for place in job.places)))
    numbers = {place.name: str(n) for n, place in enumerate(job.places, start=1)}
    for item in (item for item in told if item.hole.purpose != "fixing"):
        text = numbers[item.hole.place] if item.hole.purpose == "main" else item.kind.letter
        size, at = _tag_size(text, view.scale), view.point(*item.at)
        if item.hole.purpose == "main" and _holds(item, size, view.scale):
            yield Tag(item, text, Rectangle.at(at - (size.width / 2, size.height / 2), size), inside=True)
            continue
        spot = free_spot(at, item.hole.outline.size.scaled(view.scale), size, taken)
        if spot is not None:  # else the table of places tells which is which by its position
            taken.add(spot, spot)
        yield Tag(item, text, spot, inside=False)


def _letters(job: Job, view: View) -> list[Rectangle]:
    """Return where legends stand on paper."""
    if view.side == "rear" or view.scale < LEGENDS_FROM:
        return []
    return [legend.outline.box.scaled(view.scale) for legend in clear_legends(job)]


def _edges(panel: Panel, scale: float) -> Iterator[Rectangle]:
    """Yield the four edges of the panel as rectangles without width."""
    w, h = panel.width / 2 * scale, panel.height / 2 * scale
    yield from (Rectangle(-w, y, w, y) for y in (-h, h))
    yield from (Rectangle(x, -h, x, h) for x in (-w, w))


def _marks(tag: Tag, view: View, letters: Sequence[Rectangle]) -> Iterator[Mark]:
    """Yield the text of a hole, with the centre lines of a main hole about it."""
    spot = tag.spot
    if tag.item.hole.purpose == "main":
        at, radius = view.point(*tag.item.at), min(tag.item.hole.outline.size) / 2 * view.scale
        bare = math.hypot(*spot.size) / 2 + 0.4 if tag.inside and spot is not None else 0.0
        yield from centre_cross(*at, radius, bare, _clear_past(at, radius, letters))
    if spot is not None and tag.inside:
        yield Text(spot.centre.x, spot.bottom, tag.text, spot.height, "centre")
    elif spot is not None:
        yield Text(spot.left, spot.bottom, tag.text, spot.height, masked=True)


def _tag_size(text: str, scale: float) -> Size:
    """Return how large a number or letter beside a hole is on paper."""
    height = HEIGHT if scale >= 0.5 else SMALL
    return Size(text_width(text, height), height)


def _holds(item: Lettered, text: Size, scale: float) -> bool:
    """Whether a text of a size on paper lies within a hole about its axis, with a little to spare."""
    room = box(text.width / scale, text.height / scale).moved(*item.at)
    return clearance(room, item.hole.outline) * scale >= 0.3


def _clear_past(at: Point, radius: float, letters: Sequence[Rectangle]) -> float:
    """Return how far centre lines may stand past a hole's edge without running into a legend."""
    for past in (past_edge(radius), 1.0, 0.5):
        if not any(arm.overlaps(legend, 0.2) for arm in cross_boxes(at, radius + past) for legend in letters):
            return past
    return 0.0


def cross_boxes(at: Point, arm: float) -> tuple[Rectangle, Rectangle]:
    """Return the two arms of a cross as rectangles without width."""
    return Rectangle(at.x - arm, at.y, at.x + arm, at.y), Rectangle(at.x, at.y - arm, at.x, at.y + arm)


def in_cells(boxes: Iterable[Rectangle]) -> Nearby[Rectangle]:
    """Return what is taken of a sheet, sorted so that what is near is found at once."""
    return Nearby((box, box) for box in boxes)


def free_spot(at: Point, hole: Size, text: Size, taken: Nearby[Rectangle]) -> Rectangle | None:
    """Return where a text beside a hole is clear of all that is taken; nearest first.

    None where everything about it is taken: a text there could not be told from its neighbours.
    """
    near = taken.about(Rectangle.at(at - (hole.width / 2, hole.height / 2), hole).grown(AWAY[-1] + max(text)))
    for away in AWAY:
        dx, dy = hole.width / 2 + away, hole.height / 2 + away
        right, left, middle = at.x + dx, at.x - dx - text.width, at.x - text.width / 2
        above, below, level = at.y + dy, at.y - dy - text.height, at.y - text.height / 2
        for spot in ((right, above), (middle, above), (right, level), (left, level), (middle, below), (left, above)):
            here = Rectangle.at(spot, text)
            if not any(here.overlaps(other, 0.4) for other in near):
                return here
    return None


# --- positions ------------------------------------------------------------------------------------------------------


def crowded(job: Job, scale: float) -> bool:
    """Whether ordinates of all places would have to stand so far from what they belong to that nobody could follow."""
    rows = [
        sorted({round(at * scale, 2) for at in axis}) for axis in zip(*((p.x, p.y) for p in job.places), strict=True)
    ]
    shifts = (abs(a - b) for row in rows for a, b in zip(row, spread(row, PITCH * HEIGHT), strict=True))
    return max(shifts, default=0.0) > MOST_SHIFT


def _positions(job: Job, items: Sequence[Lettered], view: View, show: Show) -> Iterator[Mark]:
    """Yield ordinates of the panel's edges, its own holes and the axes of places, from the lower left corner."""
    panel = job.panel
    edges = Rectangle.at(panel.datum, (panel.width, panel.height))
    spots = [edges.corner, Point(edges.right, edges.top), *(Point(*i.at) for i in _own(items))]
    spots += [place.at for place in job.places] if show.places else []
    yield from positions(panel, spots, view, edges, show.written)
    yield Stroke(Circle(*view.point(*edges.corner), DATUM), Pen.THIN)


def positions(panel: Panel, spots: Sequence[Point], view: View, window: Rectangle, written: Measures) -> Iterator[Mark]:
    """Yield ordinates of spots from the panel's lower left corner, below and left of a window (mm on the panel)."""
    off, left, below = panel.datum, window.left * view.scale, window.bottom * view.scale
    across = (Ordinate(written.dimension(at.x - off.x), at.x * view.scale) for at in spots)
    up = (Ordinate(written.dimension(at.y - off.y), at.y * view.scale) for at in spots)
    yield from ordinates(across, below, "below")
    yield from ordinates(up, left, "left")
