"""How much metal is left between cut-outs and to the edges?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from dryfit.generators.checks.registry import Fitting, panel_check
from dryfit.generators.remedies.moves import move_apart, move_inwards
from dryfit.models.findings import Change, Finding, Verdict, grade
from dryfit.models.geometry.outlines import box, clearance, gap
from dryfit.models.job import Hole
from dryfit.models.reading.units import format_mm

LEAST_WEB = 1.0  # mm of metal below which a punch or drill breaks through or the edge bulges (common practice)
OWN_WEB_AIM = 1.2  # mm between a main hole and its own fixing hole: the D-hole leaves 1.3 to 1.8 (common practice)
EDGE_THICKNESSES = 1.5  # sheet thicknesses wanted to an edge; 1 between cut-outs (laser cutting, common practice)
FAR = 50.0  # mm; webs wider than this are not looked for
SOURCE = "web at least one sheet thickness, edge one and a half: common practice of sheet-metal shops"


@panel_check("web")
def web(fitting: Fitting) -> Iterator[Finding]:
    """Tell for every place the narrowest web at its holes."""
    holes = fitting.job.holes()
    boxes = np.array([h.outline.box for h in holes])
    for place in fitting.job.places:
        own = [i for i, h in enumerate(holes) if h.place == place.name]
        found = [w for i in own for w in _webs(fitting, holes, boxes, i)]
        yield max(found, key=lambda f: (f.verdict.rank, -f.measured))


def _webs(fitting: Fitting, holes: tuple[Hole, ...], boxes: np.ndarray, i: int) -> Iterator[Finding]:
    """Yield the web from one hole to the edge, and to every hole near it."""
    yield _to_edge(fitting, holes[i])
    left, bottom, right, top = boxes[i]
    near = (
        (boxes[:, 0] < right + FAR) & (boxes[:, 2] > left - FAR)
        & (boxes[:, 1] < top + FAR) & (boxes[:, 3] > bottom - FAR)
    )  # fmt: skip
    for j in np.flatnonzero(near):
        if j != i:
            yield _between(fitting, holes[i], holes[j])


def _to_edge(fitting: Fitting, hole: Hole) -> Finding:
    panel = fitting.job.panel
    left = clearance(hole.outline, box(panel.width, panel.height))
    verdict = grade(left, LEAST_WEB, EDGE_THICKNESSES * panel.thickness)
    says = f"{format_mm(left)} of metal is left between its {hole.purpose} hole and the edge of the panel."
    text = ""
    changes: tuple[Change, ...] = ()
    if verdict is Verdict.FAILS:
        says = (
            f"Its {hole.purpose} hole leaves {format_mm(left)} of metal to the edge; {format_mm(LEAST_WEB)} is wanted."
        )
        x, y = hole.outline.centre
        axis = 0 if panel.width / 2 - abs(x) < panel.height / 2 - abs(y) else 1
        text, changes = move_inwards(fitting, hole.place, LEAST_WEB - left, axis)
    return Finding("web", hole.place, verdict, left, LEAST_WEB, says, text, SOURCE, changes)


def _between(fitting: Fitting, hole: Hole, other: Hole) -> Finding:
    left = gap(hole.outline, other.outline)
    own = hole.place == other.place
    aim = OWN_WEB_AIM if own else max(LEAST_WEB, fitting.job.panel.thickness)
    verdict = grade(left, LEAST_WEB, aim)
    whose = "the rack slot" if other.purpose == "rack" else f"the {other.purpose} hole of {other.place}"
    whose = f"its own {other.purpose} hole" if own else whose
    says = f"{format_mm(left)} of metal is left between its {hole.purpose} hole and {whose}."
    if left < 0:
        says = f"Its {hole.purpose} hole runs {format_mm(-left)} into {whose}."
    text: str = ""
    changes: tuple[Change, ...] = ()
    if verdict is Verdict.FAILS and not own:
        if other.purpose == "rack":
            text, changes = move_inwards(fitting, hole.place, LEAST_WEB - left, 0)
        else:
            text, changes = move_apart(fitting, hole.place, other.place, LEAST_WEB - left)
    return Finding("web", hole.place, verdict, left, LEAST_WEB, says, text, SOURCE, changes)
