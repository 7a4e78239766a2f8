"""The true solid of a part: kept by its part file, held by its sections, handed over in their stead."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryfit.generators.intake.measuring.outcome import FACET, Wanted, outcome, write_part
from dryfit.generators.intake.measuring.turned import Way
from dryfit.generators.intake.reading.step import read_step
from dryfit.generators.intake.solids import reals
from dryfit.generators.intake.solids.enclosed import furthest_stray
from dryfit.generators.intake.solids.reals import with_solids
from dryfit.generators.looks.scenes import View, scene
from dryfit.generators.page.contents import contents
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, named
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.geometry.bodies import Slice, Taper, prism
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import Job
from dryfit.models.reading.errors import DryfitError, InputError
from dryfit.models.reading.stepfile import LARGEST_STEP
from dryfit.models.resolve import parse_job
from tests.measuring import Variant, written

LAYOUT = """
title: Own sockets
parts: [my-socket.yaml]
panel: {size: [120 mm, 60 mm], thickness: 2 mm, material: aluminium}
places:
  - {part: my-socket, label: A, at: [35 mm, 30 mm]}
  - {part: my-socket, label: B, at: [85 mm, 30 mm], turn: 90}
"""
MORE = "\n  my-other: {like: my-socket, title: Another}\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a socket's solid, its edges round, hollow from behind, lying, in inches; and its part file."""
    folder = tmp_path_factory.mktemp("own")
    path = folder / "My Socket.step"
    written("xlr3-socket", load_catalogue().parts["xlr3-socket"], Variant(Way("-x", "+z"), "INCH", 0.3, True), path)
    made = outcome(path.name, "my-socket", read_step(path, FACET), Wanted(up="+z"))
    write_part(made, folder / "my-socket.yaml")
    return folder


@pytest.fixture(scope="module")
def report(folder: Path) -> Report:
    return with_solids(judged(job_in(folder)))


def job_in(folder: Path) -> Job:
    return parse_job(folder / "box.yaml", LAYOUT)


def solids_in(path: Path) -> list[Any]:
    from cadquery import importers

    found: list[Any] = importers.importStep(str(path)).solids().vals()
    return found


def rewritten(folder: Path, before: str, after: str) -> Path:
    """Return a folder below with the same solid, and the part file with something else in it."""
    below = folder / f"{abs(hash(after))}"
    below.mkdir(exist_ok=True)
    (below / "My Socket.step").write_bytes((folder / "My Socket.step").read_bytes())
    text = (folder / "my-socket.yaml").read_text()
    assert before in text
    (below / "my-socket.yaml").write_text(text.replace(before, after))
    return below


def test_every_part_in_the_assembly_is_its_true_solid(folder: Path, report: Report) -> None:
    path = folder / "assembly.step"
    named("assembly.step").make(Order(report), path)
    (true,) = solids_in(folder / "My Socket.step")
    parts = [one for one in solids_in(path) if one.BoundingBox().zlen > 30]
    assert [part.Volume() for part in parts] == pytest.approx([true.Volume()] * 2, rel=1e-6)
    assert [part.isValid() for part in parts] == [True, True]
    for place in report.job.places:
        box = next(b for b in (part.BoundingBox() for part in parts) if abs(b.center.x - place.x - 60) < 10)
        (x, y), (dx, dy) = (place.x + 60, place.y + 30), place.flange.size  # seen from the corner of the panel
        assert (box.xmin, box.xmax) == pytest.approx((x - dx / 2, x + dx / 2), abs=0.01)
        assert (box.ymin, box.ymax) == pytest.approx((y - dy / 2, y + dy / 2), abs=0.01)
        deep = max(section.stop for section in place.part.rear)
        assert (box.zmin, box.zmax) == pytest.approx((-deep, 4.4), abs=0.01)


def test_a_solid_that_stands_out_of_its_sections_is_told_with_where_and_how_far(folder: Path) -> None:
    narrower = rewritten(folder, "round: 23.8 mm", "round: 23.2 mm")
    with pytest.raises(InputError) as told:
        with_solids(judged(job_in(narrower)))
    assert "the solid 'My Socket.step' stands 0.3 mm out of the sections of my-socket at x" in str(told.value)
    assert "my-socket.yaml:" in str(told.value)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("none.step", "there is no such file"),
        ("../My Socket.step", "lies outside the folder of the part file"),
        ("my-socket.yaml", "is no STEP file by its name"),
        ("text.step", "is no STEP file, expected one that begins with ISO-10303-21"),
        ("huge.stp", "is too large"),
    ],
)
def test_a_solid_that_is_none_is_refused_in_one_line_of_the_part_file(name: str, told: str, folder: Path) -> None:
    below = rewritten(folder, '"My Socket.step"', f'"{name}"')
    (below / "text.step").write_text("no such thing")
    with (below / "huge.stp").open("wb") as stream:
        stream.truncate(LARGEST_STEP + 1)  # sparse: it takes no room
    with pytest.raises(InputError) as refused:
        job_in(below)
    (line,) = str(refused.value).splitlines()
    assert told in line
    assert "my-socket.yaml:" in line


