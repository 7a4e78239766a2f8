"""Triangles of what is drawn, for pictures."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from dryfit.generators.looks.shapes import FACET, Drawn, Layer, Ring, Spot, Turning

LEAST_CHORDS = 12  # of a turned piece


@dataclass(frozen=True)
class Surface:
    """Triangles of one finish: points (n, 3) in mm, faces (m, 3) by the numbers of their points."""

    finish: str
    points: np.ndarray
    faces: np.ndarray


def surfaces(drawn: Drawn) -> Iterator[Surface]:
    """Yield the surfaces of what is drawn, one for each finish."""
    ordered = sorted(drawn, key=lambda piece: piece.finish)
    for finish, pieces in groupby(ordered, key=lambda piece: piece.finish):
        meshes = [_at(*_mesh(piece), spot) for piece in pieces for spot in piece.spots]
        yield Surface(finish, *_joined(meshes))


def _joined(meshes: Iterable[tuple[np.ndarray, np.ndarray]]) -> tuple[np.ndarray, np.ndarray]:
    points, faces, count = [], [], 0
    for these, corners in meshes:
        points.append(these)
        faces.append(corners + count)
        count += len(these)
    return np.concatenate(points), np.concatenate(faces)


def _at(points: np.ndarray, faces: np.ndarray, spot: Spot) -> tuple[np.ndarray, np.ndarray]:
    angle = math.radians(spot.turn)
    turn = np.array([[math.cos(angle), math.sin(angle), 0], [-math.sin(angle), math.cos(angle), 0], [0, 0, 1]])
    return points @ turn + np.array([spot.x, spot.y, 0.0]), faces


def _mesh(piece: Layer | Turning) -> tuple[np.ndarray, np.ndarray]:
    return _layer(piece) if isinstance(piece, Layer) else _turning(piece)


def flat(rings: Iterable[Ring]) -> tuple[np.ndarray, np.ndarray]:
    """Return an area as points (n, 2) and triangles (m, 3), anticlockwise."""
    import manifold3d

    arrays = [np.array(ring) for ring in rings]
    return np.concatenate(arrays), np.asarray(manifold3d.triangulate(arrays))


def _layer(piece: Layer) -> tuple[np.ndarray, np.ndarray]:
    corners, faces = flat(piece.rings)
    count, walls, start = len(corners), [], 0
    for ring in piece.rings:
        here = np.arange(start, start + len(ring))
        after = np.roll(here, -1)
        walls += [np.stack([here, after, after + count], 1), np.stack([here, after + count, here + count], 1)]
        start += len(ring)
    levels = (np.full((count, 1), z) for z in (piece.z0, piece.z1))
    points = np.concatenate([np.hstack([corners, z]) for z in levels])
    return points, np.concatenate([faces[:, ::-1], faces + count, *walls])


def _turning(piece: Turning) -> tuple[np.ndarray, np.ndarray]:
    profile = np.array(piece.profile)
    chords = count_of(float(profile[:, 0].max()))
    angles = np.arange(chords) * 2 * math.pi / chords
    radius, z = profile[:, 0], profile[:, 1]
    ring = np.stack([np.outer(np.cos(angles), radius), np.outer(np.sin(angles), radius), np.tile(z, (chords, 1))], 2)
    grid = np.arange(chords * len(profile)).reshape(chords, len(profile))
    a, b = grid, np.roll(grid, -1, axis=0)
    c, d = np.roll(b, -1, axis=1), np.roll(a, -1, axis=1)
    faces = np.concatenate([np.stack([a, b, c], 2).reshape(-1, 3), np.stack([a, c, d], 2).reshape(-1, 3)])
    points = ring.reshape(-1, 3)
    on_axis = np.isclose(points[faces], points[np.roll(faces, 1, axis=1)]).all(axis=2).any(axis=1)
    return points, faces[~on_axis]


def count_of(radius: float) -> int:
    """Return how many chords a circle takes."""
    if radius <= FACET:
        return LEAST_CHORDS
    return max(LEAST_CHORDS, math.ceil(math.pi / math.acos(1 - FACET / radius)))
