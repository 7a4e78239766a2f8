"""Metal left between holes, by hand: a hole of 22 mm, fixing holes of 3.4 mm at 15 mm, sheet of 3 mm."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import PART, asked, at

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SMALL: dict[str, Any] = {"flange": {"outline": {"box": [33, 20]}, "thick": 2}, "cutout": {"round": 16}, "rear": []}


def _fixings(x: float) -> dict[str, Any]:
    return {**PART["fixings"], "at": [[x, 0], [-x, 0]]}


@pytest.mark.parametrize(
    ("x", "left", "verdict"), [(13.9, 1.2, FITS), (13.8, 1.1, TIGHT), (13.7, 1.0, TIGHT), (13.6, 0.9, FAILS)]
)
def test_a_main_hole_and_its_own_fixing_hole(tmp_path: Path, x: float, left: float, verdict: Verdict) -> None:
    found = finding(asked(tmp_path, at(0), fixings=_fixings(x)), "web")
    assert found.verdict is verdict
    assert found.measured == pytest.approx(left)  # x - 11 - 1.7


@pytest.mark.parametrize(
    ("apart", "left", "verdict"), [(36.5, 3.1, FITS), (36.3, 2.9, TIGHT), (34.5, 1.1, TIGHT), (34.3, 0.9, FAILS)]
)
@pytest.mark.parametrize("turn", ["0", "90"])
def test_fixing_holes_of_two_places(tmp_path: Path, turn: str, apart: float, left: float, verdict: Verdict) -> None:
    a, b = ((-apart / 2, 0.0), (apart / 2, 0.0)) if turn == "0" else ((0.0, -apart / 2), (0.0, apart / 2))
    made = asked(tmp_path, f"{at(*a, turn=turn)}\n{at(*b, 'B', turn=turn)}", **SMALL)
    found = finding(made, "web")
    assert found.verdict is verdict, found.says
    if verdict is not FITS:
        assert found.measured == pytest.approx(left)  # apart - 2 * (15 + 1.7)


@pytest.mark.parametrize(
    ("x", "left", "verdict"), [(78.8, 4.5, FITS), (78.9, 4.4, TIGHT), (82.3, 1.0, TIGHT), (82.4, 0.9, FAILS)]
)
@pytest.mark.parametrize("side", [1, -1])
def test_a_fixing_hole_and_the_edge(tmp_path: Path, side: int, x: float, left: float, verdict: Verdict) -> None:
    found = finding(asked(tmp_path, at(side * x), **SMALL), "web")  # edges at 100 mm
    assert found.verdict is verdict, found.says
    if verdict is not FITS:
        assert found.measured == pytest.approx(left)  # 100 - x - 16.7


@pytest.mark.parametrize("side", [1, -1])
def test_a_main_hole_and_the_edge_above_or_below(tmp_path: Path, side: int) -> None:
    found = finding(asked(tmp_path, at(0, side * 38)), "web")  # edges at 50 mm
    assert found.verdict is TIGHT
    assert found.measured == pytest.approx(50 - 38 - 11)
