"""Lettering: the name of every place and of every tile, sunk into the rear face where it reads from the rear.

Recessed rather than raised, so that nuts and flanges lie flat even where a label could not be kept clear of them.
Heights go by the nozzle: strokes are an eighth of the height, and a stroke narrower than a line is lost. All mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from dryfit.generators.lettering.typeface import Loop, loops_at, text_box
from dryfit.generators.testplate.keys import HOLE_MARGIN, Key
from dryfit.generators.testplate.seams import Cutting
from dryfit.generators.testplate.sheet import Sheet
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.outlines import Outline, filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Job, Place

LAYERS = 2  # that a letter is deep
SHALLOW = 0.25  # of the thickness that letters may take
PLACE_HEIGHTS = (12.0, 10.0, 8.0)  # times the nozzle: 4.8, 4, 3.2 mm of a 0.4 mm nozzle
TILE_HEIGHTS = (20.0, 15.0, 10.0)  # times the nozzle
GAP = 0.8  # mm kept between letters and holes, pockets and edges
APART = 1.5  # mm more between two labels, so that they do not read as one
REACH = 10.0  # mm that a label may stand from its first choice, so that nobody takes it for its neighbour's
FINEST, STEPS = 1.0, 40  # mm between the spots that are tried, and how many to either side at most

Floats = np.ndarray


@dataclass(frozen=True)
class Label:
    """One line of text on the rear face, as read from the rear: start of its base line, height of capitals."""

    text: str
    x: float
    y: float
    height: float

    @property
    def box(self) -> Rectangle:
        """The box that the letters fill."""
        return text_box(self.text, self.height).moved(self.x, self.y)

    @property
    def outline(self) -> Outline:
        """That box as an outline."""
        return filled(self.box)

    @property
    def loops(self) -> tuple[Loop, ...]:
        """The letters as closed loops."""
        return loops_at(Point(self.x, self.y), self.text, self.height)


def letter_depth(thickness: float, layer: float) -> float:
    """Return how deep letters are sunk."""
    return min(LAYERS * layer, SHALLOW * thickness)


def labels(
    job: Job, sheet: Sheet, cutting: Cutting, placed: Sequence[Key], nozzle: float
) -> tuple[tuple[Label, ...], tuple[str, ...]]:
    """Return the labels of tiles and places, and a note naming the places whose label found no room."""
    board = _Board(sheet, cutting, placed)
    done: list[Label] = []
    lost: list[str] = []
    small, own = [height * nozzle for height in PLACE_HEIGHTS], _own(sheet)
    for place in job.places:
        label = board.place(place.name, _beside(place, own[place.name], small[0]), small, REACH)
        lost.extend((place.name,) if label is None else ())
        done.extend((label,) if label is not None else ())
    large = [height * nozzle for height in TILE_HEIGHTS]
    for tile in cutting.tiles if len(cutting.tiles) > 1 else ():
        half = max(tile.outline.size) / 2
        label = board.place(tile.name, (tile.outline.centre,), large, half, within=tile.box)
        lost.extend((tile.name,) if label is None else ())
        done.extend((label,) if label is not None else ())
    note = (f"No room on the rear for the labels of {', '.join(lost)}.",) if lost else ()
    return tuple(done), note


def _own(sheet: Sheet) -> dict[str, list[Rectangle]]:
    """Return what belongs to every place on the rear."""
    own: dict[str, list[Rectangle]] = {}
    for opening in sheet.openings:
        own.setdefault(opening.place, []).append(opening.rim.box)
    for land in sheet.lands:
        if land.side == "rear":
            own.setdefault(land.place, []).append(land.outline.box)
    return own


def _beside(place: Place, own: Iterable[Rectangle], height: float) -> tuple[Point, Point]:
    """Return where the middle of a label goes: over all that belongs to the place on the rear, or under it."""
    around = Rectangle.around(own).grown(GAP + height / 2)
    return Point(-place.x, around.top), Point(-place.x, around.bottom)


class _Board:
    """The rear face as it fills with labels."""

    def __init__(self, sheet: Sheet, cutting: Cutting, placed: Sequence[Key]):
        walls = [o.rim.box for o in sheet.openings] + [f.box for f in (*sheet.folds, *sheet.notches)]
        walls += [s.outline.box for s in cutting.seams] + [h.box for k in placed for h in k.pocket(HOLE_MARGIN / 2)]
        self.hard = Nearby((wall, wall) for wall in walls)
        soft = (d.outline.box for d in sheet.lands if d.side == "rear")
        self.soft = Nearby((box, box) for box in soft)
        self.edge = sheet.outline.box

    def place(
        self, text: str, spots: Sequence[Point], heights: Sequence[float], reach: float, within: Rectangle | None = None
    ) -> Label | None:
        """Return the label nearest to its spots, clear of flanges and nuts if it can be; None without any room."""
        edge = np.array(within or self.edge)
        for covered in (False, True):
            for spot in spots:
                for height in heights:
                    label = self._nearest(text, height, _around(spot, reach), edge, covered)
                    if label is not None:
                        box = label.box._replace(left=label.box.left - APART, right=label.box.right + APART)
                        self.hard.add(box, box)
                        return label
        return None

    def _nearest(self, text: str, height: float, centres: Floats, edge: Floats, covered: bool) -> Label | None:
        """Return the label at the first of the spots where it is free, or None."""
        ink = text_box(text, height)
        half = np.array([ink.width / 2 + GAP, ink.height / 2 + GAP])
        lo, hi = centres - half, centres + half
        fits = (lo >= edge[:2]).all(axis=1) & (hi <= edge[2:]).all(axis=1)
        window = Rectangle(*lo.min(axis=0).tolist(), *hi.max(axis=0).tolist())
        taken = (*self.hard.about(window), *(() if covered else self.soft.about(window)))
        blocks = np.array(taken, dtype=float).reshape(-1, 4)
        apart = (hi[:, None, :] <= blocks[None, :, :2]) | (lo[:, None, :] >= blocks[None, :, 2:])
        fits &= apart.any(axis=2).all(axis=1)
        if not fits.any():
            return None
        x, y = centres[int(np.argmax(fits))]
        return Label(text, float(x) - ink.centre.x, float(y) - ink.centre.y, height)


def _around(spot: Point, reach: float) -> Floats:
    """Return the spots of a grid about a spot, (n, 2) float, the nearest first."""
    step = max(FINEST, reach / STEPS)
    steps = np.arange(-int(reach / step), int(reach / step) + 1) * step
    grid = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    order = np.argsort(np.hypot(grid[:, 0], grid[:, 1]).round(6), kind="stable")
    around: Floats = grid[order] + np.array(spot)
    return around
