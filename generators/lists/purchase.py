"""The purchase list: every item once, with its standard designation, quantity, spares and, where known, price.

What a drawer holds is taken from there; see :mod:`~dryfit.generators.hardware.panel_choice` for what is then bought.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import islice

from dryfit.generators.hardware.panel_choice import Spares, pieces
from dryfit.generators.lists.earth import bonds
from dryfit.generators.lists.measure_first import unsure_kinds
from dryfit.generators.report import Report
from dryfit.models.drawer import Drawer
from dryfit.models.job import Job
from dryfit.models.prices import Price
from dryfit.models.reading.errors import nearest_name, quote
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.articles import short, understood
from dryfit.models.tables.fasteners import rack_screws


@dataclass(frozen=True)
class Item:
    """One line of the list: group, designation, pieces the panel needs, pieces to order, and what a pack costs.

    ``drawer`` is how many of those needed are at hand.
    """

    group: str
    item: str
    needed: int
    order: int
    note: str = ""
    price: Price | None = None
    drawer: int = 0
    order_number: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """What a price list may call it: as it stands here, and a part by its name in the catalogue alone."""
        return (self.item, self.item.partition(": ")[0]) if self.group == "part" else (self.item,)

    @property
    def remark(self) -> str:
        """The note, and the order number where one is known."""
        return "; ".join(filter(None, (self.note, f"order number {self.order_number}" * bool(self.order_number))))

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
    return tuple(_priced(item, prices) for item in _supplied(_items(report), report.job.drawer))


MOST_TOLD = 5  # prices; a shop's list holds far more than one panel needs


def strange_prices(report: Report) -> Iterator[str]:
    """Yield what to tell of prices that match nothing on the list, first those that may mean an unpriced item."""
    items = purchase_list(report)
    listed, unpriced = (
        {name for item in items for name in item.names},
        [item.item for item in items if item.price is None],
    )
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


def supply_in_words(report: Report) -> str:
    """Return in one line what of the hardware comes from the drawer and what is bought; empty without a drawer."""
    if report.job.drawer is None:
        return ""
    items = [item for item in purchase_list(report) if item.group in HARDWARE and understood(item.item) is not None]
    there, needed = sum(item.drawer for item in items), sum(item.needed for item in items)
    bought = "; ".join(f"{item.order} x {item.item}" for item in items if item.order) or "nothing"
    return f"{there} of {needed} screws, washers and nuts are there; to buy: {bought}"


def other_metals(report: Report) -> Iterator[str]:
    """Yield what lies in the drawer and is not taken only because its metal is not the one that is asked for."""
    listed = {item.item for item in purchase_list(report) if item.group in HARDWARE}
    plain = {named.article.designation for named in map(understood, listed) if named is not None}
    for one in report.job.drawer.stock if report.job.drawer is not None else ():
        if one.count and one.item.name not in listed and one.item.article.designation in plain:
            of = f"are of {one.item.metal}" if one.item.metal else "do not say their metal"
            yield f"The drawer's {short(one.item.article)}s {of}: they count where `metal` asks for just that."


QUANTITIES = (("Needed", "To order"), ("Needed", "At hand", "To order"))
"""The heads of the columns of pieces, without and with a drawer."""


def quantities(report: Report, item: Item) -> tuple[str, ...]:
    """Return the pieces of an item as these columns have them."""
    at_hand = (str(item.drawer),) if report.job.drawer is not None else ()
    return (str(item.needed), *at_hand, str(item.order))


HARDWARE = ("screw", "washer", "nut", "earth")  # groups of which a drawer may hold some


def _supplied(items: Iterable[Item], drawer: Drawer | None) -> Iterator[Item]:
    """Yield the items with what of them is in the drawer, whose pieces are given out in the order of the list."""
    left = dict(drawer.counts) if drawer is not None else {}
    numbers = drawer.order_numbers if drawer is not None else {}
    for item in items:
        there = min(left.get(item.item, 0), item.needed) if item.group in HARDWARE else 0
        left[item.item] = left.get(item.item, 0) - there
        note, order = (item.note, item.order - there) if there < item.needed else ("from the drawer", 0)
        yield replace(item, drawer=there, order=order, note=note, order_number=numbers.get(item.item, ""))


def _priced(item: Item, prices: Mapping[str, Price]) -> Item:
    """Return an item with its price, where there is one, and ordered in whole packs."""
    price = next((prices[name] for name in item.names if name in prices), None)
    if price is None:
        return item
    order = -(-item.order // price.pack) * price.pack
    return replace(item, order=order, price=price, order_number=price.order_number or item.order_number)


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
