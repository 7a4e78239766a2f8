"""What each check depends on, and in which order its remedies are tried.

Nothing of the checks is imported here before they are asked for: what they are registered with is told by the register.
"""

from __future__ import annotations

import pytest

from dryfit.generators.checks.registry import panel_checks, stack_checks


@pytest.mark.parametrize(
    ("name", "depends", "sees", "remedies"),
    [
        ("mount-side", "", "nothing", ["other side", "other sheet"]),
        ("hardware", "thread head", "all", ["other hardware"]),
        ("cutout-size", "", "nothing", ["open the cut-out", "other side"]),
        (
            "goes-in", "thread head nut washers", "beside fasteners",
            ["other side", "other hardware", "open the cut-out", "move inwards", "move apart"],
        ),
        ("screw-length", "thread head length nut washers", "nothing", ["other hardware"]),
        ("screw-bottoms", "thread head length washers", "nothing", ["other hardware"]),
        ("nut-room", "thread nut washers", "beside fasteners", ["other hardware", "move apart", "move inwards"]),
        ("washer-land", "thread washers", "beside fasteners", ["other hardware"]),
        (
            "land", "thread head nut washers", "beside fasteners",
            ["other hardware", "smaller fixings", "move inwards"],
        ),
        ("plug-seats", "thread head washers", "all", ["other hardware", "other side", "move apart", "move inwards"]),
        ("latch-reach", "", "all", ["other side", "move apart", "move inwards"]),
        ("plug-room", "", "all", ["move apart", "move inwards"]),
    ],
)  # fmt: skip
def test_a_check_is_asked_anew_for_what_it_depends_on_and_its_remedies_are_tried_in_this_order(
    name: str, depends: str, sees: str, remedies: list[str]
) -> None:
    (check,) = (c for c in stack_checks() if c.name == name)
    assert set(check.looks_at) == set(depends.split())
    assert check.sees == sees
    assert list(check.strategies) == remedies


def test_parts_in_each_others_way_are_moved_apart() -> None:
    (check,) = (c for c in panel_checks() if c.name == "goes-in")
    assert check.strategies == ("move apart",)
