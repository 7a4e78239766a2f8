"""How tight, with which tool, and who is turned."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.joints.stacks import Rest, Stack
from dryfit.generators.joints.tightening import (
    PRELOAD_SHARE,
    Tightening,
    preload,
    rack_limit,
    screw_metal,
    screw_tool,
    tightening,
    torque,
    which_turns,
)
from dryfit.models.tables import fasteners
from tests import plain
from tests.helpers import place, report
from tests.plain import M3, PANEL, at, fixings

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


# --- by hand, on the plain part: M3, pan head 5.6 mm across, zinc-plated steel of class 4.8 (proof 310 MPa) -----------

PROOF = 0.75 * 310 * 5.031  # N: the preload that an M3 screw bears
BOSS = {"thread": "M3", "depth": 8, "material": "plastic"}


def _ring(outer: float, inner: float) -> float:
    return math.pi / 4 * (outer**2 - inner**2)


def _plain(folder: Path, hardware: str = M3, panel: str = PANEL, **changes: Any) -> Stack:
    return plain.stack(folder, at(0, hardware=hardware), panel, **changes)


def test_a_screw_of_no_named_metal_is_taken_for_zinc_plated_steel(tmp_path: Path) -> None:
    found = tightening(_plain(tmp_path))
    assert found.preload == pytest.approx(PROOF)
    assert found.torque == pytest.approx(0.2 * 0.003 * PROOF)
    assert screw_metal(_plain(tmp_path)).name == "zinc"
    assert screw_metal(_plain(tmp_path, M3.replace("}", ", metal: brass}"))).name == "brass"


def test_plastic_under_the_head_bears_15_mpa_on_its_ring(tmp_path: Path) -> None:
    found = tightening(_plain(tmp_path, metal="plastic"))
    assert found.preload == pytest.approx(15 * _ring(5.6, 3.4))
    assert found.limit == "plastic under the head"


def test_a_head_that_hardly_covers_its_hole_bears_on_a_tenth_of_it(tmp_path: Path) -> None:
    found = tightening(_plain(tmp_path, metal="plastic", fixings=fixings(hole=5.5)))
    assert found.preload == pytest.approx(15 * 0.1 * math.pi / 4 * 5.6**2)


@pytest.mark.parametrize(
    ("washers", "outer"), [("[]", 5.5), ("[plain]", 7.0), ("[split, plain]", 6.2), ("[plain, split]", 6.2)]
)
def test_plastic_under_the_nut_bears_on_the_smallest_of_what_lies_there(
    tmp_path: Path, washers: str, outer: float
) -> None:
    abs_ = PANEL.replace("}", ", material: ABS}")
    found = tightening(_plain(tmp_path, M3.replace("[]", washers), abs_))
    assert found.preload == pytest.approx(15 * _ring(outer, 3.0))
    assert found.limit == "plastic under the nut"


def test_half_of_what_strips_a_plastic_boss_is_the_most_it_is_given(tmp_path: Path) -> None:
    hardware = "{screw: M3, head: pan, length: 6}"  # 3 mm of thread in the boss; minor diameter 2.459 mm
    found = tightening(_plain(tmp_path, hardware, fixings=fixings(boss=BOSS)))
    assert found.limit == "the plastic boss"
    assert found.preload == pytest.approx(17 * math.pi * 2.459 * 3 / 2)
    metal = tightening(_plain(tmp_path, hardware, fixings=fixings(boss={**BOSS, "material": "metal"})))
    assert metal.limit == "the screw"


def test_no_more_of_a_plastic_boss_is_stripped_than_it_is_deep(tmp_path: Path) -> None:
    hardware = "{screw: M3, head: pan, length: 12}"  # it would reach 9 mm into a boss of 8
    found = tightening(_plain(tmp_path, hardware, fixings=fixings(boss=BOSS)))
    assert found.preload == pytest.approx(17 * math.pi * 2.459 * 8 / 2)


def test_a_screw_that_hardly_enters_a_plastic_boss_is_held_by_one_thread(tmp_path: Path) -> None:
    hardware = "{screw: M3, head: pan, length: 4, washers: [plain, plain]}"  # it ends where the boss begins
    found = tightening(_plain(tmp_path, hardware, fixings=fixings(boss=BOSS)))
    assert found.preload == pytest.approx(17 * math.pi * 2.459 * 0.5 / 2)


def test_torque_is_told_to_two_figures_and_never_rounded_up() -> None:
    for torque_, text in ((0.4799, "0.47 N m (4.2 lbf in)"), (0.05, "0.05 N m (0.44 lbf in)"), (1.0, "1 N m (8.8 lbf")):
        assert Tightening(torque_, 1.0, "").text.startswith(text)


def test_a_rack_screw_of_m6_takes_the_preload_of_its_stress_area() -> None:
    area = math.pi / 4 * (6 - 0.9382 * 1) ** 2  # 20.1 mm2, ISO 898-1
    assert area == pytest.approx(20.1, abs=0.03)
    assert rack_limit(fasteners.rack_screws()["M6"]) == pytest.approx(0.2 * 0.006 * 0.75 * 310 * area)


def test_a_rack_screw_of_another_pitch_has_another_stress_area() -> None:
    screw = replace(fasteners.rack_screws()["M6"], major=5.0, pitch=0.8)
    area = math.pi / 4 * (5 - 0.9382 * 0.8) ** 2  # 14.2 mm2 of M5, ISO 898-1
    assert area == pytest.approx(14.2, abs=0.03)
    assert rack_limit(screw) == pytest.approx(0.2 * 0.005 * 0.75 * 310 * area)


def test_plastic_under_a_nut_bears_the_nut_whatever_its_driver_is(tmp_path: Path) -> None:
    of = _plain(tmp_path, M3, PANEL.replace("}", ", material: ABS}"))
    assert of.nut is not None
    small = replace(of, nut=replace(of.nut, across_flats=5.0))
    assert tightening(small).preload == pytest.approx(15 * _ring(5.0, 3.0))


def test_what_turns_a_screw_follows_from_its_drive(tmp_path: Path) -> None:
    button = M3.replace("pan", "button")
    assert screw_tool(_plain(tmp_path, button)) == "2 mm hexagon key"
    slotted = replace(_plain(tmp_path), screw=replace(_plain(tmp_path).screw, head=fasteners.heads("M3", "pan")[1]))
    assert slotted.screw.head.drive == "slot"
    assert screw_tool(slotted) == "screwdriver for slotted heads, as wide as the slot is long"


def test_without_nuts_the_screws_are_driven(tmp_path: Path) -> None:
    of = _plain(tmp_path, "{screw: M3, head: pan, length: 6}", fixings=fixings(boss=BOSS))
    assert which_turns(of).startswith("Drive the screws with a cross-recess driver No. 1")


def test_nuts_that_were_not_judged_are_not_said_to_spin(tmp_path: Path) -> None:
    assert which_turns(replace(_plain(tmp_path), rest=None)).startswith("The nuts cannot spin")
