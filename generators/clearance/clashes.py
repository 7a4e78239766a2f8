"""The mesh engine: pairs of bodies whose meshes overlap, and where it disagrees with the exact engine.

It shares no code with the exact engine past the slices and the list of near pairs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.bodies.meshes import FACETS, placed_mesh
from dryfit.generators.clearance.gaps import DISTINCT, contacts, pairs
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.bodies import Body, Placement

MESH_BOUND = 2 * FACETS["check"] + 0.001
"""mm: what the facets of two check meshes may close of a true gap, and a micrometre for single precision."""
FILM = 1e-5  # mm: coordinates of 100 mm are this coarse in single precision, so faces that touch may overlap as much


@dataclass(frozen=True)
class Clash:
    """Two instances whose meshes share a volume, mm3."""

    a: Instance
    b: Instance
    volume: float


def clashes(assembly: Assembly) -> tuple[Clash, ...]:
    """Return every pair of instances whose meshes overlap and that are not meant to touch."""
    found = ((p, shared_volume(p.body_a, p.body_b, p.at_a, p.at_b)) for p in pairs(assembly, 0.0))
    return tuple(Clash(p.a, p.b, volume) for p, volume in found if volume > film(p.body_a, p.body_b))


def film(a: Body, b: Body) -> float:
    """Return the volume, mm3, that two bodies may seem to share where they only touch: a film over the smaller one."""
    return FILM * min((x1 - x0) * (y1 - y0) for x0, y0, _, x1, y1, _ in (a.box, b.box))


@lru_cache(maxsize=DISTINCT)
def shared_volume(a: Body, b: Body, at_a: Placement, at_b: Placement) -> float:
    """Return the volume two placed bodies share, mm3, from their check meshes."""
    return float((placed_mesh(a, at_a, "check") ^ placed_mesh(b, at_b, "check")).volume())


def disagreements(assembly: Assembly) -> tuple[Finding, ...]:
    """Return a finding for every pair on which the two engines disagree beyond the bound of the meshes."""
    return tuple(_disagree(assembly))


def _disagree(assembly: Assembly) -> Iterator[Finding]:
    exact = {(p.a.name, p.b.name): p for p in contacts(assembly, MESH_BOUND)}
    meshed = {(c.a.name, c.b.name): c for c in clashes(assembly)}
    for names, clash in meshed.items():
        if names not in exact:
            says = f"Meshes of {names[0]} and {names[1]} share {clash.volume:.3f} mm3 where exact gaps see none."
            yield Finding("body-room", clash.a.place, Verdict.FAILS, says, bodies=names)
    for names, pair in exact.items():
        gap = pair.contact.gap
        if gap < -MESH_BOUND and names not in meshed:
            says = f"Exact gaps see {names[0]} and {names[1]} clash by {-gap:.3f} mm where their meshes do not."
            yield Finding.of_length(
                "body-room", pair.a.place, Verdict.FAILS, says, measured=gap, limit=0.0, bodies=names
            )
