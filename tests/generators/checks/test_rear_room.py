"""Depth behind the panel: the barrel ends 20 mm behind the front face, 17 behind the panel of 3."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.findings import Finding, Verdict
from tests.helpers import finding
from tests.plain import M3, PANEL, about, asked, at, length, told

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
SOURCE = "depth: the layout; wiring: catalogue"


def _deep(depth: float) -> str:
    return PANEL.replace("}", f", depth: {depth}}}")


@pytest.mark.parametrize(
    ("depth", "verdict", "left"),
    [(30, FITS, 3), (27, FITS, 0), (26.9, TIGHT, 9.9), (17, TIGHT, 0), (16.9, FAILS, -0.1)],
)
def test_the_body_must_go_in_and_its_wiring_should(tmp_path: Path, depth: float, verdict: Verdict, left: float) -> None:
    found = finding(asked(tmp_path, at(0), _deep(depth), wiring=10), "rear-room")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(left)
    assert (found.limit, found.bodies, found.view) == (0, ("A: plain",), "rear")


def test_what_is_told_names_both_depths(tmp_path: Path) -> None:
    says = [finding(asked(tmp_path, at(0), _deep(d), wiring=10), "rear-room").says for d in (30, 20, 15)]
    assert says[0] == "It takes 17 mm behind the panel, 27 mm with its wiring; the depth is 30 mm."
    assert says[1].endswith("the depth of 20 mm leaves 3 mm for the wiring.")
    assert says[2] == "A: plain reaches 17 mm behind the panel, 2 mm more than its depth."


def test_a_long_screw_is_the_deepest_body_and_wiring_begins_behind_the_part(tmp_path: Path) -> None:
    long = M3.replace("12", "30")  # from 2 mm before the panel to 28 behind its front face
    found = finding(asked(tmp_path, at(0, hardware=long), _deep(24), wiring=10), "rear-room")
    assert (found.verdict, found.bodies[0][:8]) == (FAILS, "A: screw")
    assert found.measured == pytest.approx(24 - 25)
    found = finding(asked(tmp_path, at(0, hardware=long), _deep(26), wiring=10), "rear-room")
    assert (found.verdict, found.measured) == (TIGHT, about(26 - 25))  # the wiring ends 17 + 10 behind
    found = finding(asked(tmp_path, at(0, hardware=long), _deep(26), wiring=5), "rear-room")
    assert (found.verdict, found.measured) == (FITS, about(26 - 25))


def test_coating_takes_none_of_the_depth(tmp_path: Path) -> None:
    coated = _deep(30).replace("}", ", coating: 0.1}")
    found = finding(asked(tmp_path, at(0), coated), "rear-room")
    assert found.measured == pytest.approx(30 - (20 - 3.2))


def test_a_part_that_ends_within_the_panel_takes_no_depth(tmp_path: Path) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 2}]
    found = finding(
        asked(tmp_path, at(0, hardware="{screw: M3, nut: none, length: 4}"), _deep(5), rear=rear), "rear-room"
    )
    assert (found.verdict, found.measured) == (FITS, 5)


def test_each_place_is_told_of_its_own_bodies(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-50)}\n{at(50, label='B', mount='rear')}", _deep(21))
    assert finding(made, "rear-room").measured == pytest.approx(21 - 17)
    assert finding(made, "rear-room", "B").measured == pytest.approx(21 - 22)  # 5 mm further back


def test_without_a_depth_nothing_can_be_lacking(tmp_path: Path) -> None:
    found = finding(asked(tmp_path, at(0), wiring=10), "rear-room")
    assert (found.verdict, found.measured, found.margin) == (FITS, None, None)
    assert found.says.startswith("It takes 17 mm behind the panel, 27 mm with its wiring")


# --- all that is told ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("depth", "verdict", "left", "says"),
    [
        (30, FITS, 3.0, "It takes 17 mm behind the panel, 27 mm with its wiring; the depth is 30 mm."),
        (27, FITS, 0.0, "It takes 17 mm behind the panel, 27 mm with its wiring; the depth is 27 mm."),
        (20, TIGHT, 3.0, "It takes 17 mm behind the panel, 27 mm with its wiring; the depth of 20 mm leaves 3 mm for "
                         "the wiring."),
        (17, TIGHT, 0.0, "It takes 17 mm behind the panel, 27 mm with its wiring; the depth of 17 mm leaves 0 mm for "
                         "the wiring."),
        (16, FAILS, -1.0, "A: plain reaches 17 mm behind the panel, 1 mm more than its depth."),
    ],
)  # fmt: skip
def test_depth_is_told_in_full(tmp_path: Path, depth: float, verdict: Verdict, left: float, says: str) -> None:
    wanted = length("rear-room", verdict, says, left, bodies=("A: plain",), view="rear", source=SOURCE)
    assert told(asked(tmp_path, at(0), _deep(depth), wiring=10), "rear-room") == [wanted]


def test_a_depth_not_known_is_told_in_full(tmp_path: Path) -> None:
    says = "It takes 17 mm behind the panel, 27 mm with its wiring; the layout does not say how deep it is there."
    wanted = Finding("rear-room", "A", FITS, says, view="rear", source=SOURCE)
    assert told(asked(tmp_path, at(0), wiring=10), "rear-room") == [wanted]


def test_wiring_of_a_part_that_ends_in_the_panel_begins_at_its_rear_face(tmp_path: Path) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 2}]  # the screw reaches 10 - 3 = 7 behind the panel
    (found,) = told(asked(tmp_path, at(0), _deep(50), rear=rear, wiring=10), "rear-room")
    assert (found.measured, found.bodies[0][:8]) == (about(50 - 10), "A: screw")
    (found,) = told(asked(tmp_path, at(0), _deep(50), rear=rear, wiring=5), "rear-room")
    assert found.measured == about(50 - 7)
