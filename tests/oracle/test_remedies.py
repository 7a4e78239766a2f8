"""Remedies told of a few random panels, carried out on the layout: each cures, none harms."""

from __future__ import annotations

from tests.oracle.remedies import tried

SEEDS = (5001, 5002, 5003, 5005)


def test_every_remedy_of_random_panels_cures_and_harms_nothing() -> None:
    found = [one for seed in SEEDS for one in tried(seed)]
    assert len(found) >= 2
    assert [one for one in found if one.wrong] == []
