"""Mains beside signals: distances between flanges of 40 mm, and who brings an earth."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Finding, Verdict
from tests.helpers import place
from tests.plain import M3, PANEL, PART, about, asked, at, length

FITS, TIGHT = Verdict.FITS, Verdict.TIGHT
MAINS: dict[str, Any] = {**PART, "mains": True, "earth": True}
ABS = PANEL.replace("}", ", material: ABS}")


def _mains(x: float, label: str = "M", **keys: str) -> str:
    return place("mains", at=f"[{x}, 0]", label=label, hardware=M3, **keys)


def _told(folder: Path, places: str, panel: str = PANEL, mains: Any = None) -> list[Finding]:
    made = asked(folder, places, panel, also={"mains": mains or MAINS})
    return [f for f in made.findings if f.check == "mains-care"]


@pytest.mark.parametrize(("apart", "verdict"), [(46.0, FITS), (45.9, TIGHT), (40.0, TIGHT), (60, FITS)])
@pytest.mark.parametrize("sign", [1, -1])
def test_mains_keeps_6_mm_from_signals(tmp_path: Path, sign: int, apart: float, verdict: Verdict) -> None:
    (found,) = _told(tmp_path, f"{_mains(0)}\n{at(sign * apart)}")
    assert (found.place, found.verdict, found.beside) == ("M", verdict, ("A",))
    assert found.measured == pytest.approx(apart - 40)
    assert found.limit == 6
    assert (found.bodies, found.view) == (("M: mains", "A: plain"), "rear")


def test_the_nearest_signal_is_told(tmp_path: Path) -> None:
    (found,) = _told(tmp_path, f"{at(-70, label='L')}\n{_mains(0)}\n{at(50, label='R')}")
    assert found.beside == ("R",)
    assert found.measured == pytest.approx(10)


def test_another_mains_part_is_no_signal(tmp_path: Path) -> None:
    found = _told(tmp_path, f"{_mains(-21)}\n{_mains(21, 'N')}\n{at(70)}")
    assert [(f.place, f.verdict) for f in found] == [("M", FITS), ("N", FITS)]
    assert [f.beside for f in found] == [("A",), ("A",)]


def test_alone_it_is_near_nothing(tmp_path: Path) -> None:
    (found,) = _told(tmp_path, _mains(0))
    assert (found.verdict, found.says, found.measured) == (FITS, "No signal part is near it.", None)


def test_bodies_that_lap_are_no_nearer_than_six_below_nothing(tmp_path: Path) -> None:
    (found,) = _told(tmp_path, f"{_mains(0)}\n{at(30)}")
    assert (found.verdict, found.measured) == (TIGHT, -6)
    assert "is 0 mm from it" in found.says


def test_a_metal_panel_needs_a_part_with_an_earth(tmp_path: Path) -> None:
    no_earth = {**MAINS, "earth": False}
    (found,) = _told(tmp_path, _mains(0), mains=no_earth)
    assert (found.verdict, "earth point" in found.says) == (TIGHT, True)
    assert found.view == "rear"
    assert _told(tmp_path, _mains(0), ABS, no_earth)[0].verdict is FITS
    made = asked(tmp_path, f"{_mains(0)}\n{place('earthed', at='[70, 0]', label='E', hardware=M3)}",
                 also={"mains": no_earth, "earthed": {**PART, "earth": True}})  # fmt: skip
    assert [f.verdict for f in made.findings if f.check == "mains-care"] == [FITS]


def test_signals_alone_are_asked_nothing(tmp_path: Path) -> None:
    assert _told(tmp_path, at(0)) == []


SOURCE = "common practice; local codes decide, and who may do the work: leave it to a licensed person"


@pytest.mark.parametrize(
    ("apart", "verdict", "how"), [(47, FITS, "7 mm"), (46, FITS, "6 mm"), (45.9, TIGHT, "5.9 mm"), (39, TIGHT, "0 mm")]
)
def test_the_distance_to_a_signal_is_told_in_full(tmp_path: Path, apart: float, verdict: Verdict, how: str) -> None:
    says = f"A: plain is {how} from it; keep mains wiring apart from signal wiring."
    wanted = length("mains-care", verdict, says, apart - 40 if apart >= 40 else -6.0, limit=6.0, at_place="M",
                    bodies=("M: mains", "A: plain"), beside=("A",), view="rear", source=SOURCE)  # fmt: skip
    assert _told(tmp_path, f"{_mains(0)}\n{at(apart)}") == [wanted]


def test_what_there_is_no_distance_to_is_told_in_full(tmp_path: Path) -> None:
    alone = Finding("mains-care", "M", FITS, "No signal part is near it.", view="rear", source=SOURCE)
    assert _told(tmp_path, _mains(0)) == [alone]
    says = "The panel is metal and no part on it has a protective earth to bond it to: it needs an earth point."
    bare = Finding("mains-care", "M", TIGHT, says, view="rear", source=SOURCE)
    assert _told(tmp_path, _mains(0), mains={**MAINS, "earth": False}) == [bare]


def test_distance_is_measured_upright_and_slanting_too(tmp_path: Path) -> None:
    upright = _told(tmp_path, f"{_mains(0)}\n{place('plain', at='[0, 45]', label='A', hardware=M3)}")
    assert upright[0].measured == pytest.approx(5)
    slanting = _told(tmp_path, f"{_mains(0)}\n{place('plain', at='[43, 44]', label='A', hardware=M3)}")
    assert (slanting[0].verdict, slanting[0].measured) == (TIGHT, about(5))  # 3 across, 4 up
