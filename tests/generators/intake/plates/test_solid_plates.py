"""A panel from its STEP file: the same holes, sinks, lips and thickness, whichever way it lies."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.intake.comparing.compare import LIES_ON_ITS_FACE, compare
from dryfit.generators.intake.comparing.poses import behind
from dryfit.generators.intake.panels.layouts import started
from dryfit.generators.intake.plates.files import read_plate
from dryfit.generators.intake.plates.plate import Folded, Plate
from dryfit.generators.writers.step import write_panel_step
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.job import Job
from dryfit.models.resolve import parse_job
from tests.came_back import SUNK

LIPPED = SUNK.replace("corner: 4 mm,", "lip: 12 mm, lips: [top, left], bend_radius: 1.5 mm,")


@pytest.fixture(scope="module")
def job() -> Job:
    return parse_job(Path("lipped.yaml"), LIPPED)


@pytest.fixture(scope="module")
def plate(job: Job, tmp_path_factory: pytest.TempPathFactory) -> Plate:
    path = tmp_path_factory.mktemp("solid") / "panel.step"
    write_panel_step(job.panel, job.holes(), path, job.title)
    return read_plate(path)


def test_thickness_lips_and_countersinks_are_measured(plate: Plate) -> None:
    assert plate.thickness == pytest.approx(1.9)
    assert plate.folded == Folded(12.0, ("top", "left"), 1.5)
    assert tuple(plate.box.size) == pytest.approx((240, 80))
    sinks = {(round(o.sink.diameter, 6), o.sink.side, o.sink.angle) for o in plate.openings if o.sink is not None}
    assert sinks == {(6.4, "front", 90.0)}


def test_its_layout_has_the_same_holes_and_lips(plate: Plate, job: Job) -> None:
    made = started(plate, "again", "panel.step", None, load_catalogue())
    again = parse_job(Path("again.yaml"), made.text.replace("coating: 0 mm ", "coating: 0.03 mm "))
    assert again.panel == replace(job.panel, coating=0.03)
    ours, theirs = (sorted((*h.outline.centre, *h.outline.size) for h in j.holes()) for j in (job, again))
    assert len(ours) == len(theirs)
    for one, other in zip(ours, theirs, strict=True):
        assert one == pytest.approx(other, abs=0.002)


def test_a_true_solid_is_what_was_asked_for_also_lying_on_its_face(plate: Plate, job: Job) -> None:
    assert compare(job, plate).differences == ()
    turned_over = compare(job, behind(plate))
    assert (turned_over.differences, turned_over.said) == ((), (LIES_ON_ITS_FACE,))


def test_a_sheet_of_another_thickness_is_told(plate: Plate, job: Job) -> None:
    (one,) = compare(job, replace(plate, thickness=1.5)).differences
    assert (one.kind, one.says) == ("thickness", "the sheet is 1.5 mm thick, asked for 1.9 mm")
