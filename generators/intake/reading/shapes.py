"""What a STEP file holds, as plain data: solids with their faces, each face by what surface it lies on. mm, degrees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

FaceKind = Literal["plane", "cylinder", "cone", "torus", "sphere", "free"]
EdgeKind = Literal["line", "arc", "circle", "curve"]


class Vector(NamedTuple):
    """A point in space, or a direction."""

    x: float
    y: float
    z: float

    def dot(self, other: Vector) -> float:
        """Return the inner product."""
        return self.x * other.x + self.y * other.y + self.z * other.z


@dataclass(frozen=True)
class Edge:
    """One edge of a loop, in the order in which the loop runs.

    ``points`` are the ends of a line; start, middle and end of an arc; start and the point opposite of a circle; points
    along any other curve, near enough to draw it. ``centre``, ``axis`` and ``radius`` are those of an arc or circle;
    seen against its axis an arc runs anticlockwise.
    """

    kind: EdgeKind
    points: tuple[Vector, ...]
    centre: Vector | None = None
    axis: Vector | None = None
    radius: float = 0.0


@dataclass(frozen=True)
class Face:
    """One face: the surface that it lies on, and how much of it.

    ``at`` is a point of a plane, or of the axis of what is turned: the centre of a torus or sphere, anywhere on the
    axis of a cylinder, where a cone has the ``radius`` given. ``axis`` is the normal of a plane that points out of the
    material, else the axis. ``second`` is the smaller radius of a torus, or the angle of a cone between axis and side
    in degrees, above zero where it widens along its axis. ``low`` and ``high`` say how far the face reaches along the
    axis from ``at``, ``sweep`` how far about it. ``hollow``: the material lies outside of the surface, as around a
    bore. ``loops`` bound a plane, the outer one first. ``box`` is its least and its greatest corner, ``area`` in mm2.
    """

    kind: FaceKind
    at: Vector
    axis: Vector
    box: tuple[Vector, Vector]
    area: float
    radius: float = 0.0
    second: float = 0.0
    low: float = 0.0
    high: float = 0.0
    sweep: float = 360.0
    hollow: bool = False
    loops: tuple[tuple[Edge, ...], ...] = ()


@dataclass(frozen=True)
class Mesh:
    """The skin of a solid in triangles: corners (mm), three corners for each triangle, and the face that it belongs to.

    Corners lie on the true surface; on what is curved triangles stray from it by at most ``facet`` mm.
    """

    corners: tuple[Vector, ...]
    triangles: tuple[tuple[int, int, int], ...]
    of_face: tuple[int, ...]
    facet: float


@dataclass(frozen=True)
class Solid:
    """One solid body where it stands in its file; the mesh only where it was asked for."""

    faces: tuple[Face, ...]
    box: tuple[Vector, Vector]
    volume: float
    mesh: Mesh | None = None


@dataclass(frozen=True)
class Shapes:
    """All solids of a file, in mm whatever its unit; ``unit`` is that of the file, in its own word, or empty."""

    solids: tuple[Solid, ...]
    unit: str = ""
