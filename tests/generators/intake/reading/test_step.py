"""STEP files of strangers: read into plain data, or refused in one line, within bounds."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.intake.reading.shapes import Shapes, Vector
from dryfit.generators.intake.reading.step import read_step
from dryfit.generators.writers.step import write_assembly_step
from dryfit.models.geometry.bodies import Body, Placement, Slice, Straight, Taper, prism
from dryfit.models.geometry.outlines import box, round_
from dryfit.models.panel import Panel
from dryfit.models.reading.errors import InputError
from dryfit.models.reading.stepfile import LARGEST_STEP
from dryfit.models.tables.panels import materials

SUNK = Slice(Straight(box(20, 30)), 0.0, 2.0, (Taper(3.0, 7.0, 5.0, 10.0),))
BODY = Body("block", (prism(round_(12), -8, 0), SUNK))
"""A plate with a barrel behind it, and in the plate a hole that is a cone through and through."""


CORNER = 50.0


@pytest.fixture(scope="module")
def step_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("step") / "block.step"
    sheet = Panel(2 * CORNER, 2 * CORNER, 2.0, materials()["aluminium"])  # files are placed from its lower left corner
    block = Instance(BODY, Placement(-CORNER, -CORNER), "part", "", "block")
    write_assembly_step(Assembly("block", (block,)), sheet, path)
    return path


@pytest.fixture(scope="module")
def shapes(step_file: Path) -> Shapes:
    return read_step(step_file, facet=0.05)


def test_faces_come_with_their_surfaces(shapes: Shapes) -> None:
    (solid,) = shapes.solids
    (barrel,) = (f for f in solid.faces if f.kind == "cylinder")
    (sink,) = (f for f in solid.faces if f.kind == "cone")
    assert shapes.unit == "millimetre"
    assert barrel.radius == pytest.approx(6)
    assert abs(barrel.high - barrel.low) == pytest.approx(8)
    assert (barrel.hollow, sink.hollow) == (False, True)
    assert sink.second == pytest.approx(45)
    assert solid.box == (Vector(-10, -15, -8), Vector(10, 15, 2))
    assert solid.volume == pytest.approx(BODY.volume)


def test_normals_of_planes_point_out_of_the_material(shapes: Shapes) -> None:
    (top,) = (f for f in shapes.solids[0].faces if f.kind == "plane" and f.at.z == 2)
    assert top.axis == Vector(0, 0, 1)
    assert [[edge.kind for edge in loop] for loop in top.loops] == [["line"] * 4, ["circle"]]


def test_the_mesh_fills_what_the_solid_fills_and_knows_its_faces(shapes: Shapes) -> None:
    solid = shapes.solids[0]
    assert solid.mesh is not None
    corners = np.array(solid.mesh.corners)[np.array(solid.mesh.triangles)]
    signed = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6
    assert signed == pytest.approx(BODY.volume, rel=0.01)
    assert set(solid.mesh.of_face) == set(range(len(solid.faces)))


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"solid hull\nfacet normal 0 0 1\n", "is no STEP file, expected one that begins with ISO-10303-21"),
        (b"ISO-10303-21;\n\x00\xff\x10garbage(((((", "is not what STEP files are made of"),
        (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n", "holds no"),
    ],
    ids=["another format", "garbage", "nothing in it"],
)
def test_what_is_no_step_file_is_refused_in_one_line(data: bytes, says: str, tmp_path: Path) -> None:
    path = tmp_path / "odd.step"
    path.write_bytes(data)
    with pytest.raises(InputError) as refused:
        read_step(path)
    assert says in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_file_cut_off_in_its_middle_is_refused(step_file: Path, tmp_path: Path) -> None:
    whole = step_file.read_bytes()
    path = tmp_path / "half.step"
    path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(InputError, match=r"^\S+half.step: [^\n]+$"):
        read_step(path)


def test_a_file_beyond_bounds_is_not_opened(tmp_path: Path) -> None:
    path = tmp_path / "huge.step"
    with path.open("wb") as stream:
        stream.write(b"ISO-10303-21;\n")
        stream.truncate(LARGEST_STEP + 1)  # sparse: it takes no room
    with pytest.raises(InputError, match="is too large"):
        read_step(path)


def test_what_the_kernel_does_not_read_in_its_time_or_memory_is_told_in_one_line(step_file: Path) -> None:
    with pytest.raises(InputError, match=r"more than can be read in 0\.001 seconds"):
        read_step(step_file, seconds=0.001)
    with pytest.raises(InputError, match=r"kernel|memory|breaks its reader"):
        read_step(step_file, memory=400_000_000)


def test_what_is_no_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_step(tmp_path / "none.step")
    with pytest.raises(InputError, match="is a folder"):
        read_step(tmp_path)
