"""Boxes share room only where they do in all three directions."""

from __future__ import annotations

import pytest

from dryfit.models.geometry.boxes import Box

STILL = Box(0, 0, 0, 10, 10, 10)


@pytest.mark.parametrize("along", range(3))
@pytest.mark.parametrize(
    ("low", "high", "shared"),
    [(-5, 0, False), (-5, 1, True), (2, 3, True), (9, 15, True), (10, 15, False), (-5, 15, True)],
    ids=["touching below", "from below", "inside", "from above", "touching above", "around"],
)
def test_boxes_share_room_where_they_do_along_every_axis(along: int, low: float, high: float, shared: bool) -> None:
    ends = [[2.0, 2.0, 2.0], [3.0, 3.0, 3.0]]
    ends[0][along], ends[1][along] = low, high
    other = Box(*ends[0], *ends[1])
    assert STILL.overlaps(other) is shared
    assert other.overlaps(STILL) is shared


def test_the_box_around_others_reaches_to_the_furthest_of_them() -> None:
    assert Box.around([STILL, Box(-1, 2, 3, 4, 15, 6)]) == Box(-1, 0, 0, 10, 15, 10)
    assert len(set(STILL.corners)) == 8
