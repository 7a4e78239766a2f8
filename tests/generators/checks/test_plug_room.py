"""plug-room: the hand that turns a quarter-turn plug, 29 mm across, beside what stands next to it."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.findings import Verdict
from tests.helpers import finding, place, report

PANEL = "{size: [200 mm, 100 mm], thickness: 2 mm}"


def _beside(folder: Path, apart: float, part: str = "loudspeaker-4", **keys: str) -> tuple[Verdict, float | None]:
    places = place("loudspeaker-4") + "\n" + place(part, label="B", at=f"[{apart}, 0]", **keys)
    found = finding(report(folder, places, PANEL), "plug-room")
    return found.verdict, found.margin


def test_a_hand_keeps_half_of_29_mm_from_the_plug_beside_it(tmp_path: Path) -> None:
    # the next plug's body is 28 mm across: 40 - 29 / 2 - 28 / 2 = 11.5
    verdict, margin = _beside(tmp_path, 40)
    assert verdict is Verdict.FITS
    assert margin == pytest.approx(40 - 14.5 - _widest_plug() / 2)


def test_a_plug_within_the_hand_has_to_be_drawn_first(tmp_path: Path) -> None:
    apart = 14.5 + _widest_plug() / 2 - 0.2
    verdict, margin = _beside(tmp_path, apart)
    assert verdict is Verdict.TIGHT
    assert margin == pytest.approx(-0.2)


def test_a_part_without_a_plug_may_stand_nearer_unless_it_is_as_high_as_the_hand(tmp_path: Path) -> None:
    # a plate of 3.2 mm stays behind the shoulder of the plug, which is 4.9 mm in front of the panel
    assert _beside(tmp_path, 27, "blank-d") == (Verdict.FITS, None)
    verdict, margin = _beside(tmp_path, 16, "toggle", mount="rear")
    assert verdict is Verdict.FAILS
    assert margin is not None
    assert margin < 0


def test_a_plug_that_is_only_pushed_asks_for_no_hand(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"), PANEL)
    assert not [f for f in made.findings if f.check == "plug-room"]


def _widest_plug() -> float:
    return max(s.ahead(0.0).profile.widest.size.width for s in load_catalogue().plugs["loudspeaker-plug-4"].body)
