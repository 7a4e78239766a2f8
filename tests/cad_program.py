"""A real CAD program opens what dryfit builds: ``python tests/cad_program.py [LAYOUT] [--program freecadcmd]``.

FreeCAD (Debian package ``freecad-python3``) reads the assembly STEP and the cutting DXF without its window. The
names, counts, volumes and places of the parts that it reports, and the round holes that it sees, are set against
dryfit's own. The exit status is 0 where all agree. Not part of the test suite: the program is large.
"""

from __future__ import annotations

import argparse
import json
import math
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from dryfit.generators.bodies.meshes import mesh
from dryfit.generators.pipeline import check
from dryfit.generators.report import Report
from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.generators.writers.step import product_name, write_assembly_step, write_panel_step
from dryfit.models.geometry.bodies import Body
from dryfit.models.geometry.boxes import Box
from dryfit.models.reading.errors import DryfitError
from dryfit.models.resolve import read_job

FOYER = Path(__file__).parents[1] / "models" / "data" / "layouts" / "foyer.yaml"
FACETED = 5e-4  # relative; bends are set against a mesh, whose facets stray 0.02 mm from their arcs
VOLUME = 1e-6  # relative; both kernels integrate the same surfaces
PLACE = 1e-3  # mm; corners of bounding boxes
PATIENCE = 600.0  # s

# Default options of the import end headless FreeCAD 0.20 on any assembly: parts are neither merged nor linked.
READ = """
import json
import FreeCAD
import Import

FreeCAD.ParamGet("User parameter:BaseApp/Preferences/Document").SetBool("DuplicateLabels", True)

def opened(path, read):
    document = FreeCAD.newDocument()
    read(path, document.Name)
    return [(o.Label, standing(o)) for o in document.Objects if o.isDerivedFrom("Part::Feature")]

def standing(part):
    shape = part.Shape.copy()
    shape.Placement = part.getGlobalPlacement()  # parts stand in the group of their place
    return shape

def step(path, name):
    Import.insert(path, name, useLinkGroup=False, merge=False)

def box(shape):
    b = shape.BoundBox
    return [b.XMin, b.YMin, b.ZMin, b.XMax, b.YMax, b.ZMax]

def circles(parts):
    for _, shape in parts:
        for edge in shape.Edges:
            if edge.Curve.TypeId == "Part::GeomCircle" and edge.isClosed():
                yield [edge.Curve.Center.x, edge.Curve.Center.y, edge.Curve.Radius]

found = {
    "program": " ".join(FreeCAD.Version()[:3]),
    "assembly": [[name, s.Volume, box(s), s.isValid() and s.isClosed()] for name, s in opened(ASSEMBLY, step)],
    "panel": [[name, s.Volume, box(s), s.isValid() and s.isClosed()] for name, s in opened(PANEL, step)],
    "circles": list(circles(opened(DXF, Import.readDXF))),
}
with open(OUT, "w") as stream:
    json.dump(found, stream)
"""


