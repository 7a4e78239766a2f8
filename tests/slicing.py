"""A real slicing program slices every piece of the test plates of some layouts, and has nothing to repair.

Not part of the test run: it needs programs that Debian packages (apt-get install slic3r prusa-slicer admesh). Run it as
``python tests/slicing.py [LAYOUT ...]``; without layouts it takes the demo layouts and one panel with lips. For every
piece a mesh checker says whether there is anything to repair, the slicing program says what it reads (size, volume,
closed, one part), slices it on the profile's bed, and what filament it counts is compared with the estimate. A second
program opens every bedful as it was built, arranges nothing, and slices it: all it lays down must be on the bed, one
piece over the other nowhere.
"""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from dryfit.generators.pipeline import check
from dryfit.generators.testplate.beds import Laid
from dryfit.generators.testplate.filament import filament
from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.testplate.plate import plate_for
from dryfit.generators.writers.register import Order, named
from dryfit.generators.writers.stl import write_pieces_stl
from dryfit.generators.writers.threemf import write_3mf
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.printer import Printer, generic_printer
from dryfit.models.resolve import read_job

LAYOUTS = Path(__file__).parents[1] / "models" / "data" / "layouts"
LIPPED = """
title: A panel with lips
origin: centre
panel: {rack_units: 2, thickness: 1.6 mm, lip: 12 mm, bend_radius: 1.6 mm}
places:
  - {part: xlr3-socket, at: [0, 0], label: A, cutout: {countersink: {diameter: 6.4 mm, from: rear}}}
"""
REPAIRS = (
    "Total disconnected facets", "Degenerate facets", "Edges fixed", "Facets removed", "Facets added",
    "Facets reversed", "Backwards edges", "Normals fixed",
)  # fmt: skip
ASKED = {"manifold": "yes", "number_of_parts": "1"}
ROWS = re.compile(r"^(\w+)\s*=\s*(\S+)", re.MULTILINE)
WARNING = re.compile("warn|repair|error|not fit|outside", re.IGNORECASE)
SIZE = 1e-3  # mm, single precision
VOLUME = 1e-4  # share; single precision over tens of thousands of facets
ESTIMATE = 0.1  # share by which the estimate of a tile may miss what the program counts


def info(path: Path) -> dict[str, str]:
    """Return what the slicing program reads in a file."""
    done = subprocess.run(["slic3r", "--info", str(path)], capture_output=True, text=True, check=True)
    return dict(ROWS.findall(done.stdout))


def repairs(path: Path) -> list[str]:
    """Return what the mesh checker would repair: the slicing program repairs the same and says nothing of it."""
    done = subprocess.run(["admesh", str(path)], capture_output=True, text=True, errors="replace", check=True)
    counts = dict(re.findall(r"^([A-Z][\w ]*?)\s*:\s*(\d+)", done.stdout, re.MULTILINE))
    return [f"{what.lower()}: {counts.get(what)}" for what in REPAIRS if counts.get(what) != "0"]


def sliced(path: Path, printer: Printer) -> tuple[float, str]:
    """Slice a file; return metres of filament, and any warning."""
    width, depth, _ = printer.bed
    out = path.with_suffix(".gcode")
    settings = {
        "nozzle-diameter": printer.nozzle, "layer-height": printer.layer, "first-layer-height": printer.layer,
        "perimeters": printer.walls, "top-solid-layers": printer.solid_layers,
        "bottom-solid-layers": printer.solid_layers, "fill-density": f"{printer.infill:.0%}",
        "filament-diameter": printer.filament.diameter, "skirts": 0,
        "bed-shape": f"0x0,{width:g}x0,{width:g}x{depth:g},0x{depth:g}", "print-center": f"{width / 2:g},{depth / 2:g}",
    }  # fmt: skip
    options = [text for key, value in settings.items() for text in (f"--{key}", str(value))]
    done = subprocess.run(
        ["slic3r", "--no-gui", *options, "--output", str(out), str(path)], capture_output=True, text=True, check=False
    )
    if done.returncode != 0 or not out.is_file():
        return 0.0, f"not sliced: {done.stderr.strip() or done.stdout.strip()}"
    used = re.search(r"filament used = ([\d.]+)mm", out.read_text())
    warned = [line for line in (done.stdout + done.stderr).splitlines() if WARNING.search(line)]
    return float(used[1]) / 1000 if used else 0.0, "; ".join(warned)


