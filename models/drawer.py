"""A user's drawer: which screws, nuts and washers are at hand, how many of each, and how more of them are ordered.

A CSV file with the columns ``item`` and ``count``, and if wanted ``order_number``, and ``pack``, ``price`` and
``currency`` as a price file has them. Items are named as the parts list names them, or as people write them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from dryfit.models.prices import Price
from dryfit.models.reading.errors import Fault, InputError, UnknownName, display_path, quote
from dryfit.models.reading.own_tables import own_rows
from dryfit.models.reading.tables import NumberedRow
from dryfit.models.tables.articles import Article, Named, named

EXAMPLES = "a name such as M3 x 10 mm pan screw, M3 hexagon nut or M3 plain washer, or as the parts list has it"


@dataclass(frozen=True)
class _Line:
    item: Named
    count: int
    order_number: str | None = None
    pack: int | None = None
    price: float | None = None
    currency: str | None = None


@dataclass(frozen=True)
class Stock:
    """So many pieces of one item that are at hand."""

    item: Named
    count: int
    order_number: str = ""


@dataclass(frozen=True)
class Drawer:
    """What is at hand, each item once, and what more of it costs, as far as the drawer says."""

    stock: tuple[Stock, ...] = ()
    prices: tuple[Price, ...] = ()

    @property
    def counts(self) -> dict[str, int]:
        """How many pieces there are, by the name that the parts list has."""
        return {one.item.name: one.count for one in self.stock}

    @property
    def order_numbers(self) -> dict[str, str]:
        """The order numbers that it knows, by name."""
        return {one.item.name: one.order_number for one in self.stock if one.order_number}

    def at_hand(self, metal: str) -> tuple[Article, ...]:
        """Return what there is at least one piece of, of a metal (empty: of what no metal is said)."""
        return tuple(one.item.article for one in self.stock if one.count and one.item.metal == metal)


def read_drawer(path: Path) -> Drawer:
    """Return the drawer of a file; what stands in it twice is added up.

    Raises:
        InputError: with every fault, each naming file, line, column, what was expected and the nearest name.
    """
    rows = own_rows(path, _Line, plain=("price",), zero=("count",), readers={"Named": _named})
    faults = [fault for row in rows for fault in _of_price(display_path(path), row, rows)]
    if faults:
        raise InputError(faults)
    stock: dict[str, Stock] = {}
    prices: dict[str, Price] = {}
    for line in (row.value for row in rows):
        name = line.item.name
        stock[name] = _added(stock.get(name), line)
        if line.price is not None and line.currency is not None:
            prices[name] = Price(name, line.pack or 1, line.price, line.currency)
    return Drawer(tuple(stock.values()), tuple(prices.values()))


def _named(cell: str, scale: Fraction | None) -> Named:
    try:
        return named(cell)
    except UnknownName as error:
        near = f" (did you mean {error.nearest}?)" if error.nearest else ""
        raise ValueError(f"{EXAMPLES}{near}") from None


def _added(before: Stock | None, line: _Line) -> Stock:
    if before is None:
        return Stock(line.item, line.count, line.order_number or "")
    return Stock(line.item, before.count + line.count, before.order_number or line.order_number or "")


def _of_price(file: str, row: NumberedRow[_Line], rows: Sequence[NumberedRow[_Line]]) -> Iterator[Fault]:
    """Yield what is wrong with the price of a line: half of one, or another currency than before."""
    line = row.value
    if line.price is None and (line.pack is not None or line.currency is not None):
        yield Fault(file, row.line, "column price is empty", "a price, or no pack and no currency")
    if line.price is not None and line.currency is None:
        yield Fault(file, row.line, "column currency is empty", "the currency of the price")
    first = next((one.value.currency for one in rows if one.value.currency is not None), None)
    if line.currency not in (None, first):
        yield Fault(file, row.line, f"column currency holds {quote(line.currency)}", f"{quote(first)} as above")


def all_prices(listed: Iterable[Price], drawer: Drawer | None) -> tuple[Price, ...]:
    """Return the prices of a price file, and those of a drawer for what the file does not list."""
    known = tuple(listed)
    names = {price.item for price in known}
    return known + tuple(price for price in (drawer.prices if drawer is not None else ()) if price.item not in names)
