"""Moving places: the remedy where parts or holes are too close, tried before it is told."""

from __future__ import annotations

import math

from dryfit.generators.checks.registry import Fitting
from dryfit.models.findings import Change
from dryfit.models.job import Job, Place
from dryfit.models.reading.units import format_mm

STEP = 0.5  # mm: positions are told in halves
NO_REMEDY: tuple[str, tuple[Change, ...]] = ("", ())


def move_apart(fitting: Fitting, one: str, other: str, by: float) -> tuple[str, tuple[Change, ...]]:
    """Return the move that gives two places ``by`` mm more between them, or nothing where the panel has no room.

    Places of one entry get more pitch; places of two entries part by the move of the later one.
    """
    if one == other or not one or not other:
        return NO_REMEDY
    a, b = sorted((fitting.by_name[one], fitting.by_name[other]), key=lambda p: p.entry)
    distance = math.hypot(b.x - a.x, b.y - a.y)
    if distance == 0:
        return NO_REMEDY
    along = ((b.x - a.x) / distance, (b.y - a.y) / distance)
    step = math.ceil(by / STEP) * STEP
    if a.entry == b.entry:
        return _more_pitch(fitting.job, a, b, step)
    return _shift(fitting.job, b, (along[0] * step, along[1] * step))


def move_inwards(fitting: Fitting, name: str, by: float, axis: int) -> tuple[str, tuple[Change, ...]]:
    """Return the move of a place towards the panel's centre along x (axis 0) or y (axis 1)."""
    place, panel = fitting.by_name[name], fitting.job.panel
    at = (place.x, place.y)[axis]
    low, high = _flange_box(place, (place.x, place.y))[axis::2]
    half = (panel.width, panel.height)[axis] / 2
    by = max(by, high - half, -half - low)  # the flange must come back onto the panel as well
    step = math.ceil(by / STEP) * STEP * (-1 if at > 0 else 1)
    return _shift(fitting.job, place, (step, 0.0) if axis == 0 else (0.0, step))


def _more_pitch(job: Job, a: Place, b: Place, step: float) -> tuple[str, tuple[Change, ...]]:
    """Return a wider pitch for the whole row, if its last place stays on the panel."""
    row = [p for p in job.places if p.entry == a.entry]
    pitch = (row[1].x - row[0].x, row[1].y - row[0].y)
    length = math.hypot(*pitch)
    wider = tuple(round(c * (length + step) / length, 3) for c in pitch)
    last = (row[0].x + wider[0] * (len(row) - 1), row[0].y + wider[1] * (len(row) - 1))
    if not _on_panel(job, row[-1], last):
        return NO_REMEDY
    value: object = wider[0] if wider[1] == 0 else list(wider)
    return f"Widen the pitch to {format_mm(length + step)}.", (Change(a.entry, ("pitch",), value),)


def _shift(job: Job, place: Place, by: tuple[float, float]) -> tuple[str, tuple[Change, ...]]:
    """Return a shift of the whole entry of a place, if every place of it stays on the panel."""
    row = [p for p in job.places if p.entry == place.entry]
    if not all(_on_panel(job, p, (p.x + by[0], p.y + by[1])) for p in row):
        return NO_REMEDY
    at = [round(row[0].x + by[0] - job.origin[0], 3), round(row[0].y + by[1] - job.origin[1], 3)]
    moves = [
        f"{format_mm(abs(d))} {way[d > 0]}"
        for d, way in zip(by, (("left", "right"), ("down", "up")), strict=True)
        if abs(d) >= STEP / 10
    ]
    return f"Move it {' and '.join(moves)}.", (Change(place.entry, ("at",), at),)


def _on_panel(job: Job, place: Place, at: tuple[float, float]) -> bool:
    left, bottom, right, top = _flange_box(place, at)
    w, h = job.panel.width / 2, job.panel.height / 2
    return left >= -w and right <= w and bottom >= -h and top <= h


def _flange_box(place: Place, at: tuple[float, float]) -> tuple[float, float, float, float]:
    return place.part.flange.outline.turned(place.turn + place.part_turn).moved(*at).box
