"""Where places and plain holes are said to be: each centre, or the first of them with a count and a pitch."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from pydantic import BeforeValidator, Field, WithJsonSchema

from dryfit.models.geometry.points import Point
from dryfit.models.reading.fields import ONE_LENGTH, POINT, TWO_LENGTHS, Spot, two
from dryfit.models.reading.units import parse_signed_length

MOST_PLACES = 500  # on one panel, counted out; a 12-unit panel holds about 150


def _pitch(value: object) -> object:
    if isinstance(value, list | tuple):
        x, y = two(value, "what pitch takes; write one length along x, or [0 mm, 30 mm] along both")
        return (parse_signed_length(x), parse_signed_length(y))
    return (parse_signed_length(value), 0.0)


def several(value: object) -> object:
    """Return a list of points, be it of one that is written alone."""
    points = isinstance(value, list | tuple) and all(isinstance(one, list | tuple) for one in value)
    return value if points or value is None else [two(value, POINT)]


def _spots(value: object) -> object:
    """Return the centres of one place or of several."""
    return several(value) if value else [two(value, POINT)]


Pitch = Annotated[
    tuple[float, float],
    BeforeValidator(_pitch),
    WithJsonSchema({"anyOf": [ONE_LENGTH, TWO_LENGTHS]}),
]
Spots = Annotated[
    tuple[Spot, ...],
    Field(max_length=MOST_PLACES),
    BeforeValidator(_spots),
    WithJsonSchema({"anyOf": [TWO_LENGTHS, {"type": "array", "items": TWO_LENGTHS}]}),
]


def check_steps(at: Sequence[Point], count: int, pitch: tuple[float, float]) -> None:
    """Refuse a count and a pitch that do not go with the centres."""
    stepped = pitch != (0.0, 0.0)
    if stepped and len(at) > 1:
        raise ValueError("pitch goes with one centre at")
    if len(at) > 1 and count not in (1, len(at)):
        raise ValueError(f"a count of {count} does not go with {len(at)} centres at")
    if count > 1 and len(at) == 1 and not stepped:
        raise ValueError("a count of more than one needs a pitch")


def each_centre(at: tuple[Point, ...], count: int, pitch: tuple[float, float]) -> tuple[Point, ...]:
    """Return each centre of an entry; of one alone, with those that follow at the pitch."""
    if len(at) != 1:
        return at
    return tuple(at[0] + Point(*pitch) * step for step in range(count))
