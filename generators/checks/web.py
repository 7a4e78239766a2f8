"""How much metal is left between cut-outs, countersinks counted, to the edges, and to the bends of lips?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from dryfit.generators.bodies.lips import Lip, lips
from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.models.findings import Finding, grade
from dryfit.models.geometry.outlines import Outline, clearance, gap, round_
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.errors import begun
from dryfit.models.reading.units import format_mm

LEAST_WEB = 1.0  # mm of metal below which a punch or drill breaks through or the edge bulges (common practice)
CUT_SPREAD = 0.25
"""mm that a web may come out narrower: two holes each 0.05 off along x and y and 0.1 large (what shops hold)."""
OWN_WEB_AIM = 1.2  # mm between a main hole and its own fixing hole: the D-hole leaves 1.3 to 1.8 (common practice)
EDGE_THICKNESSES = 1.5  # sheet thicknesses wanted to an edge; 1 between cut-outs (laser cutting, common practice)
BEND_THICKNESSES = 2.0
"""Sheet thicknesses, besides the inside radius, wanted from a hole's edge to the outer face of a lip; at one less the
hole lies in the bend. Published design guides ask for 1.5 to 2.5 thicknesses and the radius (design rules of
sheet-metal CAD, guides of stamping works, secondary text); two is common practice of press brakes."""
FAR = 50.0  # mm; webs wider than this are not looked for
SOURCE = "web at least one sheet thickness, edge one and a half: common practice of sheet-metal shops"
BEND_SOURCE = (
    "holes keep inside radius and two thicknesses from the outer face of a lip: published guides ask for 1.5 to 2.5"
    " thicknesses and the radius (secondary text)"
)


@panel_check("web", strategies=("move apart", "move inwards", "smaller fixings"))
def web(fitting: Fitting) -> Iterator[Finding]:
    """Tell for every place, and every plain hole, the narrowest web there.

    One between two places is told at the first of them, one between a place and the panel's own hole at the place.
    """
    holes = fitting.job.holes()
    rims = [rim(hole) for hole in holes]
    boxes = np.array([outline.box for outline in rims])
    of_place: dict[str, list[int]] = {}
    for i, hole in enumerate(holes):
        of_place.setdefault(hole.place, []).append(i)
    for place in fitting.job.places:
        yield _narrowest(w for i in of_place[place.name] for w in _webs(fitting, holes, rims, boxes, i))
    for i in (i for i, hole in enumerate(holes) if hole.purpose == "plain"):
        yield _narrowest(_webs(fitting, holes, rims, boxes, i))


def _narrowest(found: Iterable[Finding]) -> Finding:
    return max(found, key=lambda f: (f.verdict.rank, -(f.measured or 0.0)))


def rim(hole: Hole) -> Outline:
    """Return what a hole takes of the face it is widest at: itself, or its countersink."""
    sink = hole.countersink
    if sink is None or sink.diameter <= max(hole.outline.size):
        return hole.outline
    return round_(sink.diameter).moved(*hole.outline.centre)


def metal_between(panel: Panel, one: Hole, other: Hole) -> float:
    """Return the least metal between two holes over the thickness of the sheet, countersinks from either face counted.

    A countersink narrows evenly from its face on and then no more, so the least metal is left at one of the faces.
    """
    return min(gap(_across(panel, one, z), _across(panel, other, z)) for z in (0.0, panel.thickness))


def _across(panel: Panel, hole: Hole, z: float) -> Outline:
    """Return a hole as it is cut at a depth below the front face."""
    if hole.countersink is None:
        return hole.outline
    wide = hole.countersink.across(z if hole.sunk_from == "front" else panel.thickness - z)
    return hole.outline if wide <= hole.outline.size.width else round_(wide).moved(*hole.outline.centre)


def _webs(
    fitting: Fitting, holes: tuple[Hole, ...], rims: list[Outline], boxes: np.ndarray, i: int
) -> Iterator[Finding]:
    """Yield the web from one hole to the edge, to the bend of a lip, and to every hole near it."""
    panel = fitting.job.panel
    yield _to_edge(panel, holes[i], rims[i])
    for lip in lips(panel):
        yield from _to_bend(panel, lip, holes[i], rims[i])
        yield from (_to_relief(panel, relief, holes[i], rims[i]) for relief in lip.reliefs())
    left, bottom, right, top = boxes[i]
    near = (
        (boxes[:, 0] < right + FAR) & (boxes[:, 2] > left - FAR)
        & (boxes[:, 1] < top + FAR) & (boxes[:, 3] > bottom - FAR)
    )  # fmt: skip
    for j in np.flatnonzero(near):
        if j != i and not _is_told_at(fitting, holes, int(j), i):
            yield _between(panel, holes[i], holes[j], metal_between(panel, holes[i], holes[j]))


def _is_told_at(fitting: Fitting, holes: tuple[Hole, ...], other: int, here: int) -> bool:
    """Whether the web between two holes is told at the other: of a place further up, of any before the panel's own."""
    one, two = (fitting.order.get(holes[n].place, len(holes)) for n in (other, here))
    return one < two or (
        one == two and holes[here].purpose == "plain" and holes[other].purpose == "plain" and other < here
    )


