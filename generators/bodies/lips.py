"""Folded lips: where they stand along the panel's edges, and where the flat of the panel ends. Panel axes, mm."""

from __future__ import annotations

from dryfit.models.geometry.outlines import Outline, box
from dryfit.models.panel import Panel


def lip_strips(panel: Panel, deep: float, edge: float) -> tuple[Outline, ...]:
    """Return the strips along the lips, upper and lower, ``deep`` mm wide inwards from y = ``edge`` and minus that.

    None for a flat panel. Walls of a lip, and the room that its bend takes, are such strips.
    """
    strip = box(panel.lip_length, deep)
    return tuple(strip.moved(0.0, side * (edge - deep / 2)) for side in ((1, -1) if panel.lip > 0 else ()))


def fold_line(panel: Panel) -> float:
    """Return y where the bend of the upper lip begins; the lower one begins at minus that."""
    return panel.height / 2 - panel.thickness - panel.bend_radius


def relief_end(panel: Panel) -> float:
    """Return x where the relief slot beside the right end of a lip ends; at the panel's edge or past it: no slot."""
    return panel.lip_length / 2 + panel.lip_relief
