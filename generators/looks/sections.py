"""Bodies cut open by a plane that runs front to back: what lies in it, filled."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.meshes import matrix, solid_mesh
from dryfit.generators.looks.triangles import flat

LAYER = 0.002  # mm a cut face lies before those of the bodies named earlier, so that none flickers through another


@dataclass(frozen=True)
class Plane:
    """A plane square to the panel through (x, y); what lies towards ``degrees``, seen from the front, is taken off."""

    x: float
    y: float
    degrees: float

    @property
    def normal(self) -> tuple[float, float, float]:
        """The way that is taken off."""
        return math.cos(math.radians(self.degrees)), math.sin(math.radians(self.degrees)), 0.0

    @property
    def upright(self) -> np.ndarray:
        """What puts the plane on its back, its normal along z and the panel's front up: a (3, 4) matrix."""
        x, y, _ = self.normal
        rows = np.array([[-y, x, 0.0], [0.0, 0.0, 1.0], [x, y, 0.0]])
        return np.hstack([rows, -rows @ np.array([[self.x], [self.y], [0.0]])])


def caps(one: Instance, plane: Plane, rank: int) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Yield the section of a body as it was checked: points (n, 3) where they lie, and triangles (m, 3)."""
    turn = plane.upright
    lying = solid_mesh(one.body, "show").transform((np.vstack([turn, [0, 0, 0, 1]]) @ matrix(one.placement))[:3])
    for part in lying.slice(0.0).decompose():
        rings = [tuple((float(x), float(y)) for x, y in ring) for ring in part.to_polygons()]
        if not rings:  # a face that lies in the plane has a section without area
            continue
        points, faces = flat(rings)
        level = np.full((len(points), 1), LAYER * (rank + 1))
        yield (np.hstack([points, level]) - turn[:, 3]) @ turn[:, :3], faces
