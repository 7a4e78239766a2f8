"""The purchase list as CSV."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from dryfit.generators.checking import Report
from dryfit.generators.purchase import purchase_list
from dryfit.generators.writers.holes_csv import as_text
from dryfit.generators.writers.whole import write_whole


def write_parts_csv(report: Report, path: Path) -> None:
    """Write the list: group, item, needed, order, note."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    rows.writerow(("group", "item", "needed", "order", "note"))
    for item in purchase_list(report):
        rows.writerow((item.group, as_text(item.item), item.needed, item.order, as_text(item.note)))
    write_whole(path, out.getvalue().encode())
