"""How a screw head sits: on a cone, on an edge or flat, and how far it stands proud or sinks.

A countersunk head is a rim (a short cylinder of the head's actual diameter) above a cone that, drawn on upwards,
would reach the theoretical diameter at the head's top plane. A seat is a cone in the surface, from its diameter down
to the hole; a plain hole is a seat of no depth. The head sinks until it first touches: on the seat's lower edge, on
its upper edge, with its own rim, or, where both cones have the same angle, on the whole cone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.fasteners import Head

Bearing = Literal["cone", "lower edge", "upper edge", "rim", "flat", "nothing"]

SAME_CONE = 1.0
"""degrees. Full angles of head and seat this close bear on the cone: both are made to +0/-2 degrees or so."""


@dataclass(frozen=True)
class Seat:
    """Where a head comes to rest on its surface; lengths mm.

    ``sunk`` is how far the reference plane of the screw's length (top of the cone, or underside of a flat head) lies
    below the surface; below zero it stands above it. ``proud`` is how far the highest point stands above the surface.
    ``land`` is the width of the ring a flat head bears on; None for cones. ``depth`` is how deep the head needs the
    material under it to be conical.
    """

    bearing: Bearing
    sunk: float
    proud: float
    land: float | None
    depth: float


def seat(head: Head, hole: float, sink: Countersink | None) -> Seat:
    """Return how ``head`` rests on a surface with a round ``hole`` (diameter, mm), countersunk or plain."""
    return _flat(head, hole, sink) if head.angle is None else _conical(head, head.angle, hole, sink)


def proud_limits(head: Head, hole: float, sink: Countersink | None) -> tuple[float, float]:
    """Return the least and most a head stands proud over the tolerances of its diameter and of its cone's angle, mm."""
    angles = {head.angle, head.angle_min or head.angle, head.angle_max or head.angle}
    ends = (replace(head, diameter=d, angle=a) for d in (head.diameter_min, head.diameter) for a in angles)
    proud = [seat(h, hole, sink).proud for h in ends]
    return min(proud), max(proud)


def _flat(head: Head, hole: float, sink: Countersink | None) -> Seat:
    opening = sink.diameter if sink is not None else hole
    land = (head.diameter - opening) / 2
    if land >= 0:
        return Seat("flat", 0.0, head.height, land, 0.0)
    if sink is None or head.diameter <= hole:
        return Seat("nothing", 0.0, 0.0, land, 0.0)
    drop = -land / math.tan(math.radians(sink.angle / 2))  # the underside's edge meets the seat's cone
    return Seat("rim", drop, head.height - drop, land, drop)


def _conical(head: Head, angle: float, hole: float, sink: Countersink | None) -> Seat:
    slope = math.tan(math.radians(angle / 2))
    theoretical = head.theoretical or head.diameter
    rim = (theoretical - head.diameter) / 2 / slope
    opening = sink.diameter if sink is not None else hole
    rests: list[tuple[float, Bearing]] = []
    if sink is not None:
        seat_slope = math.tan(math.radians(sink.angle / 2))
        bottom = (sink.diameter - hole) / 2 / seat_slope
        rests.append((bottom - (theoretical - hole) / 2 / slope, "lower edge"))
        if head.diameter <= opening:
            rests.append(((opening - head.diameter) / 2 / seat_slope - rim, "rim"))
    if head.diameter > opening:
        rests.append(((opening - theoretical) / 2 / slope, "upper edge"))
    if not rests or head.diameter <= hole:
        return Seat("nothing", 0.0, 0.0, None, 0.0)
    sunk, bearing = min(rests)
    if sink is not None and abs(sink.angle - angle) <= SAME_CONE:
        bearing = "cone"
    return Seat(bearing, sunk, head.crown - sunk, None, sunk + head.height)
