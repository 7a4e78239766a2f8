"""``dryfit start --from``: a bought panel, from its drawing to a layout that checks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from dryfit.models.resolve import read_job
from tests.cli.test_commands import run
from tests.generators.intake.drawings import d_hole, dxf, plate


def _bought(document: Any) -> None:
    """Draw a 2 U panel with four D holes, one of them drilled by hand, and two holes that are like nothing."""
    space = document.modelspace()
    plate(space, 482.6, 88.11)
    for x in (8.75, 473.85):
        for y in (5.95, 82.16):
            space.add_circle((x, y), 3.5)
    for x in (60.0, 90.0, 120.0):
        d_hole(space, x, 44.0)
    d_hole(space, 160.0, 44.0, hole=23.6, across=18.5)
    space.add_circle((300.0, 44.0), 2.1)
    space.add_circle((320.0, 44.0), 2.1)


def test_a_bought_panel_becomes_a_layout_with_its_cut_outs_as_they_are(tmp_path: Path) -> None:
    (tmp_path / "panel.dxf").write_bytes(dxf(_bought))
    layout = tmp_path / "box.yaml"
    done = run("start", layout, "--from", tmp_path / "panel.dxf", "--thickness", "2 mm")
    assert done.returncode == 0, done.stderr
    assert "2 U rack panel 482.6 mm x 88.11 mm: 4 places of 2 patterns, 4 mounting holes, 2 holes" in done.stdout
    job = read_job(layout)
    assert (job.panel.rack_units, job.panel.thickness) == (2, 2.0)
    assert [(round(p.x + 241.3, 3), round(p.y + 44.055, 3)) for p in job.places] == [
        (60, 44), (90, 44), (120, 44), (160, 44),
    ]  # fmt: skip
    assert {round(2 * p.cutout.main.corners[0].radius, 3) for p in job.places} == {24, 23.6}
    assert "holes: d-hole" in layout.read_text()
    assert layout.read_text().count("cutout:") == 1
    assert "  - {hole: 4.2, at: [[300, 44], [320, 44]]}" in layout.read_text().splitlines()
    assert len(job.holes()) == 4 + 4 * 3 + 2


def test_a_drawing_without_a_thickness_and_a_file_of_no_kind_are_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "panel.dxf").write_bytes(dxf(_bought))
    (tmp_path / "panel.png").write_bytes(b"x")
    for drawing, more, says in (
        ("panel.dxf", (), "says no thickness, expected --thickness"),
        ("panel.dxf", ("--thickness", "thin"), "--thickness: 'thin' is not a length"),
        ("panel.png", (), "is of no kind that is read"),
    ):
        done = run("start", tmp_path / "box.yaml", "--from", tmp_path / drawing, *more)
        assert (done.returncode, done.stderr.count("\n")) == (2, 1)
        assert says in done.stderr
    assert not (tmp_path / "box.yaml").exists()
