"""Tables of standards are read strictly, and a wrong cell is named by file, line and column."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass

import pytest

from dryfit.models.reading.errors import InputError
from dryfit.models.reading.tables import parse_table


@dataclass(frozen=True)
class Bolt:
    name: str
    length: float
    angle: float | None
    crown: float
    count: int
    plated: bool
    source: str


HEADER = "name,unit,length,angle,crown,count,plated,source\n"


def read(*lines: str) -> tuple[Bolt, ...]:
    text = HEADER + "\n".join(lines)
    return tuple(parse_table("bolts.csv", text, Bolt, frozenset({"angle"}), frozenset({"crown"})))


def test_cells_become_what_the_fields_say() -> None:
    assert read("A,mm,2.5,90,0,3,yes,a book") == (Bolt("A", 2.5, 90.0, 0.0, 3, True, "a book"),)


def test_inches_are_turned_into_mm_exactly_but_for_plain_fields() -> None:
    (bolt,) = read("A,in,0.125,82,0.5,3,no,a book")
    assert (bolt.length, bolt.angle, bolt.crown) == (3.175, 82.0, 12.7)


def test_an_empty_cell_is_none_where_the_field_allows_it() -> None:
    assert read("A,mm,2.5,,0,3,no,a book")[0].angle is None


@pytest.mark.parametrize(
    ("line", "what", "expected"),
    [
        ("A,mm,,90,0,3,yes,a book", "column length is empty", "a value"),
        ("A,mm,2.5,90,0,3,yes,", "column source is empty", "a value"),
        ("A,mm,2.5,90,0,3,yes,  ", "column source is empty", "a value"),
        ("A,mm,2.5,90,0,3,yes", "column source is missing", "a cell in every column"),
        ("A,mm,2.5,90,0,3,yes,a book,more", "there are more cells than columns", "one cell per column"),
        ("A,mm,long,90,0,3,yes,a book", "column length holds 'long'", "a number above zero"),
        ("A,mm,nan,90,0,3,yes,a book", "column length holds 'nan'", "a number above zero"),
        ("A,mm,inf,90,0,3,yes,a book", "column length holds 'inf'", "a number above zero"),
        ("A,mm,-2,90,0,3,yes,a book", "column length holds '-2'", "a number above zero"),
        ("A,mm,0,90,0,3,yes,a book", "column length holds '0'", "a number above zero"),
        ("A,mm,2.5,90,-1,3,yes,a book", "column crown holds '-1'", "a number that is not negative"),
        ("A,mm,2.5,90,0,3.5,yes,a book", "column count holds '3.5'", "a whole number above zero"),
        ("A,mm,2.5,90,0,3,maybe,a book", "column plated holds 'maybe'", "yes or no"),
        ("A,ft,2.5,90,0,3,yes,a book", "column unit holds 'ft'", "mm or in"),
        ("A,,2.5,90,0,3,yes,a book", "column unit holds ''", "mm or in"),
    ],
)
def test_a_wrong_cell_is_named_by_file_line_and_column(line: str, what: str, expected: str) -> None:
    with pytest.raises(InputError) as caught:
        read("A,mm,2.5,90,0,3,yes,a book", line)
    (fault,) = caught.value.faults
    assert str(fault) == f"bolts.csv:3: {what}, expected {expected}"


def test_a_missing_column_is_named() -> None:
    with pytest.raises(InputError, match=r"^bolts\.csv:2: column length is missing"):
        tuple(parse_table("bolts.csv", "name,source\nA,a book", Bolt))


def test_no_table_is_read_before_it_is_asked_for() -> None:
    program = """
import sys
opened = []
sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == "open" else None)
import dryfit.models.tables.fasteners as fasteners
before = [name for name in opened if name.endswith(".csv")]
fasteners.threads()
after = [name for name in opened if name.endswith(".csv")]
print(len(before), len(after))
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["0", "1"]
