"""Faults planted in cutting files, and what the comparison finds of them.

``python -m tests.came_back --faults 30 --seed 1`` draws kinds of faults at random, plants each by itself in the file of
a panel, and tells which are not found; a copy without a fault, and copies whose holes are off within their tolerances,
must be found to be what was asked for. Faults are made in the entities of the file, by the library for it alone.
"""

from __future__ import annotations

import argparse
import io
import math
import random
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from dryfit.generators.intake.comparing.compare import Comparison, compare
from dryfit.generators.intake.plates.plate import plate_of
from dryfit.generators.intake.reading.dxf import drawing
from dryfit.generators.lists.holes import lettered_holes
from dryfit.generators.pipeline import judged
from dryfit.generators.tolerances import GENERAL, Tolerances, tolerances
from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.generators.writers.holes_csv import position_tolerance
from dryfit.models.job import Job
from dryfit.models.reading.errors import DryfitError
from dryfit.models.resolve import parse_job, read_job
from tests.helpers import LAYOUTS
from tests.oracle import random_panels

SUNK = """
title: Sunk
panel: {size: [240 mm, 80 mm], thickness: 1.9 mm, corner: 4 mm, coating: 0.03 mm}
places:
  - {part: 8p8c-lead, label: "NET {n}", count: 2, at: [30, 40], pitch: 44, mount: rear, legend: none,
     cutout: {countersink: {diameter: 6.4 mm, angle: 90}}}
  - {part: xlr3-pins, label: "OUT {n}", count: 2, at: [115, 40], pitch: 32, legend: none}
  - {part: fuse-holder, label: FUSE, at: [182, 40], legend: none}
  - {part: dsub-9, label: SERIAL, at: [215, 40], turn: 90, legend: none}
"""
PANELS = ("foyer", "bench", "sunk")
LEAST_OFF = 0.02  # mm, where the parts leave a shop nothing
LEAST, MOST = 1.15, 4.0  # times the tolerance that a planted fault is off


@dataclass(frozen=True)
class Asked:
    """A panel, its tolerances, and its cutting file."""

    job: Job
    allowed: Tolerances
    file: bytes


@cache
def asked(name: str, general: bool = False) -> Asked:
    """Return a panel by its name, with its own tolerances or the general ones."""
    job = parse_job(Path("sunk.yaml"), SUNK) if name == "sunk" else read_job(LAYOUTS / f"{name}.yaml")
    return Asked(job, GENERAL if general else tolerances(judged(job)), dxf_bytes(job))


class Copy:
    """A cutting file, open to be spoiled."""

    def __init__(self, of: Asked, dice: random.Random):
        from ezdxf.filemanagement import read

        self.of, self.dice = of, dice
        self.document = read(io.StringIO(of.file.decode("utf-8")))
        self.space = self.document.modelspace()
        items = lettered_holes(of.job)
        self.holes = list(zip(items, self.space.query('*[layer=="cut"]'), strict=True))

    def compared(self) -> Comparison:
        """Return what the comparison finds in it."""
        stream = io.StringIO()
        self.document.write(stream)
        plate = plate_of(drawing(stream.getvalue().encode("utf-8")), "copy.dxf")
        return compare(self.of.job, plate, self.of.allowed)

    def hole(self, which: Callable[[Any, Any], bool] = lambda item, entity: True) -> tuple[Any, Any]:
        """Return any hole of some, with its row of the chart."""
        return self.dice.choice([pair for pair in self.holes if which(*pair)])

    def off(self, tolerance: float) -> float:
        """Return a length that is off by more than a tolerance, either way."""
        return self.dice.choice((-1, 1)) * max(tolerance, LEAST_OFF) * self.dice.uniform(LEAST, MOST)


def _move(entity: Any, dx: float, dy: float) -> None:
    entity.translate(dx, dy, 0)


def _missing(copy: Copy) -> None:
    copy.space.delete_entity(copy.hole()[1])


