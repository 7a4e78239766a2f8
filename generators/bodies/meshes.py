"""Meshes straight from slices, without the CAD kernel.

Two qualities. ``check`` meshes hold the body: circumscribed outside, inscribed in holes, at most 0.005 mm off, so a
clash is never missed. ``show`` meshes lie on the true surface at their corners, for printing and for the eye.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING, Literal

import numpy as np

from dryfit.models.geometry.bodies import Bent, Body, Placement, Profile, Slice, Straight
from dryfit.models.geometry.folds import Fold
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point, distinct

if TYPE_CHECKING:
    import manifold3d
    import trimesh

Quality = Literal["check", "show"]
FACETS: dict[Quality, float] = {"check": 0.005, "show": 0.02}
"""mm a facet may stray from its arc: for checks far below the tenths that decide, for show finer than any printer."""

DIGITS = 4  # decimals of a mm that corners are kept to: single precision, as STL has it, holds them on any bed
SHORTEST = 2e-3  # mm; shorter edges are by-products of the mesh library, and single precision makes slivers of them
PAST = 1.0  # mm that cutters reach past a face, so that no skin is left


@cache
def solid_mesh(body: Body, quality: Quality) -> manifold3d.Manifold:
    """Return the body as a manifold3d solid: the union of its slices."""
    import manifold3d

    if body.bent is not None and quality == "show":
        return _bent_mesh(body.bent, quality)
    parts = [_slice_mesh(s, quality) for s in body.slices]
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add) if len(parts) > 1 else parts[0]


def _bent_mesh(bent: Bent, quality: Quality) -> manifold3d.Manifold:
    """Return folded sheet with its bends round."""
    import manifold3d

    sheet = manifold3d.Manifold.batch_boolean([_slice_mesh(s, quality) for s in bent.sheet], manifold3d.OpType.Add)
    low, high = bent.sheet[0].z0 - PAST, bent.sheet[-1].z1 + PAST
    rings = [_ring(outline, quality, hole=True) for outline in bent.gone]
    gone = manifold3d.CrossSection(rings, manifold3d.FillRule.NonZero).extrude(high - low).translate((0, 0, low))
    folds = [_fold_mesh(fold, quality) for fold in bent.folds]
    return manifold3d.Manifold.batch_boolean([sheet - gone, *folds], manifold3d.OpType.Add)


def _fold_mesh(fold: Fold, quality: Quality) -> manifold3d.Manifold:
    import manifold3d

    section = manifold3d.CrossSection([distinct(fold.ring(FACETS[quality]))[::-1]], manifold3d.FillRule.NonZero)
    swept = section.extrude(fold.high - fold.low).rotate((90, 0, 90))  # its y and z are y and z now, swept along x
    return swept.translate((fold.low, 0, 0)).rotate((0, 0, fold.turn))


def placed_mesh(body: Body, spot: Placement, quality: Quality) -> manifold3d.Manifold:
    """Return the body's solid where it stands."""
    return solid_mesh(body, quality).transform(matrix(spot)[:3])


def mesh(body: Body, quality: Quality = "show") -> trimesh.Trimesh:
    """Return the body as a watertight trimesh, mm."""
    return as_trimesh(solid_mesh(body, quality))


def as_trimesh(solid: manifold3d.Manifold) -> trimesh.Trimesh:
    """Return a manifold3d solid as a trimesh."""
    import trimesh

    raw = solid.to_mesh()
    return trimesh.Trimesh(np.asarray(raw.vert_properties)[:, :3], np.asarray(raw.tri_verts), process=False)


def united(bodies: Iterable[tuple[Body, Placement]]) -> manifold3d.Manifold:
    """Return bodies where they stand as one closed solid, for what looks and prints: where they touch, they are one."""
    import manifold3d

    parts = [placed_mesh(body, spot, "show") for body, spot in bodies]
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)


def tidied(solid: manifold3d.Manifold, lower_left: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Return corners (n, 3) float mm and facets (m, 3) int without slivers or doubles; ``lower_left``: from there.

    A slicer gets no facet that has no area: short edges are joined, and corners that rounding brings together are one.
    """
    raw = solid.simplify(SHORTEST).to_mesh64()
    points = np.asarray(raw.vert_properties, dtype=float)[:, :3]
    points = (points - points.min(axis=0) * lower_left).round(DIGITS) + 0.0  # no minus zero
    distinct, numbers = np.unique(points, axis=0, return_inverse=True)
    faces = numbers.reshape(-1)[np.asarray(raw.tri_verts, dtype=np.int64)]
    a, b, c = faces.T
    return distinct, faces[(a != b) & (b != c) & (c != a)]


def matrix(spot: Placement) -> np.ndarray:
    """Return the placement as a (4, 4) float matrix: flip about y, turn about z, shift."""
    angle = np.radians(spot.turn)
    flip = -1.0 if spot.flip else 1.0
    cos, sin = np.cos(angle), np.sin(angle)
    return np.array([[cos * flip, -sin, 0, spot.x], [sin * flip, cos, 0, spot.y], [0, 0, flip, spot.z], [0, 0, 0, 1]])


def _slice_mesh(s: Slice, quality: Quality) -> manifold3d.Manifold:
    import manifold3d

    if isinstance(s.profile, Straight) and all(isinstance(h, Straight) for h in s.holes):
        rings = [_ring(s.profile.outline, quality, hole=False)]
        rings += [_ring(h.at(0), quality, hole=True)[::-1] for h in s.holes]
        section = manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd)
        return section.extrude(s.z1 - s.z0).translate((0, 0, s.z0))
    solid = _profile_mesh(s.profile, s, quality, hole=False)
    for hole in s.holes:
        solid = solid - _profile_mesh(hole, s, quality, hole=True)
    return solid


def _profile_mesh(profile: Profile, s: Slice, quality: Quality, hole: bool) -> manifold3d.Manifold:
    import manifold3d

    if isinstance(profile, Straight):
        section = manifold3d.CrossSection([_ring(profile.outline, quality, hole)])
        return section.extrude(s.z1 - s.z0).translate((0, 0, s.z0))
    low, high = max(profile.low, 0.0), max(profile.high, 0.0)
    wide = max(low, high)
    ring = _ring(profile.at(0.0 if low >= high else 1.0).moved(-profile.x, -profile.y), quality, hole)
    turned = low < high
    section = manifold3d.CrossSection([ring])
    scale = min(low, high) / wide
    cone = section.extrude(s.z1 - s.z0, scale_top=(scale, scale))
    if turned:  # extrusion tapers upwards only: turn the cone upside down
        cone = cone.rotate((180, 0, 0)).translate((0, 0, s.z1 - s.z0))
    return cone.translate((profile.x, profile.y, s.z0))


def _ring(outline: Outline, quality: Quality, hole: bool) -> list[Point]:
    """Return the outline as a ring of points: for checks outside of a body and inside of a hole."""
    return outline.path(FACETS[quality], outside=quality == "check" and not hole)
