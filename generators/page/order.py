"""The order in which the page tells findings."""

from __future__ import annotations

from collections.abc import Iterable

from dryfit.models.findings import Finding


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings the worst verdict first, within a verdict as they were told."""
    return tuple(sorted(findings, key=lambda finding: -finding.verdict.rank))
