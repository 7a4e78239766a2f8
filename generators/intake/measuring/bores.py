"""Bores: the holes of a solid along its axis, each with all that is turned about one line: straight, sunk, blind."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from dryfit.generators.intake.measuring.layers import ROUND_ALL, is_upright
from dryfit.generators.intake.measuring.turned import Turned
from dryfit.generators.intake.reading.shapes import Face
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.geometry.points import Point

ONE_LINE = 0.01  # mm between the axes of faces that are of one hole
JOINED = 0.01  # mm between faces that follow on from one another
PLACES = 4  # decimals of a mm within which two faces have the same ends


@dataclass(frozen=True)
class Wall:
    """One stretch of a hole: its diameters at its lower and its upper end, which differ where it is sunk."""

    low: float
    high: float
    below: float
    above: float

    @property
    def is_straight(self) -> bool:
        """Whether it is a cylinder."""
        return math.isclose(self.below, self.above, abs_tol=1e-6)

    @property
    def angle(self) -> float:
        """The angle of a sink, side to side, degrees."""
        return 2 * math.degrees(math.atan(abs(self.above - self.below) / 2 / (self.high - self.low)))


@dataclass(frozen=True)
class Bore:
    """One round hole, or one end of it: walls that follow on from each other, from the lowest up."""

    at: Point
    walls: tuple[Wall, ...]

    @property
    def low(self) -> float:
        """Where it begins."""
        return self.walls[0].low

    @property
    def high(self) -> float:
        """Where it ends."""
        return self.walls[-1].high

    @property
    def diameter(self) -> float:
        """The narrowest that it is, mm."""
        return min(min(wall.below, wall.above) for wall in self.walls)

    @property
    def outline(self) -> Outline:
        """Its narrowest circle where it stands."""
        return round_(self.diameter).moved(*self.at)

    def sink(self, front: bool) -> Wall | None:
        """Return the cone that widens towards the front, or towards the rear, as its last stretch there."""
        wall = self.walls[-1 if front else 0]
        widens = wall.above > wall.below if front else wall.below > wall.above
        return wall if widens and not wall.is_straight else None

    def within(self, low: float, high: float) -> Bore | None:
        """Return what of it lies between two levels."""
        kept = tuple(w for w in self.walls if w.high > low + JOINED and w.low < high - JOINED)
        return Bore(self.at, kept) if kept else None


def bores(of: Turned) -> tuple[Bore, ...]:
    """Return all round holes along the axis that go all the way round, each as long as its walls go on."""
    return tuple(bore for at, faces in _by_axis(of.faces) for bore in _strung(at, sorted(_whole(faces), key=_end)))


def _end(wall: Wall) -> tuple[float, float]:
    return wall.low, wall.high


def partial_bores(of: Turned) -> int:
    """Return how many hollow walls do not go all the way round: slots and notches."""
    return sum(len(_pieces(faces)) - len(list(_whole(faces))) for _, faces in _by_axis(of.faces))


def _by_axis(faces: Iterable[Face]) -> Iterator[tuple[Point, list[Face]]]:
    """Yield hollow cylinders and cones by the line that they are turned about."""
    lines: dict[Point, list[Face]] = {}
    for face in faces:
        if face.hollow and face.kind in {"cylinder", "cone"} and is_upright(face):
            at = Point(face.at.x, face.at.y)
            lines.setdefault(next((p for p in lines if p.distance_to(at) < ONE_LINE), at), []).append(face)
    yield from lines.items()


def _pieces(faces: Iterable[Face]) -> dict[Wall, float]:
    """Return the stretches of faces about one line, and how far each goes round in all."""
    round_about: dict[Wall, float] = {}
    for face in faces:
        wall = _wall(face)
        round_about[wall] = round_about.get(wall, 0.0) + face.sweep
    return round_about


def _whole(faces: Iterable[Face]) -> Iterator[Wall]:
    return (wall for wall, sweep in _pieces(faces).items() if sweep > ROUND_ALL and wall.high - wall.low > JOINED / 2)


def _wall(face: Face) -> Wall:
    widens = math.tan(math.radians(face.second)) if face.kind == "cone" else 0.0
    ends = [(face.at.z + along * face.axis.z, face.radius + along * widens) for along in (face.low, face.high)]
    (low, below), (high, above) = sorted((round(z, PLACES), round(2 * r, PLACES)) for z, r in ends)
    return Wall(low, high, abs(below), abs(above))


def _strung(at: Point, walls: list[Wall]) -> Iterator[Bore]:
    """Yield walls that follow on from each other together; a step in width is no end, a gap along the axis is."""
    if not walls:
        return
    start = 0
    for number, (here, after) in enumerate(pairwise(walls), 1):
        if after.low - here.high > JOINED:
            yield Bore(at, tuple(walls[start:number]))
            start = number
    yield Bore(at, tuple(walls[start:]))
