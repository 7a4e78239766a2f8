"""Parts and plugs at the worse end of their dimensions: as much material as their sources allow, as little hole.

Where sources differ on a dimension, it lies between ``least`` and ``greatest``. What has to go through a hole, past a
neighbour or into the room behind the panel is judged at its greatest; what has to let a screw pass, to reach through
the panel or to be reached, at its least. How thick the flange is decides where its screws stand, so that stays nominal;
what depends on it asks :func:`extent`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache, partial
from typing import NamedTuple, TypeVar

from dryfit.models.catalogue.dimensions import extended, source_of
from dryfit.models.catalogue.parts import Part, Plug, Section
from dryfit.models.catalogue.sources import HOLES
from dryfit.models.geometry.outlines import Outline
from dryfit.models.reading.fields import Record

DISTINCT = 1024  # parts and plugs remembered
Record_ = TypeVar("Record_", bound=Record)
Of = TypeVar("Of", Part, Plug)


class Extent(NamedTuple):
    """How far a dimension may go: its least and its greatest, mm; both its value where sources agree."""

    least: float
    greatest: float


def extent(record: Part | Plug, path: str, value: float) -> Extent:
    """Return how far a dimension of a record may go, that of what it follows from included.

    What follows from a hole to cut is as large as that hole leaves room for: that sources differ on the hole widens
    nothing.
    """
    origin, plus = extended(record, path)
    source = source_of(record, origin)
    if source is None or origin.startswith(HOLES):
        return Extent(value, value)
    least, greatest = (end if end is None else end + plus for end in (source.least, source.greatest))
    return Extent(min(value, value if least is None else least), max(value, value if greatest is None else greatest))


@lru_cache(maxsize=DISTINCT)
def least_flange(part: Part) -> Outline:
    """Return the outline of a part's flange at its least: what it covers and bears is judged so."""
    outline = part.flange.outline
    width, height = outline.size
    narrower = width - extent(part, "flange.outline.width", width).least
    lower = narrower if outline.is_circle else height - extent(part, "flange.outline.height", height).least
    return outline.stretched(-narrower, -lower)


def bush_holds(part: Part) -> tuple[str, float]:
    """Return what bears on the panel from the side of a bush's nut, and how wide it is at least, mm."""
    bush = part.bush
    assert bush is not None  # the caller looked
    nut = extent(part, "bush.nut_across", bush.nut_across).least
    if not bush.washer:
        return "nut", nut
    return "washer", max(nut, extent(part, "bush.washer_across", bush.washer_across).least)


@lru_cache(maxsize=DISTINCT)
def worst_part(part: Part) -> Part:
    """Return a part with its bodies, flange and nut at their greatest, its holes, reach and limits at their least."""
    at = partial(extent, part)
    changes: dict[str, object] = {
        "flange": _changed(part.flange, outline=_grown(part.flange.outline, "flange.outline", at)),
        "front": _sections(part.front, "front", at),
        "rear": _sections(part.rear, "rear", at),
    }
    if part.seat:
        changes["seat"] = at("seat", part.seat).greatest
    if part.latch is not None:
        changes["latch"] = _changed(part.latch, height=at("latch.height", part.latch.height).least)
    if part.thickest:
        changes["thickest"] = at("thickest", part.thickest).least
    if part.fixings is not None:
        changes["fixings"] = _changed(part.fixings, hole=at("fixings.hole", part.fixings.hole).least)
    if part.bush is not None:
        wide = _greatest(part.bush, "bush", ("thread", "nut_across", "nut_height", "washer", "washer_across"), at)
        changes["bush"] = _changed(wide, length=at("bush.length", part.bush.length).least)
    return _changed(part, **changes)


@lru_cache(maxsize=DISTINCT)
def worst_plug(plug: Plug) -> Plug:
    """Return a plug with its bodies at their greatest."""
    at = partial(extent, plug)
    return _changed(plug, body=_sections(plug.body, "body", at), nose=_sections(plug.nose, "nose", at))


At = Callable[[str, float], Extent]


def _sections(sections: Iterable[Section], under: str, at: At) -> tuple[Section, ...]:
    return tuple(_section(section, f"{under}.{number}", at) for number, section in enumerate(sections))


def _section(section: Section, path: str, at: At) -> Section:
    outline = None if section.outline is None else _grown(section.outline, path, at)
    return _changed(section, outline=outline, stop=at(f"{path}.depth", section.stop).greatest)


def _grown(outline: Outline, path: str, at: At) -> Outline:
    width, height = outline.size
    wider = at(f"{path}.width", width).greatest - width
    higher = wider if outline.is_circle else at(f"{path}.height", height).greatest - height
    return outline.stretched(wider, higher)


def _greatest(record: Record_, under: str, names: Iterable[str], at: At) -> Record_:
    return _changed(record, **{name: at(f"{under}.{name}", getattr(record, name)).greatest for name in names})


def _changed(record: Record_, **changes: object) -> Record_:
    """Return a record with some fields changed; itself where nothing is."""
    new = {name: value for name, value in changes.items() if value != getattr(record, name)}
    return record.changed(**new) if new else record
