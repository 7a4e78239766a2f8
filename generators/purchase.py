"""The purchase list: every item once, with its standard designation, quantity and spares."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.checking import Report
from dryfit.models.job import Job

SPARE_SHARE = 0.1  # of small hardware gets lost or spoilt (common practice)
LEAST_SPARES = 2
RACK_SCREW = "Rack screw M6 x 16 with cage nut and plastic cup washer (or 10-32, 12-24 as the rack wants)"


@dataclass(frozen=True)
class Item:
    """One line of the list: group, designation, pieces the panel needs, pieces to order."""

    group: str
    item: str
    needed: int
    order: int
    note: str = ""


def purchase_list(report: Report) -> tuple[Item, ...]:
    """Return what to buy, group by group: panel, parts, plugs, screws, washers, nuts, rack screws."""
    return tuple(_items(report))


def _items(report: Report) -> Iterator[Item]:
    job = report.job
    yield Item("panel", _panel(job), 1, 1, "cut and coated as drawn")
    parts = Counter(f"{place.kind}: {place.part.title}" for place in job.places)
    yield from (Item("part", name, n, n, "measure before cutting") for name, n in parts.items())
    plugs = Counter(place.plug.title for place in job.places if place.plug is not None)
    yield from (Item("plug", name, n, n, "mating plug") for name, n in plugs.items())
    for group in ("screw", "washer", "nut"):
        yield from (_hardware(group, name, n) for name, n in _count(report, group).items())
    if job.panel.rack_units is not None:
        holes = len(job.panel.rack_holes)
        yield Item("rack", RACK_SCREW, holes, with_spares(holes))


def _panel(job: Job) -> str:
    panel = job.panel
    coat = f", coated {panel.coating:g} mm per surface" if panel.coating else ""
    return f"{panel.width:g} x {panel.height:g} x {panel.thickness:g} mm {panel.material.name}{coat}"


def _count(report: Report, group: str) -> Counter[str]:
    """Return how often each screw, washer or nut is used."""
    count: Counter[str] = Counter()
    for place in report.job.places:
        stack = report.stacks.get(place.name)
        if stack is None or place.part.fixings is None:
            continue
        metal = f", {place.wish.metal}" if place.wish.metal else ""
        names = {
            "screw": [stack.screw.designation],
            "washer": [washer.designation for washer in stack.washers],
            "nut": [stack.nut.designation] if stack.nut else [],
        }[group]
        for name in names:
            count[f"{name}{metal}"] += len(place.part.fixings.at)
    return count


def _hardware(group: str, name: str, needed: int) -> Item:
    return Item(group, name, needed, with_spares(needed), "with spares")


def with_spares(needed: int) -> int:
    """Return how many to order: a tenth more, at least two more."""
    return needed + max(LEAST_SPARES, math.ceil(needed * SPARE_SHARE))
