"""Fixing holes that do not line up, by hand: holes of 3.4 mm and a screw of 2.98 mm forgive 0.21 mm each."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import PART, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _punched(*points: tuple[float, float], hole: float = 22) -> str:
    spots = ", ".join(f"[{x}, {y}]" for x, y in points)
    return f"{{hole: {hole}, fixings: 3.4, at: [{spots}]}}"


@pytest.mark.parametrize(
    ("x", "left", "verdict"), [(15.3, 0.12, FITS), (14.7, 0.12, FITS), (15.39, 0.03, TIGHT), (15.5, -0.08, FAILS)]
)
def test_holes_too_far_apart_cannot_be_shifted_into_line(
    tmp_path: Path, x: float, left: float, verdict: Verdict
) -> None:
    found = finding(plain(tmp_path, at(0, cutout=_punched((-x, 0), (x, 0)))), "hole-pattern")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(left)  # 0.42 - |x - 15|


@pytest.mark.parametrize(
    ("hole", "left"),
    [
        (22, 0.42),  # 1 mm of play on each side: the part goes over by 0.5
        (20.4, 0.42 - 0.3),  # 0.2 on each side: 0.3 remain
        (20, 0.42 - 0.5),
    ],
)
def test_holes_shifted_alike_are_met_as_far_as_the_barrel_has_play(tmp_path: Path, hole: float, left: float) -> None:
    cut = _punched((-14.5, 0), (15.5, 0), hole=hole)
    assert finding(plain(tmp_path, at(0, cutout=cut)), "hole-pattern").measured == pytest.approx(left)


@pytest.mark.parametrize(("degrees", "way"), [(10, "anticlockwise"), (-10, "clockwise")])
def test_a_turned_pattern_is_met_by_turning_the_part(tmp_path: Path, degrees: float, way: str) -> None:
    a = math.radians(degrees)
    points = [(15 * math.cos(a), 15 * math.sin(a)), (-15 * math.cos(a), -15 * math.sin(a))]
    found = finding(plain(tmp_path, at(0, cutout=_punched(*points))), "hole-pattern")
    assert found.verdict is FAILS
    assert found.measured == pytest.approx(0.42 - 2 * 15 * math.sin(math.radians(5)), abs=1e-6)
    assert f"10.0 degrees {way}" in str(found.remedy)


def test_a_boss_forgives_nothing(tmp_path: Path) -> None:
    fixings: dict[str, Any] = {**PART["fixings"], "boss": {"thread": "M3", "depth": 10}}
    made = plain(tmp_path, at(0, mount="rear", hardware="{head: pan, length: 8}"), fixings=fixings)
    assert finding(made, "hole-pattern").measured == pytest.approx(0.21)


def test_another_number_of_holes_fails(tmp_path: Path) -> None:
    cut = _punched((-15, 0), (15, 0), (0, 15))
    assert finding(plain(tmp_path, at(0, cutout=cut)), "hole-pattern").verdict is FAILS
