"""Binary STL, mm: a whole assembly as one closed mesh, and the pieces of a test plate.

The format has no field for a title: its 80 bytes of header say what it is and, of a panel that fails, that it is not
for manufacture. No file holds shells that lie against each other or facets without area, as slicers may be given any.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.bodies.meshes import tidied, united
from dryfit.generators.lists.failing import HEADLINE
from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
HEADER = 80  # bytes, of the format
TITLE = b"dryfit, millimetres".ljust(HEADER)  # by it our own files are known
FAILING = f"dryfit, millimetres; {HEADLINE}".encode("ascii").ljust(HEADER)


@file_kind("stl", "assembly.stl", "Everything put together, as one closed mesh.")
def _assembly(order: Order, path: Path) -> None:
    write_assembly_stl(order.report.assembly, path, title_of(order))


def title_of(order: Order) -> bytes:
    """Return the header of an order's files."""
    return FAILING if order.fails else TITLE


def write_assembly_stl(assembly: Assembly, path: Path, title: bytes = TITLE) -> None:
    """Write all bodies of an assembly where they stand, as one: where they touch, nothing is left between them."""
    points, faces = tidied(united((i.body, i.placement) for i in assembly.instances))
    write_whole(path, stl_bytes(points[faces], title))


def write_pieces_stl(pieces: Sequence[Piece], folder: Path, title: bytes = TITLE) -> None:
    """Write one file for each piece of a test plate."""
    folder.mkdir(exist_ok=True)
    for piece in pieces:
        write_whole(folder / piece.file, stl_bytes(piece.points[piece.faces], title))


def stl_bytes(triangles: np.ndarray, title: bytes = TITLE) -> bytes:
    """Return triangles, (n, 3, 3) float mm, as a binary STL file."""
    facets = np.zeros(len(triangles), _FACET)
    triangles = triangles.astype("<f4").astype(float)  # normals of the corners as they are read back
    normals = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    facets["normal"] = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0)
    facets["corners"] = triangles
    return title + np.uint32(len(facets)).tobytes() + facets.tobytes()
