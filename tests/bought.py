"""Panels of our own written as DXF and STEP and taken in again: every hole where it was, every place found again.

What is read must also be told to be what was asked for.

``python -m tests.bought --panels 300`` does it with random panels from their seeds, and tells which holes and places
do not come back. Nothing of a plate's places is known to the reader: it has the contours of the file alone.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from dryfit.generators.intake.comparing.compare import as_cut, compare
from dryfit.generators.intake.panels.layouts import Started, started
from dryfit.generators.intake.plates.files import read_plate
from dryfit.generators.intake.plates.plate import Plate
from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.generators.writers.step import write_panel_step
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.geometry.outlines import Outline, clearance
from dryfit.models.geometry.points import Point
from dryfit.models.job import Job
from dryfit.models.panel import Hole
from dryfit.models.reading.errors import DryfitError
from dryfit.models.resolve import parse_job, read_job
from tests.oracle import random_panels

SAME = 0.01  # mm that a hole may miss its place and its size by, written to a file and read again


@dataclass(frozen=True)
class Trip:
    """A panel before and after: what was begun from its file, and the job of that."""

    job: Job
    made: Started
    again: Job
    cut: float | None  # thickness of a solid; None of a flat drawing

    @property
    def lost(self) -> tuple[Outline, ...]:
        """The holes of places and of the panel that the new layout has not."""
        ours = [*(hole.outline for hole in self.again.holes()), *(o.outline for o in self.made.grouped.unexplained)]
        wanted = [as_cut(hole, self.cut).outline for hole in self.job.holes()]
        return tuple(h for h in wanted if not any(_same(h, o) for o in ours if o is not None))

    @property
    def scattered(self) -> tuple[str, ...]:
        """The places whose holes are not together in one place of the new layout."""
        found = [list(place.holes()) for place in self.again.places]
        wanted = {place.name: [as_cut(hole, self.cut) for hole in place.holes()] for place in self.job.places}
        return tuple(name for name, holes in wanted.items() if not any(_alike(holes, f) for f in found))


def _alike(ours: Iterable[Hole], theirs: Sequence[Hole]) -> bool:
    holes = [hole.outline for hole in ours]
    return len(holes) == len(theirs) and all(any(_same(h, o.outline) for o in theirs) for h in holes)


def _same(one: Outline, other: Outline) -> bool:
    """Whether two outlines are one within SAME: neither stands out of the other by more."""
    if one.centre.distance_to(other.centre) > 2 * SAME:
        return False
    return clearance(one, other) >= -SAME and clearance(other, one) >= -SAME


def trip(job: Job, path: Path, plate: Plate) -> Trip:
    """Take a panel in from the plate that was read of its file, and return both."""
    panel, catalogue = job.panel, job.draft.catalogue if job.draft is not None else load_catalogue()
    made = started(plate, "again", path.name, f"{panel.thickness} mm", catalogue, bend=panel.bend_radius)
    text = made.text.replace("coating: 0 mm ", f"coating: {panel.coating} mm ").replace("places: []", NO_PLACE)
    return Trip(
        job, made, parse_job(path.with_name("again.yaml"), f"parts: [{random_panels.OWN}]\n{text}"), plate.thickness
    )


NO_PLACE = "places: [{part: indicator, at: [1, 1]}]"  # where none was found: a layout has one


def step(job: Job, path: Path) -> None:
    """Write the bare panel as STEP."""
    write_panel_step(job.panel, job.holes(), path, job.title)


def main() -> None:
    """Take random panels in, and tell what does not come back."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--panels", type=int, default=100)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--step", action="store_true", help="as STEP; else as DXF, lips laid flat")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for line in _told(Path(folder), range(asked.first, asked.first + asked.panels), asked.step):
            print(line)


def _written(folder: Path, seed: int, solid: bool) -> tuple[Job, Path]:
    job = read_job(random_panels.write(folder, random_panels.layout(seed)))
    if solid:
        path = folder / "panel.step"
        step(job, path)
        return job, path
    path = folder / "panel.dxf"
    path.write_bytes(dxf_bytes(job))
    return job, path


def _told(folder: Path, seeds: range, solid: bool) -> Iterator[str]:
    panels = holes = places = lost = scattered = 0
    for seed in seeds:
        try:
            job, path = _written(folder, seed, solid)
        except DryfitError:
            continue  # its holes cross: no file has them
        plate = read_plate(path)
        done = trip(job, path, plate)
        for one in compare(job, plate).differences:
            yield f"seed {seed}: told to be different: {one.kind} {one.hole} {one.says}"
        panels, holes, places = panels + 1, holes + len(job.holes()), places + len(job.places)
        lost, scattered = lost + len(done.lost), scattered + len(done.scattered)
        for outline in done.lost:
            yield f"seed {seed}: lost a hole {outline.size} at {Point(*outline.centre)}"
        for name in done.scattered:
            yield f"seed {seed}: {name} ({job.place(name).kind}, {job.place(name).cutout}) is scattered"
    yield f"{panels} panels, {holes} holes, {lost} lost; {places} places, {scattered} scattered"


if __name__ == "__main__":
    main()
