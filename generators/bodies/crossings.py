"""What can be neither cut nor made a solid of: holes that run into each other, over the edge or into a fold."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from dryfit.generators.bodies.lips import lips
from dryfit.models.geometry.bodies import TOUCHING
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.outlines import clearance, gap
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.errors import DryfitError

MOST_TOLD = 5  # crossings; one is enough to scrap a panel


def refuse_crossings(panel: Panel, holes: tuple[Hole, ...]) -> None:
    """Raise if contours of a panel cross: a machine would cut what nobody meant, the kernel make a broken solid.

    Raises:
        DryfitError: with the first of them.
    """
    found = list(itertools.islice(_crossings(panel, holes), MOST_TOLD + 1))
    if found:
        told = [*found[:MOST_TOLD], *(["others do too"] if len(found) > MOST_TOLD else [])]
        raise DryfitError("; ".join(told))


def _crossings(panel: Panel, holes: tuple[Hole, ...]) -> Iterator[str]:
    for hole in holes:
        if hole.purpose != "rack" and clearance(hole.outline, panel.outline) <= 0:
            yield f"the {_named(hole)} crosses the edge of the panel"
        elif panel.lip > 0 and _crosses_fold(panel, hole):
            yield f"the {_named(hole)} crosses a fold of the panel"
    about = Nearby((hole.outline.box.grown(TOUCHING), number) for number, hole in enumerate(holes))
    for number, one in enumerate(holes):
        for other in sorted(n for n in about.about(one.outline.box) if n > number):
            if gap(one.outline, holes[other].outline) <= 0:
                yield f"the {_named(one)} and {_named(holes[other])} run into each other"


def _named(hole: Hole) -> str:
    return hole.name or f"{hole.purpose} hole of {hole.place or 'the panel'}"


def _crosses_fold(panel: Panel, hole: Hole) -> bool:
    return any(gap(hole.outline, gone) <= 0 for lip in lips(panel) for gone in (lip.strip(lip.fold), *lip.reliefs()))
