"""Remedies told of a few random panels, carried out on the layout: each cures, none harms."""

from __future__ import annotations

import pytest

from tests.oracle.remedies import tried

SEEDS = (5002, 5005)  # two panels with a few remedies each


@pytest.mark.parametrize("seed", SEEDS)
def test_every_remedy_of_a_random_panel_cures_and_harms_nothing(seed: int) -> None:
    found = tried(seed)
    assert found
    assert [one for one in found if one.wrong] == []
