"""The barrel in its hole, by hand: a barrel of 20 mm unless said otherwise."""

from __future__ import annotations

from pathlib import Path
from typing import Any

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


BUSH = {"thread": 10, "length": 9, "nut_across": 14, "nut_height": 2}
ON_BUSH: dict[str, Any] = {"fixings": None, "bush": BUSH, "rear": [{"outline": {"round": 10}, "from": 0, "to": 20}]}


@pytest.mark.parametrize(
    ("hole", "verdict", "measured"),
    [
        (11.9, FITS, 1.9),  # it slips 0.95 aside, the nut covers 7 - 5.95 = 1.05
        (12.1, TIGHT, 0.95 - 1.05),
        (14, TIGHT, 0 - 2),
        (14.2, FAILS, -0.1),
    ],
)
def test_a_bush_that_slips_aside_in_a_large_hole_must_be_held_in_the_middle(
    tmp_path: Path, hole: float, verdict: Verdict, measured: float
) -> None:
    made = plain(tmp_path, at(0, cutout=f"{{hole: {hole}}}", hardware="{}"), **ON_BUSH)
    told = [f for f in made.findings if f.check == "cutout-size"]
    assert told[-1].verdict is verdict
    assert told[-1].measured == pytest.approx(measured)


def test_screws_keep_what_they_hold_in_the_middle(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0, cutout="{hole: 27}"))
    assert [f.verdict for f in made.findings if f.check == "cutout-size"] == [FITS]


@pytest.mark.parametrize(
    ("hole", "verdicts"), [(39.5, [FITS]), (39.7, [FITS, TIGHT]), (40, [FITS, TIGHT]), (40.1, [FITS, FAILS])]
)
def test_a_flange_that_shifts_on_its_screws_still_covers_the_hole(
    tmp_path: Path, hole: float, verdicts: list[Verdict]
) -> None:
    """A flange of 40 mm, shifted by 0.2, covers 0.05 of a hole of 39.5 and leaves one of 39.7 open."""
    made = plain(tmp_path, at(0, cutout=f"{{hole: {hole}}}"))
    told = [f for f in made.findings if f.check == "cutout-size"]
    assert [f.verdict for f in told] == verdicts


def test_a_flange_covers_no_more_than_it_does_at_its_least(tmp_path: Path) -> None:
    sources = {"flange.outline.width": {"source": "ours", "confidence": "as stated", "least": 38, "greatest": 42}}
    for hole, verdicts in ((38, [FITS]), (38.2, [FITS, FAILS])):
        made = plain(tmp_path, at(0, cutout=f"{{hole: {hole}}}"), fixings=None, sources=sources)
        assert [f.verdict for f in made.findings if f.check == "cutout-size"] == verdicts


def test_a_nut_of_a_bush_covers_no_more_than_it_does_at_its_least(tmp_path: Path) -> None:
    sources = {"bush.nut_across": {"source": "ours", "confidence": "as stated", "least": 12, "greatest": 14}}
    made = plain(tmp_path, at(0, cutout="{hole: 12.1}", hardware="{}"), **ON_BUSH, sources=sources)
    (_, told) = [f for f in made.findings if f.check == "cutout-size"]
    assert told.verdict is FAILS
    assert told.measured == pytest.approx(-0.05)


@pytest.mark.parametrize(
    ("spots", "says"),
    [
        ("[[25, 0]]", "1 fixing hole stays open beside it, where it has neither screws nor flange."),
        (
            "[[25, 0], [-25, 0]]",
            "2 fixing holes stay open beside it, where it has neither screws nor flange.",
        ),
        ("[[15, 0]]", ""),
    ],
)
def test_fixing_holes_that_nothing_covers_are_told(tmp_path: Path, spots: str, says: str) -> None:
    made = plain(tmp_path, at(0, cutout=f"{{at: {spots}, fixings: 3.2}}", hardware="{}"), **ON_BUSH)
    told = [f.says for f in made.findings if f.check == "cutout-size" and f.verdict is TIGHT]
    assert told == [says] * bool(says)
