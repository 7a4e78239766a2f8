"""The whole test plate: cut, keyed, lettered, laid out on beds, with the filament it takes and what to know of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from dryfit.generators.assembly import Assembly
from dryfit.generators.testplate.beds import Laid, laid_out
from dryfit.generators.testplate.coupon import coupon
from dryfit.generators.testplate.keys import SIZES, Key, KeySize, key_halves, key_thickness
from dryfit.generators.testplate.lettering import Lettering, readable, written
from dryfit.generators.testplate.notes import notes
from dryfit.generators.testplate.pieces import Piece, section_of, slab
from dryfit.generators.testplate.plate import Plate, plate
from dryfit.generators.testplate.seams import Seam, keys_along, seams, taken
from dryfit.generators.testplate.tiles import Cell, Tile, cells, tile
from dryfit.models.errors import DryfitError
from dryfit.models.job import Job
from dryfit.models.printer import Printer
from dryfit.models.units import format_mm

LABEL_REACH = 25.0  # mm from the middle of a place within which its name may stand; farther off it would mislead


@dataclass(frozen=True, eq=False)
class KeySet:
    """Keys of one size: how many the seams take, and how many are printed (one spare)."""

    size: KeySize
    needed: int
    piece: Piece

    @property
    def printed(self) -> int:
        """How many are printed: one more than needed, for keys are small and roll away."""
        return self.needed + 1


@dataclass(frozen=True, eq=False)
class PrintedPlate:
    """Everything to print for one panel, and what to know of it."""

    job: Job
    printer: Printer
    plate: Plate
    seams: tuple[Seam, ...]
    keys: tuple[Key, ...]
    tiles: tuple[Tile, ...]
    key_sets: tuple[KeySet, ...]
    coupon: Piece
    notes: tuple[str, ...]

    @property
    def pieces(self) -> tuple[tuple[Piece, int], ...]:
        """Every piece with how many times it is printed: tiles, keys, the coupon."""
        tiles = tuple((each.piece, 1) for each in self.tiles)
        return (*tiles, *((each.piece, each.printed) for each in self.key_sets), (self.coupon, 1))

    @cached_property
    def laid(self) -> tuple[Laid, ...]:
        """Where every piece lies, bed by bed."""
        return laid_out(self.pieces, self.printer.bed[:2])

    @property
    def plastic(self) -> float:
        """Volume of filament for all of it, mm3."""
        return sum(piece.plastic(self.printer) * count for piece, count in self.pieces)


def printed_plate(job: Job, assembly: Assembly, printer: Printer) -> PrintedPlate:
    """Return the test plate of a job for a printer.

    Raises:
        DryfitError: if the lips stand higher than the printer reaches.
    """
    whole = plate(job, assembly, printer)
    if whole.height > printer.bed[2]:
        raise DryfitError(f"the test plate stands {format_mm(whole.height)} high, more than this printer reaches")
    upright, level = seams(whole, printer.bed[:2], printer.joint)
    stretches = tuple(_keyed(whole, upright, level, printer.joint))
    keys = tuple(key for stretch in stretches for key in stretch.keys)
    rooms = cells(whole, upright, level)
    words, unwritten = _lettering(job, whole, rooms, keys, printer)
    tiles = tuple(tile(whole, room, keys, words, printer) for room in rooms)
    told = notes(job, whole, (*upright, *level), stretches, tiles, unwritten, printer)
    return PrintedPlate(
        job, printer, whole, (*upright, *level), keys, tiles, tuple(_key_sets(keys, whole)), coupon(printer), told
    )


@dataclass(frozen=True)
class Stretch:
    """The keys of one stretch of a seam, and whether they had to go under what covers the front face."""

    seam: Seam
    keys: tuple[Key, ...]
    under: bool


def _keyed(whole: Plate, upright: Sequence[Seam], level: Sequence[Seam], joint: float) -> Iterator[Stretch]:
    """Yield every stretch of every seam with its keys: in the clear, else under flanges, else none."""
    clear, under = taken(whole), taken(whole, under=True)
    for seam in (*upright, *level):
        others = tuple(level if seam.upright else upright)
        first = keys_along(whole, seam, others, clear, joint)
        second = keys_along(whole, seam, others, under, joint)
        for in_clear, hidden in zip(first, second, strict=True):
            yield Stretch(seam, in_clear or hidden, not in_clear and bool(hidden))


def _key_sets(keys: Sequence[Key], whole: Plate) -> Iterator[KeySet]:
    counts = Counter(key.size for key in keys)
    for size in SIZES:
        if counts[size]:
            section, thick = section_of(key_halves(size)), key_thickness(whole.thickness)
            yield KeySet(size, counts[size], Piece(f"key {size.name}", slab(section, 0.0, thick), section, thick))


def _lettering(
    job: Job, whole: Plate, rooms: Sequence[Cell], keys: Sequence[Key], printer: Printer
) -> tuple[tuple[Lettering, ...], tuple[str, ...]]:
    """Return what is written on the rear face, and the names of places that found no room."""
    busy = [o.box for o in whole.openings] + [n.box for n in whole.notches] + [lip.foot.box for lip in whole.lips]
    busy += [cover.outline.box for cover in whole.covers if cover.rear] + [key.box(printer.joint) for key in keys]
    words: list[Lettering] = []
    unwritten: list[str] = []
    for room in rooms:
        u0, v0, u1, v1 = room.box
        reach = max(u1 - u0, v1 - v0) / 2
        word = written(f"tile {room.name}", ((u0 + u1) / 2, v1), reach, room.box, busy, printer.nozzle)
        words += [word] if word is not None else []
        busy += [word.box] if word is not None else []
    for place in job.places:
        spot, name = (-place.x, place.y), readable(place.name)
        tries = (written(name, spot, LABEL_REACH, r.box, busy, printer.nozzle) for r in _about(spot, rooms))
        word = next((found for found in tries if found is not None), None) if name else None
        if word is None:
            unwritten.append(place.name)
            continue
        words.append(word)
        busy.append(word.box)
    return tuple(words), tuple(unwritten)


def _about(spot: tuple[float, float], rooms: Sequence[Cell]) -> list[Cell]:
    """Return the rooms, the one that holds a spot first, then by how far they lie from it."""

    def away(room: Cell) -> float:
        left, bottom, right, top = room.box
        return max(left - spot[0], spot[0] - right, bottom - spot[1], spot[1] - top)

    return sorted(rooms, key=away)[:2]
