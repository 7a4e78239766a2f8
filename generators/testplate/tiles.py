"""Tiles: the plate between its seams, with pockets, lettering, countersinks and lips, each one solid body."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from dryfit.generators.testplate.keys import Box, Key, pocket_depth
from dryfit.generators.testplate.lettering import LINES_DEEP, Lettering
from dryfit.generators.testplate.pieces import Piece, less, letters_of, more, section_of, slab
from dryfit.generators.testplate.plate import Lip, Opening, Plate
from dryfit.generators.testplate.seams import SEAM_GAP, Seam
from dryfit.models.job import Point
from dryfit.models.outlines import box
from dryfit.models.printer import Printer

if TYPE_CHECKING:
    import manifold3d

OVERCUT = 0.05  # mm a cutter reaches past the face it opens, so that no skin is left
FILLET_FACETS = 12  # chords of the quarter round inside a fold


@dataclass(frozen=True)
class Cell:
    """The room of one tile between its seams: its name (A1 is top left, seen from the front) and its box."""

    name: str
    box: Box


def cells(plate: Plate, upright: Sequence[Seam], level: Sequence[Seam]) -> tuple[Cell, ...]:
    """Return the rooms of all tiles, row by row from the top, each row from the left as seen from the front."""
    left, bottom, right, top = plate.outline.box
    us = _stretches(left, [seam.at for seam in upright], right)[::-1]  # the front's left is the rear's right
    vs = _stretches(bottom, [seam.at for seam in level], top)[::-1]
    return tuple(
        Cell(f"{_letters(column)}{row}", (u0, v0, u1, v1))
        for row, (v0, v1) in enumerate(vs, start=1)
        for column, (u0, u1) in enumerate(us)
    )


def _stretches(low: float, cuts: Sequence[float], high: float) -> list[tuple[float, float]]:
    """Return the stretches between cuts, each half a gap short at a cut."""
    starts = [low, *(cut + SEAM_GAP / 2 for cut in cuts)]
    stops = [*(cut - SEAM_GAP / 2 for cut in cuts), high]
    return list(zip(starts, stops, strict=True))


def _letters(number: int) -> str:
    """Return A to Z, then AA, AB and so on."""
    head, last = divmod(number, 26)
    return (_letters(head - 1) if head else "") + chr(ord("A") + last)


@dataclass(frozen=True, eq=False)
class Tile:
    """One tile: its room on the plate, and the piece in the plate's own coordinates."""

    cell: Cell
    piece: Piece
    lettering: tuple[Lettering, ...]

    @property
    def name(self) -> str:
        """Its name, A1 being top left seen from the front."""
        return self.cell.name


def tile(plate: Plate, cell: Cell, keys: Sequence[Key], lettering: Sequence[Lettering], printer: Printer) -> Tile:
    """Return the tile of a cell."""
    ours = tuple(word for word in lettering if inside(cell.box, word.box))
    pockets = section_of([half for key in keys for half in key.pocket(printer.joint)])
    depth, section = pocket_depth(plate.thickness), plate_section(plate, cell.box)
    if depth >= plate.thickness:
        section = section - pockets
    cutters = [_cone(opening, plate.thickness) for opening in plate.openings if opening.sink is not None]
    if depth < plate.thickness and not pockets.is_empty():
        cutters.append(slab(pockets, plate.thickness - depth, plate.thickness + OVERCUT))
    deep = letters_deep(plate, printer)
    if ours:
        words = letters_of([loop for word in ours for loop in word.loops])
        cutters.append(slab(words, plate.thickness - deep, plate.thickness + OVERCUT))
    solid = less(slab(section, 0.0, plate.thickness), cutters)
    lips = list(_lips(plate, cell.box))
    return Tile(cell, Piece(f"tile {cell.name}", more([solid, *lips]), section, plate.thickness), ours)


def letters_deep(plate: Plate, printer: Printer) -> float:
    """Return how deep letters are sunk: two layers, and never more than a quarter of the sheet."""
    return min(LINES_DEEP * printer.layer, plate.thickness / 4)


def plate_section(plate: Plate, room: Box) -> manifold3d.CrossSection:
    """Return the section of the plate in a room, holes and reliefs cut out."""
    whole = section_of([plate.outline]) ^ section_of([_rectangle(room)])
    return whole - section_of([*(o.outline for o in plate.openings), *plate.notches])


def inside(room: Box, what: Box) -> bool:
    """Whether a box lies in a room."""
    return room[0] <= what[0] and room[1] <= what[1] and what[2] <= room[2] and what[3] <= room[3]


def _rectangle(room: Box):  # type: ignore[no-untyped-def]
    left, bottom, right, top = room
    return box(right - left, top - bottom).moved((left + right) / 2, (bottom + top) / 2)


def _cone(opening: Opening, thickness: float) -> manifold3d.Manifold:
    """Return the cutter of a countersink: a cone on the facets of its hole, a little past both its ends."""
    assert opening.sink is not None  # asked for only where there is one
    sink, (u, v) = opening.sink, opening.outline.centre
    slope = (sink.wide - sink.narrow) / sink.depth
    wide = sink.wide + OVERCUT * slope
    narrow = max(sink.narrow - OVERCUT * slope, sink.narrow / 2)
    height = (wide - narrow) / slope
    ring = section_of([opening.outline.moved(-u, -v)]).scale((wide / opening.outline.size[0],) * 2)
    cone = ring.extrude(height, scale_top=(narrow / wide,) * 2).translate((0.0, 0.0, -OVERCUT))
    if not sink.front:
        cone = cone.mirror((0.0, 0.0, 1.0)).translate((0.0, 0.0, thickness))
    return cone.translate((u, v, 0.0))


def _lips(plate: Plate, room: Box) -> Iterator[manifold3d.Manifold]:
    for lip in plate.lips:
        left, right = max(lip.left, room[0]), min(lip.right, room[2])
        if right > left and (room[3] >= lip.outer if lip.top else room[1] <= lip.outer):
            wall = _wall(lip, plate).extrude(right - left)  # profile in (v, w), drawn along u
            solid = wall.transform(((0.0, 0.0, 1.0, left), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
            yield solid ^ slab(section_of([plate.outline]), 0.0, plate.height + OVERCUT)


def _wall(lip: Lip, plate: Plate) -> manifold3d.CrossSection:
    """Return the section of a lip in (v, w): the wall, and the round that a fold leaves inside."""
    import manifold3d
    import numpy as np

    foot, top, out = plate.thickness, plate.height, 1 if lip.top else -1
    ring: list[Point] = [(lip.outer, foot), (lip.outer, top), (lip.inner, top)]
    if lip.fillet > 0:
        angles = np.radians(np.linspace(0.0, 90.0, FILLET_FACETS + 1))
        centre = (lip.inner - out * lip.fillet, foot + lip.fillet)
        ring += [
            (float(centre[0] + out * lip.fillet * np.cos(a)), float(centre[1] - lip.fillet * np.sin(a))) for a in angles
        ]
    else:
        ring.append((lip.inner, foot))
    return manifold3d.CrossSection([ring if lip.top else ring[::-1]], manifold3d.FillRule.NonZero)
