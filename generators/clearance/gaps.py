"""The exact engine: every pair of bodies that come near, with their exact gap from outlines.

Boxes are swept first; what is left is measured slice by slice, and the answer remembered per pair of bodies and
their relative placement, so that like places cost nothing more. Only contacts that are meant are left out, each by the
geometry that is meant.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.models.geometry.bodies import TOUCHING, Body, Contact, Placement, Slice, closest
from dryfit.models.geometry.points import Point

SAME_SPOT = 6  # decimals of mm and degrees: placements that differ only by rounding are one
DISTINCT = 16384  # pairs remembered: some ten a place, for a row of panels

ASKED_ELSEWHERE: frozenset[frozenset[Role]] = frozenset(
    frozenset(pair)
    for pair in (("nut", "part"), ("washer", "part"), ("plug", "part"), ("plug", "screw"), ("plug", "nut"))
)
"""Pairs of roles within one place of which a check of its own asks everything: nut-room, washer-land, goes-in for what
stands beside the own part, plug-seats for the plug in its own socket and on its own fasteners."""


@dataclass(frozen=True)
class Pair:
    """Two instances that may touch: of each the body that must keep clear, and where it stands, the first at 0."""

    a: Instance
    b: Instance
    body_a: Body
    body_b: Body
    at_a: Placement
    at_b: Placement


@dataclass(frozen=True)
class PairGap:
    """Two instances and the closest they come."""

    a: Instance
    b: Instance
    contact: Contact


def contacts(assembly: Assembly, margin: float) -> tuple[PairGap, ...]:
    """Return every pair that comes within ``margin`` mm, less the contacts that are meant, with its exact gap."""
    return tuple(_measured(assembly, margin))


def _measured(assembly: Assembly, margin: float) -> Iterator[PairGap]:
    for pair in pairs(assembly, margin):
        found = contact(pair.body_a, pair.body_b, pair.at_a, pair.at_b)
        if found is not None and found.gap < margin:
            up = pair.a.placement.z
            yield PairGap(pair.a, pair.b, replace(found, z0=found.z0 + up, z1=found.z1 + up))


@lru_cache(maxsize=DISTINCT)
def contact(a: Body, b: Body, at_a: Placement, at_b: Placement) -> Contact | None:
    """Return the closest two bodies come where they stand, None where they never share a range of z."""
    return closest(at_a.apply(a), at_b.apply(b))


def pairs(assembly: Assembly, margin: float) -> Iterator[Pair]:
    """Yield what may come within ``margin`` of each other and is asked of nowhere else; the panel last."""
    for a, b in near_pairs(assembly.bodies_in_place, margin):
        if a.place == b.place and frozenset({a.role, b.role}) in ASKED_ELSEWHERE:
            continue
        bodies = (_beside_screws(a, b), _beside_screws(b, a))
        if all(body is not None for body in bodies):
            yield Pair(a, b, *bodies, *relative(a, b))  # type: ignore[arg-type]  # None was left out just now
    if assembly.panel is not None and (lips := _lips(assembly.panel.body)):
        for instance in assembly.bodies_in_place:
            yield from _with_lips(assembly.panel, lips, instance, margin)


def _beside_screws(one: Instance, other: Instance) -> Body | None:
    """Return what of a body must keep clear of another.

    A screw passes the flange of its own part and sits on it (screw-passes, head-seat), so of the part only what stands
    beside the flange is left. Threads touch their nuts and bosses, which are bored for them, and no more.
    """
    if one.place == other.place and other.role == "screw" and one.body.passed is not None:
        return _without(one.body, one.body.passed)
    return one.body


@lru_cache(maxsize=DISTINCT)
def _without(body: Body, passed: tuple[float, float]) -> Body | None:
    left = tuple(s for s in body.slices if s.z0 < passed[0] - TOUCHING or s.z1 > passed[1] + TOUCHING)
    return replace(body, slices=left) if left else None


def near_pairs(instances: Iterable[Instance], margin: float) -> Iterator[tuple[Instance, Instance]]:
    """Yield pairs whose boxes come within ``margin``, and overlap along z, swept along x."""
    ordered = sorted(instances, key=lambda i: i.box[0])
    boxes = np.array([i.box for i in ordered]).reshape(-1, 6)
    for i, one in enumerate(ordered):
        end = int(np.searchsorted(boxes[:, 0], boxes[i, 3] + margin))
        rest = boxes[i + 1 : end]
        close = (
            (rest[:, 1] < boxes[i, 4] + margin) & (rest[:, 4] > boxes[i, 1] - margin)
            & (rest[:, 2] < boxes[i, 5]) & (rest[:, 5] > boxes[i, 2])
        )  # fmt: skip
        for j in np.flatnonzero(close):
            other = ordered[i + 1 + int(j)]
            yield (one, other) if one.name <= other.name else (other, one)


def relative(a: Instance, b: Instance) -> tuple[Placement, Placement]:
    """Return placements of a and b with a at the origin, rounded so that like pairs are one."""
    pa, pb = a.placement, b.placement
    corner = Point(pb.x - pa.x, pb.y - pa.y).turned(-pa.turn)
    turn = round((pb.turn - pa.turn) % 360.0, SAME_SPOT)
    spot = Placement(
        round(corner.x, SAME_SPOT), round(corner.y, SAME_SPOT), round(pb.z - pa.z, SAME_SPOT), turn, pb.flip
    )
    return Placement(flip=pa.flip), spot


# --- the lips of the panel -------------------------------------------------------------------------------------------


def _with_lips(panel: Instance, lips: tuple[Slice, ...], instance: Instance, margin: float) -> Iterator[Pair]:
    """Yield a body with the lips near it.

    What stands within the thickness of the sheet belongs in its own hole, and plugs on their own part: whether they
    pass is asked by cutout-size, goes-in, screw-passes, hole-pattern and plug-seats. So of the panel the lips are left.
    """
    about, box = instance.box.plan, instance.box
    about_it = (s for s in lips if about.overlaps(s.profile.widest.box, margin))
    near = tuple(s for s in about_it if s.z0 < box.z1 and s.z1 > box.z0)
    if near:
        yield Pair(instance, panel, instance.body, replace(panel.body, slices=near), *relative(instance, panel))


def _lips(panel: Body) -> tuple[Slice, ...]:
    """Return the lips: they lie behind the sheet and have no holes."""
    return tuple(s for s in panel.slices if not s.holes)
