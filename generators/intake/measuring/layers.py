"""Layers: the solid from rear to front, each layer as the outline that holds all of it between two levels.

Levels are where faces begin and end, so between two of them the sides go on undisturbed. What is hollow inside, and
edges that are rounded, change no outline; layers that are alike are one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from dryfit.generators.intake.measuring.fitted import SAME, Fitted, alike, fitted
from dryfit.generators.intake.measuring.hulls import Wall, hull, stands_out
from dryfit.generators.intake.measuring.turned import Numbers, Turned
from dryfit.generators.intake.reading.shapes import Face
from dryfit.models.geometry.once import kept
from dryfit.models.geometry.outlines import Outline

UPRIGHT = 1e-6  # by which the axis of what is turned may miss the z axis
THINNEST = 0.002  # mm between two levels that are told apart
FLAT = 1e-6  # mm of height that a triangle must have to be a side
MOST_LEVELS = 240  # a connector with every spring drawn has some two hundred; beyond it the closest are one
ROUND_ALL = 359.9  # degrees from which a face goes all the way round
ROUNDED_OFF = 0.02
"""mm by which a layer may be narrower than its neighbour and still be one with it: the levels of rounded edges miss the
level where the edge begins by some hundredths, where one rounded edge runs into another."""
DIGITS = 8  # decimals of a mm of a radius by which faces are told to be of one wall
SAME_TAPER = 0.01  # mm on the diameter from which a side is no longer straight


@dataclass(frozen=True)
class Layer:
    """What of a part lies between two levels: its hull, or a cone about the axis by its diameters below and above.

    ``off`` mm is how far triangles stray from the true sides where those are free surfaces; 0 where all are plain.
    """

    low: float
    high: float
    hull: Outline
    cone: tuple[float, float] | None = None
    off: float = 0.0

    @kept
    def shape(self) -> Fitted:
        """The hull as a part file writes it: a plain shape, if need be laid around free surfaces."""
        plain = fitted(self.hull)
        return plain if self.off == 0 or "polygon" not in plain.written else fitted(self.hull, 2 * self.off)

    @property
    def outline(self) -> Outline:
        """The outline that holds it, as written."""
        return self.shape.outline

    @property
    def height(self) -> float:
        """How high it is, mm."""
        return self.high - self.low


def layers(of: Turned, most: int = MOST_LEVELS) -> tuple[Layer, ...]:
    """Return a solid as layers from its rear to its front, between at most so many levels, those alike as one."""
    sides = _Sides(of)
    found = (_layer(of, sides, low, high) for low, high in pairwise(_levels(of, most)))
    return tuple(merged([layer for layer in found if layer is not None]))


def _levels(of: Turned, most: int) -> list[float]:
    """Return the levels where faces begin and end, those that are hardly apart as one, the closest where too many."""
    heights = sorted(end.z for face in of.faces for end in face.box)
    levels: list[float] = []
    for z in heights:
        if not levels or z - levels[-1] > THINNEST:
            levels.append(z)
    while len(levels) > most:
        gaps = np.diff(levels[:-1])
        del levels[int(gaps.argmin()) + 1]
    return levels


# --- one layer -------------------------------------------------------------------------------------------------------


class _Sides:
    """The triangles that are sides, and what is turned about an upright axis."""

    def __init__(self, of: Turned):
        heights = of.corners[:, 2][of.triangles]
        self.low, self.high = heights.min(axis=1), heights.max(axis=1)
        self.is_side = self.high - self.low > FLAT
        self.turned = {n: f for n, f in enumerate(of.faces) if is_upright(f)}

    def between(self, low: float, high: float) -> NDArray[np.int64]:
        """Return the numbers of the triangles that go through a layer."""
        return np.flatnonzero(self.is_side & (self.high > low + FLAT) & (self.low < high - FLAT))


def is_upright(face: Face) -> bool:
    """Whether a face is turned about a line along z."""
    if face.kind in {"plane", "free"}:
        return False
    return face.kind == "sphere" or math.hypot(face.axis.x, face.axis.y) < UPRIGHT


def _layer(of: Turned, sides: _Sides, low: float, high: float) -> Layer | None:
    """Return what lies between two levels, or None where that is nothing."""
    through = sides.between(low, high)
    if not len(through):
        return None
    points, numbers = _clipped(of, sides, through, low, high)
    walls, rings = _walls(sides, points, numbers, low, high)
    around = hull(np.vstack([points[:, :2], *rings]), walls, of.facet)
    if around is None:
        return None
    kinds = {of.faces[n].kind for n in set(of.of_face[through].tolist())}
    cone = _cone(of, sides, through, low, high) if "cone" in kinds and around.is_circle else None
    return Layer(low, high, around, cone, of.facet if "free" in kinds else 0.0)


def _clipped(
    of: Turned, sides: _Sides, through: NDArray[np.int64], low: float, high: float
) -> tuple[Numbers, NDArray[np.int64]]:
    """Return the points (n, 3) of triangles between two levels, and the face of each; those on round walls truly on."""
    triangles, faces = of.triangles[through], of.of_face[through]
    starts, ends = triangles[:, [0, 1, 2]].ravel(), triangles[:, [1, 2, 0]].ravel()
    owners = np.repeat(faces, 3)
    a, b = of.corners[starts], of.corners[ends]
    inside = (a[:, 2] >= low - FLAT) & (a[:, 2] <= high + FLAT)
    points, numbers = [a[inside]], [owners[inside]]
    for level in dict.fromkeys((low, high)):
        crossing = (a[:, 2] - level) * (b[:, 2] - level) < 0
        share = (level - a[crossing, 2]) / (b[crossing, 2] - a[crossing, 2])
        points.append(a[crossing] + share[:, None] * (b[crossing] - a[crossing]))
        numbers.append(owners[crossing])
    return _on_walls(sides, np.vstack(points), np.hstack(numbers))


def _on_walls(sides: _Sides, points: Numbers, numbers: NDArray[np.int64]) -> tuple[Numbers, NDArray[np.int64]]:
    """Return points with those on chords of cylinders and cones put on the true surface."""
    for number in set(numbers.tolist()):
        face = sides.turned.get(number)
        if face is None or face.kind not in {"cylinder", "cone"}:
            continue
        mine = numbers == number
        off = points[mine, :2] - (face.at.x, face.at.y)
        far = np.hypot(*off.T)
        true = _radius_at(face, points[mine, 2])
        points[mine, :2] += off * ((true - far) / np.maximum(far, FLAT))[:, None]
    return points, numbers


def _radius_at(face: Face, z: Numbers) -> Numbers:
    """Return the radius of a cylinder or cone at levels."""
    along = (z - face.at.z) * face.axis.z
    return face.radius + along * (math.tan(math.radians(face.second)) if face.kind == "cone" else 0.0)


def _walls(
    sides: _Sides, points: Numbers, numbers: NDArray[np.int64], low: float, high: float
) -> tuple[list[Wall], list[Numbers]]:
    """Return the widest circle of each round side between two levels, and points on those that no corner shows."""
    walls: dict[Wall, float] = {}
    rings = []
    for number in sorted(set(numbers.tolist())):
        face = sides.turned.get(number)
        if face is None or (face.hollow and face.kind in {"cylinder", "cone"}):
            continue
        x, y = face.at.x, face.at.y
        off = points[numbers == number, :2] - (x, y)
        wall = Wall(x, y, round(float(np.hypot(*off.T).max()), DIGITS))
        if (bulge := _bulge(face, low, high)) > wall.radius:
            wall = wall._replace(radius=bulge)
            angles = np.linspace(0, 2 * math.pi, 128, endpoint=False)
            rings.append(np.column_stack([x + bulge * np.cos(angles), y + bulge * np.sin(angles)]))
        walls[wall] = walls.get(wall, 0.0) + face.sweep
    return [wall._replace(whole=sweep > ROUND_ALL) for wall, sweep in walls.items()], rings


def _bulge(face: Face, low: float, high: float) -> float:
    """Return the radius of a torus or sphere at its middle, if the layer holds that and it goes all the way round."""
    holds = max(low, face.box[0].z) <= face.at.z <= min(high, face.box[1].z)
    if face.kind not in {"torus", "sphere"} or face.hollow or face.sweep < ROUND_ALL or not holds:
        return 0.0
    return face.radius + face.second


def _cone(of: Turned, sides: _Sides, through: NDArray[np.int64], low: float, high: float) -> tuple[float, float] | None:
    """Return the diameters below and above of what narrows evenly about the axis, or None if it does not."""
    across = []
    for level in (low, (low + high) / 2, high):
        points, numbers = _clipped(of, sides, through, level, level)
        around = hull(points[:, :2], _walls(sides, points, numbers, level, level)[0], of.facet)
        if around is None or not around.is_circle or around.centre.length > SAME:
            return None
        across.append(around.size.width)
    below, middle, above = across
    tapers = abs(above - below) > SAME_TAPER and abs((above + below) / 2 - middle) < SAME
    return (round(below, 3), round(above, 3)) if tapers else None


# --- layers that are alike -------------------------------------------------------------------------------------------


def merged(found: Sequence[Layer]) -> list[Layer]:
    """Return layers with neighbours of the same outline, or on one cone, as one."""
    whole: list[Layer] = []
    for layer in found:
        if whole and (one := _as_one(whole[-1], layer)) is not None:
            whole[-1] = one
        else:
            whole.append(layer)
    return whole


def _as_one(below: Layer, above: Layer) -> Layer | None:
    """Return two neighbours as one layer, or None if they differ."""
    if above.low - below.high > THINNEST:
        return None
    off = max(below.off, above.off)
    if below.cone and above.cone:
        slopes = [(c[1] - c[0]) / layer.height for layer, c in ((below, below.cone), (above, above.cone))]
        if abs(below.cone[1] - above.cone[0]) < SAME_TAPER and abs(slopes[0] - slopes[1]) < SAME_TAPER:
            return Layer(below.low, above.high, _wider(below, above).hull, (below.cone[0], above.cone[1]), off)
        return None
    if below.cone or above.cone or not alike(below.hull, above.hull, ROUNDED_OFF):
        return None
    wide = _wider(below, above)
    narrow = above if wide is below else below
    if stands_out(narrow.hull, wide.hull) > SAME:
        return None
    return Layer(below.low, above.high, wide.hull, None, wide.off)


def _wider(below: Layer, above: Layer) -> Layer:
    return max(below, above, key=lambda layer: layer.hull.area)


def fewer(found: Sequence[Layer], most: int) -> list[Layer]:
    """Return at most so many layers: neighbours become one where that adds the least volume."""
    left = list(found)
    while len(left) > most:
        costs = [_cost(a, b) for a, b in pairwise(left)]
        first = min(range(len(costs)), key=costs.__getitem__)
        left[first : first + 2] = [_together(*left[first : first + 2])]
    return left


def _cost(a: Layer, b: Layer) -> float:
    area = around_both(a.hull, b.hull).area
    return (area - a.hull.area) * a.height + (area - b.hull.area) * b.height


def _together(a: Layer, b: Layer) -> Layer:
    """Return two neighbours as one layer that holds both."""
    return Layer(a.low, b.high, around_both(a.hull, b.hull), None, max(a.off, b.off))


def around_both(*outlines: Outline) -> Outline:
    """Return the hull of outlines."""
    corners = [c for outline in outlines for c in outline.corners]
    walls = list(dict.fromkeys(Wall(c.x, c.y, c.radius) for c in corners if c.is_round))
    points = np.array([p for outline in outlines for p in outline.path(0.005, outside=False)])
    found = hull(points, walls, 0.005)
    assert found is not None  # outlines enclose something
    return found
