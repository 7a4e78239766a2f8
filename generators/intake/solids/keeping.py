"""What runs in the child process that reads the solid of a part: the kernel stands it up, looks it over, meshes it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import numpy as np

from dryfit.generators.bodies.real import Skin
from dryfit.generators.intake.measuring.turned import Way
from dryfit.generators.intake.reading.bounds import limit, refuse
from dryfit.generators.intake.reading.kernel import (
    MOST_TRIANGLES,
    faces_of,
    is_of_the_kernel,
    mesh_of,
    solids_in,
    solids_of,
)
from dryfit.generators.intake.reading.step import LARGEST_ANSWER

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

SAME_CORNER = 6  # decimals of a mm within which corners of neighbouring faces are one: the kernel gives them alike
SHAPE, SKIN, SHOWN = "shape.bin", "skin.npz", "shown.npz"  # the files of the answer
COARSE = (0.05, 0.2, 0.8)  # mm that triangles for the eye may stray
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
    skin = _skin(solids, facet)
    if len(skin.triangles) > MOST_TRIANGLES:
        refuse(f"holds more than {MOST_TRIANGLES} triangles")
    _save(f"{folder}/{SKIN}", skin, sound)
    _save(f"{folder}/{SHOWN}", _for_the_eye(solids), sound)
    version = BinTools_FormatVersion.BinTools_FormatVersion_CURRENT
    BinTools.Write_s(shape, f"{folder}/{SHAPE}", False, False, version)


def _save(path: str, skin: Skin, sound: bool) -> None:
    np.savez(path, corners=skin.corners, triangles=skin.triangles, sound=sound)


def _for_the_eye(solids: list[TopoDS_Shape]) -> Skin:
    """Return a skin that is no finer than the eye needs, and no larger than a page bears."""
    for facet in COARSE:
        skin = _skin(solids, facet)
        if len(skin.triangles) <= MOST_SHOWN:
            break
    return skin


def _skin(solids: list[TopoDS_Shape], facet: float) -> Skin:
    """Return the skin of solids, closed about each: corners of one solid are one."""
    all_corners, all_triangles, count = [], [], 0
    for solid in solids:
        skin = mesh_of(solid, faces_of(solid), facet)
        corners, which = np.unique(np.array(skin.corners).round(SAME_CORNER) + 0.0, axis=0, return_inverse=True)
        a, b, c = triangles = which.reshape(-1)[np.array(skin.triangles, int)].T
        all_corners.append(corners)
        all_triangles.append(triangles.T[(a != b) & (b != c) & (c != a)] + count)
        count += len(corners)
    return Skin(np.concatenate(all_corners), np.concatenate(all_triangles))


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
