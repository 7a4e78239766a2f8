"""What strategies propose, for their tests: sentence and edits, on the plain part, before anything is tried."""

from __future__ import annotations

from typing import Any

from dryfit.generators.remedies.register import strategies
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy, Verdict
from tests.plain import PANEL

FAILS = Verdict.FAILS
COATED = PANEL.replace("}", ", coating: 0.1}")
WIDE = "{size: [400, 100], thickness: 3}"


def proposed(name: str, of: Report, finding: Finding) -> list[Remedy]:
    return list(strategies()[name](of, finding))


def short(by: float, place: str = "A", **more: Any) -> Finding:
    """Return a finding that lacks so many mm."""
    return Finding.of_length("web", place, FAILS, "", measured=-by, limit=0.0, **more)


def edits_of(remedies: list[Remedy]) -> list[tuple[Edit, ...]]:
    return [remedy.edits for remedy in remedies]
