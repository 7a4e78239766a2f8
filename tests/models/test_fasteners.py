"""Lookups of fasteners, and facts of the trade about them (common practice)."""

from __future__ import annotations

import pytest

from dryfit.models import fasteners
from dryfit.models.errors import UnknownName


@pytest.mark.parametrize("name", ["No. 4-40", "no. 4-40", "No. 4", "4-40", "#4-40", "#4", " 4-40 "])
def test_a_thread_is_found_by_what_people_call_it(name: str) -> None:
    assert fasteners.thread(name).name == "No. 4-40"


def test_an_unknown_thread_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match="did you mean M3"):
        fasteners.thread("M33")


@pytest.mark.parametrize(
    ("thread", "kind", "driver"),
    [
        ("M3", "hexagon", "5.5 mm"),
        ("No. 4-40", "hexagon", "1/4 in"),
        ("No. 5-40", "narrow", "1/4 in"),
        ("No. 6-32", "narrow", "1/4 in"),
        ("No. 5-40", "hexagon", "5/16 in"),
        ("No. 6-32", "hexagon", "5/16 in"),
        ("No. 4-40", "narrow", "3/16 in"),
    ],
)
def test_drivers_of_the_trade(thread: str, kind: str, driver: str) -> None:
    assert fasteners.nuts(thread, kind)[0].driver == driver


@pytest.mark.parametrize("thread", ["No. 4-40", "No. 5-40", "No. 6-32", "No. 10-32"])
def test_narrow_nuts_are_a_sixteenth_of_an_inch_smaller(thread: str) -> None:
    standard, narrow = (fasteners.nuts(thread, kind)[0] for kind in ("hexagon", "narrow"))
    assert standard.across_flats - narrow.across_flats == pytest.approx(25.4 / 16, abs=1e-6)


def test_rivets_of_an_eighth_of_an_inch_are_listed() -> None:
    assert {rivet.name for rivet in fasteners.rivets()} == {"1/8 in", "3.2 mm"}
    assert all(rivet.grip_min < rivet.grip_max < rivet.length for rivet in fasteners.rivets())


def test_the_next_drill() -> None:
    assert fasteners.next_drill_at_least(3.25).name == "No. 30"
    assert fasteners.next_drill_at_least(3.25, "metric").name == "3.3 mm"
    assert fasteners.next_drill_at_least(3.175, "fraction").name == "1/8 in"
    with pytest.raises(UnknownName):
        fasteners.next_drill_at_least(99)


def test_lengths_are_sold_lengths_within_their_tolerance() -> None:
    assert fasteners.length_name(9.525, "inch") == "3/8 in"
    assert fasteners.length_limits("M3", 10) == pytest.approx((9.71, 10.29))  # js15
    assert fasteners.length_limits("No. 4-40", 9.525) == pytest.approx((9.525 - 0.508, 9.525))  # +0 -0.02 in


def test_designations_read_as_the_standards_write_them() -> None:
    screw = fasteners.Screw(fasteners.thread("M3"), fasteners.heads("M3", "pan")[0], 10)
    assert screw.designation.startswith("Pan head screw ISO 7045 - M3 x 10")
    assert fasteners.nuts("M3", "hexagon")[0].designation == "Hexagon nut ISO 4032 - M3"
    assert fasteners.washers("M3", "plain")[0].designation == "Plain washer ISO 7089 - M3"
    inch = fasteners.Screw(fasteners.thread("4-40"), fasteners.heads("No. 4-40", "pan")[0], 9.525)
    assert inch.designation.startswith("No. 4-40 x 3/8 in, cross recess")
