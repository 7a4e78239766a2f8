"""Tables of standards: CSV files with a source per row, read into frozen data classes.

A row's ``unit`` column (mm or in) says what its lengths are in; they are turned into mm here, at the edge.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from importlib.resources import files
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from dryfit.models.errors import Fault, InputError
from dryfit.models.units import MM_PER_INCH

Row = TypeVar("Row")
_UNITS = {"mm": 1.0, "in": float(MM_PER_INCH)}


def read_table(name: str, row_type: type[Row], plain: Iterable[str] = ()) -> tuple[Row, ...]:
    """Return the rows of ``data/NAME.csv`` as instances of a data class.

    Every float field is a length in the row's unit, but for those named in ``plain``. An empty cell is None where the
    field allows it.

    Raises:
        InputError: naming file, line, column and what was expected.
    """
    text = (files("dryfit.models") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(parse_table(f"{name}.csv", text, row_type, frozenset(plain)))


def parse_table(file: str, text: str, row_type: type[Row], plain: frozenset[str]) -> Iterator[Row]:
    """Yield the rows of a table given as text; see :func:`read_table`."""
    hints = get_type_hints(row_type)
    names = [f.name for f in fields(row_type)]  # type: ignore[arg-type]  # any data class
    for number, cells in enumerate(csv.DictReader(text.splitlines()), start=2):
        scale = _UNITS.get(cells.get("unit", "mm"), math.nan)
        if math.isnan(scale):
            raise InputError([Fault(file, number, f"column unit holds {cells['unit']!r}", "mm or in")])
        values: dict[str, Any] = {}
        for name in names:
            values[name] = _value(file, number, name, hints[name], cells, 1.0 if name in plain else scale)
        yield row_type(**values)


def _value(
    file: str, number: int, name: str, hint: Any, cells: Mapping[str, str | None], scale: float
) -> str | float | None:
    cell = cells.get(name)
    if cell is None:
        raise InputError([Fault(file, number, f"column {name} is missing", "a value in every column")])
    optional = get_origin(hint) is UnionType and NoneType in get_args(hint)
    if cell == "":
        if optional:
            return None
        raise InputError([Fault(file, number, f"column {name} is empty", "a value")])
    wants_number = hint is float or (optional and float in get_args(hint))
    return _number(file, number, name, cell) * scale if wants_number else cell


def _number(file: str, number: int, name: str, cell: str) -> float:
    try:
        value = float(cell)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value < 0:
        raise InputError([Fault(file, number, f"column {name} holds {cell!r}", "a number that is not negative")])
    return value