def _extra(copy: Copy) -> None:
    panel = copy.of.job.panel
    taken = [item.hole.outline for item, _ in copy.holes]
    while True:
        x, y = copy.dice.uniform(5, panel.width - 5), copy.dice.uniform(5, panel.height - 5)
        at = (x - panel.width / 2, y - panel.height / 2)
        if all(o.centre.distance_to(at) > max(o.size) / 2 + 3 for o in taken):
            copy.space.add_circle((x, y), 1.6, dxfattribs={"layer": "cut"})
            return


def _shifted_main(copy: Copy) -> None:
    item, _ = copy.hole(lambda item, e: item.hole.purpose == "main")
    place = copy.of.job.place(item.hole.place)
    by = copy.off(position_tolerance(copy.of.job, item, copy.of.allowed))
    way = copy.dice.choice(((by, 0), (0, by)))
    for one in (e for i, e in copy.holes if i.hole.place == place.name):
        _move(one, *way)


def _shifted_fixing(copy: Copy) -> None:
    item, entity = copy.hole(lambda item, e: item.hole.purpose == "fixing")
    by = copy.off(position_tolerance(copy.of.job, item, copy.of.allowed))
    _move(entity, *copy.dice.choice(((by, 0), (0, by))))


def _size(copy: Copy) -> None:
    item, entity = copy.hole(lambda item, e: e.dxftype() == "CIRCLE")
    entity.dxf.radius += copy.off(copy.of.allowed.size(item.kind.outline, item.kind.places)) / 2


def _shape_size(copy: Copy) -> None:
    """Scale a cut-out that is not round about its middle."""
    item, entity = copy.hole(lambda item, e: e.dxftype() != "CIRCLE")
    x, y = item.hole.outline.centre - copy.of.job.panel.outline.box.corner
    by = 1 + copy.off(copy.of.allowed.size(item.kind.outline, item.kind.places)) / min(item.hole.outline.size)
    entity.translate(-x, -y, 0).scale(by, by, by).translate(x, y, 0)


def _shape(copy: Copy) -> None:
    """Cut a square where a round hole belongs."""
    _, entity = copy.hole(lambda item, e: e.dxftype() == "CIRCLE")
    (x, y, _), r = entity.dxf.center, entity.dxf.radius
    copy.space.add_lwpolyline([(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)], close=True,
                              dxfattribs={"layer": "cut"})  # fmt: skip
    copy.space.delete_entity(entity)


def _turned_hole(copy: Copy) -> None:
    item, entity = copy.hole(lambda item, e: e.dxftype() != "CIRCLE" and item.hole.purpose == "main")
    x, y = item.hole.outline.centre - copy.of.job.panel.outline.box.corner
    angle = math.radians(
        copy.dice.choice((90, 180, 4, -6)) if item.hole.outline.is_d else copy.dice.choice((90, 4, -6))
    )
    entity.translate(-x, -y, 0).rotate_z(angle).translate(x, y, 0)


def _mirrored_fixings(copy: Copy) -> None:
    """Drill the fixing holes of a place on the other diagonal."""
    item, _ = copy.hole(lambda item, e: item.hole.purpose == "fixing" and _slants(copy.of.job, item.hole.place))
    place = copy.of.job.place(item.hole.place)
    x = place.x + copy.of.job.panel.width / 2
    for other, entity in copy.holes:
        if other.hole.place == place.name and other.hole.purpose == "fixing":
            _move(entity, 2 * (x - entity.dxf.center.x), 0)


def _slants(job: Job, name: str) -> bool:
    fixings = job.place(name).fixings
    return len(fixings) == 2 and abs(fixings[0].x - fixings[1].x) > 2 and abs(fixings[0].y - fixings[1].y) > 2


def _whole(matrix: Callable[[Any], Any]) -> Callable[[Copy], None]:
    def fault(copy: Copy) -> None:
        for entity in copy.space:
            matrix(entity)

    return fault


