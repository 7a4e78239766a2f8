"""Our own panels written as DXF and taken in again: every hole where it was, the places as they were."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.intake.plates.plate import plate_of
from dryfit.generators.intake.reading.dxf import drawing
from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.models.job import Job
from dryfit.models.resolve import parse_job, read_job
from tests.bought import trip
from tests.helpers import LAYOUTS
from tests.oracle import random_panels

WALL = """
title: Wall
panel: {plate: us-2, thickness: 1.5 mm, material: stainless}
places: [{part: keystone-8p8c, count: 2, at: [40, 57], pitch: 30, mount: rear}]
"""


def _job(name: str, folder: Path) -> Job:
    if name == "wall plate":
        return parse_job(folder / "wall.yaml", WALL)
    if name.startswith("random"):
        seed = int(name.removeprefix("random "))
        return read_job(random_panels.write(folder, random_panels.layout(seed)))
    return read_job(LAYOUTS / f"{name}.yaml")


@pytest.mark.parametrize("name", ["foyer", "bench", "wall plate", "random 4", "random 15", "random 45"])
def test_every_hole_and_every_place_comes_back(name: str, tmp_path: Path) -> None:
    random_panels.write(tmp_path, "")
    job = _job(name, tmp_path)
    done = trip(job, tmp_path / "panel.dxf", plate_of(drawing(dxf_bytes(job)), "panel.dxf"))
    assert done.lost == ()
    assert done.scattered == ()
    assert len(done.again.holes()) == len(job.holes())
    assert done.again.panel.rack_units == job.panel.rack_units
    assert done.again.panel.folded == job.panel.folded
    assert done.again.panel.lip == pytest.approx(job.panel.lip, abs=0.001)
    assert (done.again.panel.width, done.again.panel.height) == pytest.approx((job.panel.width, job.panel.height))
