"""Signs of verdicts: three shapes that need no colour to be told apart, of the size that is asked for."""

from __future__ import annotations

import pytest

from dryfit.generators.drawing.marks import Stroke, around
from dryfit.generators.drawing.signs import sign
from dryfit.models.findings import Verdict
from dryfit.models.geometry.contours import Circle


@pytest.mark.parametrize("verdict", Verdict)
def test_a_sign_is_as_large_as_asked_and_stands_where_it_is_asked(verdict: Verdict) -> None:
    box = around(sign(verdict, 50.0, 20.0, 4.0))
    assert box.width == pytest.approx(4.0, abs=0.6)
    assert box.centre.x == pytest.approx(50.0, abs=0.01)
    assert box.centre.y == pytest.approx(20.0, abs=0.2)


def test_each_has_a_shape_and_lines_of_its_own() -> None:
    shapes = {}
    for verdict in Verdict:
        first, *lines = (mark for mark in sign(verdict, 0.0, 0.0, 4.0) if isinstance(mark, Stroke))
        corners = 0 if isinstance(first.shape, Circle) else len(first.shape.vertices)
        assert first.fill == verdict
        assert {line.fill for line in lines} == {"white"}
        shapes[verdict] = (corners, len(lines))
    assert shapes == {Verdict.FITS: (0, 2), Verdict.TIGHT: (3, 2), Verdict.FAILS: (4, 2)}
