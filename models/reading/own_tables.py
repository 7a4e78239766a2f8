"""Tables of a user: CSV files whose columns may come in any order, and some of which may be left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import MISSING, fields
from pathlib import Path
from typing import TypeVar

from dryfit.models.reading.errors import Fault, InputError, display_path, nearest_name, quote
from dryfit.models.reading.tables import NumberedRow, Reader, heading, numbered_rows
from dryfit.models.reading.textfile import read_text

MOST_BYTES = 1_000_000  # of a table; ten thousand rows take less
Row = TypeVar("Row")


def own_rows(
    path: Path,
    row_type: type[Row],
    plain: Iterable[str] = (),
    zero: Iterable[str] = (),
    *,
    readers: Mapping[str, Reader] | None = None,
) -> tuple[NumberedRow[Row], ...]:
    """Return the rows of a user's table, each with its line; see :func:`~dryfit.models.reading.tables.numbered_rows`.

    Raises:
        InputError: with every fault, each naming file, line, column and what was expected.
    """
    file, text = display_path(path), read_text(path, "CSV file", MOST_BYTES)
    faults = tuple(_of_heading(file, heading(file, text), row_type))
    if faults:
        raise InputError(faults)
    return numbered_rows(file, text, row_type, plain, zero, readers=readers)


def _of_heading(file: str, head: tuple[str, ...], row_type: type) -> Iterator[Fault]:
    """Yield what is wrong with a heading: columns that are missing, unknown, or there twice."""
    needed = [f.name for f in fields(row_type) if f.default is MISSING]
    more = [f.name for f in fields(row_type) if f.default is not MISSING]
    if not {*needed} <= {*head}:
        yield Fault(file, 1, f"the heading is {quote(','.join(head))}", ",".join(needed))
        return
    for name in head:
        if name not in (*needed, *more):
            near = nearest_name(name, [column for column in more if column not in head])
            yield Fault(
                file, 1, f"the heading has a column {quote(name)}", f"one of {', '.join([*needed, *more])}", near
            )
        elif head.count(name) > 1:
            yield Fault(file, 1, f"the heading has the column {name} twice", "each column once")
