"""True solids among the meshes: what they clash with where the sections that are judged clear it.

Sections were asked to hold the solid from outside. That it leaves open what they leave open, the holes for its screws,
shows here. A clash of sections that the true solid does not have stays what it is: sections are what is judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.bodies.meshes import matrix, solid_mesh
from dryfit.generators.bodies.real import Reals, RealSolid, closed, real_of
from dryfit.generators.clearance.gaps import near_pairs, relative
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.bodies import Body, Placement, Straight
from dryfit.models.job import Job

if TYPE_CHECKING:
    import manifold3d

FEW, DISTINCT = 64, 1024  # solids and pairs of them remembered
SNUG = 0.05  # mm that two may overlap all over: what sections may miss of a solid, and the facets of both


def unlike_sections(job: Job, assembly: Assembly, reals: Reals) -> Iterator[Finding]:
    """Yield a finding for every pair that clashes as the true solids are, and not as the sections are.

    A plug in its own part is left out: how it sits in there no file of one part tells.
    """
    if not reals:
        return
    bored = {place.name for place in job.places if place.part.fixings is not None and place.part.fixings.boss}
    for pair in near_pairs(assembly.bodies_in_place, 2 * SNUG):
        own_plug = pair[0].place == pair[1].place and "plug" in {one.role for one in pair}
        if any(real_of(reals, one) is not None for one in pair) and not own_plug:
            yield from _told(pair, reals, bored)
    for one in assembly.of("part"):
        real = real_of(reals, one)
        if real is not None and closed(real.skin) is None:
            says = f"The true solid {real.file} is not closed: that it is as open as its sections is not known."
            yield Finding("screw-passes", one.place, Verdict.TIGHT, says, bodies=(one.name,))


def _told(pair: tuple[Instance, Instance], reals: Reals, bored: set[str]) -> Iterator[Finding]:
    a, b = pair
    ours, theirs = (_True(one.body, real_of(reals, one), one.place in bored) for one in pair)
    at = relative(a, b)
    thick = _overlap(ours, theirs, *at)
    if thick > SNUG and _overlap(replace(ours, real=None), replace(theirs, real=None), *at) <= SNUG:
        says = f"{a.name} and {b.name} overlap by {thick:.2f} mm as true solids, where their sections are clear."
        check = "screw-passes" if a.place == b.place else "body-room"
        yield Finding(check, a.place, Verdict.FAILS, says, bodies=(a.name, b.name))


@dataclass(frozen=True)
class _True:
    """A body with its true solid, if it has one; ``bored``: what stands in the bores of its bosses touches, no more."""

    body: Body
    real: RealSolid | None
    bored: bool


@lru_cache(maxsize=DISTINCT)
def _overlap(a: _True, b: _True, at_a: Placement, at_b: Placement) -> float:
    """Return how thick what two placed solids share is, on the mean, mm."""
    shared = _solid(a).transform(matrix(at_a)[:3]) ^ _solid(b).transform(matrix(at_b)[:3])
    return 0.0 if shared.is_empty() else float(2 * shared.volume() / shared.surface_area())


@lru_cache(maxsize=FEW)
def _solid(one: _True) -> manifold3d.Manifold:
    """Return the true solid, less its bores; the sections where there is none, or none that is closed."""
    whole = closed(one.real.skin) if one.real is not None else None
    if whole is None:
        return solid_mesh(one.body, "check")
    for section in one.body.slices if one.bored else ():
        bores = tuple(replace(section, profile=hole, holes=()) for hole in section.holes if isinstance(hole, Straight))
        if bores:
            whole = whole - solid_mesh(Body("bores", bores), "check")
    return whole
