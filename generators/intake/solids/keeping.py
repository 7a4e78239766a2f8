"""What runs in the child process that reads the solid of a part: the kernel stands it up, looks it over, meshes it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import numpy as np

from dryfit.generators.bodies.real import Skin
from dryfit.generators.intake.measuring.turned import Way
from dryfit.generators.intake.reading.bounds import limit, refuse
from dryfit.generators.intake.reading.kernel import (
    COARSER,
    MOST_TRIANGLES,
    TURN,
    faces_of,
    is_of_the_kernel,
    mesh_of,
    solids_in,
    solids_of,
)
from dryfit.generators.intake.reading.shapes import Mesh
from dryfit.generators.intake.reading.step import LARGEST_ANSWER

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

SAME_CORNER = 6  # decimals of a mm within which corners of neighbouring faces are one: the kernel gives them alike
SHAPE, SKIN, SHOWN = "shape.bin", "skin.npz", "shown.npz"  # the files of the answer
COARSE = ((0.05, TURN), (0.1, 2 * TURN), (0.2, 4 * TURN))  # mm that triangles for the eye may stray, radians they turn
MOST_SHOWN = 40_000  # triangles: a page of some hundred places draws each solid once


def main() -> None:
    """Read the file named first into the folder named second; then front, up, at, facet, memory (bytes), time (s)."""
    path, folder, front, up, x, y, z, facet, memory, seconds = sys.argv[1:]
    limit(int(memory), int(seconds), LARGEST_ANSWER)
    try:
        _keep(path, folder, _matrix(front, up, (float(x), float(y), float(z))), float(facet))
    except Exception as error:
        if not is_of_the_kernel(error):
            raise
        refuse(f"holds a shape that the kernel cannot work out ({type(error).__name__})")


def _matrix(front: str, up: str, at: tuple[float, float, float]) -> np.ndarray:
    """Return the (3, 4) matrix that stands a part up with its own origin at zero."""
    way = Way(front, up)  # type: ignore[arg-type]  # words that the part file was asked for
    return np.hstack([way.matrix, -np.array(at).reshape(3, 1)])


def _keep(path: str, folder: str, matrix: np.ndarray, facet: float) -> None:
    from OCP.BinTools import BinTools, BinTools_FormatVersion

    found, _ = solids_of(path)
    shape, sound = _mended(_stood_up(_whole(found), matrix))
    solids = solids_in(shape)
    _save(f"{folder}/{SKIN}", _fine(solids, facet), sound)
    _save(f"{folder}/{SHOWN}", _for_the_eye(solids), sound)
    version = BinTools_FormatVersion.BinTools_FormatVersion_CURRENT
    BinTools.Write_s(shape, f"{folder}/{SHAPE}", False, False, version)


def _save(path: str, skin: Skin, sound: bool) -> None:
    np.savez(path, corners=skin.corners, triangles=skin.triangles, sound=sound)


def _fine(solids: list[TopoDS_Shape], facet: float) -> Skin:
    """Return a skin as fine as it is asked for, coarser where it would be too large."""
    for times in COARSER:
        skins = _skins(solids, facet * times)
        if _count(skins) <= MOST_TRIANGLES:
            return _joined(skins)
    refuse(f"holds more than {MOST_TRIANGLES} triangles: more than a part can keep as its solid")


def _count(skins: list[Skin]) -> int:
    return sum(len(skin.triangles) for skin in skins)


def _for_the_eye(solids: list[TopoDS_Shape]) -> Skin:
    """Return a skin no finer than the eye needs and no larger than a page bears: else that of the largest solids."""
    for facet, turn in COARSE:
        skins = _skins(solids, facet, turn)
        if _count(skins) <= MOST_SHOWN:
            return _joined(skins)
    by_size = sorted(skins, key=lambda skin: -float(np.ptp(skin.corners, axis=0).prod()))
    counts = np.cumsum([len(skin.triangles) for skin in by_size])
    return _joined(by_size[: max(1, int(np.searchsorted(counts, MOST_SHOWN, "right")))])


def _skins(solids: list[TopoDS_Shape], facet: float, turn: float = TURN) -> list[Skin]:
    """Return the skins of solids, each closed: corners that faces of one solid share are one."""
    return [_closed(mesh_of(solid, faces_of(solid), facet, turn)) for solid in solids]


def _closed(mesh: Mesh) -> Skin:
    corners, which = np.unique(np.array(mesh.corners).round(SAME_CORNER) + 0.0, axis=0, return_inverse=True)
    a, b, c = triangles = which.reshape(-1)[np.array(mesh.triangles, int)].T
    return Skin(corners, triangles.T[(a != b) & (b != c) & (c != a)])


def _joined(skins: list[Skin]) -> Skin:
    starts = np.cumsum([0, *(len(skin.corners) for skin in skins)])
    triangles = [skin.triangles + start for skin, start in zip(skins, starts, strict=False)]
    return Skin(np.concatenate([skin.corners for skin in skins]), np.concatenate(triangles))


def _whole(found: list[TopoDS_Shape]) -> TopoDS_Shape:
    """Return solids as one shape."""
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    if len(found) == 1:
        return found[0]
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for solid in found:
        builder.Add(whole, solid)
    return whole


def _stood_up(shape: TopoDS_Shape, matrix: np.ndarray) -> TopoDS_Shape:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Trsf

    transform = gp_Trsf()
    transform.SetValues(*(float(v) for v in matrix.ravel()))
    return BRepBuilderAPI_Transform(shape, transform, True).Shape()


def _mended(shape: TopoDS_Shape) -> tuple[TopoDS_Shape, bool]:
    """Return a shape, mended if it wants it, and whether it is sound."""
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.ShapeFix import ShapeFix_Shape

    if BRepCheck_Analyzer(shape).IsValid():
        return shape, True
    fix = ShapeFix_Shape(shape)
    fix.Perform()
    fixed = fix.Shape()
    if not solids_in(fixed):
        return shape, False
    return fixed, bool(BRepCheck_Analyzer(fixed).IsValid())