def main() -> int:
    """Run the program on the files of one layout and print how they compare; 0 where all agree."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("layout", nargs="?", type=Path, default=FOYER)
    parser.add_argument("--program", default="freecadcmd")
    options = parser.parse_args()
    if shutil.which(options.program) is None:
        print(f"{options.program} is not installed: apt-get install freecad-python3", file=sys.stderr)
        return 2
    report = check(read_job(options.layout))
    try:
        with tempfile.TemporaryDirectory() as folder:
            found = _seen(options.program, report, Path(folder))
    except DryfitError as error:  # a panel whose holes run into each other has no solid
        print(f"{options.layout.name}: {error}", file=sys.stderr)
        return 2
    print(f"FreeCAD {found['program']}, {options.layout.name}")
    faults = [*_bodies(report, found["assembly"]), *_panel(report, found["panel"]), *_holes(report, found["circles"])]
    for fault in faults:
        print(f"  differs: {fault}")
    print("all agree" if not faults else f"{len(faults)} differences")
    return int(bool(faults))


def _seen(program: str, report: Report, folder: Path) -> Any:
    """Return what the program reports of the three files."""
    paths = {name: folder / file for name, file in (
        ("ASSEMBLY", "assembly.step"), ("PANEL", "panel.step"), ("DXF", "panel.dxf"), ("OUT", "found.json"),
    )}  # fmt: skip
    job = report.job
    write_assembly_step(report.assembly, job.panel, paths["ASSEMBLY"])
    write_panel_step(job.panel, job.holes(), paths["PANEL"], job.title)
    paths["DXF"].write_bytes(dxf_bytes(job))
    script = folder / "read.py"
    named = "".join(f"{name} = {str(path)!r}\n" for name, path in paths.items())
    script.write_text(named + READ, encoding="utf-8")
    run = subprocess.run([program, str(script)], capture_output=True, text=True, timeout=PATIENCE, check=False)
    if not paths["OUT"].is_file():
        raise SystemExit(f"{program} ended with status {run.returncode}:\n{run.stdout[-2000:]}{run.stderr[-2000:]}")
    return json.loads(paths["OUT"].read_text(encoding="utf-8"))


def _bodies(report: Report, seen: Iterable[Any]) -> Iterator[str]:
    """Yield where names, counts, volumes or places of the parts differ."""
    ours: dict[str, list[tuple[float, ...]]] = defaultdict(list)
    theirs: dict[str, list[tuple[float, ...]]] = defaultdict(list)
    exact = {product_name(i): VOLUME if i.body.bent is None else FACETED for i in report.assembly.instances}
    for instance in report.assembly.instances:
        ours[product_name(instance)].append((_volume(instance.body), *_from_datum(report, instance.box)))
    for name, volume, box, valid in seen:
        theirs[name].append((volume, *box))
        if not valid:
            yield f"{name}: the program calls the solid invalid"
    total = sum(volume for rows in theirs.values() for volume, *_ in rows)
    print(f"  assembly: {sum(map(len, theirs.values()))} parts of {len(theirs)} names, {total:.3f} mm3")
    for name in sorted(ours.keys() | theirs.keys()):
        if len(ours[name]) != len(theirs[name]):
            yield f"{name}: {len(theirs[name])} there, {len(ours[name])} here"
        elif not all(any(_same(row, other, exact[name]) for other in theirs[name]) for row in ours[name]):
            yield f"{name}: another volume, or stands elsewhere"
        else:
            print(f"    {len(ours[name]):4d} x {name}: {ours[name][0][0]:.3f} mm3")


def _volume(body: Body) -> float:
    """Return the volume of a body, with its bends round as they are handed over."""
    return float(mesh(body).volume) if body.bent is not None else body.volume


def _from_datum(report: Report, box: Box) -> tuple[float, ...]:
    """Return a box as the files have it: from the lower left corner of the front face of the bare metal."""
    (x, y), z = report.job.panel.datum, report.job.panel.coating
    return box.x0 - x, box.y0 - y, box.z0 + z, box.x1 - x, box.y1 - y, box.z1 + z


def _same(row: tuple[float, ...], other: tuple[float, ...], volume: float) -> bool:
    return math.isclose(row[0], other[0], rel_tol=volume) and _apart(row[1:], other[1:]) < PLACE


def _apart(box: tuple[float, ...], other: tuple[float, ...]) -> float:
    return max(abs(a - b) for a, b in zip(box, other, strict=True))


def _panel(report: Report, seen: list[Any]) -> Iterator[str]:
    """Yield where the bare panel differs: one solid, with the volume of the plate less its holes, if it is flat."""
    panel = report.job.panel
    if len(seen) != 1:
        yield f"panel: {len(seen)} solids"
        return
    ((name, volume, _, valid),) = seen
    print(f"  panel: {name}, {volume:.3f} mm3")
    if not valid or panel.lip or any(hole.countersink is not None for hole in report.job.holes()):
        yield from () if valid else ("panel: the program calls the solid invalid",)
        return
    corners = (4 - math.pi) * panel.corner**2
    area = panel.width * panel.height - corners - sum(hole.outline.area for hole in report.job.holes())
    if not math.isclose(volume, area * panel.thickness, rel_tol=VOLUME):
        yield f"panel: {volume:.6f} mm3 there, {area * panel.thickness:.6f} mm3 here"


def _holes(report: Report, circles: list[list[float]]) -> Iterator[str]:
    """Yield round holes of the panel that the program does not see in the DXF, and circles that are no holes."""
    panel = report.job.panel
    holes = [h for h in report.job.holes() if h.outline.is_circle]
    wanted = [
        (h.outline.centre.x + panel.width / 2, h.outline.centre.y + panel.height / 2, h.outline.size.width / 2)
        for h in holes
    ]
    sinks = sum(1 for h in holes if h.countersink is not None)
    print(f"  cutting file: {len(circles)} circles, {len(wanted)} round holes, {sinks} countersinks")
    if len(circles) != len(wanted) + sinks:
        yield f"cutting file: {len(circles)} circles for {len(wanted)} holes and {sinks} countersinks"
    for spot in wanted:
        if not any(_apart(spot, tuple(circle)) < PLACE for circle in circles):
            yield f"cutting file: no circle at {spot[0]:.3f}, {spot[1]:.3f}"


if __name__ == "__main__":
    sys.exit(main())
