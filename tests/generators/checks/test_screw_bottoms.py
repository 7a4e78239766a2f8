"""Room above the floor of a boss, the screw at its longest.

A boss of 6 mm behind 3 mm of panel; screws of up to 10 mm are made to +/-0.29 mm (ISO 4759-1, js15, as the table has
it for nominal lengths of 6 to 10 mm).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.findings import Verdict
from dryfit.models.tables.fasteners import length_limits
from tests.helpers import finding
from tests.plain import PANEL, asked, at, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _hardware(length: float, washers: str = "[]") -> str:
    return f"{{screw: M3, head: pan, length: {length}, washers: {washers}}}"


@pytest.mark.parametrize(
    ("depth", "material", "verdict"),
    [
        (5.8, "metal", FITS), (5.78, "metal", TIGHT), (5.3, "metal", TIGHT), (5.28, "metal", FAILS),
        (6.3, "plastic", FITS), (6.28, "plastic", TIGHT), (5.28, "plastic", FAILS),
    ],
)  # fmt: skip
@pytest.mark.parametrize("mount", ["front", "rear"])
def test_one_pitch_of_metal_or_one_millimetre_of_plastic_is_left(
    tmp_path: Path, mount: str, depth: float, material: str, verdict: Verdict
) -> None:
    boss = {"thread": "M3", "depth": depth, "material": material}
    found = finding(asked(tmp_path, at(0, mount=mount, hardware=_hardware(8)), fixings=fixings(boss=boss)),
                    "screw-bottoms")  # fmt: skip
    longest = length_limits("M3", 8.0)[1]
    assert longest == pytest.approx(8.29)
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(depth - (8.29 - 3))
    assert (found.limit, found.bodies, found.view) == (0, ("A: screw 1",), "rear")


def test_washers_and_coating_draw_the_screw_out_of_the_boss(tmp_path: Path) -> None:
    boss = fixings(boss={"thread": "M3", "depth": 5})
    bare = finding(asked(tmp_path, at(0, hardware=_hardware(8)), fixings=boss), "screw-bottoms")
    raised = finding(asked(tmp_path, at(0, hardware=_hardware(8, "[plain]")), fixings=boss), "screw-bottoms")
    coated = finding(asked(tmp_path, at(0, hardware=_hardware(8)), PANEL.replace("}", ", coating: 0.1}"),
                           fixings=boss), "screw-bottoms")  # fmt: skip
    assert bare.verdict is FAILS
    assert "0.29 mm before its head clamps" in bare.says
    assert raised.measured == pytest.approx((bare.measured or 0.0) + 0.5)
    assert coated.measured == pytest.approx((bare.measured or 0.0) + 0.2)


def test_without_a_boss_nothing_is_asked(tmp_path: Path) -> None:
    assert not [f for f in asked(tmp_path, at(0)).findings if f.check == "screw-bottoms"]
