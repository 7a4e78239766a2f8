"""The outlines of a part where it is mounted: turned with its place and in its cut-out, panel axes."""

from __future__ import annotations

from dryfit.models.geometry.outlines import Outline
from dryfit.models.job import Place


def as_mounted(place: Place, outline: Outline) -> Outline:
    """Return an outline of a part's own frame where it is on the panel."""
    return outline.turned(place.turn + place.part_turn).moved(place.x, place.y)


def flange_outline(place: Place) -> Outline:
    """Return the outline of the flange of a place where it is on the panel."""
    return as_mounted(place, place.part.flange.outline)
