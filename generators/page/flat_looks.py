"""Looks seen square on, for the flat front view: faces painted over those behind them, what lies deep in shade."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from dryfit.generators.looks.shapes import Drawn, Layer, Ring, Spot, Turning
from dryfit.generators.page.markup import Element, element
from dryfit.models.reading.units import decimals
from dryfit.models.tables.finishes import finish, is_dark, shares

DIGITS = 2  # decimals of a mm: below what a screen shows
SAME = 0.02  # mm: points that miss a circle by less lie on it
ROUND = 12  # points that a ring has at least where it is a circle
DEEPER = 0.035  # by which a face is darker for each mm that it lies below the widest: the flange
DEEPEST = 0.5  # shade of what lies deepest
OUT_OF_SIGHT = 22.0  # mm below the foremost: terminals behind a socket are not seen through it
SLOPING = 0.72  # shade of a cone's side, seen along its axis


@dataclass(frozen=True)
class _Face:
    """What faces the viewer at a level: rings, or a disc between two diameters; ``across`` is how far it reaches."""

    level: float
    colour: str
    shade: float
    path: str
    disc: tuple[float, float, float] | None = None  # of a whole disc: its axis and radius
    reach: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


def flat_look(drawn: Drawn, flip: bool, name: str) -> Element:
    """Return a look as a group of that name, from the front, or from behind where it stands flipped."""
    faces = sorted((face for piece in drawn for face in _faces(piece, flip)), key=lambda face: face.level)
    top = faces[-1].level
    near = [face for face in faces if face.level > top - OUT_OF_SIGHT]
    seen = [face for n, face in enumerate(near) if not _is_hidden(face, near[n + 1 :])]
    flange = max(seen, key=_covers).level
    return element("g", *(_painted(face, flange) for face in seen), id=name, class_="look")


def _covers(face: _Face) -> float:
    left, bottom, right, top = face.reach
    return (right - left) * (top - bottom)


def _painted(face: _Face, flange: float) -> Element:
    shade = face.shade * max(DEEPEST, 1 - DEEPER * max(0.0, flange - face.level))
    paint = "#" + "".join(f"{round(share * shade * 255):02x}" for share in shares(face.colour))
    return element(
        "path", d=face.path, fill=paint, fill_rule="evenodd", class_="dark" if is_dark(face.colour) else None
    )


def _is_hidden(face: _Face, above: Iterable[_Face]) -> bool:
    """Whether one whole disc above covers all of a face."""
    left, bottom, right, top = face.reach
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    discs = (one.disc for one in above if one.disc is not None)
    return any(all(math.dist(corner, (x, y)) <= r for corner in corners) for x, y, r in discs)


def _faces(piece: Layer | Turning, flip: bool) -> Iterator[_Face]:
    for spot in piece.spots:
        yield from _layer(piece, spot, flip) if isinstance(piece, Layer) else _turning(piece, spot, flip)


def _layer(piece: Layer, spot: Spot, flip: bool) -> Iterator[_Face]:
    rings = [_placed(ring, spot, flip) for ring in piece.rings]
    level = -piece.z0 if flip else piece.z1
    circle = _circle(rings[0])
    disc = circle if circle is not None and len(rings) == 1 else None
    xs, ys = [x for x, _ in rings[0]], [y for _, y in rings[0]]
    reach = (min(xs), min(ys), max(xs), max(ys))
    yield _Face(level, finish(piece.finish).colour, 1.0, "".join(map(_ring_path, rings)), disc, reach)


def _turning(piece: Turning, spot: Spot, flip: bool) -> Iterator[_Face]:
    """Yield what of a turned piece faces the viewer, of like discs the foremost."""
    x, y = (-spot.x if flip else spot.x), spot.y
    found: dict[tuple[float, float], _Face] = {}
    for (r, z), (s, end) in zip(piece.profile, (*piece.profile[1:], piece.profile[0]), strict=True):
        outer, inner = max(r, s), min(r, s)
        if (s - r) * (1 if flip else -1) <= 0 or outer <= 0:  # it faces the axis, away from it, or the other way
            continue
        level = max(-z, -end) if flip else max(z, end)
        path = circle_path(x, y, outer) + (circle_path(x, y, inner) if inner > 0 else "")
        disc = (x, y, outer) if inner == 0 else None
        reach = (x - outer, y - outer, x + outer, y + outer)
        face = _Face(level, finish(piece.finish).colour, 1.0 if z == end else SLOPING, path, disc, reach)
        if (r, s) not in found or found[r, s].level < level:
            found[r, s] = face
    yield from found.values()


def _placed(ring: Ring, spot: Spot, flip: bool) -> Ring:
    cos, sin, side = math.cos(math.radians(spot.turn)), math.sin(math.radians(spot.turn)), -1 if flip else 1
    return tuple((side * (spot.x + x * cos - y * sin), spot.y + x * sin + y * cos) for x, y in ring)


def _circle(ring: Ring) -> tuple[float, float, float] | None:
    """Return axis and radius of a ring that is a circle."""
    if len(ring) < ROUND:
        return None
    x, y = (sum(values) / len(ring) for values in zip(*ring, strict=True))
    radii = [math.dist(point, (x, y)) for point in ring]
    return (x, y, max(radii)) if max(radii) - min(radii) < SAME else None


def _ring_path(ring: Ring) -> str:
    circle = _circle(ring)
    if circle is not None:
        return circle_path(*circle)
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in ring) + "Z"


def circle_path(x: float, y: float, r: float) -> str:
    """Return a circle as the steps of a path, y up."""
    across, level = _n(r), _n(y)
    left, right = _n(x - r), _n(x + r)
    return f"M{left} {level}A{across} {across} 0 1 0 {right} {level}A{across} {across} 0 1 0 {left} {level}Z"


def _n(value: float) -> str:
    return decimals(value, DIGITS)
