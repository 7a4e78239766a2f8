"""Tables of standards: CSV files with a source per row, read into frozen data classes.

A row's ``unit`` column (mm or in) says what its lengths are in; they are turned into mm here, at the edge.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from fractions import Fraction
from importlib.resources import files
from types import NoneType
from typing import Any, TypeVar, get_args, get_type_hints

from dryfit.models.reading.errors import Fault, InputError, quote
from dryfit.models.reading.units import MM_PER_INCH

Row = TypeVar("Row")
_UNITS = {"mm": Fraction(1), "in": MM_PER_INCH}
_TRUTH = {"yes": True, "no": False}


def read_table(name: str, row_type: type[Row], plain: Iterable[str] = (), zero: Iterable[str] = ()) -> tuple[Row, ...]:
    """Return the rows of ``data/NAME.csv`` as instances of a data class.

    Fields are float, int, bool (yes, no) or str, or one of these or None; an empty cell is None where the field allows
    it, and an error elsewhere, so that no row goes without its source. Every float field is a length in the row's
    unit, but for those named in ``plain``. Numbers are above zero, but for those named in ``zero``, which may be zero.

    Raises:
        InputError: naming file, line, column and what was expected.
    """
    text = (files("dryfit.models") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(parse_table(f"{name}.csv", text, row_type, frozenset(plain), frozenset(zero)))


def parse_table(
    file: str, text: str, row_type: type[Row], plain: frozenset[str] = frozenset(), zero: frozenset[str] = frozenset()
) -> Iterator[Row]:
    """Yield the rows of a table given as text; see :func:`read_table`."""
    hints = get_type_hints(row_type)
    names = [f.name for f in fields(row_type)]  # type: ignore[arg-type]  # any data class
    reader = csv.DictReader(text.splitlines())
    for cells in reader:
        line = _Line(file, reader.line_num, cells)
        scale = line.scale()
        yield row_type(**{n: line.value(n, hints[n], Fraction(1) if n in plain else scale, n in zero) for n in names})


@dataclass(frozen=True)
class _Line:
    file: str
    number: int
    cells: dict[str | Any, str | Any]  # csv gives None for what a short line lacks, and under None what a long one adds

    def fault(self, what: str, expected: str) -> InputError:
        return InputError([Fault(self.file, self.number, what, expected)])

    def scale(self) -> Fraction:
        """Return how many mm one unit of this line is."""
        if None in self.cells:
            raise self.fault("there are more cells than columns", "one cell per column")
        unit = self.cells.get("unit", "mm")
        if unit not in _UNITS:
            raise self.fault(f"column unit holds {quote(unit)}", "mm or in")
        return _UNITS[unit]

    def value(self, name: str, hint: Any, scale: Fraction, may_be_zero: bool) -> str | float | None:
        """Return the cell of a column as its field's type has it."""
        cell = self.cells.get(name)
        if cell is None:
            raise self.fault(f"column {name} is missing", "a cell in every column")
        types = get_args(hint) or (hint,)
        if not cell.strip():
            if NoneType in types:
                return None
            raise self.fault(f"column {name} is empty", "a value")
        if bool in types:
            return self._truth(name, cell)
        if int in types:
            return self._whole(name, cell)
        return self._length(name, cell, scale, may_be_zero) if float in types else cell

    def _length(self, name: str, cell: str, scale: Fraction, may_be_zero: bool) -> float:
        try:
            value = float(cell)
        except ValueError:
            value = math.nan
        if not math.isfinite(value) or value < 0 or (value == 0 and not may_be_zero):
            limit = "a number that is not negative" if may_be_zero else "a number above zero"
            raise self.fault(f"column {name} holds {quote(cell)}", limit)
        return float(Fraction(cell) * scale)  # rounded once, as the same length in a layout is

    def _whole(self, name: str, cell: str) -> int:
        if not (cell.isascii() and cell.isdigit() and int(cell) > 0):
            raise self.fault(f"column {name} holds {quote(cell)}", "a whole number above zero")
        return int(cell)

    def _truth(self, name: str, cell: str) -> bool:
        if cell not in _TRUTH:
            raise self.fault(f"column {name} holds {quote(cell)}", "yes or no")
        return _TRUTH[cell]
