"""The dry run itself against closed forms, and a few of its random panels against the program's answers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dryfit.models.tables.fasteners import heads
from tests.oracle.compare import one
from tests.oracle.makings import Sink, rests
from tests.oracle.solids import FAR, SAGITTA, Cone, Prism, Solid, ring, shared

SEEDS = range(12)


def test_a_cone_swept_upwards_is_the_cone_and_a_cylinder_over_its_widest() -> None:
    swept = Solid((Cone(0, 0, 2, 5, 0, 6),)).swept(1.0, skin=0.0)
    exact = math.pi * 6 * (4 + 10 + 25) / 3 + math.pi * 25 * FAR
    assert swept.volume() == pytest.approx(exact, rel=2 * SAGITTA / 5)


def test_a_cone_swept_downwards_is_a_cylinder_under_its_widest() -> None:
    swept = Solid((Cone(0, 0, 2, 5, 0, 6),)).swept(-1.0, skin=0.0)
    assert swept.volume() == pytest.approx(math.pi * 25 * (FAR + 6), rel=2 * SAGITTA / 5)


def test_a_block_meets_the_wall_of_a_hole_that_its_corners_pass() -> None:
    square = np.array([[-9, -9], [9, -9], [9, 9], [-9, 9]], dtype=float)
    block = Solid((Prism(square, -34, -16),)).swept(1.0)
    for across, meets in ((24.0, True), (25.44, True), (25.47, False)):
        plate = Solid((Prism(square * 5, -3, 0),), (Prism(ring(0, 0, across / 2), -4, 1),)).still()
        assert (shared(block, plate) > 0) is meets


def test_a_countersunk_head_comes_to_rest_where_its_cone_meets_the_seat() -> None:
    # M3: 6.3 across where the cone is sharp; in a seat of 6.4 and the same angle it sinks (6.4 - 6.3) / 2 = 0.05.
    (head, *_) = heads("M3", "countersunk")
    assert rests(head, 2.98, Sink(3.2, 1.65, 1.55), 2.0) == pytest.approx(0.05, abs=1e-6)


def test_a_flat_head_lies_on_the_face_or_falls_through() -> None:
    (head, *_) = heads("M3", "pan")
    assert rests(head, 2.98, Sink(1.65, 1.65, 0.0), 2.0) == pytest.approx(0.0, abs=1e-6)
    assert rests(head, 2.98, Sink(2.9, 2.9, 0.0), 2.0) is None


@pytest.mark.parametrize("seed", SEEDS)
def test_the_program_and_the_dry_run_agree_on_a_random_panel(seed: int) -> None:
    assert [d.detail for d in one(seed).differences] == []
