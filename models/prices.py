"""Prices: what a user's own list says an item costs, by the pack.

A CSV file with the columns ``item``, ``pack`` (pieces in it), ``price`` (of the pack) and ``currency``; items are named
as the parts list names them.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from dryfit.models.reading.errors import Fault, InputError, display_path, quote
from dryfit.models.reading.tables import parse_table

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
        InputError: naming file, line and what was expected.
    """
    name = display_path(path)
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise InputError([Fault(name, None, "the price file cannot be read", error.strerror or "a CSV file")]) from None
    if len(raw) > MOST_BYTES:
        raise InputError([Fault(name, None, "the price file is too large", f"at most {MOST_BYTES} bytes")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError([Fault(name, None, "the price file is not text", "UTF-8")]) from None
    head = text.split("\n", 1)[0].strip()
    if tuple(cell.strip() for cell in head.split(",")) != HEADINGS:
        raise InputError([Fault(name, 1, f"the first line is {quote(head)}", ",".join(HEADINGS))])
    prices = tuple(parse_table(name, text, Price, frozenset({"price"})))
    _once(name, prices)
    return prices


def _once(name: str, prices: tuple[Price, ...]) -> None:
    seen: set[str] = set()
    for number, price in enumerate(prices, start=2):
        if price.item in seen:
            raise InputError([Fault(name, number, f"{quote(price.item)} is priced twice", "each item once")])
        if price.currency != prices[0].currency:
            what = f"the currency is {quote(price.currency)}"
            raise InputError([Fault(name, number, what, f"{quote(prices[0].currency)} as above")])
        seen.add(price.item)
