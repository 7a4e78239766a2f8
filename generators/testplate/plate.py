"""The whole test plate: from a job and a printer to the pieces to print, what they take, and what to know of them."""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.testplate.coupon import coupon
from dryfit.generators.testplate.filament import FORMULA, Filament, filament
from dryfit.generators.testplate.keys import SIZES, SUNK, Key, keys, skin
from dryfit.generators.testplate.labels import Label, labels, letter_depth
from dryfit.generators.testplate.pieces import Piece, Rear, key_piece, tile_piece
from dryfit.generators.testplate.seams import Cutting, crossings, cut, thin_walls
from dryfit.generators.testplate.sheet import Sheet, sheet
from dryfit.models.job import Job
from dryfit.models.printer import Printer
from dryfit.models.reading.units import format_mm

LINES = 2  # of the nozzle that the thinnest wall takes
SAME_THICKNESS = 0.02  # mm that layers may miss the thickness by
STEEPEST = 51.0  # degrees from upright that a wall may lean without support: a countersink of 102 (from memory)
SLENDER = 15.0  # times its thickness that a wall may stand free while it is printed (from memory)


@dataclass(frozen=True)
class Plate:
    """All that is printed for one panel, and the 2D plan it is made from."""

    printer: Printer
    sheet: Sheet
    cutting: Cutting
    keys: tuple[Key, ...]
    labels: tuple[Label, ...]
    pieces: tuple[Piece, ...]
    notes: tuple[str, ...]

    @property
    def total(self) -> Filament:
        """What all of it takes."""
        return sum((filament(p, self.printer) for p in self.pieces), Filament(0.0, 0.0))


def plate_for(job: Job, assembly: Assembly, printer: Printer) -> Plate:
    """Return the test plate of a panel for a printer.

    Raises:
        DryfitError: if no cutting of the panel suits the printer's bed.
    """
    whole = sheet(job, assembly, printer)
    cutting = cut(whole, printer.bed)
    placed, few = keys(whole, cutting, printer.joint)
    texts, lost = labels(job, whole, cutting, placed, printer.nozzle)
    rear = Rear(placed, printer.joint, texts, letter_depth(whole.thickness, printer.layer))
    tiles = [tile_piece(whole, tile, rear, cutting.turned) for tile in cutting.tiles]
    counts = Counter(key.size.name for key in placed)
    loose = [key_piece(s, whole.thickness, counts[s.name]) for s in SIZES if counts[s.name]]
    notes = (
        *_how(whole, cutting, printer),
        *_overhangs(whole),
        *crossings(whole, cutting),
        *thin_walls(whole, cutting, LINES * printer.nozzle),
        *(f"{p.name} comes in {p.bodies} loose parts." for p in tiles if p.bodies > 1),
        *few,
        *lost,
    )
    return Plate(printer, whole, cutting, placed, texts, (*tiles, *loose, coupon(printer)), tuple(dict.fromkeys(notes)))


def _how(whole: Sheet, cutting: Cutting, printer: Printer) -> Iterator[str]:
    thick = format_mm(whole.thickness)
    yield f"{thick} thick, as the finished panel. Print front face down, as laid."
    layers = max(1, round(whole.thickness / printer.layer))
    if abs(layers * printer.layer - whole.thickness) > SAME_THICKNESS:
        best = format_mm(whole.thickness / layers, 3)
        yield f"Layers of {format_mm(printer.layer)} do not add up to {thick}: print {layers} layers of {best}."
    if cutting.seams:
        depth = "go through" if skin(whole.thickness) == 0 else f"leave {format_mm(skin(whole.thickness))} in front"
        yield f"Keys go in from the rear, {format_mm(SUNK)} below the face; their pockets {depth}."
    if whole.lip > 0:
        yield "Lips stand up without support; the outside of each fold is left square so that nothing overhangs."


def _overhangs(whole: Sheet) -> Iterator[str]:
    """Yield what a printer may not lay cleanly without support."""
    for o in whole.openings:
        if o.sink is not None and o.sink.side == "front":
            run = (o.sink.diameter - min(o.outline.size)) / 2
            if run > o.sink.depth * math.tan(math.radians(STEEPEST)):
                yield f"The countersink of {o.name} is so flat that its wall may sag: it opens to the bed."
    if whole.lip > SLENDER * whole.thickness:
        yield f"Lips {format_mm(whole.lip)} high on {format_mm(whole.thickness)} of wall may sway: print them slowly."


def summary(plate: Plate) -> dict[str, object]:
    """Return the plate in figures, for programs and for the summary file."""
    rows = [(piece, filament(piece, plate.printer)) for piece in plate.pieces]
    total = plate.total
    return {
        "schema": 1,
        "printer": plate.printer.title,
        "tiles": len(plate.cutting.tiles),
        "keys": len(plate.keys),
        "pieces": [
            {"name": p.name, "file": p.file, "count": p.count, "size": [round(v, 2) for v in p.size],
             "grams": round(f.grams, 1), "metres": round(f.metres, 2)}
            for p, f in rows
        ],
        "grams": round(total.grams, 1),
        "metres": round(total.metres, 2),
        "estimate": FORMULA,
        "notes": list(plate.notes),
    }  # fmt: skip


def summary_json(plate: Plate) -> str:
    """Return the summary as JSON text (lengths in mm)."""
    return json.dumps(summary(plate), indent=1, ensure_ascii=False) + "\n"


def summary_lines(plate: Plate) -> Iterator[str]:
    """Yield the summary for a person."""
    total, count = plate.total, len(plate.cutting.tiles)
    tiles = "1 tile" if count == 1 else f"{count} tiles, {len(plate.keys)} keys"
    yield f"test plate: {tiles} and a coupon; about {total.grams:.0f} g or {total.metres:.1f} m of filament"
    for note in plate.notes:
        yield f"  {note}"
