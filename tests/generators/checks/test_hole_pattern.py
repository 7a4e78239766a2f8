"""Fixing holes that do not line up, by hand: holes of 3.4 mm and a screw of 2.98 mm forgive 0.21 mm each."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.hole_pattern import align
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.points import Point
from dryfit.models.reading.units import format_mm
from tests.helpers import finding
from tests.plain import M3, PART, about, asked, at, fixings, length, plain, told

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


SUNK = M3.replace("pan", "countersunk")
SOURCE = "floating fastener: half of each hole's clearance (ASME Y14.5 appendix B); cones centre"


def _punched(*points: tuple[float, float], hole: float = 22, fixing: float = 3.4) -> str:
    spots = ", ".join(f"[{x}, {y}]" for x, y in points)
    return f"{{hole: {hole}, fixings: {fixing}, at: [{spots}]}}"


def _told(folder: Path, x: float, hardware: str = M3, fixing: float = 3.4, **of_part: Any) -> Finding:
    """Return what is told of a part with holes at 15 mm on a panel with holes at x."""
    cut = _punched((-x, 0), (x, 0), fixing=fixing)
    (found,) = told(asked(folder, at(0, cutout=cut, hardware=hardware), fixings=fixings(**of_part)), "hole-pattern")
    return found


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


# --- all that is told ------------------------------------------------------------------------------------------------


SPREAD = math.sqrt(2) * 0.05 + 0.05 / 2  # holes 0.05 off along x and along y, one 0.05 small: common practice of shops


@pytest.mark.parametrize(
    ("left", "verdict"), [(0.12, FITS), (SPREAD + 0.001, FITS), (SPREAD - 0.001, TIGHT), (0, TIGHT)]
)
def test_what_the_screw_forgives_is_told_and_what_shops_may_be_off_by_is_wanted(
    tmp_path: Path, left: float, verdict: Verdict
) -> None:
    x = 15.42 - left
    says = f"The fixing holes of part and panel are at most {format_mm(0.42 - left)} apart; the screw forgives 0.42 mm"
    says += ": shops may be off by 0.1 mm." if verdict is TIGHT else "."
    assert _told(tmp_path, x) == length("hole-pattern", verdict, says, left, source=SOURCE)


def test_where_less_is_forgiven_than_shops_may_be_off_by_it_is_tight_at_best(tmp_path: Path) -> None:
    found = _told(tmp_path, 15, fixing=3.02, hole=3.02)  # forgives 0.02 at each hole
    assert (found.verdict, found.measured) == (TIGHT, about(0.04, 1e-9))


@pytest.mark.parametrize(
    ("hole", "fixing", "left"), [(3.4, 3.2, 0.21 + 0.11), (3.2, 3.4, 0.11 + 0.21), (2.9, 3.4, 0.21), (3.4, 2.9, 0.21)]
)
def test_each_hole_forgives_half_of_its_own_clearance_and_one_too_small_nothing(
    tmp_path: Path, hole: float, fixing: float, left: float
) -> None:
    assert _told(tmp_path, 15, fixing=fixing, hole=hole).measured == pytest.approx(left)


def test_holes_too_far_apart_are_told_with_the_best_turn(tmp_path: Path) -> None:
    says = (
        "The fixing holes of part and panel are 0.5 mm apart, the screw forgives 0.42 mm; "
        "turned by +0.0 degrees they would be 0.5 mm apart."
    )
    assert _told(tmp_path, 15.5) == length("hole-pattern", FAILS, says, -0.08, source=SOURCE)


@pytest.mark.parametrize(
    ("hardware", "angle", "x", "forgives", "climbs"),
    [
        (SUNK, 90, 15.31, "0.21", "0.1"),  # 0.1 too far, up a slope of 45 degrees
        # No. 4 is at most 0.1112 in = 2.8245 mm: half of 3.4 less that is 0.288; 0.212 up a slope of 41 degrees
        ("{screw: 4-40, head: countersunk, length: 1/2 in, nut: hexagon}", 82, 15.5, "0.29", "0.24"),
    ],
    ids=["ninety degrees", "eighty-two degrees"],
)
def test_a_cone_gives_none_and_climbs_where_it_is_forced(
    tmp_path: Path, *, hardware: str, angle: float, x: float, forgives: str, climbs: str
) -> None:
    found = _told(tmp_path, x, hardware, seat={"diameter": 6.4, "angle": angle})
    apart = f"{x - 15:.2f}".rstrip("0")
    assert found.verdict is FAILS
    assert found.says == (
        f"The fixing holes of part and panel are {apart} mm apart, the screw forgives {forgives} mm (its cone centres "
        f"it; forced, a head climbs {climbs} mm out of its seat); turned by +0.0 degrees they would be {apart} mm "
        "apart."
    )


@pytest.mark.parametrize("points", [((-15, 0), (15, 0), (0, 15)), ((-15, 0),)], ids=["one more", "one less"])
def test_another_number_of_holes_is_told_by_how_many(tmp_path: Path, points: tuple[tuple[float, float], ...]) -> None:
    says = f"The part has 2 fixing holes, the panel has {len(points)}."
    expected = Finding("hole-pattern", "A", FAILS, says, -1.0, "count")
    assert told(asked(tmp_path, at(0, cutout=_punched(*points))), "hole-pattern") == [expected]


# --- how two patterns line up ---------------------------------------------------------------------------

LOPSIDED = (Point(10, 0), Point(-10, 4), Point(-3, -12))


def test_a_pattern_that_was_turned_about_a_far_point_is_met_by_that_turn() -> None:
    there = tuple(p.turned(10) + Point(3.0, -2.0) for p in LOPSIDED)
    found = align(LOPSIDED, (there[2], there[0], there[1]), 0.0)  # in whatever order the holes are named
    assert (found.best_turn, found.best_offset) == (about(10, 1e-9), about(0, 1e-9))
    assert found.offset == pytest.approx(max((q - p).length for p, q in zip(LOPSIDED, there, strict=True)))


@pytest.mark.parametrize(("degrees", "turn"), [(-100, 80), (100, -80), (80, 80), (0, 0)])
def test_of_two_turns_that_serve_alike_the_smaller_is_told(degrees: float, turn: float) -> None:
    ours = (Point(15, 0), Point(-15, 0))
    assert align(ours, tuple(p.turned(degrees) for p in ours), 0.0).best_turn == pytest.approx(turn)


def test_what_no_turn_mends_is_left_over_about_the_middle_of_both_patterns() -> None:
    ours, theirs = (Point(5, 0), Point(35, 0)), (Point(0, 100), Point(0, 131))  # 30 and 31 apart: half of 1 each
    found = align(ours, theirs, 0.0)
    assert (found.best_turn, found.best_offset) == (about(90), about(0.5))


@pytest.mark.parametrize(
    ("play", "rest", "offset"),
    [
        (0.0, (0.0, 0.0), 0.3),
        (0.0, (0.1, 0.0), 0.2),  # the barrel sits 0.1 over already
        (0.15, (0.1, 0.0), 0.05),
        (1.0, (0.1, 0.0), 0.0),
        (0.0, (0.3, 0.0), 0.0),
        (0.1, (0.3, 0.4), 0.3),  # 0.4 too high, of which 0.1 is taken back
        (0.1, (-0.3, 0.0), 0.5),
    ],
)
def test_the_barrels_play_about_its_rest_is_used_to_meet_a_shifted_pattern(
    play: float, rest: tuple[float, float], offset: float
) -> None:
    shifted = tuple(p + Point(0.3, 0.0) for p in LOPSIDED)
    assert align(LOPSIDED, shifted, play, Point(*rest)).offset == pytest.approx(offset)


def test_the_worst_pair_counts_where_one_hole_is_off() -> None:
    ours = (Point(15, 0), Point(-15, 0))
    # the mean is 0.2 off, and is met by play: 0.2 is left at either hole; without play 0.4 at one
    assert align(ours, (Point(15.4, 0), Point(-15, 0)), 1.0).offset == pytest.approx(0.2)
    assert align(ours, (Point(15.4, 0), Point(-15, 0)), 0.0).offset == pytest.approx(0.4)


def test_the_hole_that_is_off_may_be_the_second() -> None:
    ours = (Point(15, 0), Point(-15, 0))
    assert align(ours, (Point(15, 0), Point(-15, 0.4)), 0.0).offset == pytest.approx(0.4)


def test_a_barrel_off_the_middle_of_its_hole_is_met_from_where_it_sits(tmp_path: Path) -> None:
    # the main hole is drilled 0.3 to the right; with 0.2 of air all round the barrel sits there, its screws 0.3 off,
    # of which 0.2 are taken back
    cut = "{outline: {round: 20.4, at: [0.3, 0]}, fixings: 3.4, at: [[-15, 0], [15, 0]]}"
    (found,) = told(asked(tmp_path, at(0, cutout=cut)), "hole-pattern")
    assert found.measured == pytest.approx(0.42 - 0.1, abs=0.001)


def test_a_part_without_a_barrel_is_not_shifted_to_meet_its_holes(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, cutout=_punched((-14.5, 0), (15.5, 0))), rear=[])
    (found,) = told(made, "hole-pattern")
    assert found.measured == pytest.approx(0.42 - 0.5)