def faults(piece: Piece, path: Path, printer: Printer) -> list[str]:
    """Return what is wrong with a piece, to the slicing program."""
    rows, found = info(path), repairs(path)
    wanted = {"manifold": "yes", "number_of_parts": "1", "number_of_facets": str(len(piece.faces))}
    found += [f"{key} is {rows.get(key)}" for key, want in wanted.items() if rows.get(key) != want]
    sizes = [float(rows[f"size_{axis}"]) for axis in "xyz"]
    if any(abs(a - b) > SIZE for a, b in zip(sizes, piece.size, strict=True)):
        found.append(f"size {sizes} is not {piece.size}")
    if abs(float(rows["volume"]) / piece.volume - 1) > VOLUME:
        found.append(f"volume {rows['volume']} is not {piece.volume:.1f}")
    if any(size > most for size, most in zip(sizes, printer.bed, strict=True)):
        found.append("larger than the bed")
    metres, warned = sliced(path, printer)
    found += [warned] if warned else []
    ours = filament(piece, printer).metres / piece.count
    print(
        f"  {piece.name:12} {metres:7.2f} m sliced, {ours:7.2f} m estimated  {'; '.join(found) or 'nothing to repair'}"
    )
    if piece.name.startswith("tile") and abs(ours / metres - 1 if metres else 1.0) > ESTIMATE:
        found.append("the estimate is far off")
    return found


def package_faults(pieces: Sequence[Piece], path: Path) -> int:
    """Write a 3MF; return how many of its pieces the slicing program reads otherwise than they are."""
    write_3mf([Laid(piece, 0.0, 0.0) for piece in pieces], "test plate", path)
    done = subprocess.run(["slic3r", "--info", str(path)], capture_output=True, text=True, check=True)
    read = sorted(int(count) for count in re.findall(r"number_of_facets\s*=\s*(\d+)", done.stdout))
    wrong = len(set(read) ^ {len(piece.faces) for piece in pieces})
    print(f"  {path.name}: {len(read)} pieces read, {wrong} of them wrong")
    return wrong


def bed_faults(path: Path, printer: Printer) -> list[str]:
    """Return what is wrong with a bedful as a slicing program opens it, which arranges nothing."""
    done = subprocess.run(["prusa-slicer", "--info", str(path)], capture_output=True, text=True, check=True)
    found = [f"{key} is {value}" for key, value in ROWS.findall(done.stdout) if ASKED.get(key, value) != value]
    spots = [dict(ROWS.findall(part)) for part in re.split(r"^\[.+\]$", done.stdout, flags=re.MULTILINE)[1:]]
    boxes = [Rectangle(*(float(spot[side]) for side in ("min_x", "min_y", "max_x", "max_y"))) for spot in spots]
    found += ["one piece lies over another" for a, b in itertools.combinations(boxes, 2) if a.overlaps(b)]
    width, depth, _ = printer.bed
    out = path.with_suffix(".gcode")
    settings = {
        "nozzle-diameter": printer.nozzle, "layer-height": printer.layer, "first-layer-height": printer.layer,
        "skirts": 0, "brim-width": 0, "bed-shape": f"0x0,{width:g}x0,{width:g}x{depth:g},0x{depth:g}",
    }  # fmt: skip
    options = [text for key, value in settings.items() for text in (f"--{key}", str(value))]
    command = ["prusa-slicer", "--export-gcode", "--dont-arrange", *options, "--output", str(out), str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    found += [line for line in (done.stdout + done.stderr).splitlines() if WARNING.search(line)]
    if done.returncode != 0 or not out.is_file():
        return [*found, f"not sliced: {done.stderr.strip()}"]
    laid = Rectangle.around_points(_laid_down(out.read_text()))
    if not Rectangle.around(boxes).holds(laid) or not Rectangle(0.0, 0.0, width, depth).holds(laid):
        found.append(f"laid down from {laid.left:g}, {laid.bottom:g} to {laid.right:g}, {laid.top:g}")
    print(f"  {path.name}: {len(boxes)} pieces, {'; '.join(found) or 'as laid, nothing to repair'}")
    return found


def _laid_down(gcode: str) -> Iterator[tuple[float, float]]:
    """Yield the points that plastic is laid down to."""
    for x, y in re.findall(r"^G1 X([\d.]+) Y([\d.]+) E[\d.]+", gcode, re.MULTILINE):
        yield float(x), float(y)


def main(layouts: list[Path]) -> int:
    """Slice the test plates of the layouts; return the number of pieces with faults."""
    printer, wrong = generic_printer(), 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lipped = folder / "lipped.yaml"
        lipped.write_text(LIPPED, encoding="utf-8")
        for layout in layouts or [LAYOUTS / "foyer.yaml", LAYOUTS / "trouble.yaml", lipped]:
            report = check(read_job(layout))
            plate = plate_for(report.job, report.assembly, printer)
            print(f"{layout.stem}: {len(plate.cutting.tiles)} tiles, bed {printer.bed[0]:g} x {printer.bed[1]:g} mm")
            pieces = folder / layout.stem
            write_pieces_stl(plate.pieces, pieces)
            wrong += sum(1 for piece in plate.pieces if faults(piece, pieces / piece.file, printer))
            wrong += package_faults(plate.pieces, folder / f"{layout.stem}.3mf")
            beds = folder / f"{layout.stem} beds"
            named("test-plate-beds/").make(Order(report), beds)
            wrong += sum(1 for bed in sorted(beds.glob("*.3mf")) if bed_faults(bed, printer))
    print("every piece sliced, nothing to repair" if not wrong else f"{wrong} pieces with faults")
    return wrong


if __name__ == "__main__":
    sys.exit(1 if main([Path(argument) for argument in sys.argv[1:]]) else 0)
