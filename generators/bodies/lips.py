"""Folded lips: where they stand along the panel's edges, and what their bends are made of. Panel axes, mm.

Each lip is described in a frame of its own, turned so that its edge runs along x and its outer face looks up. A lip is
folded back by 90 degrees: its outer face is flush with that edge of the panel, its end lies ``lip`` behind the rear
face. Where two lips meet, and beside a lip that ends short of the panel, the sheet is relieved past the bend.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.models.geometry.folds import Fold
from dryfit.models.geometry.outlines import Outline, filled
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.panel import EDGES, Edge, Panel

QUARTER = 90.0  # degrees from one edge to the next, and the angle of every fold
TURNS: dict[Edge, float] = {"right": -QUARTER, "top": 0.0, "left": QUARTER, "bottom": 2 * QUARTER}
PAST = 1.0  # mm that cuts open to an edge reach past it
RELIEF_PAST = 0.5
"""mm that a relief reaches past where the bend begins, so that the bend does not tear it: relief depth at least radius,
thickness and 0.02 in (common practice of sheet-metal shops)."""


@dataclass(frozen=True)
class End:
    """One end of a lip, along its edge: where it ends, and how far the relief beside it goes.

    ``meets`` another lip at the corner: both share one square relief. ``at`` is ``to`` where nothing is relieved.
    """

    at: float
    to: float
    meets: bool = False

    @property
    def relief(self) -> float:
        """Width of the relief; 0 for a lip that runs out to the panel's edge."""
        return self.to - self.at


@dataclass(frozen=True)
class Lip:
    """A lip in its own frame: its bare outer face is at y = ``reach``, its bend begins at ``fold``.

    ``half`` is half of the edge's length, ``left`` and ``right`` the ends, both as distances from the middle.
    """

    edge: Edge
    reach: float
    fold: float
    half: float
    left: End
    right: End

    @property
    def turn(self) -> float:
        """Degrees from its own frame to the panel's."""
        return TURNS[self.edge]

    @property
    def length(self) -> float:
        """How long it is."""
        return self.left.at + self.right.at

    @property
    def floor(self) -> float:
        """How far in its reliefs go: y."""
        return self.fold - RELIEF_PAST

    def point(self, x: float, y: float) -> Point:
        """Return a point of its frame where it is on the panel."""
        return Point(x, y).turned(self.turn)

    def between(self, left: float, low: float, right: float, high: float) -> Outline:
        """Return a rectangle of its frame where it is on the panel."""
        return filled(Rectangle.around_points((self.point(left, low), self.point(right, high))))

    def strip(self, start: float, coating: float = 0.0) -> Outline:
        """Return what its bend takes of the flat sheet from y = ``start`` on, past the edge."""
        ends = [end.at + coating if end.relief > 0 else self.half + PAST for end in (self.left, self.right)]
        return self.between(-ends[0], start, ends[1], self.reach + PAST)

    def reliefs(self, coating: float = 0.0) -> Iterator[Outline]:
        """Yield the slots beside its ends, past the edge."""
        for side, end in ((-1, self.left), (1, self.right)):
            if end.relief > 0:
                outer = end.to - coating if end.to < self.half else self.half + PAST
                low, high = self.floor + coating, self.reach + PAST
                yield self.between(side * (end.at + coating), low, side * outer, high)


def lips(panel: Panel) -> tuple[Lip, ...]:
    """Return the lips of a panel, anticlockwise from the right; none of a flat panel."""
    return tuple(_lip(panel, edge) for edge in panel.folded)


def _lip(panel: Panel, edge: Edge) -> Lip:
    level = edge in ("top", "bottom")
    half, reach = (panel.width / 2, panel.height / 2) if level else (panel.height / 2, panel.width / 2)
    number = EDGES.index(edge)
    before, after = EDGES[number - 1], EDGES[(number + 1) % len(EDGES)]
    ends = (_end(panel, half, other in panel.folded) for other in (after, before))
    return Lip(edge, reach, reach - panel.setback, half, *ends)


def _end(panel: Panel, half: float, meets: bool) -> End:
    """Return the end of a lip: at the next lip, short of the rack rails, or at the panel's edge."""
    if meets:
        return End(half - panel.setback - RELIEF_PAST, half, True)
    if panel.clear_width is None or panel.clear_width >= panel.width:
        return End(half, half)
    at = panel.lip_length / 2
    return End(at, at + panel.lip_relief)


def fold(panel: Panel, lip: Lip, coating: float = 0.0) -> Fold:
    """Return a lip with its bend under a coating, its front face at z = 0."""
    thick = panel.thickness + 2 * coating
    inside, outside = max(0.0, panel.bend_radius - coating), panel.setback + coating
    low, high = -lip.left.at - coating, lip.right.at + coating
    return Fold(lip.turn, low, high, lip.reach + coating, thick, inside, outside, -thick - panel.lip)
