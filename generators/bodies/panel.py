"""The finished panel as a body: coating on its faces and on the walls of its holes, countersinks, folded lips."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from dryfit.generators.bodies.lips import lip_strips
from dryfit.models.geometry.bodies import Body, Profile, Slice, Straight, Taper, prism
from dryfit.models.panel import Hole, Panel

LEVEL_DIGITS = 6  # of a mm: countersinks of one size end at one level, though their depths carry rounding
SAME_LEVEL = 10.0**-LEVEL_DIGITS


def panel_body(panel: Panel, holes: tuple[Hole, ...]) -> Body:
    """Return the finished panel, its front face at z = 0; lips are walls behind its top and bottom edges."""
    plate = panel.outline.grown(panel.coating) if panel.coating else panel.outline
    finished = tuple(hole.coated(panel.coating) for hole in holes)
    inner = {round(z, LEVEL_DIGITS) for hole in finished for z in _sink_levels(panel, hole)}
    levels = sorted({0.0, -panel.finished, *inner})
    slices = tuple(
        Slice(Straight(plate), low, high, tuple(_through(panel, hole, low, high) for hole in finished))
        for low, high in itertools.pairwise(levels)
    )
    return Body("panel", (*lip_walls(panel), *slices), panel.material.name)


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


def lip_walls(panel: Panel) -> Iterator[Slice]:
    top = -panel.finished
    for wall in lip_strips(panel, panel.finished, panel.height / 2):
        yield prism(wall, top - panel.lip, top)
