"""What no check could ask, for the layout does not say it: to be looked at by whoever builds the panel."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from dryfit.generators.checks.rear_room import reaches
from dryfit.generators.lists.names import in_words
from dryfit.generators.report import Report
from dryfit.models.reading.units import format_mm


def unasked(report: Report) -> tuple[str, ...]:
    """Return what was not asked, in sentences: the depth behind the panel, room for knobs, screwlocks."""
    return (*_depth(report), *_knobs(report), *_screwlocks(report))


def _depth(report: Report) -> Iterator[str]:
    if report.job.panel.depth is not None or not report.job.places:
        return
    found = [*reaches(report.fitting)]
    body, wired = max(found, key=lambda reach: reach.body), max(found, key=lambda reach: reach.wired)
    yield (
        f"Whether it is deep enough behind the panel: `depth` is not written. {body.place.name} reaches "
        f"{format_mm(body.body)} behind it; with wiring {wired.place.name} wants {format_mm(wired.wired)}."
    )


def _knobs(report: Report) -> Iterator[str]:
    knobs = [place for place in report.job.places if place.part.knob]
    pairs = ((one.at.distance_to(other.at), one, other) for one, other in itertools.combinations(knobs, 2))
    nearest = min(pairs, key=lambda pair: pair[0], default=None)
    if nearest is not None:
        apart, one, other = nearest
        yield (
            "Whether knobs leave room for fingers: they come by themselves. "
            f"{one.name} and {other.name} stand {format_mm(apart)} apart from axis to axis."
        )


def _screwlocks(report: Report) -> Iterator[str]:
    locked = [
        p for p in report.job.places if p.part.fixings is not None and p.part.fixings.locks and p.plug is not None
    ]
    if locked:
        yield (
            "Whether the plugs' own screws find a thread: hexagon screwlocks take the place of the screws of "
            f"{in_words([place.name for place in locked])}, two each; order them with the plugs."
        )
