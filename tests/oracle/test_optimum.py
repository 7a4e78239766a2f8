"""What is chosen on a few small panels is as good as the best of everything, and no more is bought than need be."""

from __future__ import annotations

import pytest

from tests.oracle.optimum import compared


@pytest.mark.parametrize("seed", range(4))
def test_nothing_better_is_to_be_had_than_what_is_chosen(seed: int) -> None:
    result = compared(seed)
    assert result is not None
    assert result.chosen == result.best


@pytest.mark.parametrize("seed", range(3))
def test_nothing_better_is_to_be_had_from_a_drawer_than_what_is_chosen(seed: int) -> None:
    result = compared(seed, with_drawer=True)
    assert result is not None
    assert result.chosen == result.best
