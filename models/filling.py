"""One layout for many panels: a table of parameters, each row of which is filled into the layout's ``{name}`` fields.

Values go into the data, not into the text, so that no value can change what stands around it: ``{name}`` by itself
takes the value as if it were written there, and in the midst of text as text. ``{n}`` stays what numbers places.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dryfit.models.reading.errors import Fault, InputError, display_path, nearest_name, quote
from dryfit.models.reading.tables import LONGEST_CELL, cells_by_line, heading
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.yamlfile import load, plain_value

MOST_BYTES = 20_000_000  # of a table; a hundred thousand panels with ten parameters
MOST_FAULTS = 50  # told of one table
NAME = "name"  # the column that names the panels; it may be filled in too
NUMBER = "n"  # numbers the places of a row
_FIELD = re.compile(r"\{([A-Za-z_][A-Za-z0-9_]*)\}")
_PLAIN_NAME = re.compile(r"[\w-][\w .-]*")


@dataclass(frozen=True)
class Filling:
    """One row of a table: the panel's name, and the value for every field."""

    name: str
    values: Mapping[str, str]


def filled(data: Any, values: Mapping[str, str]) -> Any:
    """Return plain data with its fields filled in."""
    if isinstance(data, str):
        return _FIELD.sub(lambda field: values.get(field[1], field[0]), data)
    if isinstance(data, list):
        return [filled(item, values) for item in data]
    if isinstance(data, dict):
        alone = _alone(data)
        return plain_value(values[alone]) if alone in values else {k: filled(v, values) for k, v in data.items()}
    return data


def fields_of(data: Any) -> Iterator[str]:
    """Yield the names of the fields in plain data."""
    if isinstance(data, str):
        yield from (name for name in _FIELD.findall(data) if name != NUMBER)
    elif isinstance(data, dict) and _alone(data):
        yield _alone(data)
    elif isinstance(data, dict | list):
        for item in data.values() if isinstance(data, dict) else data:
            yield from fields_of(item)


def _alone(data: dict[str, Any]) -> str:
    """Return the name of the field that stands alone as a value, or nothing: ``{width}`` is a mapping in YAML."""
    name, value = next(iter(data.items()), ("", ""))
    return name if len(data) == 1 and value is None and _FIELD.fullmatch(f"{{{name}}}") else ""


def read_fillings(path: Path, layout: Path, layout_text: str) -> tuple[Filling, ...]:
    """Return the rows of a table (CSV, its columns named as the fields) for a layout.

    Raises:
        InputError: with every fault: a field without a column or the reverse, a cell that is no line of text, a name
            that is used twice.
    """
    file, text = display_path(path), read_text(path, "CSV file", MOST_BYTES)
    columns = heading(file, text)
    data, _ = load(display_path(layout), layout_text)
    faults = list(_of_columns(file, columns, set(fields_of(data))))
    if faults:
        raise InputError(faults)  # what stands below cannot be told by its column
    rows, names = [], set[str]()
    for number, (line, cells) in enumerate(cells_by_line(file, text), start=1):
        wrong = list(_of_cells(file, line, cells))
        name = str(cells.get(NAME) or f"{layout.stem}-{number:04}")
        if name in names or not _PLAIN_NAME.fullmatch(name):
            what = f"the name {quote(name)} is {'used twice' if name in names else 'no name for a folder'}"
            wrong.append(Fault(file, line, what, "a plain name of its own for each row"))
        names.add(name)
        faults += wrong
        if len(faults) >= MOST_FAULTS:
            break
        rows.append(Filling(name, {str(key): str(value) for key, value in cells.items()}))
    if faults or not rows:
        raise InputError(faults or [Fault(file, None, "has no rows", "a row for each panel")])
    return tuple(rows)


def _of_columns(file: str, columns: tuple[str, ...], fields: set[str]) -> Iterator[Fault]:
    for name in sorted(fields - {*columns}):
        near = nearest_name(name, [column for column in columns if column.isprintable()])
        yield Fault(file, 1, f"no column fills {{{name}}}", f"a column {name}", near)
    for name in columns:
        if name == NUMBER or columns.count(name) > 1:
            yield Fault(file, 1, f"the column {quote(name)} cannot be used", "each column once, and none called n")
        elif name not in fields | {NAME}:
            what = f"the column {quote(name)} fills nothing"
            yield Fault(file, 1, what, "the name of a field in the layout", nearest_name(name, tuple(fields)))


def _of_cells(file: str, line: int, cells: Mapping[str | None, object]) -> Iterator[Fault]:
    for name, cell in cells.items():
        if name is None:
            yield Fault(file, line, "there are more cells than columns", "one cell per column")
        elif not isinstance(cell, str):
            yield Fault(file, line, f"column {name} is missing", "a cell in every column")
        elif len(cell) > LONGEST_CELL or not cell.isprintable():
            yield Fault(
                file, line, f"column {name} holds {quote(cell)}", f"at most {LONGEST_CELL} printable characters"
            )