def _to_edge(panel: Panel, hole: Hole, outline: Outline) -> Finding:
    left = clearance(outline, panel.outline)
    says = f"{format_mm(left)} of metal is left between {_its(hole)} and the edge of the panel."
    if left < 0:
        says = f"{begun(_its(hole))} runs {format_mm(-left)} over the edge of the panel."
    elif left < LEAST_WEB:
        says = f"{begun(_its(hole))} leaves {format_mm(left)} of metal to the edge; {format_mm(LEAST_WEB)} is wanted."
    return _finding(hole, left, LEAST_WEB, EDGE_THICKNESSES * panel.thickness, says)


def _to_bend(panel: Panel, lip: Lip, hole: Hole, outline: Outline) -> Iterator[Finding]:
    """Judge a hole against where the bend of a lip begins: inside radius and thickness from its outer face.

    To a hole beside the end of a lip the relief there is nearer.
    """
    turned = outline.turned(-lip.turn).box
    if turned.right <= -lip.left.at or turned.left >= lip.right.at:
        return
    left = lip.fold - turned.top
    says = f"{format_mm(left)} is left between {_its(hole)} and the bend of the {lip.edge} lip."
    if left < 0:
        says = f"{begun(_its(hole))} runs {format_mm(-left)} into the bend of the {lip.edge} lip."
    yield _finding(hole, left, 0.0, (BEND_THICKNESSES - 1) * panel.thickness, says, source=BEND_SOURCE)


def _to_relief(panel: Panel, relief: Outline, hole: Hole, outline: Outline) -> Finding:
    """Judge a hole against the relief beside a lip, which is an edge of the sheet."""
    left = gap(outline, relief)
    says = f"{format_mm(left)} of metal is left between {_its(hole)} and the relief beside a lip."
    if left < 0:
        says = f"{begun(_its(hole))} runs {format_mm(-left)} into the relief beside a lip."
    return _finding(hole, left, LEAST_WEB, EDGE_THICKNESSES * panel.thickness, says)


def _its(hole: Hole) -> str:
    """Return what a hole is to the place it belongs to, or what people call it."""
    if not hole.place:
        return hole.called
    return "its countersink" if hole.countersink is not None else f"its {hole.purpose} hole"


def _between(panel: Panel, hole: Hole, other: Hole, left: float) -> Finding:
    own = bool(hole.place) and hole.place == other.place
    aim = OWN_WEB_AIM if own else max(LEAST_WEB + CUT_SPREAD, panel.thickness)
    whose = f"its own {other.purpose} hole" if own else other.called
    says = f"{format_mm(left)} of metal is left between {_its(hole)} and {whose}."
    if left < 0:
        says = f"{begun(_its(hole))} runs {format_mm(-left)} into {whose}."
    return _finding(hole, left, LEAST_WEB, aim, says, beside="" if own else other.place)


def _finding(
    hole: Hole, left: float, limit: float, aim: float, says: str, *, source: str = SOURCE, beside: str = ""
) -> Finding:
    return Finding.of_length(
        "web", hole.place, grade(left, limit, aim), says, measured=left, limit=limit,
        bodies=() if hole.place else ("panel",), beside=(beside,) if beside else (), source=source,
    )  # fmt: skip
