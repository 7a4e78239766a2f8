"""Screws with their recesses and threads, nuts with their chamfers, drawn within their bodies."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dryfit.generators.looks.carving import Gouge, carved
from dryfit.generators.looks.shapes import Layer, Turning, area_of, layers
from dryfit.models.geometry.bodies import Body, Slice, Straight
from dryfit.models.geometry.outlines import SQRT3_2, Outline, box, hexagon, round_
from dryfit.models.tables.fasteners import Screw

RECESS_DEEP = 0.6  # of a head's height: recesses are about so deep (from memory), and shall not come out below
CROSS = (
    0.56,
    0.16,
)  # length and width of the wings of a cross recess beside the head's diameter: ISO 4757, from memory
MIDDLE = 0.5  # side of the square in the middle of a cross beside its length: from memory
RIM = 0.88  # of what is flat on top of a head, at most, is recess
SLOT = (0.92, 0.2)  # length and width of a slot beside the head's diameter: ISO 2009, from memory; ends left standing
SOCKET = 0.45  # width of a hexagon socket beside the head's diameter where its key is no length in mm
MANDREL = 0.3  # of a rivet's head: the hole that its mandrel leaves
CHAMFER = 0.12  # of a nut's height at either end, where its corners are turned off
ROUNDED = 1.06  # diameter of the turned corners beside the width across flats
FLATS = 6


def screw_drawn(screw: Screw, body: Body, finish: str) -> Iterator[Layer | Turning]:
    """Yield a screw, or a rivet."""
    top = body.slices[-1].z1
    deep = RECESS_DEEP * (screw.head.height + screw.head.crown)
    flat = body.slices[-1].profile.at(1.0).size.width
    gouge = Gouge(area_of(_recess(screw, flat)), top - deep, top)
    return carved(body.slices, (gouge,), finish, 0.0 if screw.rivet is not None else screw.thread.major)


def _recess(screw: Screw, top: float) -> tuple[Outline, ...]:
    """Return the outlines of what the tool goes into; ``top`` is the diameter of what is flat on top."""
    kind, across = screw.head.drive_kind, screw.head.diameter
    if screw.rivet is not None:
        return (round_(MANDREL * across),)
    if kind == "slot":
        return (box(SLOT[0] * across, SLOT[1] * across),)
    if kind == "cross recess":
        long = min(CROSS[0] * across, RIM * top)
        wing = box(long, CROSS[1] / CROSS[0] * long)
        return (wing, wing.turned(90.0), box(MIDDLE * long, MIDDLE * long).turned(45.0))
    return (hexagon(min(SOCKET * across, SQRT3_2 * RIM * top)),)


def nut_drawn(body: Body, finish: str) -> Iterator[Layer | Turning]:
    """Yield a nut: hexagons with their corners turned off at both ends, whatever else it has as it is."""
    for s in body.slices:
        outline = s.profile.at(0.0)
        if len(outline.corners) == FLATS and isinstance(s.profile, Straight):
            yield from _chamfered(s, finish)
        else:
            yield from carved((s,), (), finish)


def _chamfered(s: Slice, finish: str) -> Iterator[Layer | Turning]:
    outline, end = s.profile.at(0.0), CHAMFER * (s.z1 - s.z0)
    bore = area_of([hole.at(0.0) for hole in s.holes])
    whole = area_of([outline]) - bore
    flats = min(outline.reach(math.cos(a), math.sin(a)) for a in (math.radians(c.start) for c in outline.corners))
    turned = whole ^ area_of([round_(2 * flats * ROUNDED)])
    yield from layers(finish, turned, s.z0, s.z0 + end)
    yield from layers(finish, whole, s.z0 + end, s.z1 - end)
    yield from layers(finish, turned, s.z1 - end, s.z1)
