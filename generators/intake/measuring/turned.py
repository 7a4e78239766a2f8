"""Solids of a file turned so that the front of the part looks along z, x to the right and y up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from dryfit.generators.intake.reading.shapes import Face, Shapes, Vector

Axis = Literal["+x", "-x", "+y", "-y", "+z", "-z"]
AXES: tuple[Axis, ...] = get_args(Axis)
Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Way:
    """How a part stands in its file: which way its front looks, and which way is up."""

    front: Axis
    up: Axis

    @property
    def matrix(self) -> Numbers:
        """The (3, 3) turn that takes the file's axes to those of a part."""
        front, up = along(self.front), along(self.up)
        return np.array([np.cross(up, front), up, front])


def along(axis: Axis) -> Numbers:
    """Return the direction of an axis."""
    way = np.zeros(3)
    way["xyz".index(axis[1])] = 1.0 if axis[0] == "+" else -1.0
    return way


def ups(front: Axis) -> tuple[Axis, ...]:
    """Return which ways may be up where the front is given, as CAD programs have it first: y, or z for a plan."""
    order: tuple[Axis, ...] = ("+y", "+z", "+x", "-x", "-z", "-y")
    return tuple(axis for axis in order if axis[1] != front[1])


@dataclass(frozen=True, eq=False)
class Turned:
    """All that a file holds, turned: faces by number, and the skin in triangles with the face of each.

    ``corners`` (n, 3) float, ``triangles`` (m, 3) int, ``of_face`` (m,) int.
    """

    faces: tuple[Face, ...]
    corners: Numbers
    triangles: NDArray[np.int64]
    of_face: NDArray[np.int64]
    facet: float

    def moved(self, dx: float, dy: float, dz: float) -> Turned:
        """Return it shifted."""
        shift = np.array([dx, dy, dz])
        return replace(self, faces=tuple(_moved(f, shift) for f in self.faces), corners=self.corners + shift)


def turned(shapes: Shapes, way: Way) -> Turned:
    """Return the solids of a file, which were read with meshes, turned upright."""
    matrix = way.matrix
    corners, triangles, of_face = [np.zeros((0, 3))], [np.zeros((0, 3), int)], [np.zeros(0, int)]
    faces: list[Face] = []
    for solid in shapes.solids:
        assert solid.mesh is not None  # the caller asked for it
        triangles.append(np.array(solid.mesh.triangles, int).reshape(-1, 3) + sum(map(len, corners)))
        of_face.append(np.array(solid.mesh.of_face, int) + len(faces))
        corners.append(np.array(solid.mesh.corners).reshape(-1, 3) @ matrix.T)
        faces += [_turned(face, matrix) for face in solid.faces]
    facet = max(solid.mesh.facet for solid in shapes.solids if solid.mesh is not None)
    return Turned(tuple(faces), np.vstack(corners), np.vstack(triangles), np.hstack(of_face), facet)


def _turned(face: Face, matrix: Numbers) -> Face:
    ends = np.array(face.box) @ matrix.T
    box = Vector(*map(float, ends.min(axis=0))), Vector(*map(float, ends.max(axis=0)))
    return replace(face, at=_vector(matrix @ face.at), axis=_vector(matrix @ face.axis), box=box, loops=())


def _moved(face: Face, shift: Numbers) -> Face:
    low, high = (_vector(end + shift) for end in np.array(face.box))
    return replace(face, at=_vector(np.array(face.at) + shift), box=(low, high))


def _vector(of: Numbers) -> Vector:
    return Vector(*(float(v) for v in of))
