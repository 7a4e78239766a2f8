"""The summary of a test plate, for people and for programs."""

from __future__ import annotations

import json
from typing import Any

from dryfit.generators.testplate.pieces import FORMULA, Piece, grams, metres
from dryfit.generators.testplate.printed import PrintedPlate
from dryfit.generators.testplate.tiles import Tile, inside
from dryfit.models.errors import display_path


def summary_lines(printed: PrintedPlate) -> tuple[str, ...]:
    """Return the summary in a few lines of text."""
    printer, bed = printed.printer, printed.printer.bed
    keys = ", ".join(f"{each.needed} {each.size.name}" for each in printed.key_sets) or "none"
    plastic = printed.plastic
    head = (
        f"test plate for {printer.title}, bed {bed[0]:g} x {bed[1]:g} mm: {len(printed.tiles)} tiles, keys: {keys}; "
        f"about {grams(plastic, printer):.0f} g or {metres(plastic, printer):.1f} m of filament"
    )
    tiles = (
        f"  {each.piece.name}: {' x '.join(f'{side:.1f}' for side in each.piece.size)} mm, "
        f"{grams(each.piece.plastic(printer), printer):.0f} g"
        for each in printed.tiles
    )
    return (head, *tiles, *(f"  - {note}" for note in printed.notes))


def summary_json(printed: PrintedPlate) -> str:
    """Return the summary as JSON text: lengths in mm, masses in g."""
    return json.dumps(_tree(printed), indent=1, ensure_ascii=False) + "\n"


def _tree(printed: PrintedPlate) -> dict[str, Any]:
    printer = printed.printer
    return {
        "schema": 1,
        "title": printed.job.title,
        "layout": display_path(printed.job.source),
        "printer": {"title": printer.title, "bed": list(printer.bed), "nozzle": printer.nozzle},
        "thickness": round(printed.plate.thickness, 4),
        "hole_compensation": {"smaller_by": round(printer.loss.smaller_by, 4), "share": round(printer.loss.share, 6)},
        "tiles": [_tile(printed, each) for each in printed.tiles],
        "keys": [
            {"name": each.size.name, "needed": each.needed, "printed": each.printed, **_piece(printed, each.piece)}
            for each in printed.key_sets
        ],
        "coupon": _piece(printed, printed.coupon),
        "filament": {**_filament(printed, printed.plastic), "formula": FORMULA},
        "notes": list(printed.notes),
    }


def _tile(printed: PrintedPlate, tile: Tile) -> dict[str, Any]:
    u0, v0, u1, v1 = tile.cell.box
    places = [p.name for p in printed.job.places if inside(tile.cell.box, (-p.x, p.y, -p.x, p.y))]
    # on the panel, seen from the front, from its middle
    room = {"left": round(-u1, 4), "bottom": round(v0, 4), "right": round(-u0, 4), "top": round(v1, 4)}
    return {"name": tile.name, **_piece(printed, tile.piece), "room": room, "places": places}


def _piece(printed: PrintedPlate, piece: Piece) -> dict[str, Any]:
    return {
        "size": [round(side, 3) for side in piece.size],
        "volume": round(piece.volume, 1),
        **_filament(printed, piece.plastic(printed.printer)),
    }


def _filament(printed: PrintedPlate, plastic: float) -> dict[str, float]:
    return {
        "filament_g": round(grams(plastic, printed.printer), 2),
        "filament_m": round(metres(plastic, printed.printer), 3),
    }
