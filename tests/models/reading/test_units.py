"""Lengths as people write them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.models.reading.units import format_inch, format_length, format_mm, parse_length, parse_signed_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3 mm", 3.0),
        ("3mm", 3.0),
        (3, 3.0),
        (3.5, 3.5),
        ("3", 3.0),
        ("0.945 in", 24.003),
        ("1/8 in", 3.175),
        ('1/8"', 3.175),
        ("1 3/4 in", 44.45),
        ("9/64 in", 3.571875),
        (".5 in", 12.7),
        ("2 cm", 20.0),
        ("1 1/2 in", 38.1),
        ("+4 mm", 4.0),
    ],
)
def test_lengths_are_read(text: object, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    ["-3 mm", -3, "3 ft", "three mm", "", "mm", "1/0 in", "1/2/3 in", "1,5 mm", "nan", "inf mm", "1e3", "3 mm mm",
     math.nan, math.inf, True, None, [3], "9" * 50, "20000 mm", "１ mm"],
)  # fmt: skip
def test_what_is_no_length_is_refused(text: object) -> None:
    with pytest.raises(ValueError, match=r"\S"):
        parse_length(text)


def test_coordinates_may_be_negative() -> None:
    assert parse_signed_length("-1/8 in") == pytest.approx(-3.175)


@given(st.integers(1, 64 * 12))
def test_fractions_of_an_inch_survive_print_and_read(sixtyfourths: int) -> None:
    mm = sixtyfourths * 25.4 / 64
    assert parse_length(format_inch(mm)) == pytest.approx(mm, abs=1e-9)


def test_lengths_print_with_inches_beside_inch_parts() -> None:
    assert format_length(9.525, "inch") == "3/8 in (9.53 mm)"
    assert format_length(10.0) == "10 mm"
    assert format_mm(-0.0001) == "0 mm"
    assert format_inch(24.003) == "0.945 in"


def test_halves_are_rounded_up_as_people_do() -> None:
    assert format_mm(3.175) == "3.18 mm"
    assert format_mm(-3.175) == "-3.18 mm"
    assert format_mm(12.495) == "12.5 mm"
    assert format_mm(-0.001) == "0 mm"
