"""Every dimension of a part or plug by its path, such as ``cutout.width`` or ``rear.0.depth``, and where it comes from.

An outline counts as two dimensions, its width and height, or one if it is round or a hexagon (across flats); a section
of a body adds how far it reaches from the face of the flange (``depth``, mm). A source covers the paths that begin with
its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import BaseModel

from dryfit.models.catalogue.parts import Part, Plug, Section
from dryfit.models.catalogue.sources import Confidence, Source
from dryfit.models.geometry.outlines import SQRT3_2, Outline

DEGREES = ("turn", "angle")  # the only dimensions that are no lengths
_WORDS = {"sources", "plugs", "solid"}
_LONGEST_CHAIN = 8  # dimensions that follow from one another; a circle of them ends there too


@dataclass(frozen=True)
class Dimension:
    """One dimension: its path, its value in mm (degrees for what turns), and its source, if the record names one."""

    path: str
    value: float
    source: Source | None

    @property
    def confidence(self) -> Confidence | None:
        """How far it can be trusted, by what is said of it."""
        return None if self.source is None else self.source.confidence

    @property
    def is_angle(self) -> bool:
        """Whether it is in degrees."""
        return self.path.rpartition(".")[2] in DEGREES


def dimensions(record: Part | Plug) -> Iterator[Dimension]:
    """Yield the dimensions of a part or plug, in the order of its record; what it does not have is left out."""
    for path, value in _values(record, ""):
        yield Dimension(path, value, source_of(record, path))


def source_of(record: Part | Plug, path: str) -> Source | None:
    """Return the source that covers a path: the one written for most of it."""
    return record.sources.get(_covering(record, path))


def origin_of(record: Part | Plug, path: str) -> str:
    """Return the dimension that one follows from in the end; the one itself where it follows from none."""
    return extended(record, path)[0]


def extended(record: Part | Plug, path: str) -> tuple[str, float]:
    """Return the dimension that one follows from in the end, and what is added to that (mm)."""
    added = 0.0
    for _ in range(_LONGEST_CHAIN):
        source = source_of(record, path)
        if source is None or source.of is None:
            break
        path, added = source.of + path.removeprefix(_covering(record, path)), added + source.plus
    return path, added


def confidence_of(record: Part | Plug, path: str) -> Confidence | None:
    """Return how far a dimension can be trusted: as far as what it follows from; None where nothing is said of it."""
    source = source_of(record, origin_of(record, path))
    return None if source is None else source.confidence


def unfounded(record: Part | Plug) -> str | None:
    """Return the first key of the sources that follows from what the record does not have, or from itself."""
    paths = [path for path, _ in _values(record, "")]
    for key, source in record.sources.items():
        known = any(path == source.of or path.startswith(f"{source.of}.") for path in paths)
        if source.of is not None and (not known or _follows(record, origin_of(record, key))):
            return key
    return None


def _follows(record: Part | Plug, path: str) -> bool:
    source = source_of(record, path)
    return source is not None and source.of is not None


def _covering(record: Part | Plug, path: str) -> str:
    """Return the longest key among the sources that covers a path, or nothing."""
    covers = [key for key in record.sources if path == key or path.startswith(f"{key}.")]
    return max(covers, key=len, default="")


def _values(record: BaseModel, under: str) -> Iterator[tuple[str, float]]:
    for name in type(record).model_fields:
        if name not in _WORDS:
            yield from _of(f"{under}{name}", getattr(record, name))


def _of(path: str, value: object) -> Iterator[tuple[str, float]]:
    """Yield what a field holds: a length above zero, an outline, centres of holes, sections, or a record of these."""
    if isinstance(value, bool) or not value:
        return
    if isinstance(value, Outline):
        yield from _size(path, value)
    elif isinstance(value, float | int):
        yield path, float(value)
    elif isinstance(value, Section):
        yield from _section(path, value)
    elif isinstance(value, BaseModel):
        yield from _values(value, f"{path}.")
    elif isinstance(value, tuple) and isinstance(value[0], Section):
        for number, section in enumerate(value):
            yield from _of(f"{path}.{number}", section)
    elif isinstance(value, tuple) and isinstance(value[0], tuple):
        yield from _centres(path, value)


def _size(path: str, outline: Outline) -> Iterator[tuple[str, float]]:
    width, height = outline.size
    yield f"{path}.width", width
    if not outline.is_circle and not _is_hexagon(outline):
        yield f"{path}.height", height


def _is_hexagon(outline: Outline) -> bool:
    width, height = outline.size
    return len(outline.corners) == 6 and math.isclose(width, height * SQRT3_2)


def _section(path: str, section: Section) -> Iterator[tuple[str, float]]:
    if section.outline is not None:
        yield from _size(path, section.outline)
    else:
        assert section.cone is not None  # one of the two, by validation
        yield f"{path}.width", max(section.cone)
    yield f"{path}.depth", section.stop


def _centres(path: str, centres: tuple[tuple[float, float], ...]) -> Iterator[tuple[str, float]]:
    """Yield how far the first two holes lie apart: along a straight line, or across and up where that is a diagonal."""
    if len(centres) < 2:
        return
    (x0, y0), (x1, y1) = centres[:2]
    if x0 != x1 and y0 != y1:
        yield f"{path}.across", abs(x1 - x0)
        yield f"{path}.up", abs(y1 - y0)
    else:
        yield f"{path}.apart", math.hypot(x1 - x0, y1 - y0)
