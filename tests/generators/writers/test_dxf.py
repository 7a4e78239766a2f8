"""The cutting file, read back by readers that share no code with its writer: what a shop gets is what the job says."""

from __future__ import annotations

import io
import math
import os
import struct
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.bodies.blank import blank
from dryfit.generators.bodies.lips import RELIEF_PAST
from dryfit.generators.lettering.legends import legends
from dryfit.generators.writers.dxf import LAYERS, STROKES, dxf_bytes
from dryfit.models.geometry.outlines import Outline, box, d_shape, hexagon, polygon, round_, slot
from dryfit.models.job import Job
from dryfit.models.panel import Hole
from tests.generators.drawing.jobs import JOBS, SINK, eight, lone_hole, one, twenty_four
from tests.generators.writers.dxf_reader import Entity, File, read
from tests.helpers import ROOT

CLOSE = 1e-3  # mm; the accuracy a cutting file is asked for, far finer than any cut
METAL = ("outline", "cut")  # layers that are cut through


@pytest.fixture(scope="module", params=JOBS)
def made(request: pytest.FixtureRequest) -> tuple[Job, File]:
    job = JOBS[request.param]()
    return job, read(dxf_bytes(job))


def _spot(job: Job, hole: Hole) -> tuple[float, float]:
    """Return the centre of a hole from the lower left corner of the panel."""
    x, y = hole.outline.centre
    return (x + job.panel.width / 2, y + job.panel.height / 2)


def test_millimetres_are_declared_and_every_layer_is_there(made: tuple[Job, File]) -> None:
    _, file = made
    assert file.header["$INSUNITS"].strip() == "4"  # 4: millimetres
    assert file.header["$MEASUREMENT"].strip() == "1"  # 1: metric
    assert file.header["$ACADVER"] == "AC1024"  # R2010
    assert set(LAYERS) <= set(file.layers)
    assert {entity.layer for entity in file.entities} <= set(LAYERS)


def test_every_hole_is_cut_once_at_its_place_and_size(made: tuple[Job, File]) -> None:
    job, file = made
    round_holes = [h for h in job.holes() if h.outline.is_circle]
    circles = [e for e in file.on("cut") if e.kind == "CIRCLE"]
    assert len(file.on("cut")) == len(job.holes())
    assert len(circles) == len(round_holes)
    for hole in round_holes:
        (found,) = (e for e in circles if math.dist(e.points[0], _spot(job, hole)) < CLOSE)
        assert 2 * found.radius == pytest.approx(hole.outline.size.width, abs=CLOSE)


def test_other_cut_outs_have_their_area_where_they_belong(made: tuple[Job, File]) -> None:
    job, file = made
    holes = [h for h in job.holes() if not h.outline.is_circle]
    shapes = [e for e in file.on("cut") if e.kind == "LWPOLYLINE"]
    assert len(shapes) == len(holes)
    for hole in holes:
        (found,) = (e for e in shapes if math.dist(e.points[0], _spot(job, hole)) < max(hole.outline.size))
        assert found.area == pytest.approx(hole.outline.area, abs=CLOSE)


