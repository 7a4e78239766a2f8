"""The whole test plate: from a job and a printer to the pieces to print, what they take, and what to know of them."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.assembly import Assembly
from dryfit.generators.testplate.coupon import coupon
from dryfit.generators.testplate.filament import FORMULA, Filament, filament
from dryfit.generators.testplate.keys import SIZES, SUNK, Key, keys, skin
from dryfit.generators.testplate.lettering import Label, labels, letter_depth
from dryfit.generators.testplate.pieces import Piece, key_piece, tile_piece
from dryfit.generators.testplate.seams import Cutting, crossings, cut, thin_walls
from dryfit.generators.testplate.sheet import Sheet, sheet
from dryfit.models.job import Job
from dryfit.models.printer import Printer
from dryfit.models.units import format_mm

LINES = 2  # of the nozzle that the thinnest wall takes


@dataclass(frozen=True)
class TestPlate:
    """All that is printed for one panel, and the 2D plan it is made from."""

    __test__ = False  # not a test, whatever its name

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


def test_plate(job: Job, assembly: Assembly, printer: Printer) -> TestPlate:
    """Return the test plate of a panel for a printer.

    Raises:
        DryfitError: if no cutting of the panel suits the printer's bed.
    """
    whole = sheet(job, assembly, printer)
    cutting = cut(whole, printer.bed)
    placed, few = keys(whole, cutting, printer.joint)
    texts, lost = labels(job, whole, cutting, placed, printer.nozzle)
    deep = letter_depth(whole.thickness, printer.layer)
    tiles = [tile_piece(whole, t, placed, texts, printer.joint, deep, cutting.turned) for t in cutting.tiles]
    counts = Counter(key.size.name for key in placed)
    loose = [key_piece(s, whole.thickness, counts[s.name]) for s in SIZES if counts[s.name]]
    notes = (
        *_how(whole, cutting), *crossings(whole, cutting), *thin_walls(whole, cutting, LINES * printer.nozzle),
        *(f"{p.name} comes in {p.bodies} loose parts." for p in tiles if p.bodies > 1), *few, *lost,
    )  # fmt: skip
    return TestPlate(printer, whole, cutting, placed, texts, (*tiles, *loose, coupon(printer)), notes)


test_plate.__test__ = False  # type: ignore[attr-defined]  # not a test, whatever its name


def _how(whole: Sheet, cutting: Cutting) -> Iterator[str]:
    yield f"{format_mm(whole.thickness)} thick, as the finished panel with its coating. Print front face down, as laid."
    if cutting.seams:
        depth = "go through" if skin(whole.thickness) == 0 else f"leave {format_mm(skin(whole.thickness))} in front"
        yield f"Keys go in from the rear, {format_mm(SUNK)} below the face; their pockets {depth}."
    if whole.lip > 0:
        yield "Lips stand up without support; the outside of each fold is left square so that nothing overhangs."


def summary(plate: TestPlate) -> dict[str, object]:
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


def summary_json(plate: TestPlate) -> str:
    """Return the summary as JSON text (lengths in mm)."""
    return json.dumps(summary(plate), indent=1, ensure_ascii=False) + "\n"


def summary_lines(plate: TestPlate) -> Iterator[str]:
    """Yield the summary for a person."""
    total, count = plate.total, len(plate.cutting.tiles)
    tiles = "1 tile" if count == 1 else f"{count} tiles, {len(plate.keys)} keys"
    yield f"test plate: {tiles} and a coupon; about {total.grams:.0f} g or {total.metres:.1f} m of filament"
    for note in plate.notes:
        yield f"  {note}"
