"""The exact engine: every pair of bodies that come near, with their exact gap from outlines.

Boxes are swept first; what is left is measured slice by slice, and the answer remembered per pair of bodies and
their relative placement, so that like places cost nothing more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.models.geometry.bodies import Body, Contact, Placement, closest
from dryfit.models.geometry.outlines import round_

SAME_SPOT = 6  # decimals of mm and degrees: placements that differ only by rounding are one

BY_DESIGN: frozenset[frozenset[Role]] = frozenset(
    frozenset(pair)
    for pair in (
        ("screw", "nut"),
        ("screw", "washer"),
        ("screw", "part"),
        ("nut", "washer"),
        ("plug", "part"),
        ("washer", "washer"),
    )
)
"""Pairs of roles that touch by design within one place: threads in nuts and bosses, heads on flanges, plugs in sockets.
What they do to each other is asked by checks of their own."""

ON_PANEL: frozenset[Role] = frozenset({"screw", "nut", "washer", "part"})
"""Roles that touch the panel by design: whether they pass its holes is asked by checks of their own."""


@dataclass(frozen=True)
class PairGap:
    """Two instances and the closest they come."""

    a: Instance
    b: Instance
    contact: Contact


def touches_by_design(a: Instance, b: Instance) -> bool:
    """Whether two instances are meant to touch."""
    roles = {a.role, b.role}
    if "panel" in roles:
        return bool(roles & ON_PANEL) or a.role == b.role
    return a.place == b.place and frozenset(roles) in BY_DESIGN


def contacts(assembly: Assembly, margin: float) -> tuple[PairGap, ...]:
    """Return every pair that comes within ``margin`` mm and is not meant to touch, with its exact gap."""
    return tuple(_measured(assembly, margin))


def _measured(assembly: Assembly, margin: float) -> Iterator[PairGap]:
    for a, b in near_pairs(assembly, margin):
        found = _contact(a.body, b.body, *relative(a, b))
        if found is not None and found.gap < margin:
            yield PairGap(a, b, replace(found, z0=found.z0 + a.placement.z, z1=found.z1 + a.placement.z))


def near_pairs(assembly: Assembly, margin: float) -> Iterator[tuple[Instance, Instance]]:
    """Yield pairs whose boxes come within ``margin`` and that are not meant to touch, swept along x."""
    instances = sorted(assembly.instances, key=lambda i: i.box[0])
    boxes = np.array([i.box for i in instances])
    for i, one in enumerate(instances):
        end = int(np.searchsorted(boxes[:, 0], boxes[i, 3] + margin))
        rest = boxes[i + 1 : end]
        near = (
            (rest[:, 1] < boxes[i, 4] + margin) & (rest[:, 4] > boxes[i, 1] - margin)
            & (rest[:, 2] < boxes[i, 5]) & (rest[:, 5] > boxes[i, 2])
        )  # fmt: skip
        for j in np.flatnonzero(near):
            other = instances[i + 1 + int(j)]
            if not touches_by_design(one, other):
                yield (one, other) if one.name <= other.name else (other, one)


def relative(a: Instance, b: Instance) -> tuple[Placement, Placement]:
    """Return placements of a and b with a at the origin, rounded so that like pairs are one."""
    pa, pb = a.placement, b.placement
    corner = round_(0).moved(pb.x - pa.x, pb.y - pa.y).turned(-pa.turn).corners[0]
    turn = round((pb.turn - pa.turn) % 360.0, SAME_SPOT)
    spot = Placement(
        round(corner.x, SAME_SPOT), round(corner.y, SAME_SPOT), round(pb.z - pa.z, SAME_SPOT), turn, pb.flip
    )
    return Placement(flip=pa.flip), spot


@cache
def _contact(a: Body, b: Body, at_a: Placement, at_b: Placement) -> Contact | None:
    return closest(at_a.apply(a), at_b.apply(b))
