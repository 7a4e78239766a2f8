"""The pieces of the test plate as meshes, each lying on the bed as it is printed: tiles, keys, coupon.

Outlines are cut from each other in 2D and raised once, so walls are exact and every piece is watertight. Arcs are
broken into chords that stray at most FACET from them, their ends on the arc. The mesh library loads only here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from dryfit.generators.bodies.meshes import SHORTEST, tidied
from dryfit.generators.testplate.keys import Key, KeySize, key_height, skin
from dryfit.generators.testplate.labels import Label
from dryfit.generators.testplate.seams import Tile
from dryfit.generators.testplate.sheet import Opening, Sheet
from dryfit.models.geometry.outlines import Outline, near
from dryfit.models.geometry.points import Point, distinct
from dryfit.models.panel import Edge

if TYPE_CHECKING:
    import manifold3d as m3

FACET = 0.005  # mm; a fiftieth of what printers repeat to
ABOVE = 1.0  # mm that cutters reach past a face, so that no skin is left
UPRIGHT = 0.5  # share of a normal along z below which a facet is a wall, not a floor or a lid

Floats = np.ndarray


@dataclass(frozen=True, eq=False)
class Piece:
    """One thing to print: corners (n, 3) float mm, lower left at the origin, faces (m, 3) int, how many of it."""

    name: str
    file: str
    points: Floats
    faces: np.ndarray
    count: int = 1
    bodies: int = 1  # loose parts it falls into

    @property
    def size(self) -> tuple[float, float, float]:
        """Width, depth and height."""
        width, depth, height = (float(v) for v in self.points.max(axis=0))
        return width, depth, height

    @cached_property
    def _crosses(self) -> Floats:
        a, b, c = (self.points[self.faces[:, i]] for i in range(3))
        crosses: Floats = np.cross(b - a, c - a)
        return crosses

    @cached_property
    def volume(self) -> float:
        """Volume, mm3."""
        return float((self.points[self.faces[:, 0]] * self._crosses).sum() / 6)

    @cached_property
    def areas(self) -> tuple[float, float]:
        """Area of the walls, and of floors and lids together, mm2."""
        areas = np.linalg.norm(self._crosses, axis=1) / 2
        upright = np.abs(self._crosses[:, 2]) / 2 < UPRIGHT * areas
        return float(areas[upright].sum()), float(areas[~upright].sum())


@dataclass(frozen=True)
class Rear:
    """What is sunk into the rear face: pockets of keys with ``joint`` of air, and letters ``deep`` mm deep."""

    keys: tuple[Key, ...]
    joint: float
    labels: tuple[Label, ...]
    deep: float


def tile_piece(sheet: Sheet, tile: Tile, rear: Rear, turned: bool) -> Piece:
    """Return one tile: plate and lips less holes, countersinks, pockets and letters."""
    import manifold3d as m3

    area = section((sheet.outline,)) ^ section((tile.outline,))
    area -= section(o.outline for o in sheet.openings if near(o.outline, tile.outline, 0.0))
    area -= section(sheet.notches)
    solid = area.extrude(sheet.thickness)
    if sheet.lip > 0:
        lips = [_lip(sheet, *lip) for lip in sheet.lips]
        solid += m3.Manifold.batch_boolean(lips, m3.OpType.Add) ^ area.extrude(sheet.height)
    cutters = [_cone(sheet, o) for o in sheet.openings if o.sink is not None and near(o.rim, tile.outline, 0.0)]
    pockets = [half for key in rear.keys for half in key.pocket(rear.joint) if near(half, tile.outline, 0.0)]
    cutters += _sunk(section(pockets), skin(sheet.thickness), sheet.thickness)
    letters = [label for label in rear.labels if near(label.outline, tile.outline, 0.0)]
    cutters += _sunk(_letters(letters), sheet.thickness - rear.deep, sheet.thickness)
    if cutters:
        solid -= m3.Manifold.batch_boolean(cutters, m3.OpType.Add)
    return _piece(f"tile {tile.name}", f"tile-{tile.name}.stl", solid.rotate((0, 0, 90)) if turned else solid)


def key_piece(size: KeySize, thickness: float, count: int) -> Piece:
    """Return a key of one size."""
    solid = section(size.halves).extrude(key_height(thickness))
    return _piece(f"key {size.name}", f"key-{size.name}.stl", solid, count)


def plate_piece(
    name: str, outline: Outline, holes: Iterable[Outline], labels: Sequence[Label], *, thickness: float, deep: float
) -> Piece:
    """Return a flat plate with holes, and letters sunk into its upper face."""
    import manifold3d as m3

    solid = (section((outline,)) - section(holes)).extrude(thickness)
    cutters = _sunk(_letters(labels), thickness - deep, thickness)
    return _piece(name, f"{name}.stl", solid - m3.Manifold.batch_boolean(cutters, m3.OpType.Add))


def section(outlines: Iterable[Outline]) -> m3.CrossSection:
    """Return outlines joined into one region."""
    import manifold3d as m3

    rings = [outline.path(FACET, outside=False) for outline in outlines]
    return m3.CrossSection(rings, m3.FillRule.NonZero) if rings else m3.CrossSection()


def _letters(labels: Iterable[Label]) -> m3.CrossSection:
    import manifold3d as m3

    loops = [list(loop) for label in labels for loop in label.loops]
    return m3.CrossSection(loops, m3.FillRule.NonZero) if loops else m3.CrossSection()


def _sunk(region: m3.CrossSection, floor: float, face: float) -> list[m3.Manifold]:
    """Return what cuts a region from the upper face down to a floor (or through, where the floor is the bed)."""
    if region.is_empty():
        return []
    low = floor if floor > 0 else -ABOVE
    return [region.extrude(face + ABOVE - low).translate((0, 0, low))]


def _cone(sheet: Sheet, o: Opening) -> m3.Manifold:
    """Return the cutter of a countersink: it reaches past its face, as wide there as its flanks would be."""
    import manifold3d as m3

    assert o.sink is not None  # the caller's choice
    wide, narrow, depth = o.sink.diameter / 2, min(o.outline.size) / 2, o.sink.depth
    past = wide + (wide - narrow) / depth * ABOVE
    segments = len(o.rim.path(FACET, outside=False))
    cone = m3.Manifold.cylinder(depth + ABOVE, narrow, past, segments)
    if o.sink.side == "rear":
        return cone.translate((*o.outline.centre, sheet.thickness - depth))
    return cone.mirror((0, 0, 1)).translate((*o.outline.centre, depth))


def _lip(sheet: Sheet, edge: Edge, stands: Outline) -> m3.Manifold:
    """Return a lip standing on the bed: a wall with the bend's inside radius. Its outside is left square.

    Rounded, the outer edge would overhang the bed; it is on the side that touches nothing.
    """
    import manifold3d as m3

    left, bottom, right, top = stands.box
    level = edge in ("top", "bottom")
    t, r = sheet.thickness, min(sheet.bend, sheet.lip)
    steps = max(2, math.ceil(math.pi / 4 / math.acos(1 - FACET / max(r, 2 * FACET)))) if r > 0 else 0
    turns = [math.pi / 2 * n / steps for n in range(steps + 1)] if steps else []
    bend = [(t + r - r * math.cos(a), t + r - r * math.sin(a)) for a in turns] or [(t, t)]
    (y0, z0), (y1, z1) = bend[-2:] if r > 0 else ((t, t + 1.0), (t, t))
    root = t / 2  # the flank of the bend runs on into the plate, so that it meets the rear face in one clean line
    foot = y1 + (y1 - y0) * (z1 - root) / (z0 - z1)
    ring = [(0.0, root), (foot, root), *reversed(bend[:-1]), (t, sheet.height), (0.0, sheet.height)]
    profile = m3.CrossSection([distinct([Point(*p) for p in ring], SHORTEST)], m3.FillRule.NonZero)
    wall = profile.extrude(right - left if level else top - bottom).rotate((90, 0, 90))  # x along it, y inwards, z up
    turn, corner = {"bottom": (0, (left, bottom)), "top": (180, (right, top)), "left": (-90, (left, top)),
                    "right": (90, (right, bottom))}[edge]  # fmt: skip
    return wall.rotate((0, 0, turn)).translate((*corner, 0))


def _piece(name: str, file: str, solid: m3.Manifold, count: int = 1) -> Piece:
    points, faces = tidied(solid, lower_left=True)
    return Piece(name, file, points, faces, count, len(solid.simplify(SHORTEST).decompose()))
