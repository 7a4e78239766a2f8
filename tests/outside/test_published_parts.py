"""The catalogue against figures that others published, row by row: ``connectors.csv``, each with its source.

Figures of general-purpose open part libraries are named by repository and path; standards are quoted second hand, as
the row says. Where ours differs by more than ``AGREES``, the row gives the reason; a reason that is not needed fails.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import pytest

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from tests.outside.measures import measured

AGREES = 0.1  # mm: half of what the libraries leave round a body for a hole
CATALOGUE = load_catalogue()


@dataclass(frozen=True)
class Published:
    """One published figure, mm, and why ours differs, if it does."""

    part: str
    path: str
    value: str
    source: str
    confidence: str
    differs: str

    @property
    def record(self) -> Part | Plug:
        """The part or plug it is compared with."""
        return CATALOGUE.plugs[self.part] if self.part in CATALOGUE.plugs else CATALOGUE.parts[self.part]


def _published() -> list[Published]:
    with (Path(__file__).parent / "connectors.csv").open(encoding="utf-8", newline="") as stream:
        return [Published(**row) for row in csv.DictReader(stream)]


ROWS = _published()


def test_at_least_250_figures_are_compared() -> None:
    assert len(ROWS) >= 350
    assert len({(row.part, row.path) for row in ROWS}) >= 150
    assert all(row.source for row in ROWS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.part} {row.path} {row.value}")
def test_a_published_figure_agrees_or_the_reason_is_given(row: Published) -> None:
    apart = abs(measured(row.record, row.path) - float(row.value))
    if row.differs:
        assert apart > AGREES, f"it agrees within {apart:.3f} mm: the reason is stale"
    else:
        assert apart <= AGREES + 1e-9, f"it differs by {apart:.3f} mm"