def _box(entity: Entity) -> tuple[float, float, float, float]:
    xs, ys = zip(*entity.points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def test_every_contour_is_closed_and_nothing_else_is_cut(made: tuple[Job, File]) -> None:
    _, file = made
    for layer in (*METAL, "countersink front", "countersink rear", "engrave"):
        assert all(e.kind in ("CIRCLE", "LWPOLYLINE") and e.is_closed for e in file.on(layer))
    assert len(file.on("outline")) == 1
    assert {e.kind for e in file.on("notes")} == {"TEXT"}


def test_nothing_is_drawn_twice_and_no_contour_has_a_point_twice(made: tuple[Job, File]) -> None:
    _, file = made
    seen = [
        (e.kind, e.layer, tuple(sorted((round(x, 4), round(y, 4)) for x, y in e.points)), e.values(40))
        for e in file.entities
    ]
    assert len(seen) == len(set(seen))
    for entity in (e for e in file.entities if e.kind == "LWPOLYLINE"):
        points = entity.points
        assert all(math.dist(a, b) > 1e-6 for a, b in zip(points, points[1:] + points[:1], strict=True))


def test_cut_contours_lie_within_the_blank_and_clear_of_each_other(made: tuple[Job, File]) -> None:
    _, file = made
    (outline,) = file.on("outline")
    x0, y0, x1, y1 = _box(outline)
    for entity in file.on("cut"):
        reach = entity.radius if entity.kind == "CIRCLE" else 0.0
        left, bottom, right, top = _box(entity)
        assert x0 < left - reach
        assert y0 < bottom - reach
        assert right + reach < x1
        assert top + reach < y1
    circles = [e for e in file.on("cut") if e.kind == "CIRCLE"]
    near = ((a, b) for a, b in combinations(circles, 2) if abs(a.points[0][0] - b.points[0][0]) < 30)
    assert all(math.dist(a.points[0], b.points[0]) > a.radius + b.radius for a, b in near)


def test_legends_are_outlines_on_the_engrave_layer(made: tuple[Job, File]) -> None:
    job, file = made
    letters = file.on("engrave")
    assert len(letters) == sum(len(legend.loops) for legend in legends(job)) > 0
    left, bottom, right, top = legends(job)[0].outline.box
    dx, dy = job.panel.width / 2, job.panel.height / 2
    first = [_box(e) for e in letters[: len(legends(job)[0].loops)]]
    assert min(b[0] for b in first) >= left + dx - CLOSE
    assert max(b[2] for b in first) <= right + dx + CLOSE
    assert min(b[1] for b in first) == pytest.approx(bottom + dy, abs=CLOSE)
    assert max(b[3] for b in first) == pytest.approx(top + dy, abs=CLOSE)


def test_the_writers_own_library_finds_nothing_to_mend(made: tuple[Job, File]) -> None:
    from ezdxf.filemanagement import read as read_drawing

    auditor = read_drawing(io.StringIO(made[1].data.decode("utf-8"))).audit()
    assert list(auditor.errors) == []
    assert list(auditor.fixes) == []


def test_a_second_library_reads_the_same_contours(made: tuple[Job, File], tmp_path: Path) -> None:
    job, file = made
    shapes = list(_rings(file.data, tmp_path / "panel.dxf"))
    assert all(math.dist(points[0], points[-1]) < CLOSE for layer, points in shapes if layer not in {"bend", STROKES})
    assert len([layer for layer, _ in shapes if layer == "cut"]) == len(job.holes())
    cut = [points for layer, points in shapes if layer == "cut"]
    for hole in job.holes():
        spot = _spot(job, hole)
        points = min(cut, key=lambda ring: math.dist(_middle(ring), spot))
        if hole.outline.is_circle:
            assert math.dist(_middle(points), spot) < CLOSE
            assert all(2 * math.dist(p, spot) == pytest.approx(hole.outline.size.width, abs=CLOSE) for p in points)
        else:
            wanted = hole.outline.moved(job.panel.width / 2, job.panel.height / 2).box
            assert _extent(points) == pytest.approx(wanted, abs=0.01)  # chords of 4 degrees lie so far inside an arc


def _middle(ring: list[tuple[float, float]]) -> tuple[float, float]:
    """Return the mean of a closed ring's points, the closing point left out."""
    xs, ys = zip(*ring[:-1], strict=True)
    return (sum(xs) / len(xs), sum(ys) / len(ys))


def _rings(data: bytes, path: Path) -> Iterator[tuple[str, list[tuple[float, float]]]]:
    """Yield layer and points of every line that GDAL's reader sees: arcs become chords with their ends on the arc."""
    from pyogrio.raw import read as read_features  # type: ignore[import-untyped]

    path.write_bytes(data)
    _, _, shapes, (layers,) = read_features(path, columns=["Layer"])
    for layer, shape in zip(layers, shapes, strict=True):
        kind, count = struct.unpack_from("<II", shape, 1)  # well-known binary: byte order, type, number of points
        if kind & 0xFF == 2:  # a line; texts come as points
            numbers = struct.unpack_from(f"<{3 * count}d" if kind & 0x80000000 else f"<{2 * count}d", shape, 9)
            step = 3 if kind & 0x80000000 else 2
            yield layer, list(zip(numbers[::step], numbers[1::step], strict=True))


def _extent(points: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def test_countersinks_lie_on_the_layer_of_their_side() -> None:
    job, file = eight(), read(dxf_bytes(eight()))
    for side in ("front", "rear"):
        sunk = [h for h in job.holes() if h.countersink is not None and h.sunk_from == side]
        circles = file.on(f"countersink {side}")
        assert len(circles) == len(sunk) == 2
        assert {round(2 * c.radius, 4) for c in circles} == {SINK.diameter}
        assert sorted(c.points[0] for c in circles) == [
            pytest.approx(spot) for spot in sorted(_spot(job, h) for h in sunk)
        ]


def test_a_flat_panel_is_its_own_blank() -> None:
    job = one()
    (outline,) = read(dxf_bytes(job)).on("outline")
    assert _box(outline) == pytest.approx((0, 0, job.panel.width, job.panel.height), abs=CLOSE)
    corners = (4 - math.pi) * job.panel.corner**2
    assert outline.area == pytest.approx(job.panel.width * job.panel.height - corners, abs=CLOSE)
    assert read(dxf_bytes(job)).on("bend") == ()


def test_lips_are_laid_flat_with_bend_lines_and_allowance() -> None:
    job = twenty_four()
    panel, file = job.panel, read(dxf_bytes(job))
    assert panel.bend_radius == panel.thickness  # so that the correction factor of DIN 6935 is 0.65, and K half of it
    allowance = math.pi / 2 * (panel.bend_radius + 0.325 * panel.thickness)
    flat = panel.height - 2 * (panel.bend_radius + panel.thickness)
    (outline,) = file.on("outline")
    _, bottom, _, top = _box(outline)
    assert top - bottom == pytest.approx(flat + 2 * allowance + 2 * (panel.lip - panel.bend_radius), abs=CLOSE)
    lines = sorted((e.values(20)[0], e.values(21)[0]) for e in file.on("bend"))
    assert {e.kind for e in file.on("bend")} == {"LINE"}
    middle = panel.height / 2
    offset = flat / 2 + allowance / 2
    assert lines == [pytest.approx((y, y), abs=CLOSE) for y in (middle - offset, middle + offset)]
    ends = [(e.values(10)[0], e.values(11)[0]) for e in file.on("bend")]
    middle = panel.width / 2
    assert ends == [pytest.approx((middle - panel.lip_length / 2, middle + panel.lip_length / 2))] * 2


def test_the_blank_of_lips_has_the_area_of_its_pieces() -> None:
    panel = replace(twenty_four().panel, corner=2.0)
    (outline,) = read(dxf_bytes(replace(twenty_four(), panel=panel))).on("outline")
    end = blank(panel).height / 2
    past_bend = panel.bend_radius + panel.thickness + RELIEF_PAST
    lips = 2 * panel.lip_length * (end - panel.height / 2)
    reliefs = 4 * panel.lip_relief * past_bend
    corners = (4 - math.pi) * panel.corner**2
    assert outline.area == pytest.approx(panel.width * panel.height - corners - reliefs + lips, abs=CLOSE)


@pytest.mark.parametrize(
    "outline",
    [
        round_(24),
        slot(10.3, 6.8),
        box(26, 31, 3),
        box(26, 31),
        hexagon(20),
        d_shape(12.9, 12),
        d_shape(12.9, 12).turned(37),
        polygon(((-13.5, -9.5), (13.5, -9.5), (13.5, 4.5), (8.5, 9.5), (-8.5, 9.5), (-13.5, 4.5)), 1.0),
    ],
)
def test_every_shape_of_hole_keeps_its_true_area(outline: Outline) -> None:
    (hole,) = read(dxf_bytes(lone_hole(outline))).on("cut")
    assert hole.area == pytest.approx(outline.area, abs=1e-6)


def test_kerf_and_coating_are_told_in_the_notes() -> None:
    texts = [value for e in read(dxf_bytes(eight())).on("notes") for code, value in e.pairs if code == 1]
    assert any("kerf" in text.lower() for text in texts)
    assert any("60 um" in text for text in texts)
    assert any(
        "K-factor 0.325 (DIN 6935)" in text for e in read(dxf_bytes(twenty_four())).on("notes") for _, text in e.pairs
    )


def test_a_title_with_control_signs_is_shown_as_it_is() -> None:
    from ezdxf.filemanagement import read as read_drawing

    title = 'A 50 % off "panel" %%c ^J \\P <&> Ünï'
    data = dxf_bytes(replace(one(), title=title))
    found: list[Any] = list(read_drawing(io.StringIO(data.decode("utf-8"))).modelspace().query("TEXT"))
    shown = [text.plain_text() for text in found]
    assert any(line.startswith('A 50 % off "panel" %') and "Ünï" in line for line in shown)
    assert all("\n" not in line for line in shown)


_WRITE = """
import sys
from dryfit.generators.writers.dxf import dxf_bytes
from tests.generators.drawing.jobs import eight
sys.stdout.buffer.write(dxf_bytes(eight()))
"""


def test_same_job_same_bytes_in_another_process() -> None:
    env = {**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path])}
    other = subprocess.run([sys.executable, "-c", _WRITE], check=True, capture_output=True, env=env)
    assert other.stdout == dxf_bytes(eight())
