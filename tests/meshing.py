"""A mesh generator fills the panels that dryfit builds: ``python tests/meshing.py [LAYOUT ...]``.

Gmsh (Debian package ``gmsh``) reads the STEP of the bare panel and makes tetrahedra of it. A solid with a gap, a face
twice or edges that cross cannot be filled; what is filled has the panel's volume and lies where its datum says. The
exit status is the number of panels of which that is not so. Not part of the test suite: the program is large.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from dryfit.generators.writers.step import write_panel_step
from dryfit.models.job import Job
from dryfit.models.resolve import read_job

LAYOUTS = Path(__file__).parents[1] / "models" / "data" / "layouts"
SMALLEST, LARGEST = 1.0, 12.0  # mm; edges of tetrahedra
ROUND = 24  # edges of a whole circle
VOLUME = 0.01  # share; chords of so many edges take a hundredth off a hole
TETRAHEDRON = 4  # Gmsh's number of the shape
PATIENCE = 600.0  # s


def filled(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Return corners (n, 3) float mm and tetrahedra (m, 4) int of a STEP file."""
    out = path.with_suffix(".msh")
    settings = [
        "-3",
        "-clmin",
        str(SMALLEST),
        "-clmax",
        str(LARGEST),
        "-clcurv",
        str(ROUND),
        "-format",
        "msh22",
        "-v",
        "2",
        "-o",
        str(out),
    ]
    done = subprocess.run(["gmsh", str(path), *settings], capture_output=True, text=True, timeout=PATIENCE, check=False)
    if done.returncode != 0 or not out.is_file() or "Error" in done.stdout + done.stderr:
        raise SystemExit(f"gmsh: {done.stdout[-1000:]}{done.stderr[-1000:]}")
    lines = out.read_text(encoding="ascii").splitlines()
    nodes, elements = (_section(lines, name) for name in ("Nodes", "Elements"))
    spots = {int(number): [float(v) for v in at] for number, *at in nodes}
    order = {number: n for n, number in enumerate(spots)}
    tetrahedra = [[order[int(v)] for v in row[-4:]] for row in elements if int(row[1]) == TETRAHEDRON]
    return np.array(list(spots.values())), np.array(tetrahedra)


def _section(lines: list[str], name: str) -> list[list[str]]:
    start, end = lines.index(f"${name}"), lines.index(f"$End{name}")
    return [line.split() for line in lines[start + 2 : end]]


def faults(job: Job, folder: Path) -> list[str]:
    """Return what is wrong with the panel of a job, to the mesh generator."""
    path, panel = folder / "panel.step", job.panel
    write_panel_step(panel, job.holes(), path, job.title)
    points, tetrahedra = filled(path)
    a, b, c, d = (points[tetrahedra[:, n]] for n in range(4))
    volume = float(np.abs(np.einsum("ij,ij->i", np.cross(b - a, c - a), d - a)).sum() / 6)
    wanted, found = _volume(path), []
    print(f"{job.title}: {len(tetrahedra)} tetrahedra, {volume:.0f} mm3 of {wanted:.0f} mm3")
    if abs(volume / wanted - 1) > VOLUME:
        found.append("another volume")
    sides = (panel.width, panel.height, panel.thickness + (panel.lip if panel.folded else 0.0))
    low, high = points.min(axis=0), points.max(axis=0)
    if not np.allclose([*low, *high], [0.0, 0.0, -sides[2], sides[0], sides[1], 0.0], atol=1e-3):
        found.append(f"lies from {low} to {high}")
    return found


def _volume(path: Path) -> float:
    import cadquery as cq

    solids: list[Any] = cq.importers.importStep(str(path)).solids().vals()
    return float(sum(solid.Volume() for solid in solids))


def main(layouts: list[Path]) -> int:
    """Fill the panels of the layouts; return the number of those with faults."""
    wrong = 0
    for layout in layouts or [LAYOUTS / "foyer.yaml", LAYOUTS / "bench.yaml"]:
        with tempfile.TemporaryDirectory() as folder:
            found = faults(read_job(layout), Path(folder))
        print("\n".join(f"  {fault}" for fault in found) or "  filled")
        wrong += bool(found)
    return wrong


if __name__ == "__main__":
    sys.exit(main([Path(argument) for argument in sys.argv[1:]]))
