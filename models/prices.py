"""Prices: what a user's own list says an item costs, by the pack.

A CSV file with the columns ``item``, ``pack`` (pieces in it), ``price`` (of the pack) and ``currency``, and if wanted
``order_number``; items are named as the parts list names them, hardware also as people write it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from dryfit.models.reading.errors import Fault, InputError, display_path, quote
from dryfit.models.reading.own_tables import own_rows
from dryfit.models.reading.tables import NumberedRow
from dryfit.models.tables.articles import understood


@dataclass(frozen=True)
class Price:
    """What one pack of an item costs."""

    item: str
    pack: int
    price: float
    currency: str
    order_number: str | None = None


def read_prices(path: Path) -> tuple[Price, ...]:
    """Return the prices of a file.

    Raises:
        InputError: with every fault, each naming file, line, heading and what was expected.
    """
    rows = [NumberedRow(row.line, _known(row.value)) for row in own_rows(path, Price, plain=("price",))]
    faults = tuple(_repeated(display_path(path), rows))
    if faults:
        raise InputError(faults)
    return tuple(row.value for row in rows)


def _known(price: Price) -> Price:
    """Return a price by the name that the parts list has, where its item is a screw, a nut or a washer."""
    found = understood(price.item)
    return price if found is None else replace(price, item=found.name)


def _repeated(name: str, rows: Sequence[NumberedRow[Price]]) -> Iterator[Fault]:
    """Yield what the rows say against each other: an item priced twice, a second currency."""
    seen: set[str] = set()
    for row in rows:
        price, first = row.value, rows[0].value
        if price.item in seen:
            yield Fault(name, row.line, f"column item: {quote(price.item)} is priced twice", "each item once")
        if price.currency != first.currency:
            what = f"column currency holds {quote(price.currency)}"
            yield Fault(name, row.line, what, f"{quote(first.currency)} as above")
        seen.add(price.item)
