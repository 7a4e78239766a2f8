"""Pictures: what they show, cut open, measured, in the size asked for, with a background or without, the same again."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from dryfit.generators.bodies.meshes import matrix
from dryfit.generators.looks.apart import AIR, ways
from dryfit.generators.looks.gaps import gap_of
from dryfit.generators.looks.scenes import MARKED, scene
from dryfit.generators.looks.views import MOST_CLOSE, VIEWS, bad, close_up
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.generators.writers.offscreen import _heights, _quaternion, render
from dryfit.generators.writers.png import pictures
from dryfit.generators.writers.register import Order
from dryfit.models.findings import Verdict
from dryfit.models.geometry.bodies import Placement
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, job, place

SMALL = (480, 270)
BLACK = "{size: [120, 90], thickness: 2, coating: 0.01, finish: anodised, colour: black}"


@cache
def _trouble() -> Report:
    return judged(read_job(LAYOUTS / "trouble.yaml"))


def _seen(png: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(png)))


def test_every_picture_shows_something_else_and_the_subject_fills_it(tmp_path: Path) -> None:
    report = judged(job(tmp_path, place("xlr3-socket"), panel="{size: [90, 60], thickness: 2}"))
    made = pictures(Order(report, size=SMALL))
    assert list(made)[:5] == ["front.png", "three-quarter.png", "plugs.png", "rear.png", "apart.png"]
    for picture in made.values():
        seen = _seen(picture)
        assert seen.shape == (SMALL[1], SMALL[0], 3)
        assert (seen < 250).any(axis=2).mean() > 0.1
    assert len(set(made.values())) == len(made)
    assert made == pictures(Order(report, size=SMALL))


def test_a_panel_is_seen_in_its_finish_with_its_legend_on_it_and_no_background_where_none_is_wanted(
    tmp_path: Path,
) -> None:
    reports = [judged(job(tmp_path, place("blank-d", legend=text), panel=BLACK)) for text in ("LINE", "none")]
    front = replace(VIEWS["front"], size=(400, 300))
    made = render((str(n), scene(one, front, transparent=True)) for n, one in enumerate(reports))
    with_legend, without = (_seen(made[name]) for name in ("0", "1"))
    assert with_legend.shape == (300, 400, 4)
    assert (with_legend[:3, :, 3] == 0).all()  # above the panel
    panel = without[150, 40]
    assert panel[3] == 255
    assert panel[:3].max() < 60
    white = [(image[..., :3] > 200).all(axis=2).sum() for image in (with_legend, without)]
    assert white[0] > white[1] + 30


def test_every_finding_that_does_not_simply_fit_is_looked_at_closely_the_worst_first() -> None:
    report = _trouble()
    found = bad(report)
    assert len(found) == min(MOST_CLOSE, sum(f.is_bad for f in report.findings))
    assert [f.verdict for f in found] == sorted((f.verdict for f in found), key=lambda v: -v.rank)
    for finding in found:
        view = close_up(report, finding)
        assert (view.gap is None) == (gap_of(report, finding) is None)
        assert view.gap is None or view.cut is not None
        assert view.focus is not None


def test_a_gap_is_found_where_it_was_measured_between_the_bodies_that_are_named() -> None:
    report = _trouble()
    told = {(f.place, f.check): f for f in report.findings if f.is_bad}
    found = {key: gap_of(report, finding) for key, finding in told.items()}
    seats, room, play = found["LS 2", "plug-seats"], found["RETURN 2", "body-room"], found["STAGE", "cutout-size"]
    assert seats is not None
    assert seats.gap == pytest.approx(told["LS 2", "plug-seats"].measured)
    assert {one.role for one in seats.bodies} == {"plug", "screw"}
    assert seats.stop[2] - seats.start[2] == pytest.approx(seats.gap)
    assert room is not None
    assert room.gap == pytest.approx(told["RETURN 2", "body-room"].measured)
    assert {one.name for one in room.bodies} == {"RETURN 2: xlr3-pins", "RETURN 3: xlr3-pins"}
    assert play is not None
    assert play.across
    assert 2 * play.gap == pytest.approx(told["STAGE", "cutout-size"].measured)
    assert found["MIC 3", "screw-length"] is None  # how far a screw stands out is no gap between bodies


def test_a_close_look_shows_the_cut_faces_of_the_bodies_concerned_and_the_figure_of_their_gap() -> None:
    report = _trouble()
    finding = next(f for f in report.findings if (f.place, f.check) == ("LS 1", "nut-room"))
    assert finding.verdict is Verdict.FAILS
    view = replace(close_up(report, finding), size=(600, 450))
    bare = replace(view, gap=None)
    made = render([("told", scene(report, view)), ("bare", scene(report, bare))])
    told, plain = (_seen(made[name]).astype(int) for name in ("told", "bare"))
    for rgb in MARKED:
        near = np.abs(told - np.array(rgb) * 255).max(axis=2) < 6
        assert near.mean() > 0.04, rgb
    differs = np.abs(told - plain).max(axis=2) > 40
    assert 0.002 < differs.mean() < 0.08  # two arrows and a slip of paper, no more


def test_things_pulled_apart_stand_clear_of_each_other_in_the_order_of_assembly() -> None:
    report = _trouble()
    placed = [*zip(report.assembly.instances, ways(report), strict=True)]
    for spot in report.job.places:
        own = [(i, w) for i, w in placed if i.place == spot.name]
        for side in (1, -1):
            end = -1e9
            for rank in sorted({w.rank for _, w in own if w.side == side}):
                ranked = [(i, w) for i, w in own if (w.side, w.rank) == (side, rank)]
                levels = [sorted(side * (z + side * w.apart) for z in (i.box.z0, i.box.z1)) for i, w in ranked]
                assert min(low for low, _ in levels) >= end + AIR - 1e-9 or end == -1e9
                end = max(high for _, high in levels)
    assert {way.apart for one, way in placed if one.role == "panel"} == {0.0}


def test_no_gap_is_drawn_where_things_rest_on_each_other() -> None:
    report = _trouble()
    for finding in report.findings:
        assert gap_of(report, replace(finding, measured=0.0)) is None


@pytest.mark.parametrize("flip", [False, True])
@pytest.mark.parametrize("turn", [0.0, 33.0, 90.0, 180.0, 271.5])
def test_what_the_graphics_library_turns_it_turns_as_placements_do(turn: float, *, flip: bool) -> None:
    spot = Placement(turn=turn, flip=flip)
    w, x, y, z = _quaternion(spot)
    turned = [
        [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
        [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
        [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
    ]
    assert np.allclose(turned, matrix(spot)[:3, :3])


def test_like_things_are_held_once_with_all_their_spots_and_reach_where_they_stand(tmp_path: Path) -> None:
    few, many = (
        scene(
            judged(job(tmp_path, place("xlr3-socket", label='"{n}"', count=n, pitch="30", at="[-75, 0]"))),
            VIEWS["rear"],
        )
        for n in ("1", "6")
    )
    assert {len(piece.spots) for piece in many.pieces} >= {1, 6, 12}  # the panel, the parts, their screws
    held = [sum(len(p.points) for p in each.pieces if not p.flat) for each in (few, many)]
    assert held[1] < 2 * held[0]  # only the panel has more holes
    right = np.array([1.0, 0.0, 0.0])
    part = max((p for p in many.pieces if len(p.spots) == 6), key=lambda p: p.reach(right)[1])
    assert part.reach(right) == pytest.approx((-75 - 13.0, 75 + 13.0))


def test_of_a_sliver_the_height_is_told_whichever_side_is_the_long_one() -> None:
    flat, tall = [(0, 0, 0), (300, 0, 0), (100, 5e-4, 0)], [(0, 0, 0), (3, 0, 0), (0, 0, 4)]
    corners = np.array([flat, flat[1:] + flat[:1], tall, [(1, 1, 1)] * 3], dtype=float)
    assert _heights(corners) == pytest.approx([5e-4, 5e-4, 2.4, 0.0])
