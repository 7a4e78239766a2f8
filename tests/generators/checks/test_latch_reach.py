"""The latch's release and the finger, by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding, place
from tests.plain import PANEL, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
POST: dict[str, Any] = {
    "title": "Post",
    "family": "test",
    "flange": {"outline": {"round": 8}, "thick": 1},
    "cutout": {"round": 6},
    "front": [{"outline": {"round": 8}, "from": 0, "to": 40}],
    "rear": [{"outline": {"round": 5}, "from": 0, "to": 10}],
}
"""A post of 8 mm that stands 41 mm out of the panel."""


def _latch(height: float, **more: Any) -> dict[str, Any]:
    return {"on": "part", "at": [0, 10], "height": height, "finger": {"box": [12, 30]}, "deep": 12, **more}


@pytest.mark.parametrize(
    ("height", "shows", "verdict"), [(3.5, None, FITS), (3.4, 0.4, TIGHT), (3.0, 0.0, FAILS), (2.5, -0.5, FAILS)]
)
def test_behind_a_panel_of_3_mm_the_release_must_stand_higher_than_that(
    tmp_path: Path, height: float, shows: float | None, verdict: Verdict
) -> None:
    found = finding(plain(tmp_path, at(0, mount="rear"), latch=_latch(height)), "latch-reach")
    assert found.verdict is verdict, found.says
    if shows is not None:
        assert found.measured == pytest.approx(shows)


def test_coating_hides_a_release_behind_it(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.1}")
    found = finding(plain(tmp_path, at(0, mount="rear"), coated, latch=_latch(3.6)), "latch-reach")
    assert found.measured == pytest.approx(3.6 - 3.2)


@pytest.mark.parametrize(
    ("spot", "turn", "part_turn", "verdict"),
    [
        ("[0, 29.1]", "0", "0", FITS),  # the finger reaches 10 + 15 mm up, the post 4 mm down
        ("[0, 28.9]", "0", "0", FAILS),
        ("[0, -28.9]", "0", "0", FITS),
        ("[0, -28.9]", "180", "0", FAILS),  # part and cut-out turned
        ("[0, -28.9]", "0", "180", FAILS),  # the part alone turned
        ("[-28.9, 0]", "90", "0", FAILS),
        ("[28.9, 0]", "90", "0", FITS),
    ],
)
def test_a_finger_must_pass_what_stands_beside_the_release(
    tmp_path: Path, spot: str, turn: str, part_turn: str, verdict: Verdict
) -> None:
    places = f"{at(0, turn=turn, part_turn=part_turn)}\n{place('post', label='B', at=spot)}"
    made = plain(tmp_path, places, also={"post": POST}, latch=_latch(2))
    found = finding(made, "latch-reach")
    assert found.verdict is verdict, found.says


@pytest.mark.parametrize(("tall", "verdict"), [(2.9, FITS), (3.1, FAILS), (40, FAILS)])
def test_only_what_stands_higher_than_the_release_hinders(tmp_path: Path, tall: float, verdict: Verdict) -> None:
    post = {**POST, "front": [{"outline": {"round": 8}, "from": 0, "to": tall}]}
    places = f"{at(0)}\n{place('post', label='B', at='[0, 28.9]')}"
    made = plain(tmp_path, places, also={"post": post}, latch=_latch(2))  # at 2 + 2 mm; the post's flange is 1 mm
    assert finding(made, "latch-reach").verdict is verdict


def test_a_latch_on_the_plug_is_not_asked_without_one(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0), latch=_latch(2, on="plug"))
    assert [f for f in made.findings if f.check == "latch-reach"] == []
