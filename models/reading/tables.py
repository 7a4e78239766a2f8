"""Tables of standards: CSV files with a source per row, read into frozen data classes.

A row's ``unit`` column (mm or in) says what its lengths are in; they are turned into mm here, at the edge.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import MISSING, dataclass, fields
from fractions import Fraction
from typing import Generic, TypeVar

from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.errors import Fault, InputError, quote
from dryfit.models.reading.units import MM_PER_INCH

Row = TypeVar("Row")
Cell = object
Reader = Callable[[str, Fraction | None], Cell]
"""From a cell, and mm per unit (None: it is mm), to its value; raises ValueError that says what was expected."""
_UNITS = {"mm": None, "in": MM_PER_INCH}
_TRUTH = {"yes": True, "no": False}
LARGEST_NUMBER = 1e9  # of a cell; nothing in a table of a panel comes near
LONGEST_NUMBER = 24  # signs; more than a number of double precision has
LONGEST_CELL = 500  # signs of text; our longest source has half of it
MOST_FAULTS = 50  # told of one table
_NUMBER = re.compile(r"-?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d{1,3})?", re.ASCII)


def read_table(name: str, row_type: type[Row], plain: Iterable[str] = (), zero: Iterable[str] = ()) -> tuple[Row, ...]:
    """Return the rows of ``data/NAME.csv`` as instances of a data class.

    Fields are float, int, bool (yes, no) or str, or one of these or None; an empty cell is None where the field allows
    it, and an error elsewhere, so that no row goes without its source. Every float field is a length in the row's
    unit, but for those named in ``plain``. Numbers are above zero, but for those named in ``zero``, which may be zero.

    Raises:
        InputError: naming file, line, column and what was expected.
    """
    return parse_table(f"{name}.csv", data_text(f"{name}.csv"), row_type, plain, zero)


def parse_table(
    file: str, text: str, row_type: type[Row], plain: Iterable[str] = (), zero: Iterable[str] = ()
) -> tuple[Row, ...]:
    """Return the rows of a table given as text; see :func:`read_table`."""
    return tuple(row.value for row in numbered_rows(file, text, row_type, plain, zero))


@dataclass(frozen=True)
class NumberedRow(Generic[Row]):
    """A row with the line of the file it ends on."""

    line: int
    value: Row


def numbered_rows(
    file: str,
    text: str,
    row_type: type[Row],
    plain: Iterable[str] = (),
    zero: Iterable[str] = (),
    *,
    readers: Mapping[str, Reader] | None = None,
) -> tuple[NumberedRow[Row], ...]:
    """Return the rows of a table given as text, each with its line; see :func:`read_table`.

    A column whose field has a default may be missing; ``readers`` say how fields of further types are read.
    """
    there, known = frozenset(heading(file, text)), {**_READERS, **(readers or {})}
    all_columns = _columns(row_type, frozenset(plain), frozenset(zero), known)
    columns = [column for column in all_columns if column.name in there or not column.has_default]
    rows: list[NumberedRow[Row]] = []
    faults: list[Fault] = []
    for number, cells in cells_by_line(file, text):
        try:
            rows.append(NumberedRow(number, row_type(**_values(cells, columns))))
        except _WrongError as error:
            faults.append(Fault(file, number, error.what, error.expected))
            if len(faults) == MOST_FAULTS:
                break
    if faults:
        raise InputError(faults)
    return tuple(rows)


def heading(file: str, text: str) -> tuple[str, ...]:
    """Return the names of a table's columns."""
    try:
        return tuple(name.strip() for name in next(csv.reader(io.StringIO(text, newline="")), ()))
    except csv.Error as error:
        raise InputError([Fault(file, 1, f"is no table: {error}", "a CSV file")]) from None


