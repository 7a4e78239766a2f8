"""Blind rivets in place of screws: grip, holes, the bulb behind, and the warning that they stay."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.lists.purchase import purchase_list
from dryfit.generators.lists.steps import steps
from dryfit.generators.report import Report
from dryfit.models.findings import Verdict
from dryfit.models.reading.errors import InputError
from tests.helpers import finding, place, report

PART = """parts:
  plain-flange:
    title: Plain flange
    family: test
    flange: {outline: {box: [26, 31]}, thick: 1.5}
    cutout: {round: 24}
    fixings: {at: [[-9.5, 12], [9.5, -12]], hole: 3.4, panel: 3.4}
    rear:
      - {outline: {round: 23.6}, from: 0, to: 18}
"""


def riveted(folder: Path, name: str = "rivet 1/8 in", thickness: str = "1/16 in", fixings: str = "0.130 in") -> Report:
    (folder / "part.yaml").write_text(PART.replace("3.4", "0.130 in"))
    keys = {"hardware": f"{{screw: {name}}}", "cutout": f"{{fixings: {fixings}}}"}
    panel = f"{{rack_units: 2, thickness: {thickness}}}"
    return report(folder, place("plain-flange", **keys), panel, "parts: [part.yaml]")


def test_the_rivet_of_the_right_grip_is_taken(tmp_path: Path) -> None:
    made = riveted(tmp_path)
    rivet = made.stacks["A"].screw.rivet
    assert rivet is not None
    assert rivet.grip_min <= 1.5 + 25.4 / 16 <= rivet.grip_max
    assert {finding(made, name).verdict for name in ("screw-passes", "screw-length", "nut-room")} == {Verdict.FITS}


def test_too_thick_a_stack_has_no_rivet(tmp_path: Path) -> None:
    found = finding(riveted(tmp_path, thickness="10 mm"), "screw-length")
    assert found.verdict is Verdict.FAILS
    assert "made for" in found.says


HOLES = [("3.1 mm", Verdict.FAILS), ("0.130 in", Verdict.FITS), ("4 mm", Verdict.TIGHT)]


@pytest.mark.parametrize(("hole", "verdict"), HOLES)
def test_a_rivet_passes_its_hole_and_fills_it(tmp_path: Path, hole: str, verdict: Verdict) -> None:
    assert finding(riveted(tmp_path, fixings=hole), "screw-passes").verdict is verdict


def test_rivets_are_bought_by_grip_and_drilled_out_to_undo(tmp_path: Path) -> None:
    made = riveted(tmp_path)
    (item,) = [i.item for i in purchase_list(made) if i.group == "screw"]
    assert item.startswith("1/8 in blind rivet, dome head, grip ")
    assert any("drilled out" in line for step in steps(made) for line in step.lines)


def test_an_unknown_rivet_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="rivet 1/8 in"):
        riveted(tmp_path, name="rivet 1/7 in")
