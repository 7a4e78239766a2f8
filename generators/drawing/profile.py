"""The profile of a panel with folded lips: the bare metal cut across, with the dimensions that a bender sets.

Seen from the right like the sections: front of the panel to the left. Thin metal is shown black (ISO 128-3).
"""

from __future__ import annotations

import math

from dryfit.generators.drawing.contours import Curve, dimension, number
from dryfit.generators.drawing.dimensions import Leader, Ordinate, leaders, ordinates
from dryfit.generators.drawing.lettering import HEIGHT, TITLE
from dryfit.generators.drawing.marks import Block, Mark, Stroke, Text, block
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.models.job import Panel

QUARTER = math.tan(math.pi / 8)  # bulge of a quarter turn
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
    """Return the profile with its dimensions, no higher than ``room`` (mm on paper) but for its texts."""
    scale = next(s for s in scales(1.0) if panel.height * s <= room)
    t, deep, h = panel.thickness, panel.thickness + panel.lip, panel.height / 2
    marks: list[Mark] = [Stroke(metal(panel).scaled(scale), fill="black")]
    depths = [Ordinate(dimension(d), d * scale) for d in (0.0, t, deep)]
    marks += ordinates(depths, -h * scale, "below")
    marks += ordinates([Ordinate(number(y + h), y * scale) for y in (-h, h)], 0.0, "left")
    corner = panel.thickness + panel.bend_radius * (1 - math.sqrt(0.5))
    inside = Leader(f"2 × 90°, inside R{number(panel.bend_radius)}", corner * scale, (h - corner) * scale)
    marks += leaders((inside,), deep * scale + COLUMN)
    left, bottom = min(m.box[0] for m in marks), min(m.box[1] for m in marks)
    marks.append(Text(left, bottom - TITLE - 3.0, f"PROFILE  {scale_text(scale)}", TITLE))
    marks.append(Text(left, bottom - TITLE - 3.0 - 2 * HEIGHT, _lips(panel), HEIGHT))
    return block("profile", marks)


def _lips(panel: Panel) -> str:
    length = f"lips {number(panel.lip_length)} long"
    if panel.lip_length >= panel.width:
        return f"{length}, the whole width"
    return f"{length}, centred; relief slots {number(panel.lip_relief)} wide"
