"""A panel cut anywhere within the drawing's tolerances goes together: sampled at random, checked again, nothing fails.

``python -m tests.generators.test_tolerances --panels 300`` tries more panels, random ones too.
"""

from __future__ import annotations

import argparse
import random
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.joints.joint import joint
from dryfit.generators.pipeline import judged, judged_with
from dryfit.generators.report import Report
from dryfit.generators.tolerances import GENERAL, Tolerances, folded, rounded_off, tolerances
from dryfit.models.findings import Verdict
from dryfit.models.geometry.points import Point
from dryfit.models.job import Job, Place
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from dryfit.models.tables.tolerances import cut_grades, held_grade
from tests.helpers import LAYOUTS, place, report
from tests.oracle.random_panels import layout, write

SAMPLES = 12  # of one panel


def sampled(job: Job, allowed: Tolerances, rng: random.Random) -> Job:
    """Return the panel as a shop may cut it: every size and position somewhere within its tolerance."""
    panel = job.panel
    wider, higher = (_off(allowed.outline.size(side), rng) for side in (panel.width, panel.height))
    rack = tuple(hole.moved(-wider / 2, -higher / 2) for hole in panel.rack_holes)
    thickness = panel.thickness + _off(allowed.sheet.size(panel.thickness), rng)
    cut = replace(panel, width=panel.width + wider, height=panel.height + higher, rack_holes=rack, thickness=thickness)
    places = tuple(_cut_place(place, allowed, job, rng, Point(-wider / 2, -higher / 2)) for place in job.places)
    made = replace(job, panel=cut, places=places)
    if not panel.folded:
        return made
    return folded(made, _off(allowed.lips.size(panel.lip), rng), _off(allowed.lips.radius(panel.bend_radius), rng))


def _off(tolerance: float, rng: random.Random) -> float:
    """Return an error: at either limit as often as anywhere between."""
    return rng.choice((-tolerance, tolerance, rng.uniform(-tolerance, tolerance)))


def _cut_place(place: Place, allowed: Tolerances, job: Job, rng: random.Random, shift: Point) -> Place:
    cut, names = place.cutout, (place.name,)
    spot, within = allowed.spot(job.panel, place), allowed.within(cut.fixings, names)
    grade = allowed.cut(names)
    sink = cut.countersink
    if sink is not None:
        sink = sink.model_copy(update={"diameter": sink.diameter + _off(grade.size(sink.diameter), rng)})
    main, radius = cut.main.opened(_off(allowed.size(cut.main, names), rng) / 2), allowed.corner(names)
    cutout = replace(
        cut,
        main=rounded_off(main, _off(radius / 2, rng) + radius / 2) if radius else main,
        fixings=tuple(Point(x + _off(within, rng), y + _off(within, rng)) for x, y in cut.fixings),
        fixing_diameter=cut.fixing_diameter + _off(grade.size(cut.fixing_diameter), rng),
        countersink=sink,
    )
    moved = (place.x + shift.x + _off(spot, rng), place.y + shift.y + _off(spot, rng))
    return replace(place, x=moved[0], y=moved[1], mounting=replace(place.mounting, cutout=cutout))


def what_fails(of: Report, cut: Job) -> set[tuple[str, str, str]]:
    """Return what fails on a panel as it was cut, with the hardware that was bought, at places that did not before."""
    stacks = {}
    for spot in cut.places:
        stack, holds = of.stacks.get(spot.name), joint(spot.mounting, cut.panel)
        if stack is not None and holds is not None:
            stacks[spot.name] = replace(stack, joint=holds, rest=None)
    known = {f.place for f in of.findings if f.verdict is Verdict.FAILS}
    found = (f for f in judged_with(cut, stacks).findings if f.verdict is Verdict.FAILS)
    return {(f.check, f.place, f.says) for f in found if f.place not in known}


def _wrong(of: Report, allowed: Tolerances, seed: int, samples: int = SAMPLES) -> Iterator[object]:
    for number in range(samples):
        yield from what_fails(of, sampled(of.job, allowed, random.Random(seed * 1000 + number)))


@pytest.fixture(scope="module")
def foyer() -> Report:
    return judged(read_job(LAYOUTS / "foyer.yaml"))


@pytest.fixture(scope="module")
def allowed(foyer: Report) -> Tolerances:
    return tolerances(foyer)


def test_the_demo_goes_together_however_it_is_cut_within_its_tolerances(foyer: Report, allowed: Tolerances) -> None:
    assert list(_wrong(foyer, allowed, 1)) == []


@pytest.mark.parametrize("seed", range(4))
def test_a_random_panel_goes_together_however_it_is_cut(seed: int, tmp_path: Path) -> None:
    made = judged(read_job(write(tmp_path, layout(seed))))
    assert list(_wrong(made, tolerances(made), seed, 6)) == []


def test_what_is_cut_beyond_its_tolerances_does_not(foyer: Report) -> None:
    """Else the samples would show nothing: by the coarsest grade everywhere something fails."""
    samples = (sampled(foyer.job, GENERAL, random.Random(number)) for number in range(SAMPLES))
    assert any(what_fails(foyer, cut) for cut in samples)


def test_a_place_of_the_demo_has_tolerances_that_shops_hold(foyer: Report, allowed: Tolerances) -> None:
    ladder = cut_grades()
    for spot in foyer.job.places:
        assert ladder.index(allowed.cut([spot.name])) <= ladder.index(held_grade())
        assert allowed.spots[spot.name].held


def test_neighbours_that_all_but_touch_have_finer_positions(tmp_path: Path) -> None:
    def apart(pitch: str) -> float:
        places = place("xlr3-socket", label="A {n}", count="2", pitch=pitch)
        made = judged(read_job(report(tmp_path, places).job.draft.layout.path))  # type: ignore[union-attr]
        return tolerances(made).spot(made.job.panel, made.job.places[0])

    assert apart("26.3 mm") < apart("32 mm")


def test_square_corners_may_be_as_round_as_the_body_lets_them(tmp_path: Path) -> None:
    """A 23.6 mm barrel in a square hole of 24.2 mm minds no corner of a cutter; a rocker 13 mm wide does."""
    corners = {}
    for part, size in (("xlr3-socket", "[24.2, 24.2]"), ("rocker", "[13, 19.25]")):
        made = report(tmp_path, place(part, cutout=f"{{outline: {{box: {size}}}}}"))
        corners[part] = tolerances(made).corner(["A"])
    assert corners["xlr3-socket"] == 3.0
    assert 0.0 <= corners["rocker"] < 1.0


def test_grades_are_told_from_the_coarsest_to_the_finest() -> None:
    for size in (2.0, 5.0, 25.0, 100.0, 400.0):
        sizes = [grade.size(size) for grade in cut_grades()]
        assert sizes == sorted(sizes, reverse=True)
        assert [g.position(size) for g in cut_grades()] == sorted(
            (g.position(size) for g in cut_grades()), reverse=True
        )
    assert cut_grades()[-1].size(25.0) == 0


def main() -> None:
    """Try random panels from the seeds given and print what fails."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--panels", type=int, default=100)
    arguments.add_argument("--first", type=int, default=0)
    given = arguments.parse_args()
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(given.first, given.first + given.panels):
            try:
                made = judged(read_job(write(Path(folder), layout(seed))))
            except InputError:  # a random layout may be none
                continue
            wrong = list(_wrong(made, tolerances(made), seed))
            bad += bool(wrong)
            for one in wrong[:3]:
                print(seed, one, flush=True)
    print(f"{given.panels} panels, {bad} of which fail somewhere within their tolerances")


if __name__ == "__main__":
    main()
