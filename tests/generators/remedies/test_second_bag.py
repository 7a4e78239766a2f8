"""Which places force a second bag of screws, and what would save it."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.pipeline import check
from dryfit.models.findings import Verdict
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, place, report


def test_one_bag_needs_no_words(tmp_path: Path) -> None:
    assert report(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}").second_bags == ()


def test_a_boss_forces_its_own_screw() -> None:
    bags = check(read_job(LAYOUTS / "foyer.yaml")).second_bags
    (boss,) = [bag for bag in bags if "GUEST 1" in bag.places]
    assert boss.places == ("GUEST 1", "GUEST 2")
    assert "blind boss" in boss.why
    assert "M3" in boss.change


def test_what_the_layout_asks_for_is_said_to_be_asked_for(tmp_path: Path) -> None:
    row = "\n".join(place("xlr3-pins", label=f"B{n}", at=f"[{40 * n}, 0]") for n in (1, 2, 3))
    own = place("xlr3-socket", at="[-60, 0]", hardware="{screw: No. 4-40}")
    (bag,) = report(tmp_path, f"{own}\n{row}", rest="hardware: {threads: [M3], retention: tooth washer}").second_bags
    assert bag.places == ("A",)
    assert bag.why == "the layout asks for it there."


def test_a_small_hole_forces_it_and_the_drill_that_saves_it_does(tmp_path: Path) -> None:
    row = "\n".join(place("xlr3-pins", label=f"B{n}", at=f"[{40 * n}, 0]", hardware="{screw: M3}") for n in (1, 2, 3))
    small = place("xlr3-socket", at="[-60, 0]", cutout="{fixings: 2.7 mm}")
    rest = "hardware: {threads: [M3, M2.5], retention: tooth washer}"
    (bag,) = report(tmp_path, f"{small}\n{row}", rest=rest).second_bags
    assert bag.places == ("A",)
    assert "M3" in bag.why
    assert bag.change.startswith("Drill the fixing holes to ")
    drilled = small.replace("2.7 mm", bag.change.split("(")[1].split(")")[0].split(" mm")[0] + " mm")
    healed = report(tmp_path, f"{drilled}\n{row}", rest=rest)
    assert healed.second_bags == ()
    assert all(f.verdict is not Verdict.FAILS for f in healed.findings)
