"""The views of a panel that pictures are made of, and the close look at a finding, cut open through its gap."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.looks.gaps import Gap, gap_of
from dryfit.generators.looks.scenes import View
from dryfit.generators.looks.sections import Plane
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, worst_first
from dryfit.models.geometry.boxes import Box
from dryfit.models.geometry.points import Point

CLOSE = 20.0  # mm shown about a place whose finding has no gap
NEAR = (4.5, 14.0)  # mm shown about a gap, at least and at most
WIDE = 18.0  # times as much as the gap itself is shown about it
TILT = 0.22  # how far a cut is seen from the side, beside square on
MOST_CLOSE = 24  # close looks at one panel: the worst; more would be looked at by nobody
CLOSE_SIZE = (1200, 900)
PLUGS_MATTER = {"plug-seats", "plug-room"}
FASTENERS = {"screw", "nut", "washer"}  # what shows, cut open, what no gap tells
DOWN = -90.0  # degrees: a cut is seen from below, so that left stays left
SAME = 1e-6  # mm

VIEWS = {
    "front": View((0.0, 0.0, 1.0), size=(1800, 600), plugs=False),
    "three-quarter": View((-0.45, 0.42, 0.9), plugs=False),
    "plugs": View((-0.55, 0.5, 0.8)),
    "rear": View((0.5, 0.45, -0.85), plugs=False),
    "apart": View((-0.95, 0.42, 0.45), apart=1.0),
}


def bad(report: Report) -> tuple[Finding, ...]:
    """Return what does not fit, the worst first, as far as it is looked at closely."""
    return tuple(f for f in worst_first(report.findings) if f.is_bad and not _of_bare_panel(f))[:MOST_CLOSE]


def _of_bare_panel(finding: Finding) -> bool:
    """Whether it is told of no place and of no body but the panel: there is nothing to look at but holes."""
    return not finding.place and set(finding.bodies) == {"panel"}


def close_up(report: Report, finding: Finding) -> View:
    """Return the close look at a finding: cut open where there is something to cut."""
    gap = gap_of(report, finding)
    bodies = [*_concerned(report, finding, gap)]
    plugs = finding.check in PLUGS_MATTER or any(one.role == "plug" for one in bodies)
    names = tuple(one.name for one in bodies if one.role != "panel")
    plain = View(_side(finding), _box(report, finding, bodies, gap), CLOSE_SIZE, plugs, names, gap=gap)
    if not finding.place or (gap is None and not any(one.role in FASTENERS for one in bodies)):
        return plain
    plane = _plane(report, finding, bodies, gap)
    x, y, _ = plane.normal
    along = TILT * (-1.0 if finding.view == "rear" else 1.0)
    return replace(plain, towards=(x - TILT * 0.6 * y, y + TILT * 0.6 * x, along), up=(0.0, 0.0, 1.0), cut=plane)


def _side(finding: Finding) -> tuple[float, float, float]:
    return (0.35, 0.45, -0.8) if finding.view == "rear" else (-0.45, 0.5, 0.75)


def _concerned(report: Report, finding: Finding, gap: Gap | None) -> Iterator[Instance]:
    """Yield the bodies that a finding is about, those of its gap first; of a place without any, its part."""
    named = [one for one in report.assembly.instances if one.name in finding.bodies]
    own = [one for one in report.assembly.of("part") if one.place == finding.place]
    found = [*(gap.bodies if gap is not None else ()), *named]
    yield from dict.fromkeys(found or own)


def _box(report: Report, finding: Finding, bodies: list[Instance], gap: Gap | None) -> Box | None:
    """Return what a close look shows: a cube about the gap, else about what it is of."""
    if gap is not None:
        x, y, z = ((a + b) / 2 for a, b in zip(gap.start, gap.stop, strict=True))
        return _cube(x, y, z, min(NEAR[1], max(NEAR[0], WIDE / 2 * abs(gap.gap))))
    if not bodies:
        return None
    fastener = next((one.box for one in bodies if one.role in FASTENERS), None)
    if fastener is not None:
        x, y = fastener.plan.centre
        return _cube(x, y, (fastener.z0 + fastener.z1) / 2, max(NEAR[1] / 2, fastener.z1 - fastener.z0))
    at = report.job.place(finding.place).at if finding.place else bodies[0].box.plan.centre
    return _cube(at.x, at.y, 0.0, CLOSE)


def _cube(x: float, y: float, z: float, r: float) -> Box:
    return Box(x - r, y - r, z - r, x + r, y + r, z + r)


def _plane(report: Report, finding: Finding, bodies: list[Instance], gap: Gap | None) -> Plane:
    """Return the plane that a finding is cut open by: along its gap, else through the middle of its first body."""
    place = report.job.place(finding.place)
    if gap is None:
        at = bodies[0].box.plan.centre
        return Plane(*at, _seen_from(at - place.at))
    start, stop = Point(*gap.start[:2]), Point(*gap.stop[:2])
    way = stop - start if math.hypot(*(stop - start)) > SAME else start - place.at
    return Plane(*start, _seen_from(way))


def _seen_from(way: Point) -> float:
    """Return the direction that is taken off, so that a cut along ``way`` is seen from below, else from the right."""
    along = way.direction if math.hypot(*way) > SAME else 0.0
    across = (along + DOWN) % 360.0
    return across if math.sin(math.radians(across)) < SAME else across - 180.0
