"""Drawers: read whole, or refused with file, line, what was expected and the nearest name."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.drawer import read_drawer
from dryfit.models.edits import Edit
from dryfit.models.prices import Price, read_prices
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job, with_edits
from dryfit.models.resolving.files import files_beside
from tests.helpers import job, place

NUT, PAN = "Hexagon nut ISO 4032 - M3", "Pan head screw ISO 7045 - M3 x 10 - H"


def write(folder: Path, text: str, name: str = "drawer.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_items_are_counted_by_the_names_of_the_parts_list(tmp_path: Path) -> None:
    drawer = read_drawer(write(tmp_path, f"item,count\n{NUT},40\nM3 x 10 pan,12\nm3 hex nut,5\nM3 nut stainless,0\n"))
    assert drawer.counts == {NUT: 45, PAN: 12, f"{NUT}, stainless": 0}
    assert [one.designation for one in drawer.at_hand("")] == [NUT, PAN]
    assert drawer.at_hand("stainless") == ()  # of which there are none


def test_columns_come_in_any_order_with_order_numbers_and_prices_where_they_are_known(tmp_path: Path) -> None:
    text = "order_number,count,item,currency,price,pack\nA-1,5,M3 nut,EUR,2.50,100\n,9,M3 x 10 pan,,,\n"
    drawer = read_drawer(write(tmp_path, text))
    assert drawer.order_numbers == {NUT: "A-1"}
    assert drawer.prices == (Price(NUT, 100, 2.5, "EUR"),)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("item\nM3 nut\n", 1, "the heading is 'item', expected item,count"),
        ("item,count,order\nM3 nut,1,\n", 1, "a column 'order', expected one of item, count, order_number, pack"),
        ("item,count,count\nM3 nut,1,1\n", 1, "the column count twice"),
        ("item,count\nM3 nut,-1\n", 2, "column count holds '-1', expected a whole number, or 0"),
        ("item,count\nM3 nut,1\nM3 x 10 pann,3\n", 3, "expected a name such as M3 x 10 mm pan screw"),
        ("item,count\nM3 x 10 pann,3\n", 2, "did you mean M3 x 10 mm pan screw?"),
        ("item,count\nM3 x 7 pan,3\n", 2, "did you mean M3 x 8 mm pan screw?"),
        ("item,count\nM3 nut\n", 2, "column count is missing"),
        ("item,count,price\nM3 nut,1,2\n", 2, "column currency is empty"),
        ("item,count,pack\nM3 nut,1,100\n", 2, "column price is empty"),
        ("item,count,price,currency\nM3 nut,1,2,EUR\nM4 nut,1,2,USD\n", 3, "'USD', expected 'EUR' as above"),
        ("", 1, "the heading is ''"),
    ],
)
def test_a_bad_drawer_is_told_by_its_line(tmp_path: Path, text: str, line: int, words: str) -> None:
    with pytest.raises(InputError) as error:
        read_drawer(write(tmp_path, text))
    (fault,) = error.value.faults
    assert fault.line == line
    assert words in str(fault)
    assert "\n" not in str(fault)


def test_names_and_numbers_that_are_wrong_are_told_in_one_run(tmp_path: Path) -> None:
    with pytest.raises(InputError) as error:
        read_drawer(write(tmp_path, "item,count\nM3 nutt x,1\nM3 nut,x\nM3 nut,2\nanvil,3\n"))
    assert [fault.line for fault in error.value.faults] == [2, 3, 5]


def test_a_layout_names_its_drawer_and_a_file_given_takes_its_place(tmp_path: Path) -> None:
    write(tmp_path, "item,count\nM3 nut,4\n")
    made = job(tmp_path, place("bnc-d"), rest="hardware: {drawer: drawer.csv}")
    assert made.drawer is not None
    assert made.drawer.counts == {NUT: 4}
    assert [one.designation for one in made.places[0].wish.at_hand] == [NUT]
    other = read_job(tmp_path / "layout.yaml", write(tmp_path, "item,count\nM3 x 10 pan,1\n", "other.csv"))
    assert other.drawer is not None
    assert other.drawer.counts == {PAN: 1}
    assert other.digest != made.digest
    assert made.draft is not None
    assert files_beside(made.draft.layout) == (tmp_path / "drawer.csv",)


def test_a_drawer_that_was_given_stays_while_remedies_are_tried(tmp_path: Path) -> None:
    job(tmp_path, place("bnc-d"))
    given = read_job(tmp_path / "layout.yaml", write(tmp_path, "item,count\nM3 nut,4\n"))
    after = with_edits(given, [Edit(0, ("part_turn",), 5.0)])
    assert after is not None
    assert after.drawer == given.drawer


@pytest.mark.parametrize("name", ["../drawer.csv", "/etc/passwd", "missing.csv"])
def test_a_drawer_elsewhere_or_missing_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError):
        job(tmp_path, place("bnc-d"), rest=f"hardware: {{drawer: {name}}}")


def test_prices_of_the_drawer_fill_in_what_the_price_file_lacks_in_one_currency(tmp_path: Path) -> None:
    write(tmp_path, "item,count,price,currency\nM3 nut,4,9,EUR\nM3 x 10 pan,4,8,EUR\n")
    write(tmp_path, "item,pack,price,currency,order_number\nM3 hexagon nut,10,2,EUR,N-3\n", "prices.csv")
    rest = "hardware: {drawer: drawer.csv, prices: prices.csv}"
    assert job(tmp_path, place("bnc-d"), rest=rest).prices == (
        Price(NUT, 10, 2.0, "EUR", "N-3"),
        Price(PAN, 1, 8.0, "EUR"),
    )
    write(tmp_path, "item,pack,price,currency\nM3 nut,10,2,USD\n", "prices.csv")
    with pytest.raises(InputError, match="prices are in USD, those of the drawer in EUR, expected one currency"):
        job(tmp_path, place("bnc-d"), rest=rest)


def test_hardware_is_priced_by_what_people_call_it_and_once(tmp_path: Path) -> None:
    head = "item,pack,price,currency\n"
    assert read_prices(write(tmp_path, f"{head}M3 hex nut,10,2,EUR\n", "prices.csv"))[0].item == NUT
    with pytest.raises(InputError, match="priced twice"):
        read_prices(write(tmp_path, f"{head}M3 hex nut,10,2,EUR\n{NUT},10,2,EUR\n", "prices.csv"))
