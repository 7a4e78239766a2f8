"""What the dry run moves and what it meets: bodies with their way home, and what is said of a trial."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum
from typing import Literal

from manifold3d import Manifold

from tests.oracle.solids import SKIN, Solid

BAND = 0.02  # mm: nearer than this nothing is said

Kind = Literal["part", "screw", "washer", "nut", "blind side", "plug", "nose"]


class State(IntEnum):
    """How a trial went."""

    FREE = 0
    CLOSE = 1
    COLLIDES = 2


@dataclass(frozen=True)
class Trouble:
    """One thing that does not go, or that cannot be said to go."""

    kind: str  # way, land, held, sheet, pattern, hardware
    state: State
    places: tuple[str, ...]
    what: str
    against: str
    amount: float  # mm3 for bodies, mm or a share else

    def __str__(self) -> str:
        where = " & ".join(self.places)
        return f"{self.state.name} {self.kind} [{where}] {self.what} / {self.against}: {self.amount:.4g}"


@dataclass(frozen=True)
class Play:
    """How far a body may wander sideways: against the panel, and against the part of its own place."""

    panel: float = 0.0
    part: float = 0.0

    def looser(self, by: float) -> Play:
        """Return the play of what sits loosely on this."""
        return Play(self.panel + by, self.part + by)


@dataclass(frozen=True, eq=False)
class Ways:
    """A nut: every way to turn it, what it takes when it spins, and what it takes at the least."""

    angles: tuple[Solid, ...]
    circle: Solid
    core: Solid
    spins: bool  # it must spin to come home


@dataclass(eq=False)
class Thing:
    """One body that is slid home: from ``side`` (+1 the front, -1 the rear, 0 it is only there)."""

    kind: Kind
    name: str
    place: str
    solid: Solid
    side: float
    play: Play = field(default_factory=Play)
    air: float = BAND  # mm beside it that count as free
    ways: Ways | None = None
    _made: dict[tuple[object, ...], Manifold] = field(default_factory=dict)

    @property
    def widest(self) -> Solid:
        """All that the body may take, however it is turned."""
        return self.ways.circle if self.ways is not None else self.solid

    @property
    def least(self) -> Solid:
        """What the body takes at the least, however it is turned."""
        return self.ways.core if self.ways is not None else self.solid

    def home(self, solid: Solid) -> Manifold:
        """Return one of its solids at home."""
        return self.made(solid, 0.0, 0.0, False)

    def made(self, solid: Solid, grow: float, skin: float = SKIN, swept: bool = True) -> Manifold:
        """Return one of its solids grown and skinned, with its way home or without; made once."""
        key = (id(solid), round(grow, 4), skin, swept)
        if key not in self._made:
            self._made[key] = solid.swept(self.side, grow, skin) if swept else solid.still(grow, skin)
        return self._made[key]


@dataclass(frozen=True, eq=False)
class Fixed:
    """A body that does not move: the sheet, lips, rails."""

    name: str
    body: Manifold


Obstacle = Thing | Fixed
