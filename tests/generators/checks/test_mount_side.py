"""Sides and thicknesses that a part allows."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.plain import PANEL, at, plain


def _told(folder: Path, side: str, panel: str = PANEL, **part: Any) -> list[Verdict]:
    made = plain(folder, at(0, mount=side), panel, **part)
    return [f.verdict for f in made.findings if f.check == "mount-side" and f.verdict is not Verdict.FITS]


@pytest.mark.parametrize("side", ["front", "rear"])
def test_a_part_goes_on_from_the_sides_it_allows_only(tmp_path: Path, side: str) -> None:
    other = "rear" if side == "front" else "front"
    assert _told(tmp_path, side, mount=[side]) == []
    assert _told(tmp_path, other, mount=[side]) == [Verdict.FAILS]


@pytest.mark.parametrize(("thickest", "told"), [(0, []), (3.2, []), (3.1, [Verdict.FAILS])])
def test_coating_counts_in_the_thickest_panel(tmp_path: Path, thickest: float, told: list[Verdict]) -> None:
    coated = PANEL.replace("}", ", coating: 0.1}")
    assert _told(tmp_path, "front", coated, thickest=thickest) == told
