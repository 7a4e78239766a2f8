"""The purchase list: every item once, with its standard designation, quantity, spares and, where known, price."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

from dryfit.generators.hardware.panel_choice import Spares, pieces
from dryfit.generators.lists.earth import bonds
from dryfit.generators.lists.measure_first import unsure_kinds
from dryfit.generators.report import Report
from dryfit.models.job import Job
from dryfit.models.prices import Price
from dryfit.models.reading.errors import nearest_name, quote
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import rack_screws


@dataclass(frozen=True)
class Item:
    """One line of the list: group, designation, pieces the panel needs, pieces to order, and what a pack costs."""

    group: str
    item: str
    needed: int
    order: int
    note: str = ""
    price: Price | None = None

    @property
    def packs(self) -> int | None:
        """How many packs are ordered, which come whole; None where no price list says how large a pack is."""
        return None if self.price is None else self.order // self.price.pack

    @property
    def cost(self) -> float | None:
        """What the packs cost."""
        return None if self.price is None or self.packs is None else self.packs * self.price.price


def purchase_list(report: Report) -> tuple[Item, ...]:
    """Return what to buy, group by group: panel, parts, plugs, screws, washers, nuts, rack screws."""
    prices = {price.item: price for price in report.job.prices}
    return tuple(_whole_packs(item, prices.get(item.item)) for item in _items(report))


MOST_TOLD = 5  # prices; a shop's list holds far more than one panel needs


def strange_prices(report: Report) -> Iterator[str]:
    """Yield what to tell of prices that match nothing on the list, first those that may mean an unpriced item."""
    items = purchase_list(report)
    listed, unpriced = {item.item for item in items}, [item.item for item in items if item.price is None]
    strange = [price.item for price in report.job.prices if price.item not in listed]
    meant = ((name, nearest_name(name, unpriced)) for name in strange)
    close = list(islice(((name, near) for name, near in meant if near), MOST_TOLD))
    for name, near in close:
        yield f"The price of {quote(name)} matches nothing on the parts list; did you mean {near}?"
    rest = len(strange) - len(close)
    if rest:
        yield f"{rest} item{'s' * (rest != 1)} of the price file match{'es' * (rest == 1)} nothing on the parts list."


def total(items: tuple[Item, ...]) -> tuple[float, str] | None:
    """Return what all priced items cost together, with the currency; None where nothing has a price."""
    priced = [(item.cost, item.price.currency) for item in items if item.price is not None and item.cost is not None]
    return (sum(cost for cost, _ in priced), priced[0][1]) if priced else None


def _whole_packs(item: Item, price: Price | None) -> Item:
    if price is None:
        return item
    order = -(-item.order // price.pack) * price.pack
    return replace(item, order=order, price=price)


def _items(report: Report) -> Iterator[Item]:
    job, spares = report.job, Spares(report.job.spares)
    yield Item("panel", _panel(job), 1, 1, "cut and coated as drawn")
    unsure = unsure_kinds(report)
    parts = Counter((place.kind, place.part.title) for place in job.places)
    for (kind, title), n in parts.items():
        yield Item("part", f"{kind}: {title}", n, n, _note("measure before cutting", unsure.get(kind)))
    plugs = Counter((place.mounting.plug_name, place.plug.title) for place in job.places if place.plug is not None)
    for (name, title), n in plugs.items():
        yield Item("plug", title, n, n, _note("mating plug", unsure.get(name or "")))
    count = _count(report)
    for group in ("screw", "washer", "nut"):
        for (kind, name), n in count.items():
            if kind == group:
                yield Item(group, name, n, pieces(n, spares), "with spares")
    yield from _bush_nuts(job)
    yield from _earth(report)
    holes, screw = len(job.panel.rack_holes), rack_screws()[job.panel.rack_screw]
    if holes:
        yield Item(screw.into, screw.words, holes, pieces(holes, spares), "with spares")


def _note(note: str, unsure: str | None) -> str:
    return note if unsure is None else f"{note}; measure first: {unsure}"


def _bush_nuts(job: Job) -> Iterator[Item]:
    """Yield the nuts on bushes, which come with their parts: to be counted when these are unpacked."""
    bushes = (place.part.bush for place in job.places if place.part.fixings is None)
    count = Counter(f"nut of a bush, {format_mm(bush.nut_across)} across flats" for bush in bushes if bush is not None)
    yield from (Item("nut", name, n, 0, "comes with the part") for name, n in count.items())


def _earth(report: Report) -> Iterator[Item]:
    """Yield what bonds the panel to earth."""
    found = bonds(report)
    for name, n in Counter(bond.ring for bond in found).items():
        yield Item("earth", name, n, n, "of the wire's size")
    for name, n in Counter(bond.washer.designation for bond in found if bond.washer is not None).items():
        yield Item("earth", name, n, pieces(n, Spares(report.job.spares)), "under the ring terminal")
    for name, n in Counter(bond.nut.designation for bond in found if bond.nut is not None).items():
        yield Item("earth", name, n, pieces(n, Spares(report.job.spares)), "on the ring terminal")
    for name, n in Counter(bond.longer.designation for bond in found if bond.longer is not None).items():
        yield Item("earth", name, n, n, "longer, for the ring terminal")


def _panel(job: Job) -> str:
    panel = job.panel
    coat = f", coated {panel.coating:g} mm per surface" if panel.coating else ""
    return f"{panel.width:g} x {panel.height:g} x {panel.thickness:g} mm {panel.material.name}{coat}"


def _count(report: Report) -> Counter[tuple[str, str]]:
    """Return how often each screw, washer and nut is used, by group and name."""
    count: Counter[tuple[str, str]] = Counter()
    for place in report.job.places:
        stack = report.stacks.get(place.name)
        if stack is not None and place.part.fixings is not None:
            for item in stack.items:
                count[item] += len(place.part.fixings.at)
    return count
