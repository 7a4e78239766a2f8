"""Our own parts, written as STEP in other ways than ours, measured and read back by the project's own reader."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from dryfit.generators.checks.cutout_size import PLAY_AIM
from dryfit.generators.intake.measuring.held import strays
from dryfit.generators.intake.measuring.measured import PLAY
from dryfit.generators.intake.measuring.outcome import FACET, Wanted, outcome, write_part
from dryfit.generators.intake.measuring.standing import Unclear, standing
from dryfit.generators.intake.measuring.turned import AXES, Axis, Way, ups
from dryfit.generators.intake.reading.shapes import Face, Mesh, Shapes, Solid, Vector
from dryfit.generators.intake.reading.step import read_step
from dryfit.models.catalogue.dimensions import confidence_of, dimensions
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import round_
from dryfit.models.reading.errors import DryfitError
from tests.helpers import finding, place, report
from tests.measuring import Variant, differences, written

AS_IT_TELLS = Wanted()
PARTS = load_catalogue().parts
SOCKET = Way("-x", "+z")  # as the socket stands in its file


def read_again(name: str, variant: Variant, folder: Path) -> Shapes:
    path = folder / f"{name}.step"
    written(name, PARTS[name], variant, path)
    return read_step(path, FACET)


def part_of(shapes: Shapes, folder: Path, wanted: Wanted = AS_IT_TELLS) -> Part:
    """Return the part that was measured, as it is read from its own file."""
    path = folder / "again.yaml"
    write_part(outcome("a file.step", "again", shapes, wanted), path)
    return load_catalogue([path]).parts["again"]


@pytest.fixture(scope="module")
def socket(tmp_path_factory: pytest.TempPathFactory) -> Shapes:
    """A socket written in inches, lying on its side, its ends rounded, hollow from behind."""
    variant = Variant(SOCKET, "INCH", rounded=0.3, hollow=True)
    return read_again("xlr3-socket", variant, tmp_path_factory.mktemp("socket"))


@pytest.fixture(scope="module")
def inlet(tmp_path_factory: pytest.TempPathFactory) -> Shapes:
    """A mains inlet with its axis beside the middle of its flange, as it stands in the catalogue."""
    return read_again("iec-c14-fuse", Variant(Way("+z", "+y")), tmp_path_factory.mktemp("inlet"))


@pytest.fixture(scope="module")
def toggle(tmp_path_factory: pytest.TempPathFactory) -> Shapes:
    """A switch with a neck and a lever that widens, and nothing that says which end is its front."""
    return read_again("toggle", Variant(Way("+z", "+y")), tmp_path_factory.mktemp("toggle"))


@pytest.fixture(scope="module")
def combination(tmp_path_factory: pytest.TempPathFactory) -> Shapes:
    """A part with blind bosses that open in its front."""
    return read_again("combination-jack-threaded", Variant(Way("+z", "+y")), tmp_path_factory.mktemp("combination"))


def turned_file(shapes: Shapes, before: Way, way: Way) -> Shapes:
    """Return a file whose part, which stands one way in it, stands another way."""
    matrix = way.matrix.T @ before.matrix

    def vector(of: Vector) -> Vector:
        return Vector(*(float(v) for v in matrix @ np.array(of)))

    def face(of: Face) -> Face:
        ends = np.array([vector(end) for end in of.box])
        box = Vector(*map(float, ends.min(axis=0))), Vector(*map(float, ends.max(axis=0)))
        return replace(of, at=vector(of.at), axis=vector(of.axis), box=box)

    def solid(of: Solid) -> Solid:
        assert of.mesh is not None
        mesh = Mesh(tuple(map(vector, of.mesh.corners)), of.mesh.triangles, of.mesh.of_face, of.mesh.facet)
        return replace(of, faces=tuple(map(face, of.faces)), mesh=mesh)

    return replace(shapes, solids=tuple(map(solid, shapes.solids)))


def test_every_dimension_comes_back_from_a_file_in_inches_rounded_hollow_and_lying(
    socket: Shapes, tmp_path: Path
) -> None:
    assert standing(socket).way.front == "-x"
    found = part_of(socket, tmp_path, Wanted(up="+z"))
    assert differences(PARTS["xlr3-socket"], found) == []
    assert found.system == "inch"
    assert found.cutout == round_(24.0)


@pytest.mark.parametrize("front", AXES)
def test_a_part_is_the_same_whichever_way_it_stands_in_its_file(front: Axis, inlet: Shapes, tmp_path: Path) -> None:
    for up in ups(front):
        way = Way(front, up)
        lying = turned_file(inlet, Way("+z", "+y"), way)
        if up == ups(front)[0]:
            assert standing(lying).way == way
        found = part_of(lying, tmp_path, Wanted(way.front, way.up))
        assert differences(PARTS["iec-c14-fuse"], found) == []
        (tmp_path / "again.yaml").unlink()


def test_a_common_flange_that_lies_on_its_side_is_stood_up_by_its_fixing_holes(socket: Shapes, tmp_path: Path) -> None:
    made = outcome("a file.step", "again", turned_file(socket, SOCKET, Way("+z", "+x")), AS_IT_TELLS)
    assert made.standing.way.up in {"+x", "-x"}
    assert made.found.flange.outline.size == pytest.approx((26, 31))
    assert made.found.fixings is not None
    assert made.found.fixings.at == ((-9.5, 12), (9.5, -12))


def test_a_part_without_fixing_holes_is_asked_for_its_front_and_measured_when_told(
    toggle: Shapes, tmp_path: Path
) -> None:
    with pytest.raises(Unclear, match=r"--front \+z or -z"):
        standing(toggle)
    found = part_of(toggle, tmp_path, Wanted(front="+z"))
    assert differences(PARTS["toggle"], found) == []
    assert found.front[1].cone == (3.0, 5.0)
    assert found.bush is not None
    assert (found.bush.thread, found.bush.length, found.bush.nut_side, found.mount) == (6.1, 8.9, "front", ("rear",))


def test_blind_holes_are_bosses_whose_thread_is_a_guess_to_be_measured_first(
    combination: Shapes, tmp_path: Path
) -> None:
    found = part_of(combination, tmp_path)
    assert differences(PARTS["combination-jack-threaded"], found) == []
    assert found.mount == ("rear",)
    assert found.fixings is not None
    assert found.fixings.boss is not None
    assert (found.fixings.boss.thread, found.fixings.boss.depth) == ("M3", 7.0)
    assert confidence_of(found, "fixings.boss.depth") == "from memory"
    assert confidence_of(found, "rear.0.width") == "as stated"


def test_every_dimension_measured_says_where_it_comes_from(socket: Shapes, tmp_path: Path) -> None:
    found = part_of(socket, tmp_path)
    told = {d.path: d.source.source if d.source is not None else "" for d in dimensions(found)}
    assert told["rear.0.width"] == told["flange.thick"] == "measured from a file.step"
    assert told["cutout.width"] == "follows from rear.0.width"
    assert all(told.values())


def test_a_measured_part_goes_through_every_check(socket: Shapes, tmp_path: Path) -> None:
    part_of(socket, tmp_path, Wanted(up="+z"))
    told = report(tmp_path, place("again"), rest="parts: [again.yaml]")
    assert str(finding(told, "cutout-size").verdict) == "fits"
    assert str(finding(told, "goes-in").verdict) == "fits"
    assert finding(told, "cutout-size").measured == pytest.approx(PLAY)


def test_the_play_suggested_is_what_the_check_of_the_cut_out_calls_fitting() -> None:
    assert PLAY >= PLAY_AIM


def test_up_along_the_front_is_refused(inlet: Shapes) -> None:
    with pytest.raises(DryfitError, match=r"--up -z lies along the front, \+z; expected one of \+y, \+x, -x, -y"):
        standing(inlet, "+z", "-z")


def test_a_part_that_fills_a_room_is_asked_for_its_unit(inlet: Shapes) -> None:
    (solid,) = inlet.solids
    vast = replace(inlet, solids=(replace(solid, box=(Vector(0, 0, 0), Vector(22340, 10, 10))),))
    with pytest.raises(
        DryfitError, match=r"a\.step: measures 22340 mm by its unit, millimetre; expected a part between"
    ):
        outcome("a.step", "again", vast, AS_IT_TELLS)


def test_what_slices_leave_out_is_told_in_mm() -> None:
    slices = (prism(round_(10), 0, 5), prism(round_(6), 5, 8))
    points = np.array([[4.9, 0, 1], [2.9, 0, 7.9], [3.5, 0, 6.0], [0, 0, 8.4]])
    assert strays(points[:2], slices) == 0
    assert strays(points[:3], slices) == pytest.approx(0.5, abs=0.002)
    assert strays(points[3:], slices) == pytest.approx(0.4, abs=0.005)
