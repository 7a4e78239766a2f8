"""The barrel in its hole, by hand: a barrel of 20 mm unless said otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import PANEL, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


@pytest.mark.parametrize(
    ("hole", "play", "verdict"),
    [(22, 2.0, FITS), (20.15, 0.15, FITS), (20.14, 0.14, TIGHT), (20, 0.0, TIGHT), (19.9, -0.1, FAILS)],
)
def test_play_is_the_hole_less_the_barrel(tmp_path: Path, hole: float, play: float, verdict: Verdict) -> None:
    found = finding(plain(tmp_path, at(0, cutout=f"{{hole: {hole}}}")), "cutout-size")
    assert found.verdict is verdict
    assert found.measured == pytest.approx(play)


def test_coating_on_the_wall_takes_twice_its_thickness(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.08}")
    found = finding(plain(tmp_path, at(0, cutout="{hole: 22}"), coated), "cutout-size")
    assert found.measured == pytest.approx(22 - 20 - 2 * 0.08)


def test_the_tighter_way_across_a_box_decides(tmp_path: Path) -> None:
    made = plain(
        tmp_path, at(0), cutout={"box": [20.6, 10.3]}, rear=[{"outline": {"box": [20, 10]}, "from": 0, "to": 20}]
    )
    assert finding(made, "cutout-size").measured == pytest.approx(0.3)


def test_a_box_turned_in_its_cut_out_does_not_pass_it(tmp_path: Path) -> None:
    rear = [{"outline": {"box": [20, 10]}, "from": 0, "to": 20}]
    made = plain(tmp_path, at(0, part_turn="90"), cutout={"box": [20.6, 10.3]}, rear=rear)
    found = finding(made, "cutout-size")
    assert found.verdict is FAILS
    assert found.measured == pytest.approx(10.3 - 20)


def test_a_hole_that_shows_beside_the_flange_fails(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0, cutout="{hole: 44}"), fixings=None)  # a flange of 40 mm: 2 mm show on each side
    told = [f for f in made.findings if f.check == "cutout-size" and "flange" in f.says]
    assert [f.verdict for f in told] == [FAILS]
    assert told[0].measured == pytest.approx(20 - 22)


def test_a_flange_just_as_wide_as_the_hole_covers_it(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0, cutout="{hole: 40}"), fixings=None)
    assert [f.verdict for f in made.findings if f.check == "cutout-size"] == [FITS]


def test_the_remedy_opens_the_hole_to_the_next_tenth_that_leaves_play(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.08}")
    found = finding(plain(tmp_path, at(0, cutout="{hole: 20.1}"), coated), "cutout-size")
    assert found.verdict is FAILS  # 20.1 - 0.16 - 20
    assert "20.4 mm" in str(found.remedy)  # 20 + 0.16 + 0.15 = 20.31