def cells_by_line(file: str, text: str) -> Iterator[tuple[int, Mapping[str | None, object]]]:
    """Yield the lines below the heading, each with its number and its cells by column."""
    reader = csv.DictReader(io.StringIO(text, newline=""), heading(file, text))
    next(reader.reader, None)  # the heading itself
    try:
        for cells in reader:
            yield reader.line_num, cells
    except csv.Error as error:
        raise InputError([Fault(file, reader.line_num + 1, f"is no table: {error}", "a CSV file")]) from None


class _WrongError(Exception):
    """What is wrong with a row, and what was expected of it."""

    def __init__(self, what: str, expected: str):
        self.what = what
        self.expected = expected
        super().__init__(what, expected)


# --- cells -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Column:
    name: str
    read: Reader
    may_be_empty: bool
    has_default: bool


def _columns(
    row_type: type, plain: frozenset[str], zero: frozenset[str], readers: Mapping[str, Reader]
) -> tuple[_Column, ...]:
    """Return how each field of a data class is read; its types are told by how they are written."""
    columns = []
    for field in fields(row_type):
        kind, _, rest = str(field.type).partition(" | ")
        read = readers[kind]
        if kind == "float":
            read = _float(field.name in plain, field.name in zero)
        elif kind == "int" and field.name in zero:
            read = _whole_or_zero
        columns.append(_Column(field.name, read, rest == "None", field.default is not MISSING))
    return tuple(columns)


def _values(cells: Mapping[str | None, object], columns: Iterable[_Column]) -> dict[str, Cell]:
    """Return the cells of a line as the fields have them."""
    if None in cells:  # so csv calls what a line has too much
        raise _WrongError("there are more cells than columns", "one cell per column")
    unit = cells.get("unit", "mm")
    if unit not in _UNITS:
        raise _WrongError(f"column unit holds {quote(unit)}", "mm or in")
    return {column.name: _value(cells.get(column.name), column, _UNITS[str(unit)]) for column in columns}


def _value(cell: object, column: _Column, scale: Fraction | None) -> Cell:
    if not isinstance(cell, str):
        raise _WrongError(f"column {column.name} is missing", "a cell in every column")
    if not cell.strip():
        if column.may_be_empty:
            return None
        raise _WrongError(f"column {column.name} is empty", "a value")
    try:
        return column.read(cell, scale)
    except ValueError as error:
        raise _WrongError(f"column {column.name} holds {quote(cell)}", str(error)) from None


def _float(plain: bool, may_be_zero: bool) -> Reader:
    """Return the reader of a number: a length in the row's unit, unless it is plain."""
    limit = "a number that is not negative" if may_be_zero else "a number above zero"

    def read(cell: str, scale: Fraction | None) -> float:
        value = float(cell) if len(cell) <= LONGEST_NUMBER and _NUMBER.fullmatch(cell) else math.nan
        if not 0 <= value <= LARGEST_NUMBER or (value == 0 and not may_be_zero):
            raise ValueError(limit if not value > LARGEST_NUMBER else f"a number up to {LARGEST_NUMBER:g}")
        if scale is None or plain:
            return value
        return float(Fraction(cell) * scale)  # rounded once, as the same length in a layout is

    return read


def _whole(cell: str, scale: Fraction | None) -> int:
    if not (cell.isascii() and cell.isdigit() and len(cell) < LONGEST_NUMBER and 0 < int(cell) <= LARGEST_NUMBER):
        raise ValueError("a whole number above zero")
    return int(cell)


def _whole_or_zero(cell: str, scale: Fraction | None) -> int:
    try:
        return 0 if cell == "0" else _whole(cell, scale)
    except ValueError:
        raise ValueError("a whole number, or 0") from None


def _truth(cell: str, scale: Fraction | None) -> bool:
    if cell not in _TRUTH:
        raise ValueError("yes or no")
    return _TRUTH[cell]


def _words(cell: str, scale: Fraction | None) -> str:
    if len(cell) > LONGEST_CELL or not cell.isprintable():
        raise ValueError(f"at most {LONGEST_CELL} printable characters")
    return cell


_READERS: dict[str, Reader] = {"float": _float(False, False), "int": _whole, "bool": _truth, "str": _words}
