"""Edits of the layout that strategies propose, each in one place."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dryfit.generators.joints.stacks import Stack
from dryfit.generators.joints.words import as_hardware
from dryfit.models.edits import Edit
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point
from dryfit.models.job import Cutout, Job, Place
from dryfit.models.wishes.places import PlaceWish

DIGITS = 4  # decimals of a mm in edits: far below any tolerance, and free of rounding noise
NOISE = 1e-6  # of a step: a sum may exceed a whole number of steps by its rounding


def hardware(place: Place, stack: Stack) -> Edit:
    """Return the edit that asks for just these fasteners at the entry of a place; what is asked besides stays."""
    wanted = as_hardware(stack)
    if place.wish.metal and stack.screw.rivet is None:
        wanted["metal"] = place.wish.metal
    return Edit(place.entry, ("hardware",), wanted)


def cutout(place: Place, cut: Cutout) -> tuple[Edit, ...]:
    """Return the edits that write a cut-out, as punched or finished as the layout has it, at the entry of a place."""
    layer = place.cutout.left_out
    edits = [_main(place, cut.main.grown(-layer) if layer else cut.main)] if cut.main != place.cutout.main else []
    edits += [Edit(place.entry, ("cutout", "outline" if e.path[-1] == "hole" else "hole"), None) for e in edits]
    if cut.fixing_diameter != place.cutout.fixing_diameter:
        edits.append(Edit(place.entry, ("cutout", "fixings"), tidy(cut.fixing_diameter - 2 * layer)))
    if cut.fixings != place.cutout.fixings:
        edits += [Edit(place.entry, ("cutout", key), None) for key in ("across", "up", "mirror")]
        edits.append(Edit(place.entry, ("cutout", "at"), [_spot(at) for at in cut.fixings]))
    return tuple(edits)


def _main(place: Place, main: Outline) -> Edit:
    if main.is_circle and main.centre == (0.0, 0.0):
        return Edit(place.entry, ("cutout", "hole"), tidy(main.size[0]))
    return Edit(place.entry, ("cutout", "outline"), as_written(main))


def as_written(outline: Outline) -> dict[str, object]:
    """Return an outline as a layout has it: a round, or a polygon whose corners have one radius (the least)."""
    if outline.is_circle:
        return {"round": tidy(outline.size[0]), "at": _spot(outline.centre)}
    radius = min(corner.radius for corner in outline.corners)
    return {"polygon": [_spot(corner.sharp) for corner in outline.corners], "corner": tidy(radius)}


def _spot(at: Point) -> list[float]:
    return [tidy(at.x), tidy(at.y)]


def moved(job: Job, row: Sequence[Place], by: Point) -> tuple[Edit, ...]:
    """Return the edits that move all places of an entry."""
    written = [_written(job, place.at + by) for place in row]
    return _standing(job, row, written) if one_by_one(job, row) else (Edit(row[0].entry, ("at",), written[0]),)


def spread(job: Job, row: Sequence[Place], pitch: Point, moves: Sequence[Point]) -> tuple[Edit, ...]:
    """Return the edits that give the places of an entry another pitch, each of them moved by so much."""
    written = [_written(job, place.at + by) for place, by in zip(row, moves, strict=True)]
    entry = row[0].entry
    if one_by_one(job, row):
        return _standing(job, row, written)
    step = Edit(entry, ("pitch",), pitch.x if pitch.y == 0 else list(pitch))
    return (step, Edit(entry, ("at",), written[0])) if moves[0].length > 0 else (step,)


def _written(job: Job, at: Point) -> list[float]:
    return [round(d, 3) for d in at - job.origin]


def _standing(job: Job, row: Sequence[Place], written: list[list[float]]) -> tuple[Edit, ...]:
    """Return the edits that write the centre of each place, in the stead of a row that was worked out."""
    entry = row[0].entry
    was_row = "row" in _wish(job, row).model_fields_set
    return (*([Edit(entry, ("row",), None)] if was_row else []), Edit(entry, ("at",), written))


def one_by_one(job: Job, row: Sequence[Place]) -> bool:
    """Whether the layout has the centre of each place of an entry."""
    wish = _wish(job, row)
    return len(wish.at) > 1 or "row" in wish.model_fields_set


def _wish(job: Job, row: Sequence[Place]) -> PlaceWish:
    assert job.draft is not None  # remedies are edits of a layout
    return job.draft.layout.layout.places[row[0].entry]


def row(job: Job, place: Place) -> list[Place]:
    """Return all places of the entry of a place."""
    return [p for p in job.places if p.entry == place.entry]


def tidy(mm: float) -> float:
    """Return a length as an edit writes it."""
    return round(mm, DIGITS)


def stepped(mm: float, step: float) -> float:
    """Return a length in whole steps, no less than it is."""
    return math.ceil(mm / step - NOISE) * step
