"""The profile of a panel with folded lips: the bare metal cut across, with the dimensions that a bender sets.

Seen from the right like the sections: front of the panel to the left. Thin metal is shown black (ISO 128-3).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from dryfit.generators.drawing.dimensions import Leader, Ordinate, leaders, ordinates
from dryfit.generators.drawing.marks import Block, Mark, Stroke, Text, around, block, chain, frame
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE
from dryfit.models.geometry.contours import Curve, dimension, number
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.panel import Panel

QUARTER = math.tan(math.pi / 8)  # bulge of a quarter turn
BREAK = 2.0  # mm; half of the gap where a web is broken
COLUMN = 6.0  # mm from the lips' ends to the text of the leader


def metal(panel: Panel) -> Curve:
    """Return the cut metal as one closed curve: depth behind the front face to the right, y up, mm."""
    t, r, h, deep = panel.thickness, panel.bend_radius, panel.height / 2, panel.thickness + panel.lip
    outer, inner = r + t, h - t
    upper = ((deep, h, 0.0), (outer, h, QUARTER), (0.0, h - outer, 0.0))
    lower = ((0.0, outer - h, QUARTER), (outer, -h, 0.0), (deep, -h, 0.0), (deep, -inner, 0.0))
    if r == 0:
        return Curve((*upper, *lower, (t, -inner, 0.0), (t, inner, 0.0), (deep, inner, 0.0)))
    bends = ((outer, -inner, -QUARTER), (t, r - inner, 0.0), (t, inner - r, -QUARTER), (outer, inner, 0.0))
    return Curve((*upper, *lower, *bends, (deep, inner, 0.0)))


def profile(panel: Panel, room: float) -> Block:
    """Return the profile with its dimensions, no higher than ``room`` (mm on paper) but for its texts.

    A panel too high for the scale that shows its bends is drawn shorter, with a break in the web (ISO 128-3).
    """
    t, deep, h = panel.thickness, panel.thickness + panel.lip, panel.height / 2
    least = max(deep, 4 * (panel.bend_radius + t))  # of the height: both bends and some web between
    scale = next(s for s in scales(1.0) if min(panel.height, least) * s <= room)
    shown = replace(panel, height=min(panel.height, room / scale))
    end = shown.height / 2 * scale
    marks: list[Mark] = [Stroke(metal(shown).scaled(scale), fill="black")]
    marks += _break(t * scale) if shown.height < panel.height else ()
    depths = [Ordinate(dimension(d), d * scale) for d in (0.0, t, deep)]
    marks += ordinates(depths, -end, "below")
    marks += ordinates([Ordinate("0", -end), Ordinate(dimension(2 * h), end)], 0.0, "left")
    corner = (panel.thickness + panel.bend_radius * (1 - math.sqrt(0.5))) * scale
    marks += leaders(
        (Leader(f"2 × 90°, inside R{number(panel.bend_radius)}", corner, end - corner),), deep * scale + COLUMN
    )
    left, bottom, _, _ = around(marks)
    marks.append(Text(left, bottom - TITLE - 3.0, f"PROFILE  {scale_text(scale)}", TITLE))
    marks.append(Text(left, bottom - TITLE - 3.0 - 2 * HEIGHT, _lips(panel), HEIGHT))
    return block("profile", marks)


def _break(thick: float) -> Iterator[Mark]:
    """Yield a gap in the middle of the web between two zigzag lines."""
    yield frame(Rectangle(-1.0, -BREAK, thick + 1.0, BREAK), None, "white")
    middle = thick / 2
    for y in (-BREAK, BREAK):
        points = ((-2.5, y), (middle - 0.6, y), (middle - 0.3, y + 1.2), (middle + 0.3, y - 1.2), (middle + 0.6, y))
        yield chain((*points, (thick + 2.5, y)))


def _lips(panel: Panel) -> str:
    length = f"lips {number(panel.lip_length)} long"
    if panel.lip_length >= panel.width:
        return f"{length}, the whole width"
    return f"{length}, centred; relief slots {number(panel.lip_relief)} wide"
