"""Portions of a view: more places than can be numbered in the view of the whole panel are shown piece by piece.

The view of the whole panel then shows where each portion is. All lengths mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.drawing.dimensions import REACH
from dryfit.generators.drawing.marks import Block, Clip, Mark, Text, block, frame
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE
from dryfit.generators.drawing.views import (
    CAPTION,
    Show,
    View,
    captioned,
    crowded,
    numbers_all_but,
    panel_view,
    positions,
    seen,
    tags,
)
from dryfit.generators.lettering.legends import clear_legends
from dryfit.generators.lists.holes import Lettered, lettered_holes
from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Job, Place

MOST_UNNUMBERED = 0.1  # of all places; the table of places tells by x and y where they are
MARGIN = 3.0  # mm of panel shown about the flanges of a portion
VALUE = 8 * HEIGHT  # mm on paper that an ordinate's text may take


@dataclass(frozen=True)
class Portion:
    """Some places of a panel and the part of it that shows them."""

    number: int
    window: Rectangle  # mm on the panel
    places: tuple[Place, ...]


@dataclass(frozen=True)
class Split:
    """The portions that a view is split into, and their scale; no portions where it is whole."""

    portions: tuple[Portion, ...] = ()
    scale: float = 1.0


def split(job: Job, scale: float, room: Size) -> Split:
    """Return portions that have ``room`` on a sheet each, at the smallest scale that numbers all places.

    A view of the whole panel at ``scale`` that can number them stays whole, and so does one that no larger one betters,
    or whose parts are too large for the sheet.
    """
    items = lettered_holes(job)

    def numbers(scale: float) -> bool:
        return numbers_all_but(MOST_UNNUMBERED, job, items, View(scale))

    if numbers(scale):
        return Split()
    larger = [s for s in itertools.takewhile(lambda s: s > scale, scales(1.0)) if not crowded(job, s)]
    better = next(filter(numbers, reversed(larger)), None)
    if better is None:
        return Split()
    taken = REACH + VALUE
    left = Size(room.width - taken, room.height - taken - CAPTION - TITLE).scaled(1 / better)
    boxes = _boxes(job)
    found = [(places, Rectangle.around(boxes[p.name] for p in places)) for places in _fields(job, boxes, left)]
    if not all(window.size.fits(left) for _, window in found):
        return Split()
    return Split(tuple(Portion(n, window, places) for n, (places, window) in enumerate(found, start=1)), better)


def _fields(job: Job, boxes: Mapping[str, Rectangle], room: Size) -> list[tuple[Place, ...]]:
    """Return the places in rows and columns of fields, all of one size, from the upper left; none of them empty.

    A field holds the places whose axes are in it; its window is larger by what is shown of them outside it.
    """
    whole = Rectangle.around_points(place.at for place in job.places)
    shown = Rectangle.around(boxes[place.name].moved(-place.x, -place.y) for place in job.places)
    columns, rows = (
        max(1, math.ceil(along / max(most - more, more)))
        for along, most, more in zip(whole.size, room, shown.size, strict=True)
    )
    fields: dict[tuple[int, int], list[Place]] = {}
    for place in job.places:
        column = min(columns - 1, int((place.x - whole.left) / (whole.width / columns or 1.0)))
        row = min(rows - 1, int((whole.top - place.y) / (whole.height / rows or 1.0)))
        fields.setdefault((row, column), []).append(place)
    return [tuple(fields[key]) for key in sorted(fields)]


def _boxes(job: Job) -> dict[str, Rectangle]:
    """Return by its name what shows a place with its legends and a margin."""
    boxes = {place.name: place.flange.box for place in job.places}
    for legend in clear_legends(job):
        boxes[legend.place] = Rectangle.around((boxes[legend.place], legend.outline.box))
    return {name: here.grown(MARGIN) for name, here in boxes.items()}


def whole_view(job: Job, scale: float, side: Side, show: Show, parted: Split) -> Block:
    """Return a view of the whole panel; where it is split, with the portions and their numbers, not those of places."""
    if not parted.portions:
        return panel_view(job, scale, side, show)
    view = panel_view(job, scale, side, replace(show, places=False, numbers=False))
    return block(view.name, (*view.marks, *_outlined(parted.portions, View(scale, side))))


def _outlined(found: Sequence[Portion], view: View) -> Iterator[Mark]:
    for portion in found:
        window = view.box(portion.window)
        yield frame(window)
        yield Text(*(window.centre - (0.0, TITLE / 2)), str(portion.number), TITLE, "centre", masked=True)


def portion_views(job: Job, side: Side, show: Show, parted: Split) -> Iterator[Block]:
    """Yield a view of every portion, with the numbers and, from the front, the ordinates of its places."""
    view, items = View(parted.scale, side), lettered_holes(job)
    for portion in parted.portions:
        near = [item for item in items if item.hole.outline.box.overlaps(portion.window)]
        marks = list(_portion(job, portion, near, view, show))
        caption = f"{side.upper()} VIEW, PORTION {portion.number}  {scale_text(parted.scale)}"
        middle = view.box(portion.window).centre.x
        yield captioned(marks, f"{side} portion {portion.number} view", caption, middle)


def _portion(job: Job, portion: Portion, near: Sequence[Lettered], view: View, show: Show) -> Iterator[Mark]:
    window, names = view.box(portion.window), {place.name for place in portion.places}
    yield Clip(window, tuple(seen(job, near, view, show, portion.window)))
    yield frame(window)
    yield from tags(job, near, view, [item for item in near if item.hole.place in names])
    if view.side == "front" and show.ordinates:
        yield from positions(job.panel, [place.at for place in portion.places], view, portion.window, show.written)
