"""Lengths as drawings write them: in mm, in inches, and a tolerance that never says more than what is allowed."""

from __future__ import annotations

import random

import pytest

from dryfit.models.measures import DUAL, INCH, MM, Measures, measures


@pytest.mark.parametrize("way", [MM, INCH], ids=["mm", "inch"])
def test_no_size_within_what_is_printed_lies_outside_what_is_allowed(way: Measures) -> None:
    rng, unit = random.Random(7), 25.4 if way.inches else 1.0
    for _ in range(2000):
        size, allowed = rng.uniform(0.5, 500.0), rng.choice([0.5, 0.3, 0.25, 0.1, 0.05, 0.025, 0.01])
        as_told = way.holding(allowed)
        printed, plus_minus = float(as_told.dimension(size)) * unit, float(as_told.held(allowed, size)) * unit
        assert printed + plus_minus <= size + allowed + 1e-6
        assert printed - plus_minus >= size - allowed - 1e-6
        assert plus_minus > 0.45 * allowed  # and little of it is lost


def test_in_millimetres_a_size_as_written_keeps_its_whole_tolerance() -> None:
    assert [MM.held(tolerance, 24.12) for tolerance in (0.3, 0.1, 0.05, 0.025)] == ["0.3", "0.1", "0.05", "0.025"]
    assert MM.held(0.3, 100 / 3) == "0.29"


def test_dual_dimensions_have_their_millimetres_in_brackets() -> None:
    assert DUAL.dimension(38.1) == "1.500 [38.1]"
    assert DUAL.held(0.3, 38.1) == ".011 [0.3]"
    assert DUAL.dimension(0.0) == "0"


def test_a_sheet_is_called_by_its_gauge_or_its_fraction_in_inches_alone() -> None:
    assert INCH.sheet(0.0747 * 25.4, "14") == "14 ga (.075)"
    assert INCH.sheet(3.175, None) == "1/8 (.125)"
    assert INCH.sheet(3.0, None) == ".118"
    assert MM.sheet(3.175, None) == "3.175"


def test_the_title_block_comes_before_the_layouts_own_unit() -> None:
    assert measures("", True) is measures("inch", False) is INCH
    assert measures("mm", True) is measures("", False) is MM
    assert measures("inch and mm", False) is DUAL
