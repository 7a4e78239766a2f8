"""Plain holes of a panel: they are in every list and body, and nothing is said to fit that stands in their way."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from dryfit.generators import pipeline
from dryfit.generators.bodies.mass import mass
from dryfit.generators.lettering.legends import legends
from dryfit.generators.lists.holes import hole_chart
from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.generators.writers.holes_csv import holes_csv
from dryfit.models.findings import Verdict
from dryfit.models.geometry.areas import shared_area
from dryfit.models.job import Job
from tests.plain import asked, at, fixings, plain_job, told

FAILS, TIGHT, FITS = Verdict.FAILS, Verdict.TIGHT, Verdict.FITS


def cut(entry: str) -> str:
    """Return the part of a layout that has one entry of plain holes."""
    return f"cut: [{{{entry}}}]\n"


def holed(folder: Path, entry: str, panel: str = "{size: [200, 100], thickness: 3}") -> Job:
    """Return the job of a panel with the plain part far to the left, and plain holes."""
    return plain_job(folder, at(-60), panel, rest=cut(entry))


@pytest.mark.parametrize(
    ("entry", "shapes"),
    [
        ("hole: 12, at: [40, 0]", ["⌀12"]),
        ("slot: 20 x 6 mm, at: [40, 0], turn: 90", ["20 × 6 slot, turned 90°"]),
        ("window: 60 x 30 mm, corner: 3, at: [50, 0]", ["60 × 30 R3"]),
        ("outline: {hexagon: 14}, at: [40, 0]", ["14 A/F"]),
        ("tie: 4.8 mm, at: [40, 0]", ["6.5 × 3 slot"] * 2),
        ("hole: 1/2 in, at: [40, 0], count: 3, pitch: [0, 20]", ["⌀12.7"] * 3),
        ("hole: 9, at: [[40, 0], [60, 10]]", ["⌀9"] * 2),
    ],
)
def test_they_are_in_the_chart_the_list_and_the_cut_file(entry: str, shapes: list[str], tmp_path: Path) -> None:
    job = holed(tmp_path, entry)
    kinds = [kind for kind in hole_chart(job) if kind.purpose == "plain"]
    assert [kind.punched for kind in kinds for _ in range(kind.count)] == shapes
    assert holes_csv(job).count(",plain,") == len(shapes)
    without = plain_job(tmp_path, at(-60))
    closed = (dxf_bytes(one).count(b"CIRCLE") + dxf_bytes(one).count(b"LWPOLYLINE") for one in (job, without))
    assert next(closed) - next(closed) >= len(shapes)


def test_they_weigh_nothing(tmp_path: Path) -> None:
    job = holed(tmp_path, "window: 60 x 30 mm, corner: 3, at: [50, 0]")
    gone = (60 * 30 - (4 - math.pi) * 3**2) * 3 * job.panel.material.density / 1e9
    assert mass(plain_job(tmp_path, at(-60))) - mass(job) == pytest.approx(gone)


def test_their_sizes_are_as_punched_or_as_finished(tmp_path: Path) -> None:
    coated = holed(tmp_path, "hole: 12, at: [40, 0]", "{size: [200, 100], thickness: 3, coating: 0.1}")
    bought = holed(
        tmp_path, "hole: 12, at: [40, 0]", "{size: [200, 100], thickness: 3, coating: 0.1, holes_finished: true}"
    )
    assert [job.holes()[0].outline.size.width for job in (coated, bought)] == pytest.approx([12, 12.2])


@pytest.mark.parametrize(
    ("entry", "verdict", "left"),
    [
        ("hole: 10, at: [91, 0]", TIGHT, 4.0),  # 100 - 91 - 5; one and a half sheets are 4.5
        ("hole: 10, at: [50, 44.2]", FAILS, 0.8),
        ("hole: 10, at: [50, 0]", FITS, 45.0),
        ("hole: 10, at: [[50, 0], [60.5, 0]]", FAILS, 0.5),
        ("hole: 10, at: [[50, 0], [62, 0]]", TIGHT, 2.0),  # less than the sheet is thick
        ("tie: 4.8 mm, at: [50, 0]", FITS, 7.0),  # 10 between middles, slots 3 wide
    ],
)
def test_the_metal_beside_them_is_judged(entry: str, verdict: Verdict, left: float, tmp_path: Path) -> None:
    found = told(asked(tmp_path, at(-60), rest=cut(entry)), "web", "")
    worst = max(found, key=lambda f: f.verdict.rank)
    assert worst.verdict is verdict
    assert min(f.measured or 0.0 for f in found) == pytest.approx(left)


def test_the_metal_between_a_place_and_a_plain_hole_is_told_at_the_place(tmp_path: Path) -> None:
    report = asked(tmp_path, at(0), rest=cut("hole: 10, at: [0, 16.4], label: vent"))  # 16.4 - 5 - 11
    (found,) = told(report, "web", "A")
    assert found.verdict is FAILS
    assert found.measured == pytest.approx(0.4)
    assert found.says == "0.4 mm of metal is left between its main hole and the vent."
    assert all(f.verdict is FITS for f in told(report, "web", ""))


@pytest.mark.parametrize(("x", "over"), [(24.9, 0.1), (21.0, 4.0), (15.0, 6.0)])
def test_a_flange_over_a_plain_hole_fails(x: float, over: float, tmp_path: Path) -> None:
    """The flange reaches 20 mm right and up, the hole 5 mm left and down of its own: it is out by the shorter way."""
    report = asked(tmp_path, at(0), rest=cut(f"hole: 10, at: [{x}, 19]"))
    worst = max(told(report, "body-room", "A"), key=lambda f: f.verdict.rank)
    assert worst.verdict is FAILS
    assert worst.measured == pytest.approx(-over)
    assert "over the hole" in worst.says


def test_a_flange_beside_a_plain_hole_fits(tmp_path: Path) -> None:
    report = asked(tmp_path, at(0), rest=cut("hole: 10, at: [25.5, 19]"))
    assert all(f.verdict is FITS for f in told(report, "body-room", "A"))


def test_a_body_far_behind_a_plain_hole_fails_too(tmp_path: Path) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 20}, {"outline": {"box": [80, 10]}, "from": 20, "to": 30}]
    report = asked(tmp_path, at(0), rest=cut("hole: 10, at: [30, 0]"), rear=rear)
    assert FAILS in {f.verdict for f in told(report, "body-room", "A")}


def test_a_nut_over_a_plain_hole_loses_its_land(tmp_path: Path) -> None:
    """The hole begins 1.6 mm right of the screw, beside the flange; the nut reaches 2.75 mm or more."""
    flange = {"outline": {"polygon": [[-20, -20], [16.5, -20], [16.5, 20], [-20, 20]]}, "thick": 2}
    sunk = "{screw: M3, head: countersunk, length: 12, nut: hexagon, washers: []}"  # no head bears on anything
    seat = fixings(seat={"diameter": 6.3, "angle": 90})
    made = (
        asked(tmp_path, at(0, hardware=sunk), rest=cut(f"hole: 4, at: [{x}, 0]"), flange=flange, fixings=seat)
        for x in (18.6, 40)
    )
    beside, clear = (told(report, "land")[0].margin or 0.0 for report in made)
    assert beside < clear


def test_a_hole_before_the_rack_rail_fails(tmp_path: Path) -> None:
    panel = "{rack_units: 2, thickness: 2}"
    for x, wanted in ((220, FITS), (222, FAILS)):  # 225 is half of what rails leave clear
        report = asked(tmp_path, at(0), panel, rest=cut(f"hole: 8, at: [{x}, 0]"))
        found = told(report, "body-room", "")
        assert {f.verdict for f in found} == ({FAILS} if wanted is FAILS else set())


def test_a_hole_beside_the_room_of_the_wall_box_fails(tmp_path: Path) -> None:
    for x, wanted in ((15, 0), (25, 1)):  # lugs leave 50 mm
        report = asked(
            tmp_path, at(0), "{size: 100 x 100 mm, box: uk-1, thickness: 2}", rest=cut(f"hole: 8, at: [{x}, 28]")
        )
        assert len(told(report, "body-room", "")) == wanted
        assert len(report.job.panel.rack_holes) == 2


def test_legends_keep_clear_of_them(tmp_path: Path) -> None:
    job = plain_job(tmp_path, at(0), rest=cut("window: 60 x 12 mm, at: [0, 28]"))
    (legend,) = legends(job)
    assert legend.outline.box.top < 0 or legend.outline.box.bottom > 34


def test_no_remedy_is_sought_for_what_is_wrong_with_the_panel_itself(tmp_path: Path) -> None:
    report = pipeline.check(holed(tmp_path, "hole: 10, at: [50, 44.8]"))
    (found,) = (f for f in report.findings if f.verdict is FAILS)
    assert (found.place, found.check, found.remedy) == ("", "web", None)


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(-60, 60), st.integers(-40, 40), st.sampled_from([3, 10, 24]), st.sampled_from([0, 30, 90]))
def test_a_hole_is_stood_over_where_it_shares_area_with_a_body_and_nowhere_else(
    tmp_path: Path, x: int, y: int, wide: int, turn: int
) -> None:
    """Held against areas, which know nothing of gaps."""
    assume(abs(y) + wide / 2 < 50)  # on the panel, turned or not
    report = asked(tmp_path, at(0), rest=cut(f"window: [{wide}, 8], at: [{x}, {y}], turn: {turn}, label: W"))
    hole = next(hole for hole in report.job.holes() if hole.name == "W").outline
    bodies = [i for i in report.assembly.bodies_in_place if i.role != "plug"]
    shared = max(shared_area(s.profile.widest, hole) for i in bodies for s in i.slices)
    over = any("over the W" in f.says for f in told(report, "body-room"))
    assert over == (shared > 1e-6)


def test_what_is_wrong_with_one_hole_is_not_told_as_the_cause_of_another(tmp_path: Path) -> None:
    entries = "cut: [{hole: 8, at: [-228, 0]}, {hole: 10, at: [100, 38.6]}]\n"
    report = pipeline.judged(plain_job(tmp_path, at(0), "{rack_units: 2, thickness: 2}", rest=entries))
    assert [(f.check, f.also) for f in report.findings if f.verdict is FAILS] == [("body-room", ()), ("web", ())]
