"""Bodies of screws, nuts and washers, from the tables.

Frames: a screw points down, z = 0 is the plane its length is measured from (top of the cone, or underside of a flat
head). A nut and a washer fill z from minus their height to 0. Threads are drawn at their major diameter in screw and
nut alike, so that a screw in its nut touches and does not clash.
"""

from __future__ import annotations

import math
from functools import lru_cache

from dryfit.models.geometry.bodies import Body, Slice, cone, prism
from dryfit.models.geometry.outlines import hexagon, round_
from dryfit.models.tables.fasteners import Head, Nut, Screw, Thread, Washer

DISTINCT = 1024  # bodies remembered: some hundred fasteners are in use at a time
CROWN_TOP = 0.45  # share of the head's diameter where a raised or pan head is drawn flat on top
PAN_SIDE = 0.5  # share of a pan head's height that is drawn straight


@lru_cache(maxsize=DISTINCT)
def screw_body(screw: Screw, metal: str = "") -> Body:
    """Return the body of a screw, shank and head."""
    head, d = screw.head, screw.thread.major
    slices = _flat_head(head, screw.length, d) if head.angle is None else _cone_head(head, screw.length, d)
    return Body(screw.designation, slices, metal)


def _flat_head(head: Head, length: float, d: float) -> tuple[Slice, ...]:
    side = head.height * PAN_SIDE
    return (
        prism(round_(d), -length, 0.0),
        prism(round_(head.diameter), 0.0, side),
        cone(head.diameter, head.diameter * CROWN_TOP, side, head.height),
    )


def _cone_head(head: Head, length: float, d: float) -> tuple[Slice, ...]:
    assert head.angle is not None  # the caller chose by it
    slope = math.tan(math.radians(head.angle / 2))
    rim = max(0.0, ((head.theoretical or head.diameter) - head.diameter) / 2 / slope)
    foot = rim + (head.diameter - d) / 2 / slope
    shank = prism(round_(d), -length, -foot)
    parts = [shank, cone(d, head.diameter, -foot, -rim)]
    if rim > 0:
        parts.append(prism(round_(head.diameter), -rim, 0.0))
    if head.crown > 0:
        parts.append(cone(head.diameter, head.diameter * CROWN_TOP, 0.0, head.crown))
    return tuple(parts)


@lru_cache(maxsize=DISTINCT)
def nut_body(nut: Nut, thread: Thread, metal: str = "") -> Body:
    """Return the body of a nut: a hexagon of its largest size with a round bore."""
    return Body(nut.designation, (prism(hexagon(nut.across_flats), -nut.height, 0.0, (round_(thread.major),)),), metal)


@lru_cache(maxsize=DISTINCT)
def washer_body(washer: Washer, metal: str = "") -> Body:
    """Return the body of a washer as it is clamped: a flat ring."""
    ring = prism(round_(washer.outer), -washer.thickness, 0.0, (round_(washer.inner),))
    return Body(washer.designation, (ring,), metal)
