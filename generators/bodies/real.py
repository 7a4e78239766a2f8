"""The true solids of parts: what a maker drew, where the slices that are judged only hold it.

Each is in the frame of its part (see :mod:`dryfit.models.catalogue.parts`). Without one a part is its slices.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.solids import need_kernel
from dryfit.models.reading.errors import DryfitError

if TYPE_CHECKING:
    import manifold3d
    from OCP.TopoDS import TopoDS_Shape


DISTINCT = 16  # solids remembered as shapes and as meshes: each may be tens of megabytes


@dataclass(frozen=True, eq=False)
class Skin:
    """Triangles: ``corners`` (n, 3) float mm, each of a solid once; ``triangles`` (m, 3) int by their numbers.

    Seen from outside they run anticlockwise.
    """

    corners: NDArray[np.float64]
    triangles: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class RealSolid:
    """The solid of a part, by the name of its file: as the kernel keeps shapes, and its skin, fine and for the eye.

    ``sound``: whether the kernel finds nothing wrong with it. Two are the same only if they are one.
    """

    file: str
    shape: bytes
    skin: Skin
    shown: Skin
    sound: bool


Reals = Mapping[str, RealSolid]
"""Solids by the kind of the part."""

NO_REALS: Reals = MappingProxyType({})


def real_of(reals: Reals, one: Instance) -> RealSolid | None:
    """Return the true solid of an instance, if it is a part that has one."""
    return reals.get(one.body.name) if one.role == "part" else None


@lru_cache(maxsize=DISTINCT)
def real_shape(real: RealSolid) -> TopoDS_Shape:
    """Return it as a shape of the kernel's, made once.

    Raises:
        DryfitError: if it is not sound: no file with a broken solid is handed over.
    """
    if not real.sound:
        raise DryfitError(f"the solid {real.file} is not sound, and cannot be mended; its part may go without `solid`")
    need_kernel()
    from OCP.BinTools import BinTools
    from OCP.TopoDS import TopoDS_Shape

    shape = TopoDS_Shape()
    BinTools.Read_s(shape, io.BytesIO(real.shape))
    return shape


@lru_cache(maxsize=DISTINCT)
def closed(skin: Skin) -> manifold3d.Manifold | None:
    """Return a skin as a solid of the mesh library; None where it is not closed."""
    import manifold3d

    made = manifold3d.Manifold(manifold3d.Mesh64(skin.corners, skin.triangles.astype(np.uint64)))
    is_whole = made.status() == manifold3d.Error.NoError and not made.is_empty() and made.volume() > 0
    return made if is_whole else None
