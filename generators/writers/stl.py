"""Binary STL, mm: one body, or a whole assembly in one file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.bodies.meshes import matrix, mesh
from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.bodies import Body

if TYPE_CHECKING:
    import trimesh

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
TITLE = b"dryfit, millimetres".ljust(80)  # by it our own files are known


@file_kind("stl", "plate.stl", "The finished panel in one piece, to print as a test plate.")
def _plate(order: Order, path: Path) -> None:
    write_body_stl(next(order.report.assembly.of("panel")).body, path)


@file_kind("stl", "assembly.stl", "Everything put together, as one mesh.")
def _assembly(order: Order, path: Path) -> None:
    write_assembly_stl(order.report.assembly, path)


def write_body_stl(body: Body, path: Path) -> None:
    """Write one body, watertight."""
    write_whole(path, stl_bytes(_triangles(mesh(body))))


def write_assembly_stl(assembly: Assembly, path: Path) -> None:
    """Write all bodies of an assembly where they stand; every one is watertight by itself."""
    parts = [
        _triangles(mesh(i.body)) @ matrix(i.placement)[:3, :3].T + matrix(i.placement)[:3, 3]
        for i in assembly.instances
    ]
    write_whole(path, stl_bytes(np.concatenate(parts)))


def write_pieces_stl(pieces: Sequence[Piece], folder: Path) -> None:
    """Write one file for each piece of a test plate."""
    folder.mkdir(exist_ok=True)
    for piece in pieces:
        write_whole(folder / piece.file, stl_bytes(piece.points[piece.faces]))


def _triangles(solid: trimesh.Trimesh) -> np.ndarray:
    corners: np.ndarray = np.asarray(solid.vertices)[np.asarray(solid.faces)]
    return corners


def stl_bytes(triangles: np.ndarray) -> bytes:
    """Return triangles, (n, 3, 3) float mm, as a binary STL file."""
    facets = np.zeros(len(triangles), _FACET)
    triangles = triangles.astype("<f4").astype(float)  # normals of the corners as they are read back
    normals = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    facets["normal"] = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0)
    facets["corners"] = triangles
    return TITLE + np.uint32(len(facets)).tobytes() + facets.tobytes()
