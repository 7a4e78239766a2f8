"""Bodies of two places, and of a place and its room, by hand: flanges of 40 mm."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
RACK = "{rack_units: 1, thickness: 3}"


@pytest.mark.parametrize(
    ("apart", "room", "verdict"),
    [(40.25, 0.25, FITS), (40.24, 0.24, TIGHT), (40, 0.0, TIGHT), (39.9, -0.1, FAILS)],
)
@pytest.mark.parametrize("upright", [False, True])
def test_flanges_side_by_side_are_their_distance_apart(
    tmp_path: Path, upright: bool, apart: float, room: float, verdict: Verdict
) -> None:
    b = at(0, apart / 2, "B") if upright else at(apart / 2, 0, "B")
    a = at(0, -apart / 2) if upright else at(-apart / 2, 0)
    found = finding(plain(tmp_path, f"{a}\n{b}"), "body-room")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room, abs=1e-6)


def test_a_turned_flange_reaches_out_with_its_corner(tmp_path: Path) -> None:
    made = plain(tmp_path, f"{at(-30)}\n{at(18.5, 0, 'B', turn='45')}")
    found = finding(made, "body-room")
    assert found.verdict is TIGHT
    assert found.measured == pytest.approx(48.5 - 20 - 20 * math.sqrt(2))


def test_the_nearest_of_two_neighbours_is_told(tmp_path: Path) -> None:
    made = plain(tmp_path, f"{at(-41)}\n{at(0, label='B')}\n{at(40.1, label='C')}")
    assert finding(made, "body-room", "A").measured == pytest.approx(1.0)
    assert "C" in finding(made, "body-room", "B").says
    assert finding(made, "body-room", "B").measured == pytest.approx(0.1)


def test_the_remedy_moves_the_neighbour_until_there_is_room(tmp_path: Path) -> None:
    found = finding(plain(tmp_path, f"{at(-20)}\n{at(19.9, label='B')}"), "body-room")
    assert found.verdict is FAILS
    assert "0.5 mm" in str(found.remedy)  # 0.1 into each other, and the 0.25 that is wanted, in steps of half a mm


@pytest.mark.parametrize(("up", "verdict"), [(2.2, FITS), (2.3, FAILS)])
def test_a_flange_must_stay_within_its_rack_unit(tmp_path: Path, up: float, verdict: Verdict) -> None:
    # half a rack unit is 22.225 mm (EIA-310), half the flange 20 mm
    made = plain(tmp_path, at(0, up), RACK)
    assert max(f.verdict.rank for f in made.findings if f.check == "body-room") == verdict.rank


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("x", "verdict"), [(214.9, FITS), (215.2, FAILS)])
def test_a_barrel_must_stay_between_the_rails(tmp_path: Path, side: int, x: float, verdict: Verdict) -> None:
    # 450 mm between the rails, barrel and flange 20 mm across
    made = plain(tmp_path, at(side * x), RACK, fixings=None, flange={"outline": {"box": [20, 40]}, "thick": 2})
    assert max(f.verdict.rank for f in made.findings if f.check == "body-room") == verdict.rank
