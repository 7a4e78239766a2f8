"""Where the gap of a finding is: as wide as it was measured, between the bodies that are meant, where they stand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from dryfit.generators.looks.gaps import SAME, gap_of
from dryfit.generators.pipeline import judged
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, place, report

TROUBLE = judged(read_job(LAYOUTS / "trouble.yaml"))


def test_a_gap_is_as_wide_as_it_was_measured_and_lies_at_its_place() -> None:
    found = [(finding, gap_of(TROUBLE, finding)) for finding in TROUBLE.findings if finding.is_bad]
    told = [(finding, gap) for finding, gap in found if gap is not None]
    assert len(told) >= 8
    for finding, gap in told:
        assert math.dist(gap.start, gap.stop) == pytest.approx(abs(gap.gap), abs=SAME)
        assert finding.measured == pytest.approx((2 if gap.across else 1) * gap.gap, abs=SAME)
        at = TROUBLE.job.place(finding.place)
        assert math.dist(gap.start[:2], (at.x, at.y)) < 40


def test_like_places_have_their_gaps_alike_each_at_its_own(tmp_path: Path) -> None:
    row = [
        place("xlr3-socket", label=str(n), at=f"[{x}, 0]", turn=str(turn)) for n, x, turn in ((1, -80, 0), (2, 40, 90))
    ]
    made = report(tmp_path, "\n".join(row))
    (one,), (two,) = ([f for f in made.of(name) if f.check == "plug-seats"] for name in "12")
    first, second = gap_of(made, one), gap_of(made, two)
    assert first is not None
    assert second is not None
    assert first.gap == pytest.approx(second.gap)
    x, y, z = first.start
    assert second.start == pytest.approx((40 - y, x + 80, z), abs=1e-4)


def test_a_figure_that_is_no_gap_between_bodies_has_none() -> None:
    bottoms = next(f for f in TROUBLE.findings if f.check == "screw-bottoms" and f.is_bad)
    assert gap_of(TROUBLE, bottoms) is None
    assert all(gap_of(TROUBLE, finding) is None for finding in TROUBLE.findings if finding.measured is None)
