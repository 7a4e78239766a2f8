"""What no check could ask, for the layout does not say it: to be looked at by whoever builds the panel."""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.rear_room import reaches
from dryfit.generators.report import Report
from dryfit.models.reading.units import format_mm


def unasked(report: Report) -> tuple[str, ...]:
    """Return what was not asked, in sentences: how deep it must be behind a panel whose depth is not said."""
    return tuple(_depth(report))


def _depth(report: Report) -> Iterator[str]:
    if report.job.panel.depth is not None or not report.job.places:
        return
    found = [*reaches(report.fitting)]
    body, wired = max(found, key=lambda reach: reach.body), max(found, key=lambda reach: reach.wired)
    yield (
        f"Whether it is deep enough behind the panel: `depth` is not written. {body.place.name} reaches "
        f"{format_mm(body.body)} behind it; with wiring {wired.place.name} wants {format_mm(wired.wired)}."
    )
