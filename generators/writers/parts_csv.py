"""The purchase list as CSV."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from dryfit.generators.lists.purchase import Item, purchase_list, total
from dryfit.generators.report import Report
from dryfit.generators.writers.holes_csv import as_text
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole

HEADINGS = ("group", "item", "needed", "order", "pack", "packs", "cost", "currency", "note")


@file_kind("parts", "parts-list.csv", "What to buy: parts, plugs, screws, nuts, washers, with spares.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, parts_csv(order.report).encode())


def parts_csv(report: Report) -> str:
    """Return the list: group, item, pieces needed and to order, and where known pack, packs, cost and currency."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    rows.writerow(HEADINGS)
    items = purchase_list(report)
    rows.writerows(_row(item) for item in items)
    whole = total(items)
    if whole is not None:
        unpriced = sum(1 for item in items if item.price is None)
        note = f"without {unpriced} items that have no price" if unpriced else ""
        rows.writerow(("total", "", "", "", "", "", f"{whole[0]:.2f}", as_text(whole[1]), note))
    return out.getvalue()


def _row(item: Item) -> tuple[object, ...]:
    price = item.price
    cost = (price.pack, item.packs, f"{item.cost:.2f}", as_text(price.currency)) if price is not None else ("",) * 4
    return (item.group, as_text(item.item), item.needed, item.order, *cost, as_text(item.note))
