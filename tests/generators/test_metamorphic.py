"""Layouts changed in ways that must not change the answer, or only in one direction."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.findings import Verdict
from dryfit.models.resolve import read_job

few = settings(max_examples=3, deadline=None, derandomize=True)

ANY = (
    "xlr3-socket",
    "xlr3-pins",
    "dsub-9",
    "bnc-bush",
    "iec-c14-inlet",
    "din-5",
    "gland-m16",
    "combination-jack-forming",
)
EVEN = ("dsub-9", "bnc-bush", "iec-c14-inlet", "gland-m16", "indicator", "toggle")  # the same in a mirror
OF_WHERE = ("stiffness", "legend-room")  # depend on where on the panel a place is, and how its words run
INCH = 25.4
FAR = 20.0  # mm: what is further is far, and how far depends on where a place is
PITCH = 33.02  # mm, 1.3 in: parts stand near each other, some too near

Told = dict[tuple[str, str], tuple[Verdict, object]]  # verdict and what was measured, near enough


@dataclass(frozen=True)
class Spot:
    """One place: what stands there, where, how turned."""

    part: str
    name: str
    x: float
    y: float
    turn: float = 0.0
    more: str = ""

    def line(self, inches: bool = False) -> str:
        """Return the place as a list item, its position in mm or in inches."""
        x, y = (f"{v / INCH:.12g} in" if inches else f"{v:.12g} mm" for v in (self.x, self.y))
        return f"  - {{part: {self.part}, label: {self.name}, at: [{x}, {y}], turn: {self.turn}{self.more}}}\n"


def row(parts: list[str]) -> tuple[Spot, ...]:
    """Return parts side by side about the middle."""
    first = -PITCH * (len(parts) - 1) / 2
    return tuple(Spot(part, f"P{n}", first + n * PITCH, 0.0) for n, part in enumerate(parts))


@lru_cache(maxsize=256)
def report(spots: tuple[Spot, ...], panel: str = "size: [400, 400], thickness: 2", inches: bool = False) -> Report:
    """Return the report of places on a panel measured from its centre, as judged."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "layout.yaml"
        places = "".join(spot.line(inches) for spot in spots)
        path.write_text(f"title: T\norigin: centre\npanel: {{{panel}}}\nplaces:\n{places}", encoding="utf-8")
        return judged(read_job(path))


def told(of: Report, leave: tuple[str, ...] = OF_WHERE) -> Told:
    """Return verdict and what was measured, by place and check."""
    return {
        (f.place, f.check): (f.verdict, None if f.measured is None else pytest.approx(min(f.measured, FAR), abs=1e-3))
        for f in of.findings
        if f.check not in leave
    }


parts = st.lists(st.sampled_from(ANY), min_size=2, max_size=2)
even_parts = st.lists(st.sampled_from(EVEN), min_size=2, max_size=2)


@few
@given(parts)
def test_the_order_of_places_changes_no_verdict(kinds: list[str]) -> None:
    spots = row(kinds)
    one, other = report(spots), report(spots[::-1])
    assert {s.name: one.verdict_of(s.name) for s in spots} == {s.name: other.verdict_of(s.name) for s in spots}


@few
@given(even_parts)
def test_a_mirrored_panel_of_even_parts_is_answered_alike(kinds: list[str]) -> None:
    spots = row(kinds)
    assert told(report(tuple(replace(s, x=-s.x) for s in spots))) == told(report(spots))


@few
@given(parts, st.floats(-60, 60), st.floats(-60, 60))
def test_places_shifted_together_far_from_edges_are_answered_alike(kinds: list[str], dx: float, dy: float) -> None:
    dx, dy, spots = round(dx, 2), round(dy, 2), row(kinds)
    assert told(report(tuple(replace(s, x=s.x + dx, y=s.y + dy) for s in spots))) == told(report(spots))


@few
@given(parts)
def test_a_quarter_turn_of_all_on_a_square_panel_is_answered_alike(kinds: list[str]) -> None:
    spots = row(kinds)
    assert told(report(tuple(replace(s, x=-s.y, y=s.x, turn=90.0) for s in spots))) == told(report(spots))


@few
@given(parts)
def test_positions_in_inches_are_answered_as_in_millimetres(kinds: list[str]) -> None:
    spots = row(kinds)
    assert told(report(spots, inches=True), ()) == told(report(spots), ())


@few
@given(parts)
def test_a_place_far_away_changes_nothing(kinds: list[str]) -> None:
    spots = row(kinds)
    alone, together = told(report(spots)), told(report((*spots, Spot("indicator", "LAMP", 150.0, 150.0))))
    assert {key: answer for key, answer in together.items() if key[0] != "LAMP"} == alone


HELD = ", hardware: {screw: M3, head: pan, length: 12, nut: hexagon, washers: []}"
SCREWED = ("xlr3-socket", "xlr3-pins", "dsub-9", "din-5")
ABOUT_HOLES = ("cutout-size", "goes-in", "hole-pattern", "screw-passes")


def fails(of: Report, checks: tuple[str, ...]) -> set[tuple[str, str]]:
    """Return which of some checks fail, by place."""
    return {(f.place, f.check) for f in of.findings if f.check in checks and f.verdict is Verdict.FAILS}


@few
@given(st.sampled_from(SCREWED), st.floats(2.8, 3.6), st.floats(0, 0.2), st.floats(0, 0.2))
def test_a_thicker_coating_frees_no_hole(part: str, hole: float, thin: float, more: float) -> None:
    spot = (Spot(part, "A", 0.0, 0.0, more=f"{HELD}, cutout: {{fixings: {hole:.3f}}}"),)
    coated = (report(spot, f"size: [120, 120], thickness: 2, coating: {c:.3f}") for c in (thin, thin + more))
    before, after = (fails(r, ABOUT_HOLES) for r in coated)
    assert before <= after


@few
@given(st.sampled_from(SCREWED), st.floats(2.6, 3.6), st.floats(0, 2))
def test_a_larger_hole_blocks_no_screw(part: str, hole: float, more: float) -> None:
    sizes = (hole, hole + more)
    spots = ((Spot(part, "A", 0.0, 0.0, more=f"{HELD}, cutout: {{fixings: {size:.3f}}}"),) for size in sizes)
    before, after = (
        fails(report(s, "size: [120, 120], thickness: 2"), ("screw-passes", "hole-pattern")) for s in spots
    )
    assert after <= before
