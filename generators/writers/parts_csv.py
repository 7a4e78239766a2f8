"""The purchase list as CSV."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from dryfit.generators.lists.purchase import Item, purchase_list, total
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.spreadsheet import as_text, csv_text
from dryfit.generators.writers.whole import write_whole

HEADINGS = (
    "group", "item", "needed", "drawer", "order", "pack", "packs", "cost", "currency", "order_number", "note",
)  # fmt: skip


@file_kind("parts", "parts-list.csv", "What to buy: parts, plugs, screws, nuts, washers, with spares.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, parts_csv(order.report).encode())


def parts_csv(report: Report) -> str:
    """Return the list: group, item, pieces needed, at hand and to order, and where known what a pack is and costs."""
    items = purchase_list(report)
    return csv_text(HEADINGS, (*map(_row, items), *_total(items)))


def _total(items: tuple[Item, ...]) -> Iterator[tuple[object, ...]]:
    """Yield the line of the whole cost, where prices are known."""
    whole = total(items)
    if whole is not None:
        unpriced = sum(1 for item in items if item.price is None and item.order)
        note = f"without {unpriced} items that have no price" if unpriced else ""
        yield ("total", "", "", "", "", "", "", f"{whole[0]:.2f}", as_text(whole[1]), "", note)


def _row(item: Item) -> tuple[object, ...]:
    price = item.price
    cost = (price.pack, item.packs, f"{item.cost:.2f}", as_text(price.currency)) if price is not None else ("",) * 4
    pieces = (item.needed, item.drawer, item.order)
    return (item.group, as_text(item.item), *pieces, *cost, as_text(item.order_number), as_text(item.note))
