"""A reader of DXF files that shares no code with their writer: pairs of group code and value, nothing more.

Group codes as in the published DXF reference: 0 entity, 2 name, 8 layer, 10/20 point, 40 radius, 42 bulge, 70 flags.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

Pairs = tuple[tuple[int, str], ...]
CLOSED = 1  # bit of group 70 of a LWPOLYLINE


@dataclass(frozen=True)
class Entity:
    """One entity of the model space: its kind, its layer, and its pairs."""

    kind: str
    layer: str
    pairs: Pairs

    def values(self, code: int) -> tuple[float, ...]:
        """Return the numbers of a group code, in order."""
        return tuple(float(value) for group, value in self.pairs if group == code)

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """The points of the entity (of a circle: its centre), mm."""
        return tuple(zip(self.values(10), self.values(20), strict=True))

    @property
    def is_closed(self) -> bool:
        """Whether a cutting head comes back to where it began."""
        return self.kind == "CIRCLE" or bool(int(self.values(70)[0]) & CLOSED)

    @property
    def radius(self) -> float:
        """Radius of a circle."""
        return self.values(40)[0]

    @property
    def vertices(self) -> tuple[tuple[float, float, float], ...]:
        """Points of a polyline with their bulges; a vertex without group 42 has none."""
        found: list[tuple[float, float, float]] = []
        for group, value in self.pairs:
            if group == 10:
                found.append((float(value), 0.0, 0.0))
            elif group == 20 and found:
                found[-1] = (found[-1][0], float(value), 0.0)
            elif group == 42 and found:
                found[-1] = (*found[-1][:2], float(value))
        return tuple(found)

    @property
    def area(self) -> float:
        """Area inside a circle or a closed polyline: shoelace, and a circular segment for each bulge, mm2."""
        if self.kind == "CIRCLE":
            return math.pi * self.radius**2
        total = 0.0
        for (x0, y0, bulge), (x1, y1, _) in pairwise((*self.vertices, self.vertices[0])):
            total += (x0 * y1 - x1 * y0) / 2
            if bulge:
                angle, chord = 4 * math.atan(bulge), math.hypot(x1 - x0, y1 - y0)
                radius = chord / 2 / math.sin(angle / 2)
                total += radius * radius * (angle - math.sin(angle)) / 2
        return total


@dataclass(frozen=True)
class File:
    """What was read: header variables, names of layers, entities, and the bytes themselves."""

    header: dict[str, str]
    layers: tuple[str, ...]
    entities: tuple[Entity, ...]
    data: bytes

    def on(self, layer: str) -> tuple[Entity, ...]:
        """Return the entities of a layer."""
        return tuple(entity for entity in self.entities if entity.layer == layer)


def read(data: bytes) -> File:
    """Return what a DXF file holds."""
    lines = data.decode("utf-8").splitlines()
    pairs = [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]
    sections = dict(_sections(pairs))
    tables = tuple(_records(sections["TABLES"]))
    return File(
        _header(sections["HEADER"]),
        tuple(_first(record, 2) for record in tables if record[0] == (0, "LAYER")),
        tuple(Entity(r[0][1], _first(r, 8), tuple(r[1:])) for r in _records(sections["ENTITIES"])),
        data,
    )


def _sections(pairs: list[tuple[int, str]]) -> Iterator[tuple[str, list[tuple[int, str]]]]:
    start = 0
    for n, pair in enumerate(pairs):
        if pair == (0, "SECTION"):
            start = n
        elif pair == (0, "ENDSEC"):
            yield pairs[start + 1][1], pairs[start + 2 : n]


def _records(pairs: list[tuple[int, str]]) -> Iterator[list[tuple[int, str]]]:
    """Yield what each group 0 begins."""
    starts = [n for n, (code, _) in enumerate(pairs) if code == 0]
    for start, end in pairwise([*starts, len(pairs)]):
        yield pairs[start:end]


def _header(pairs: list[tuple[int, str]]) -> dict[str, str]:
    """Return the header variables with their first value."""
    return {name: value for (code, name), (_, value) in pairwise(pairs) if code == 9}


def _first(record: list[tuple[int, str]], code: int) -> str:
    return next(value for group, value in record if group == code)
