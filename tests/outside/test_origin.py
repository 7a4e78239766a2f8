"""One origin for all that a shop opens: each file read back by a reader that is not the one that wrote it.

steputils (a plain Part 21 reader) and the kernel read STEP, GDAL reads the DXF, PDFium the drawing.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from steputils import p21

from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, named
from tests.helpers import place, report

LIP = "lip: 12 mm, lips: [bottom], bend_radius: 2 mm}"
PANEL = "{size: [140 mm, 70 mm], thickness: 2 mm, coating: 0.1 mm, corner: 3 mm, " + LIP
PLACES = place("xlr3-socket", at="[-30, 3]") + "\n" + place("bnc-bush", label="B", at="[25, -4.5]")
SAME = 1e-6  # mm

Spots = set[tuple[float, float]]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report(tmp_path_factory.mktemp("origin"), PLACES, PANEL)


@pytest.fixture(scope="module")
def axes(made: Report) -> Spots:
    """Where round holes are, as the layout has them: from the panel's centre, so that half its size is added."""
    round_holes = (hole.outline for hole in made.job.holes() if hole.outline.is_circle)
    return {_rounded(hole.centre.x + 70, hole.centre.y + 35) for hole in round_holes}


def _rounded(x: float, y: float) -> tuple[float, float]:
    return round(x, 5), round(y, 5)


def _file(made: Report, name: str, folder: Path) -> Path:
    named(name).make(Order(made), folder / name)
    return folder / name


def test_step_of_the_panel_has_its_holes_where_the_datum_says(made: Report, axes: Spots, tmp_path: Path) -> None:
    data = p21.readfile(str(_file(made, "panel.step", tmp_path))).data[0]

    def of(keyword: str) -> list[Any]:
        kept = (i for i in data.instances.values() if p21.is_simple_entity_instance(i))
        return [i.entity.params for i in kept if i.entity.name == keyword]

    def point(reference: str) -> list[float]:
        return [float(value) for value in data.instances[reference].entity.params[1]]

    centres = {_rounded(*point(data.instances[axis].entity.params[1])[:2]) for _, axis, _ in of("CYLINDRICAL_SURFACE")}
    assert len(axes) == 3
    assert axes <= centres
    spots = [point(vertex[1]) for vertex in of("VERTEX_POINT")]
    assert min(x for x, _, _ in spots) == pytest.approx(0.0, abs=SAME)
    assert max(z for _, _, z in spots) == pytest.approx(0.0, abs=SAME)


def test_step_of_the_assembly_has_its_panel_there_too(made: Report, axes: Spots, tmp_path: Path) -> None:
    import cadquery as cq

    solids: list[Any] = cq.importers.importStep(str(_file(made, "assembly.step", tmp_path))).solids().vals()
    plate = max(solids, key=lambda solid: solid.BoundingBox().xlen)
    walls = [face for face in plate.Faces() if face.geomType() == "CYLINDER"]
    centres = set()
    for face in walls:
        at = face._geomAdaptor().Cylinder().Axis().Location()
        centres.add(_rounded(at.X(), at.Y()))
    assert axes <= centres
    box = plate.BoundingBox()  # of the coated panel: its metal lies one coating further in
    assert (box.xmin, box.zmax) == pytest.approx((-0.1, 0.1), abs=1e-5)


def test_dxf_has_its_circles_there(made: Report, axes: Spots, tmp_path: Path) -> None:
    from pyogrio.raw import read  # type: ignore[import-untyped]

    meta, _, shapes, fields = read(_file(made, "panel.dxf", tmp_path).read_bytes())
    layers = fields[list(meta["fields"]).index("Layer")]
    cut = [_corners(shape) for shape, layer in zip(shapes, layers, strict=True) if layer == "cut"]
    centres = [tuple((min(axis) + max(axis)) / 2 for axis in zip(*corners, strict=True)) for corners in cut]
    for x, y in axes:
        assert any(abs(x - at[0]) < 1e-2 and abs(y - at[1]) < 1e-2 for at in centres)  # GDAL makes chords of circles


def _corners(wkb: bytes) -> list[tuple[float, float]]:
    """Return the points of a line string as GDAL hands it over, with or without z."""
    import struct

    kind, count = struct.unpack_from("<II", wkb, 1)
    step = 3 if kind & 0x80000000 or kind > 1000 else 2
    flat = struct.unpack_from(f"<{step * count}d", wkb, 9)
    return list(zip(flat[::step], flat[1::step], strict=True))


def test_the_drawing_measures_from_there_and_says_so(made: Report, tmp_path: Path) -> None:
    pages = pypdfium2.PdfDocument(_file(made, "drawing.pdf", tmp_path))
    told = " ".join(" ".join(page.get_textpage().get_text_bounded() for page in pages).split())
    assert re.search(r"lower left corner of the front face \(circled\), where the cut file and the STEP", told)
    assert re.search(r"\bA XLR .*? 40 38 0\.\d", told)  # x and y in the table of places
    assert re.search(r"\bB BNC .*? 95 30\.5 0\.\d", told)
