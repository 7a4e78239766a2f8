"""Keys: loose bow-ties that lie in pockets across the seams and keep the tiles together.

A pocket opens to the rear. Where the plate is thick enough a skin is left in front of it, so that the front stays
whole and a flange lies flat over it; in thin sheet the pocket goes through. A key is a little thinner than its pocket
is deep and stands proud of neither face. All lengths mm, frame of the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.testplate.seams import Cutting, Seam
from dryfit.generators.testplate.sheet import Land, Sheet
from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.outlines import Outline, clearance, polygon, too_near

HOLE_MARGIN = 2.0  # mm of plate between a pocket and any hole, edge, other seam or other pocket
LAND_MARGIN = 0.5  # mm between a pocket and a nut, a washer or a flange that lies on the open side
SKIN = 0.8  # mm left in front of a pocket: four layers of 0.2
LEAST_POCKET = 1.2  # mm; where a skin would leave less, the pocket goes through
SUNK = 0.2  # mm, one layer, that a key stays below the rear face
SPACING = 60.0  # mm of seam for each key
STEP = 1.0  # mm between the spots that are tried
SMALLER = 12.0  # mm farther off that a key may lie rather than be the next size smaller
APART = 40.0  # mm between the middles of two keys beyond which their pockets cannot come near each other
UNDER_FLANGE = 25.0  # mm farther off that a key may lie rather than under a flange in front


@dataclass(frozen=True)
class KeySize:
    """A bow-tie: length across the seam, width at its ends, width of its neck on the seam."""

    name: str
    length: float
    end: float
    neck: float

    @property
    def half(self) -> Outline:
        """The half at positive x of a key that lies along x, its neck on the y axis."""
        return polygon(((0, -self.neck / 2), (self.length / 2, -self.end / 2), (self.length / 2, self.end / 2),
                        (0, self.neck / 2)))  # fmt: skip

    @property
    def halves(self) -> tuple[Outline, Outline]:
        """Both halves."""
        return self.half, self.half.turned(180)


SIZES = (
    KeySize("large", 18.0, 11.0, 5.5),
    KeySize("medium", 12.0, 8.0, 4.0),
    KeySize("small", 8.0, 5.5, 2.8),
    KeySize("tiny", 6.0, 3.8, 2.0),
)
"""Ends twice as wide as necks: flanks at about 17 degrees, as joiners cut dovetails in soft wood, hold and slide in."""


@dataclass(frozen=True)
class Key:
    """One key where it lies; ``under`` names the place whose flange covers it in front."""

    size: KeySize
    x: float
    y: float
    turn: float
    under: str = ""

    @property
    def halves(self) -> tuple[Outline, ...]:
        """The two halves of the key where it lies."""
        return tuple(h.turned(self.turn).moved(self.x, self.y) for h in self.size.halves)

    def pocket(self, joint: float) -> tuple[Outline, ...]:
        """Return the two halves of its pocket, with ``joint`` of air all round."""
        return tuple(h.grown(joint) for h in self.halves)


def skin(thickness: float) -> float:
    """Return how much is left in front of the pockets; 0 where they go through."""
    return SKIN if thickness - SKIN >= LEAST_POCKET else 0.0


def key_height(thickness: float) -> float:
    """Return how high a key is: its pocket less what it stays below the face."""
    return thickness - skin(thickness) - SUNK


def wanted(seam: Seam) -> int:
    """Return how many keys a seam should have: two stop it from hinging."""
    return max(2, round(seam.length / SPACING))


def keys(sheet: Sheet, cutting: Cutting, joint: float) -> tuple[tuple[Key, ...], tuple[str, ...]]:
    """Return the keys of all seams, and a note for each seam that has fewer than it should."""
    placed: list[Key] = []
    notes: list[str] = []
    walls = Nearby((wall[0].box, wall) for wall in _walls(sheet, cutting))
    flanges = Nearby((d.outline.box, d) for d in sheet.lands if d.side == "front")
    for seam in cutting.seams:
        mine = _along(_Room.of(sheet, walls, flanges, seam, joint), placed)
        placed.extend(mine)
        if len(mine) < min(wanted(seam), 2):
            where = f"{'upright' if seam.upright else 'level'} seam {seam.length:.0f} mm long"
            found = "no key" if not mine else "only one key"
            notes.append(f"There is room for {found} along the {where}: tape the tiles from the rear.")
    notes += [f"A key lies behind the flange of {k.under}: the skin over it stays flat." for k in placed if k.under]
    return tuple(placed), tuple(dict.fromkeys(notes))


_Wall = tuple[Outline, float]  # what pockets must keep clear of, and by how much


def _walls(sheet: Sheet, cutting: Cutting) -> Iterator[_Wall]:
    yield from ((o.rim, HOLE_MARGIN) for o in sheet.openings)
    yield from ((o, HOLE_MARGIN) for o in (*sheet.notches, *(s.outline for s in cutting.seams)))
    yield from ((d.outline, LAND_MARGIN) for d in sheet.lands if d.side == "rear")
    yield from ((f, LAND_MARGIN) for f in sheet.folds)


@dataclass(frozen=True)
class _Room:
    """What pockets on one seam must keep clear of, as far as they can reach it, and by how much."""

    seam: Seam
    joint: float
    edge: Outline
    walls: tuple[_Wall, ...]
    flanges: tuple[Land, ...]  # in front

    @classmethod
    def of(cls, sheet: Sheet, walls: Nearby[_Wall], flanges: Nearby[Land], seam: Seam, joint: float) -> _Room:
        """Return the room about a seam."""
        about = seam.outline.box.grown(SIZES[0].length / 2 + joint + HOLE_MARGIN)
        here = tuple(wall for wall in walls.about(about) if wall[0] != seam.outline)
        return cls(seam, joint, sheet.outline, here, flanges.about(about))

    def key(self, size: KeySize, along: float, placed: Sequence[Key]) -> Key | None:
        """Return the key at a distance along the seam, or None where it has no room."""
        key = Key(size, *self.seam.point(along), 0.0 if self.seam.upright else 90.0)
        pocket = key.pocket(self.joint)
        if not all(self._clear(half, placed) for half in pocket):
            return None
        covered = (d for d in self.flanges if any(too_near(half, d.outline, LAND_MARGIN) for half in pocket))
        return replace(key, under=next((d.place for d in covered), ""))

    def _clear(self, half: Outline, placed: Sequence[Key]) -> bool:
        if any(too_near(half, wall, margin) for wall, margin in self.walls):
            return False
        if clearance(half, self.edge) < HOLE_MARGIN:
            return False
        pockets = (p for k in placed if half.centre.distance_to((k.x, k.y)) < APART for p in k.pocket(self.joint))
        return not any(too_near(half, p, HOLE_MARGIN) for p in pockets)


def _along(room: _Room, placed: Sequence[Key]) -> list[Key]:
    """Return the keys of one seam, each as near to an even spacing and as large as there is room."""
    seam, count = room.seam, wanted(room.seam)
    mine: list[Key] = []
    for n in range(count):
        target = seam.low + seam.length * (n + 0.5) / count
        share = seam.length / count
        taken = [*placed, *mine]
        best = _best(room, target, share / 2, taken) or _best(room, target, share, taken)
        mine.extend((best,) if best is not None else ())
    return mine


def _best(room: _Room, target: float, reach: float, placed: Sequence[Key]) -> Key | None:
    best: Key | None = None
    least = float("inf")
    for score, size, along in _tries(room.seam, target, reach):
        if score >= least:
            break
        key = room.key(size, along, placed)
        if key is not None:
            whole = score + (UNDER_FLANGE if key.under else 0.0)
            if whole < least:
                best, least = key, whole
    return best


def _tries(seam: Seam, target: float, reach: float) -> Iterator[tuple[float, KeySize, float]]:
    """Yield what may be tried near a target, the best first: how far off it is, the size, the spot."""
    steps = range(-int(reach / STEP), int(reach / STEP) + 1)
    spots = [target + n * STEP for n in steps if seam.low < target + n * STEP < seam.high]
    rows = [(abs(spot - target) + SMALLER * number, number, spot) for number in range(len(SIZES)) for spot in spots]
    return ((score, SIZES[number], spot) for score, number, spot in sorted(rows))