def _edge(copy: Copy) -> Any:
    """Return the entity of the outline."""
    (entity,) = copy.space.query('*[layer=="outline"]')
    return entity


def _outline(copy: Copy) -> None:
    entity, width = _edge(copy), copy.of.job.panel.width
    by = copy.off(copy.of.allowed.outline.size(width))
    entity.set_points([(x + by * (x > width / 2), y, bulge) for x, y, bulge in entity.get_points("xyb")], format="xyb")


def _all_shifted(copy: Copy) -> None:
    by = copy.dice.choice((-1, 1)) * copy.dice.uniform(1.5, 6)
    for entity in copy.space.query('*[layer!="outline"]'):
        _move(entity, 0, by)


def _corner_cut_off(copy: Copy) -> None:
    entity = _edge(copy)
    points = list(entity.get_points("xyb"))
    before, here, after = points[-1], points[0], points[1]
    ends = [(here[0] + 6 * _sign(p[0] - here[0]), here[1] + 6 * _sign(p[1] - here[1]), 0) for p in (before, after)]
    entity.set_points([*ends, *points[1:]], format="xyb")


def _sign(value: float) -> float:
    return math.copysign(1.0, value) if abs(value) > 1e-6 else 0.0


def _no_sink(copy: Copy) -> None:
    copy.space.delete_entity(copy.dice.choice(list(copy.space.query('*[layer=="countersink front"]'))))


def _other_side(copy: Copy) -> None:
    entity = copy.dice.choice(list(copy.space.query('*[layer=="countersink front"]')))
    entity.dxf.layer = "countersink rear"


def _sink_size(copy: Copy) -> None:
    entity = copy.dice.choice(list(copy.space.query('*[layer=="countersink front"]')))
    entity.dxf.radius *= copy.dice.choice((0.85, 1.15))


Fault = tuple[str, Callable[[Copy], None], str, tuple[str, ...]]  # name, how, the kind that tells it, panels

FAULTS: tuple[Fault, ...] = (
    ("a hole missing", _missing, "missing", PANELS),
    ("a hole too many", _extra, "extra", PANELS),
    ("a place shifted", _shifted_main, "shifted", PANELS),
    ("a fixing hole shifted", _shifted_fixing, "shifted", PANELS),
    ("a round hole of another size", _size, "size", PANELS),
    ("a cut-out of another size", _shape_size, "size", PANELS),
    ("a square for a round hole", _shape, "shape", PANELS),
    ("a cut-out turned", _turned_hole, "turned", ("bench", "sunk")),
    ("fixing holes mirrored", _mirrored_fixings, "missing", ("foyer", "sunk")),
    ("the panel mirrored", _whole(lambda e: e.scale(-1, 1, 1)), "mirrored", PANELS),
    ("the panel turned over", _whole(lambda e: e.scale(1, -1, 1)), "mirrored", PANELS),
    ("the panel turned half about", _whole(lambda e: e.rotate_z(math.pi)), "turned", PANELS),
    ("the panel on end", _whole(lambda e: e.rotate_z(math.pi / 2)), "turned", PANELS),
    ("drawn in inches, called mm", _whole(lambda e: e.scale(1 / 25.4, 1 / 25.4, 1 / 25.4)), "scaled", PANELS),
    ("drawn in mm, called inches", _whole(lambda e: e.scale(25.4, 25.4, 25.4)), "scaled", ("bench", "sunk")),
    ("a panel too wide or too narrow", _outline, "outline", PANELS),
    ("a corner cut off", _corner_cut_off, "outline", ("foyer", "bench")),
    ("all holes shifted", _all_shifted, "shifted", PANELS),
    ("a countersink missing", _no_sink, "countersink", ("sunk",)),
    ("a countersink from behind", _other_side, "countersink", ("sunk",)),
    ("a countersink of another size", _sink_size, "countersink", ("sunk",)),
)  # fmt: skip


