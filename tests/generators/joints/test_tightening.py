"""How tight, with which tool, and who is turned."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.joints.stacks import Rest, Stack
from dryfit.generators.joints.tightening import PRELOAD_SHARE, preload, screw_tool, tightening, torque, which_turns
from tests.helpers import place, report

METAL = "{rack_units: 2, thickness: 3 mm}"
SPINS_AND_DRIVER = ((True, True), (True, False), (False, False))


def stack(folder: Path, part: str, panel: str = METAL, **keys: str) -> Stack:
    return report(folder, place(part, **keys), panel).stacks["A"]


def test_an_m3_screw_in_a_metal_flange_is_limited_by_itself(tmp_path: Path) -> None:
    found = tightening(stack(tmp_path, "xlr3-socket", hardware="{screw: M3, metal: stainless}"))
    assert found.limit == "the screw"
    assert found.preload == pytest.approx(PRELOAD_SHARE * 210 * 5.03, rel=1e-3)  # A2-50 on 5.03 mm2
    assert found.torque == pytest.approx(0.2 * 0.003 * found.preload)
    assert found.text == "0.47 N m (4.2 lbf in)"


def test_plastic_under_the_head_or_the_nut_lowers_it(tmp_path: Path) -> None:
    metal = tightening(stack(tmp_path, "xlr3-socket"))
    flange = tightening(stack(tmp_path, "loudspeaker-4"))
    panel = tightening(stack(tmp_path, "xlr3-socket", METAL.replace("}", ", material: ABS}")))
    assert flange.limit == "plastic under the head"
    assert panel.limit == "plastic under the nut"
    assert max(flange.torque, panel.torque) < metal.torque / 2


def test_a_thread_formed_in_plastic_is_limited_by_the_boss(tmp_path: Path) -> None:
    found = tightening(stack(tmp_path, "combination-jack-forming", mount="rear"))
    assert found.limit == "the plastic boss"


def test_tools(tmp_path: Path) -> None:
    of = stack(tmp_path, "xlr3-socket", hardware="{screw: M3, head: countersunk}")
    assert screw_tool(of) == "cross-recess driver No. 1 (type H, ISO 4757)"
    ways = [which_turns(replace(of, rest=Rest((0.0, 0.0), spins, driver))) for spins, driver in SPINS_AND_DRIVER]
    assert ways[0].startswith("Turn the nuts with a 5.5 mm nut driver")
    assert ways[1].startswith("Turn the nuts with a 5.5 mm spanner")
    assert ways[2].startswith("The nuts cannot spin: turn the screws")


def test_more_preload_more_torque() -> None:
    assert torque(preload(310, 5.03), 3) < torque(preload(310, 8.78), 4)
