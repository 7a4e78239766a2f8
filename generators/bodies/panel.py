"""The finished panel as a body: coating on its faces and on the walls of its holes, countersinks, folded lips."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from dryfit.generators.bodies.lips import Lip, fold, lips
from dryfit.models.geometry.bodies import Bent, Body, Profile, Slice, Straight, Taper, prism
from dryfit.models.geometry.folds import Fold
from dryfit.models.panel import Hole, Panel

LEVEL_DIGITS = 6  # of a mm: countersinks of one size end at one level, though their depths carry rounding
SAME_LEVEL = 10.0**-LEVEL_DIGITS
STEP = 0.1  # mm of inside radius a step: steps stand at most 0.08 mm off the arc, far less than anything is bent to


def panel_body(panel: Panel, holes: tuple[Hole, ...]) -> Body:
    """Return the finished panel, its front face at z = 0; lips are walls behind its edges, their bends in steps."""
    plate = panel.outline.grown(panel.coating) if panel.coating else panel.outline
    finished = tuple(hole.coated(panel.coating) for hole in holes)
    inner = {round(z, LEVEL_DIGITS) for hole in finished for z in _sink_levels(panel, hole)}
    levels = sorted({0.0, -panel.finished, *inner})
    sheet = tuple(
        Slice(Straight(plate), low, high, tuple(_through(panel, hole, low, high) for hole in finished))
        for low, high in itertools.pairwise(levels)
    )
    walls = tuple(itertools.chain.from_iterable(lip_walls(panel)))
    return Body("panel", (*walls, *sheet), panel.material.name, bent=bent(panel, sheet, panel.coating))


def bent(panel: Panel, sheet: tuple[Slice, ...], coating: float = 0.0) -> Bent | None:
    """Return the true shape of a panel with lips, under a coating; None of a flat one."""
    folds = {lip: fold(panel, lip, coating) for lip in lips(panel)}
    gone = ((lip.strip(bend.start, coating), *lip.reliefs(coating)) for lip, bend in folds.items())
    return Bent(sheet, tuple(itertools.chain.from_iterable(gone)), tuple(folds.values())) if folds else None


def sink_depth(hole: Hole) -> float:
    """Return how deep a hole's countersink goes before it meets the hole; 0 without one."""
    if hole.countersink is None:
        return 0.0
    return hole.countersink.depth_in(hole.outline.size.width)


def _sink_levels(panel: Panel, hole: Hole) -> Iterator[float]:
    """Yield z where the countersink of a finished hole ends; a cone through the whole sheet ends nowhere within it."""
    depth = sink_depth(hole)
    if 0 < depth < panel.finished:
        yield -depth if hole.sunk_from == "front" else depth - panel.finished


def _through(panel: Panel, hole: Hole, low: float, high: float) -> Profile:
    """Return a finished hole between two levels: straight, or the part of its countersink there."""
    straight = hole.outline
    sink, depth = hole.countersink, sink_depth(hole)
    if sink is None or depth == 0:
        return Straight(straight)
    below_low, below_high = (
        (-low, -high) if hole.sunk_from == "front" else (low + panel.finished, high + panel.finished)
    )
    if min(below_low, below_high) >= depth - SAME_LEVEL:
        return Straight(straight)
    slope = (sink.diameter - straight.size.width) / depth
    at_low, at_high = (max(straight.size.width, sink.diameter - slope * d) for d in (below_low, below_high))
    return Taper(at_low, at_high, *hole.outline.centre)


def lip_walls(panel: Panel) -> tuple[tuple[Slice, ...], ...]:
    """Return every lip as slices that hold it: its wall, and its bend's inside in steps."""
    return tuple(_held(lip, fold(panel, lip, panel.coating)) for lip in lips(panel))


def _held(lip: Lip, bend: Fold) -> tuple[Slice, ...]:
    """Return a wall, its outside left square, and steps about the inside of the bend, each as wide as at its top."""
    wall = prism(lip.between(bend.low, bend.wall, bend.high, bend.edge), bend.end, -bend.thick)
    count = math.ceil(bend.inside / STEP)
    levels = [bend.inner(n / count) for n in range(count + 1)] if count else []
    steps = (
        prism(lip.between(bend.low, top.x, bend.high, bend.wall), below.y, top.y)
        for top, below in itertools.pairwise(levels)
    )
    return (wall, *steps)
