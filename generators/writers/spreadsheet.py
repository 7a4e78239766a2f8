"""Tables as CSV for spreadsheets: how lines end, and strangers' text that must never run as a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

FORMULA_MARKS = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20", "\t", "\r", "\n")
"""A spreadsheet takes a cell that begins with one of these (wide forms too) for a formula, and runs it."""


def as_text(cell: str) -> str:
    """Return a stranger's text so that a spreadsheet shows it and never runs it: an apostrophe in front."""
    return f"'{cell}" if cell.startswith(FORMULA_MARKS) or cell.lstrip().startswith(FORMULA_MARKS) else cell


def csv_text(headings: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a table as CSV, its lines ended as RFC 4180 has them."""
    stream = io.StringIO()
    table = csv.writer(stream, lineterminator="\r\n")
    table.writerow(headings)
    table.writerows(rows)
    return stream.getvalue()
