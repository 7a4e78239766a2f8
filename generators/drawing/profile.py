"""The profile of a panel with folded lips: the bare metal cut across, with the dimensions that a bender sets.

Seen from the right like the sections: front of the panel to the left. Thin metal is shown black (ISO 128-3).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.bodies.lips import lips
from dryfit.generators.drawing.dimensions import Leader, Ordinate, leaders, ordinates
from dryfit.generators.drawing.marks import Block, Mark, Stroke, Text, around, block, chain, frame
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE
from dryfit.models.geometry.contours import Curve, Vertex
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.measures import MM, Measures
from dryfit.models.panel import Edge, Panel
from dryfit.models.reading.errors import in_series

QUARTER = math.tan(math.pi / 8)  # bulge of a quarter turn
BREAK = 2.0  # mm; half of the gap where a web is broken
COLUMN = 6.0  # mm from the lips' ends to the text of the leader


@dataclass(frozen=True)
class Cut:
    """Where the metal is cut across: its two edges, the one drawn below first, and which of them have lips."""

    low: Edge
    high: Edge
    lipped: tuple[Edge, ...]

    @property
    def upright(self) -> bool:
        """Whether it is seen from the right as the sections are; else from below, its left end down."""
        return self.high == "top"


def cuts(panel: Panel) -> tuple[Cut, ...]:
    """Return the cuts that show all lips of a panel."""
    pairs: tuple[tuple[Edge, Edge], ...] = (("bottom", "top"), ("left", "right"))
    found = (Cut(*pair, tuple(edge for edge in pair if edge in panel.folded)) for pair in pairs)
    return tuple(cut for cut in found if cut.lipped)


def metal(panel: Panel, cut: Cut, length: float) -> Curve:
    """Return the cut metal as one closed curve ``length`` high: depth behind the front face to the right, mm."""
    upper = _upper(panel, length / 2, cut.high in cut.lipped)
    lower = _upper(panel, length / 2, cut.low in cut.lipped)
    return Curve((*upper, *_turned_over(lower)))


def _upper(panel: Panel, h: float, lipped: bool) -> tuple[Vertex, ...]:
    """Return the upper half of the cut metal, from its rear face over its upper end to its front face."""
    t, r, deep = panel.thickness, panel.bend_radius, panel.thickness + panel.lip
    if not lipped:
        return ((t, h, 0.0), (0.0, h, 0.0))
    outer, inner = r + t, h - t
    inside = ((t, inner, 0.0),) if r == 0 else ((t, inner - r, -QUARTER), (outer, inner, 0.0))
    return (*inside, (deep, inner, 0.0), (deep, h, 0.0), (outer, h, QUARTER), (0.0, h - outer, 0.0))


def _turned_over(half: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    """Return half a contour as its mirror image below, walked the same way round."""
    bulges = [*(bulge for _, _, bulge in reversed(half[:-1])), 0.0]
    return tuple((x, -y, bulge) for (x, y, _), bulge in zip(reversed(half), bulges, strict=True))


def profile(panel: Panel, cut: Cut, room: float, written: Measures = MM) -> Block:
    """Return a profile with its dimensions, no higher than ``room`` (mm on paper) but for its texts.

    A panel too high for the scale that shows its bends is drawn shorter, with a break in the web (ISO 128-3).
    """
    t, deep = panel.thickness, panel.thickness + panel.lip
    whole = panel.height if cut.upright else panel.width
    least = max(deep, 4 * (panel.bend_radius + t))  # of the height: both bends and some web between
    scale = next(s for s in scales(1.0) if min(whole, least) * s <= room)
    shown = min(whole, room / scale)
    end = shown / 2 * scale
    marks: list[Mark] = [Stroke(metal(panel, cut, shown).scaled(scale), fill="black")]
    marks += _break(t * scale) if shown < whole else ()
    depths = [Ordinate(written.dimension(d), d * scale) for d in (0.0, t, deep)]
    marks += ordinates(depths, -end, "below")
    marks += ordinates([Ordinate("0", -end), Ordinate(written.dimension(whole), end)], 0.0, "left")
    corner = (panel.thickness + panel.bend_radius * (1 - math.sqrt(0.5))) * scale
    spot = end - corner if cut.high in cut.lipped else corner - end
    count = f"{len(cut.lipped)} × " if len(cut.lipped) > 1 else ""
    marks += leaders(
        (Leader(f"{count}90°, inside R{written.dimension(panel.bend_radius)}", corner, spot),), deep * scale + COLUMN
    )
    left, bottom, _, _ = around(marks)
    name = "PROFILE" if cut.upright else "PROFILE, CUT LEVEL, RIGHT END UP"
    marks.append(Text(left, bottom - TITLE - 3.0, f"{name}  {scale_text(scale)}", TITLE))
    marks.append(Text(left, bottom - TITLE - 3.0 - 2 * HEIGHT, _lips(panel, cut, written), HEIGHT))
    return block("profile" if cut.upright else "level profile", marks)


def _break(thick: float) -> Iterator[Mark]:
    """Yield a gap in the middle of the web between two zigzag lines."""
    yield frame(Rectangle(-1.0, -BREAK, thick + 1.0, BREAK), None, "white")
    middle = thick / 2
    for y in (-BREAK, BREAK):
        points = ((-2.5, y), (middle - 0.6, y), (middle - 0.3, y + 1.2), (middle + 0.3, y - 1.2), (middle + 0.6, y))
        yield chain((*points, (thick + 2.5, y)))


def _lips(panel: Panel, cut: Cut, written: Measures) -> str:
    """Return in words how long the lips of a cut are, and what is relieved beside them."""
    shown = [lip for lip in lips(panel) if lip.edge in cut.lipped]
    length = in_series(dict.fromkeys(written.dimension(lip.length) for lip in shown))
    what = f"lips {length} long" if len(shown) > 1 else f"lip along the {shown[0].edge} {length} long"
    ends = [end for lip in shown for end in (lip.left, lip.right)]
    slots = [end.relief for end in ends if end.relief > 0 and not end.meets]
    notched = ", corners notched between lips" if any(end.meets for end in ends) else ""
    if slots:
        return f"{what}, centred; relief slots {written.dimension(max(slots))} wide{notched}"
    return f"{what}{notched}" if notched else f"{what}, the whole {'width' if cut.upright else 'height'}"