def test_another_solid_is_another_job(folder: Path) -> None:
    before = job_in(folder)
    below = rewritten(folder, "measured from", "measured from")
    assert job_in(below).digest == before.digest
    with (below / "My Socket.step").open("a") as stream:
        stream.write("/* */\n")
    assert job_in(below).digest != before.digest


def test_a_part_that_is_like_another_has_not_its_solid(folder: Path) -> None:
    below = rewritten(folder, "parts:\n", f"parts:{MORE}")
    assert list(load_catalogue([below / "my-socket.yaml"]).solids) == ["my-socket"]


def test_a_solid_is_read_once(report: Report, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reals, "in_child", lambda *_: pytest.fail("it was read again"))
    again = with_solids(replace(report, reals={}))
    assert again.reals["my-socket"] is report.reals["my-socket"]


def test_no_file_is_made_of_a_solid_that_is_not_sound(report: Report, tmp_path: Path) -> None:
    broken = replace(report, reals={"my-socket": replace(report.reals["my-socket"], sound=False)})
    with pytest.raises(DryfitError, match=r"the solid My Socket.step is not sound"):
        named("assembly.step").make(Order(broken), tmp_path / "assembly.step")
    assert not list(tmp_path.iterdir())


def test_pictures_show_the_true_solid_where_it_stands(report: Report) -> None:
    real = report.reals["my-socket"]
    assert len(real.shown.triangles) < len(real.skin.triangles)
    shown = scene(report, View((0.0, 0.0, -1.0)))
    (piece,) = (piece for piece in shown.pieces if piece.points is real.shown.corners)
    assert sorted((spot.x, spot.turn) for spot in piece.spots) == [(-25.0, 0.0), (25.0, 90.0)]
    as_judged = scene(replace(report, reals={}), View((0.0, 0.0, -1.0)))
    assert shown.triangles != as_judged.triangles


def test_the_model_for_viewers_has_the_true_solid_once_for_both_places(report: Report, tmp_path: Path) -> None:
    import trimesh

    named("assembly.glb").make(Order(report), tmp_path / "assembly.glb")
    found = trimesh.load_scene(tmp_path / "assembly.glb")
    (name,) = (name for name in found.geometry if name.startswith("my-socket"))
    real = report.reals["my-socket"].shown
    drawn: Any = found.geometry[name]
    assert drawn.volume * 1e9 == pytest.approx(trimesh.Trimesh(real.corners, real.triangles).volume, rel=1e-3)
    assert len(found.graph.geometry_nodes[name]) == 2


def test_the_page_draws_the_true_solid_once_in_the_finish_of_its_part(report: Report) -> None:
    told = contents(report)
    parts = [one for one in told["instances"] if one["role"] == "part"]
    (number,) = {one["look"] for one in parts}
    (piece,) = told["looks"][number]
    shown = report.reals["my-socket"].shown
    assert len(piece["faces"]) == shown.triangles.size
    assert max(piece["points"]) == round(shown.corners.max() * 100)
    assert told["finishes"][piece["finish"]] == [parts[0]["colour"], parts[0]["metal"]]


# --- held everywhere -------------------------------------------------------------------------------------------------

TRIANGLE = np.array([[0, 1, 2]])


def test_a_side_that_stands_out_between_its_corners_is_found() -> None:
    slices = (prism(round_(20), 0, 1), prism(round_(4), 1, 10))
    sloping = np.array([(9.0, 0.0, 0.5), (9.0, 0.1, 0.5), (1.0, 0.0, 9.5)])  # each of the three is held
    stray = furthest_stray(sloping, TRIANGLE, slices)
    at_the_step = 9 - 8 * 0.5 / 9
    assert (stray.by, stray.x, stray.z) == pytest.approx((at_the_step - 2, at_the_step, 1.0), abs=0.01)


def test_what_slices_hold_is_held_at_their_levels_and_along_their_cones() -> None:
    slices = (Slice(Taper(10, 20), 0, 5), prism(round_(4), 5, 10))
    along = np.array([(5.0, 0.0, 0.0), (10.0, 0.0, 5.0), (2.0, 0.0, 5.0)])
    assert furthest_stray(along, TRIANGLE, slices).by == pytest.approx(0, abs=1e-9)
    assert furthest_stray(along + np.array([0.2, 0, 0]), TRIANGLE, slices).by == pytest.approx(0.2)


def test_what_lies_beyond_or_between_slices_stands_out() -> None:
    slices = (prism(round_(20), 0, 1), prism(round_(20), 3, 10))
    flat = np.array([(1.0, 0.0, 10.5), (0.0, 1.0, 10.5), (0.0, 0.0, 9.0)])
    assert furthest_stray(flat, TRIANGLE, slices).by == pytest.approx(0.5, abs=0.01)
    assert furthest_stray(flat - np.array([0, 0, 8.5]), TRIANGLE, slices).by == pytest.approx(2)  # from 0.5 to 2


def test_a_piece_that_lies_in_two_slices_side_by_side_and_in_neither_whole_stands_out() -> None:
    slices = (prism(round_(4).moved(-5, 0), 0, 4), prism(round_(4).moved(5, 0), 0, 4))
    across = np.array([(-5.0, 0.0, 1.0), (5.0, 0.0, 1.0), (5.0, 0.0, 3.0)])
    assert furthest_stray(across, TRIANGLE, slices).by == pytest.approx(8, abs=0.01)
