"""Prices: what a user's own list says an item costs, by the pack.

A CSV file with the columns ``item``, ``pack`` (pieces in it), ``price`` (of the pack) and ``currency``; items are named
as the parts list names them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from dryfit.models.reading.errors import Fault, InputError, display_path, quote
from dryfit.models.reading.tables import NumberedRow, heading, numbered_rows
from dryfit.models.reading.textfile import read_text

MOST_BYTES = 1_000_000  # of a price file; ten thousand items take less
HEADINGS = ("item", "pack", "price", "currency")


@dataclass(frozen=True)
class Price:
    """What one pack of an item costs."""

    item: str
    pack: int
    price: float
    currency: str


def read_prices(path: Path) -> tuple[Price, ...]:
    """Return the prices of a file.

    Raises:
        InputError: with every fault, each naming file, line, heading and what was expected.
    """
    name = display_path(path)
    text = read_text(path, "CSV file", MOST_BYTES)
    head = heading(name, text)
    if head != HEADINGS:
        raise InputError([Fault(name, 1, f"the heading is {quote(','.join(head))}", ",".join(HEADINGS))])
    rows = numbered_rows(name, text, Price, plain=("price",))
    faults = tuple(_repeated(name, rows))
    if faults:
        raise InputError(faults)
    return tuple(row.value for row in rows)


def _repeated(name: str, rows: tuple[NumberedRow[Price], ...]) -> Iterator[Fault]:
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
