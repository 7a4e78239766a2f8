"""What stands around each place, in the frame of that place.

In that frame like places in like company look alike, so everything worked out for one serves them all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import numpy as np

from dryfit.generators.bodies.assemble import part_body, part_instance, plug_instance
from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.checks.registry import OWN_PART, PANEL, Fit, Obstacle
from dryfit.generators.joints.stacks import Stack, part_base
from dryfit.models.geometry.bodies import Body, Placement, Slice, Straight, prism
from dryfit.models.geometry.outlines import box, round_
from dryfit.models.job import Job, Panel, Place

REACH = 45.0  # mm about a place's axis that its fasteners, plug, tools and fingers can touch
SAME_SPOT = 6  # decimals of mm: like distances that differ only by rounding are one


def fits(job: Job) -> tuple[Fit, ...]:
    """Return a fit without stack for every place, in order."""
    others = [
        i for place in job.places for i in (part_instance(place, job.panel), plug_instance(place, job.panel)) if i
    ]
    boxes = np.array([i.box for i in others])
    return tuple(_fit(job.panel, place, others, boxes) for place in job.places)


def _fit(panel: Panel, place: Place, others: list[Instance], boxes: np.ndarray) -> Fit:
    near = _within_reach(place, boxes)
    beside = (_seen_from(place, others[i]) for i in near if others[i].place != place.name)
    here = replace(place, x=0.0, y=0.0, turn=0.0, name="", entry=0, line=0, legend="")
    around = (_own_part(place, panel), _plate(place, panel), *_lips(place, panel), *beside)
    return Fit(panel, here, None, around)


def changed(fit: Fit, place: Place, stack: Stack | None = None) -> Fit:
    """Return the fit with its place changed: its own part and the panel about it are put together anew."""
    others = tuple(o for o in fit.around if o.name not in (OWN_PART, PANEL))
    return Fit(fit.panel, place, stack, (_own_part(place, fit.panel), _plate(place, fit.panel), *others))


def _within_reach(place: Place, boxes: np.ndarray) -> Iterator[int]:
    x, y = place.x, place.y
    near = (boxes[:, 0] < x + REACH) & (boxes[:, 3] > x - REACH) & (boxes[:, 1] < y + REACH) & (boxes[:, 4] > y - REACH)
    return (int(i) for i in np.flatnonzero(near))


def _own_part(place: Place, panel: Panel) -> Obstacle:
    spot = Placement(z=part_base(place, panel), turn=place.part_turn)
    return Obstacle(OWN_PART, _slices(part_body(place.kind, place.part), spot))


def _plate(place: Place, panel: Panel) -> Obstacle:
    """Return the panel near the place, with the place's own finished holes (those that its bodies may pass)."""
    cut = place.cutout
    fixing = round_(cut.fixing_diameter - 2 * panel.coating)
    holes = (cut.main.grown(-panel.coating), *(fixing.moved(*at) for at in cut.fixings))
    return Obstacle(PANEL, (prism(box(2 * REACH, 2 * REACH), -panel.finished, 0.0, holes),))


def _lips(place: Place, panel: Panel) -> Iterator[Obstacle]:
    """Yield the folded lips within reach, as walls along the panel's edges."""
    if panel.lip <= 0:
        return
    for edge in (panel.height / 2, -panel.height / 2):
        middle = edge - np.sign(edge) * panel.finished / 2
        if abs(middle - place.y) < REACH:
            wall = box(panel.lip_length, panel.finished).moved(-place.x, middle - place.y)
            bottom = -panel.finished - panel.lip
            yield Obstacle("panel lip", (Slice(Straight(wall.turned(-place.turn)), bottom, -panel.finished),))


def _seen_from(place: Place, other: Instance) -> Obstacle:
    spot = other.placement
    corner = round_(0).moved(spot.x - place.x, spot.y - place.y).turned(-place.turn).corners[0]
    local = replace(
        spot, x=round(corner.x, SAME_SPOT), y=round(corner.y, SAME_SPOT), turn=(spot.turn - place.turn) % 360.0
    )
    return Obstacle("next plug" if other.role == "plug" else "next part", _slices(other.body, local))


@cache
def _slices(body: Body, spot: Placement) -> tuple[Slice, ...]:
    return spot.apply(body)
