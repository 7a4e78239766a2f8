"""What to know of a test plate before printing it: what could not be done as wanted, and what is too thin to print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from dryfit.generators.testplate.keys import Key
from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.testplate.plate import Plate
from dryfit.generators.testplate.seams import Seam
from dryfit.models.job import Job, Point
from dryfit.models.printer import Printer
from dryfit.models.units import format_mm

if TYPE_CHECKING:
    import manifold3d

    from dryfit.generators.testplate.tiles import Tile

LEAST_LINES = 2  # lines side by side that make a wall; a single one breaks: common practice
WEDGE = 1.5  # squares of half the least width: what the point of a sharp corner loses, and is no thin wall
STEEPEST_CONE = 100.0  # degrees; the wall of a wider front countersink hangs over too far to print without support
SLENDER = 12.0  # times its thickness that a lip may stand before it sways under the nozzle: from memory


class Stretched(Protocol):
    """A stretch of a seam with its keys."""

    @property
    def seam(self) -> Seam: ...
    @property
    def keys(self) -> tuple[Key, ...]: ...
    @property
    def under(self) -> bool: ...


def notes(
    job: Job,
    plate: Plate,
    seams: Sequence[Seam],
    stretches: Sequence[Stretched],
    tiles: Sequence[Tile],
    unwritten: Sequence[str],
    printer: Printer,
) -> tuple[str, ...]:
    """Return the notes, the general ones first."""
    told = [_layers(plate, printer), _holes(printer)]
    told += [note for seam in seams for note in _crossing(seam)]
    told += [note for stretch in stretches for note in _keys(stretch)]
    told += list(_lips(plate, printer))
    told += list(_cones(plate))
    told += [note for tile in tiles for note in _thin(job, tile, plate, printer)]
    if unwritten:
        told.append(f"No room on the rear face for the names of {', '.join(unwritten)}.")
    return tuple(told)


def _layers(plate: Plate, printer: Printer) -> str:
    count = max(1, round(plate.thickness / printer.layer))
    layer = plate.thickness / count
    if abs(layer - printer.layer) < 1e-9:
        return f"{count} layers of {format_mm(layer)} make the plate's {format_mm(plate.thickness, 3)}."
    return (
        f"Print with layers of {format_mm(layer, 4)}, the first too: {count} of them make the plate's real "
        f"{format_mm(plate.thickness, 3)}; layers of {format_mm(printer.layer)} miss it."
    )


def _holes(printer: Printer) -> str:
    added = ", ".join(f"{printer.loss.compensation(d):+.2f} mm at {d:g} mm" for d in (3.2, 24.0))
    if printer.fit is not None:
        count = len(printer.measured) - len(printer.fit.left_out)
        return f"Holes are drawn larger for {printer.title} ({added}), as fitted to {count} measured holes."
    return f"Holes are drawn larger for {printer.title} ({added}), not measured: print the coupon first."


def _crossing(seam: Seam) -> Iterator[str]:
    if seam.crossed:
        yield f"No seam clear of every cut-out was found: the one at {_at(seam)} crosses {', '.join(seam.crossed)}."


def _at(seam: Seam) -> str:
    """Return where a seam is on the panel, seen from the front."""
    return f"x = {format_mm(-seam.at)}" if seam.upright else f"y = {format_mm(seam.at)}"


def _keys(stretch: Stretched) -> Iterator[str]:
    where = f"The seam at {_at(stretch.seam)} (from the panel's middle)"
    if not stretch.keys:
        yield f"{where} has a stretch with no room for a key: glue it on a flat board."
    elif stretch.under:
        yield f"{where} has no room for a key in the clear: its keys lie under a flange, open to the rear."
    elif len(stretch.keys) == 1:
        yield f"{where} has room for one key only in a stretch: glue it on a flat board."


def _lips(plate: Plate, printer: Printer) -> Iterator[str]:
    if not plate.lips:
        return
    if plate.thickness < LEAST_LINES * printer.nozzle:
        yield f"The lips are thinner than {LEAST_LINES} lines of the nozzle: they will not stand."
    elif plate.lip_height > SLENDER * plate.thickness:
        yield "The lips are slender: print slowly and let every layer cool."
    yield "The lips stand up from the bed and need no support; their outer edge is left square, without the bend."


def _cones(plate: Plate) -> Iterator[str]:
    for opening in plate.openings:
        if opening.sink is not None and opening.sink.front and opening.sink.angle > STEEPEST_CONE:
            yield f"The countersink of {opening.name} hangs over too far: support it, or print the plate front up."


def _thin(job: Job, tile: Tile, plate: Plate, printer: Printer) -> Iterator[str]:
    least = LEAST_LINES * printer.nozzle
    for u, v in thin_spots(tile.piece.section, least):
        yield f"Tile {tile.name} is thinner than {format_mm(least)} {_near(job, u, v)}."
    for piece in range(len(_bodies(tile.piece)) - 1):
        yield f"Tile {tile.name} falls apart: a hole cuts off piece {piece + 2}."


def thin_spots(section: manifold3d.CrossSection, least: float) -> tuple[Point, ...]:
    """Return the middles of what is narrower than ``least`` in a section: what opening it by a disc takes away.

    A disc never fills a sharp corner; what it leaves there is told apart by its area.
    """
    opened = section.offset(-least / 2, circular_segments=32).offset(least / 2 + 1e-3, circular_segments=32)
    lost = [part for part in (section - opened).decompose() if part.area() > WEDGE * (least / 2) ** 2]
    boxes = (part.bounds() for part in lost)
    return tuple(sorted(((left + right) / 2, (bottom + top) / 2) for left, bottom, right, top in boxes))


def _bodies(piece: Piece) -> Sequence[manifold3d.Manifold]:
    bodies: Sequence[manifold3d.Manifold] = piece.solid.decompose()
    return bodies


def _near(job: Job, u: float, v: float) -> str:
    """Return where a spot is: near which place, and where from the middle of the panel, seen from the front."""
    spot = f"at x {format_mm(-u)}, y {format_mm(v)} from the panel's middle"
    if not job.places:
        return spot
    place = min(job.places, key=lambda place: (place.x + u) ** 2 + (place.y - v) ** 2)
    return f"near {place.name}, {spot}"