def planted(faults: int, seed: int) -> Iterator[tuple[str, str, bool, Comparison]]:
    """Yield faults drawn at random, every kind in turn: its name, the panel, whether it is found, what is found."""
    dice = random.Random(seed)
    kinds = [fault for _ in range(faults // len(FAULTS) + 1) for fault in dice.sample(FAULTS, len(FAULTS))]
    for name, spoil, kind, panels in kinds[:faults]:
        panel = dice.choice(panels)
        copy = Copy(asked(panel), dice)
        spoil(copy)
        found = copy.compared()
        yield name, panel, kind in {one.kind for one in found.differences}, found


def within(seed: int, name: str) -> Comparison:
    """Return what is found in a copy whose holes are all off, within their tolerances."""
    dice = random.Random(seed)
    copy = Copy(asked(name), dice)
    for item, entity in copy.holes:
        place = next((p for p in copy.of.job.places if p.name == item.hole.place), None)
        if place is None:
            share = copy.of.allowed.outline.position(max(map(abs, item.at)))
            _move(entity, *(dice.uniform(-0.9, 0.9) * share for _ in range(2)))
        if entity.dxftype() == "CIRCLE":
            entity.dxf.radius += dice.uniform(-0.45, 0.45) * copy.of.allowed.size(item.kind.outline, item.kind.places)
    for place in copy.of.job.places:
        by = tuple(dice.uniform(-0.9, 0.9) * copy.of.allowed.spot(copy.of.job.panel, place) for _ in range(2))
        about = copy.of.allowed.within(place.cutout.fixings, [place.name])
        for item, entity in copy.holes:
            if item.hole.place == place.name:
                own = (dice.uniform(-0.9, 0.9) * about * (item.hole.purpose == "fixing") for _ in range(2))
                _move(entity, *(a + b for a, b in zip(by, own, strict=True)))
    return copy.compared()


def true_copies(seeds: range) -> Iterator[tuple[int, Comparison]]:
    """Yield what is found in true copies of random panels, lips laid flat and all; some are wrong on purpose."""
    with tempfile.TemporaryDirectory() as folder:
        for seed in seeds:
            try:
                job = read_job(random_panels.write(Path(folder), random_panels.layout(seed)))
                plate = plate_of(drawing(dxf_bytes(job)), "copy.dxf")
            except DryfitError:
                continue
            yield seed, compare(job, plate)


def main() -> None:
    """Plant faults and tell what is found of them."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--random", type=int, default=0, help="true copies of so many random panels, too")
    parser.add_argument("--faults", type=int, default=30)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--copies", type=int, default=30)
    given = parser.parse_args()
    found = 0
    for name, panel, is_found, comparison in planted(given.faults, given.seed):
        found += is_found
        told = "; ".join(f"{d.kind}: {d.hole} {d.says}" for d in comparison.differences[:3])
        print(f"{'found' if is_found else 'MISSED'}  {name} ({panel}): {len(comparison.differences)}: {told}")
    clean = [Copy(asked(name), random.Random(0)).compared() for name in PANELS]
    off = [within(seed, PANELS[seed % len(PANELS)]) for seed in range(given.copies)]
    wrong = [one for one in (*clean, *off) if one.differences]
    for one in wrong:
        print(f"WRONG  {one.job.title}: {one.differences[0].kind}: {one.differences[0].hole} {one.differences[0].says}")
    count = 0
    for seed, one in true_copies(range(given.random)):
        count += 1
        if one.differences:
            first = one.differences[0]
            print(f"WRONG  random {seed}: {len(one.differences)}: {first.kind}: {first.hole} {first.says}")
    print(f"{count} true copies of random panels compared")
    print(f"{found} of {given.faults} faults found; {len(wrong)} of {len(clean) + len(off)} true copies found wrong")


if __name__ == "__main__":
    main()
