"""Price files: read whole, or refused with file, line and what was expected."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.lists.purchase import strange_prices
from dryfit.models.prices import Price, read_prices
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from tests.helpers import job, place, report

HEAD = "item,pack,price,currency\n"


def write(folder: Path, text: str) -> Path:
    path = folder / "prices.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_price_is_by_the_pack(tmp_path: Path) -> None:
    (price,) = read_prices(write(tmp_path, f"{HEAD}Hexagon nut ISO 4032 - M3,100,2.50,EUR\n"))
    assert price == Price("Hexagon nut ISO 4032 - M3", 100, 2.5, "EUR")


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("name,price\nnut,2\n", 1, "item,pack,price,currency"),
        (f"{HEAD}nut,100,nan,EUR\n", 2, "number above zero"),
        (f"{HEAD}nut,0,2,EUR\n", 2, "whole number above zero"),
        (f"{HEAD}nut,100,-2,EUR\n", 2, "number above zero"),
        (f"{HEAD}nut,100\n", 2, "missing"),
        (f"{HEAD}nut,100,2,EUR,extra\n", 2, "more cells"),
        (f"{HEAD}nut,100,2,EUR\nnut,50,2,EUR\n", 3, "priced twice"),
        (f"{HEAD}nut,100,2,EUR\nbolt,50,2,USD\n", 3, "as above"),
        (f"{HEAD}nut,100,2,EUR\n\n\nnut,50,2,EUR\n", 5, "priced twice"),
        (f"{HEAD}nut,1,1e30,EUR\n", 2, "column price holds '1e30', expected a number up to 1e+09"),
        (f"{HEAD}nut,1,{'9' * 5000},EUR\n", 2, "column price"),
        (f"{HEAD}nut,{'9' * 5000},1,EUR\n", 2, "column pack"),
        (f"{HEAD}nut,1,1_0,EUR\n", 2, "column price holds '1_0'"),
        (f"{HEAD}nut,１,10,EUR\n", 2, "column pack"),
        (f"{HEAD}{'n' * 1000},1,1,EUR\n", 2, "column item"),
        (f"{HEAD}{'n' * 500_000},1,1,EUR\n", 2, "is no table"),
        (f"{HEAD}nut\x00,1,1,EUR\n", 2, "column item"),
        ("", 1, "the heading is ''"),
    ],
)
def test_a_bad_price_file_is_told_by_its_line(tmp_path: Path, text: str, line: int, words: str) -> None:
    with pytest.raises(InputError) as error:
        read_prices(write(tmp_path, text))
    (fault,) = error.value.faults
    assert fault.line == line
    assert words in str(fault)


def test_a_layout_names_its_price_file(tmp_path: Path) -> None:
    write(tmp_path, f"{HEAD}nut,100,2,EUR\n")
    made = job(tmp_path, place("bnc-d"), rest="hardware: {prices: prices.csv, spares: 25}")
    assert made.prices[0].item == "nut"
    assert made.spares == 0.25


@pytest.mark.parametrize("name", ["../prices.csv", "/etc/passwd", "missing.csv"])
def test_a_price_file_elsewhere_or_missing_is_refused(tmp_path: Path, name: str) -> None:
    path = tmp_path / "layout.yaml"
    path.write_text(
        f"title: T\npanel: {{rack_units: 1, thickness: 3}}\nhardware: {{prices: {name}}}\n"
        "places: [{part: bnc-d, at: [90, 20]}]\n"
    )
    with pytest.raises(InputError):
        read_job(path)


def test_all_that_is_wrong_with_a_price_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError) as error:
        read_prices(write(tmp_path, f"{HEAD}nut,0,2,EUR\nbolt,1,x,EUR\n\nwasher,1,1\n"))
    assert [fault.line for fault in error.value.faults] == [2, 3, 5]


@pytest.mark.parametrize("head", ['"item","pack","price","currency"', "item, pack, price, currency"])
def test_a_heading_may_be_quoted_or_spaced(head: str, tmp_path: Path) -> None:
    assert read_prices(write(tmp_path, f"{head}\r\nnut,100,2,EUR\r\n"))[0].pack == 100


def test_prices_that_match_nothing_are_told_with_what_they_may_mean(tmp_path: Path) -> None:
    write(tmp_path, f"{HEAD}bnc-d: BNC sockets,1,2,EUR\nanvil,1,9,EUR\n42,1,9,EUR\n")
    rest, meant = "hardware: {prices: prices.csv}", "bnc-d: BNC socket, D flange"
    assert list(strange_prices(report(tmp_path, place("bnc-d"), rest=rest))) == [
        f"The price of 'bnc-d: BNC sockets' matches nothing on the parts list; did you mean {meant}?",
        "2 items of the price file match nothing on the parts list.",
    ]
    write(tmp_path, f'{HEAD}"{meant}",1,2,EUR\n')
    assert list(strange_prices(report(tmp_path, place("bnc-d"), rest=rest))) == []
