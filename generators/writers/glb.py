"""GLB (glTF 2.0, binary): metres, y up, one mesh per distinct body, a node for every instance."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.meshes import matrix, mesh
from dryfit.generators.bodies.real import RealSolid, real_of
from dryfit.generators.lists.failing import NOT_FOR_MANUFACTURE, Fails, reasons
from dryfit.generators.looks.looks import main_finish
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.bodies import Body, Placement
from dryfit.models.tables.finishes import Finish, shares, surface

if TYPE_CHECKING:
    import trimesh

MM = 0.001  # glTF counts in metres
LEAST_AREA = 1e-14  # m2: a hundredth of a square micrometre, what rounding to the file's precision leaves of slivers
SHARP = 30.0  # degrees between faces beyond which an edge is shown as an edge
_GLTF, _JSON, _BIN = 0x46546C67, 0x4E4F534A, 0x004E4942  # magic numbers of glTF 2.0, section 4.4
_FLOAT, _UINT, _VERTICES, _INDICES = 5126, 5125, 34962, 34963  # enumerants of glTF 2.0


@file_kind("glb", "assembly.glb", "Everything put together, for a 3D viewer.")
def _assembly(order: Order, path: Path) -> None:
    write_glb(order.report, path, order.title, order.fails)


def write_glb(report: Report, path: Path, title: str, fails: Fails = ()) -> None:
    """Write the assembly for a 3D viewer; what ``fails`` goes into the extras of the scene."""
    blob = _Blob()
    materials: dict[str, dict[str, Any]] = {}
    meshes: dict[tuple[Body | RealSolid, str], int] = {}
    accessors: dict[Body | RealSolid, tuple[int, int, int]] = {}
    nodes: list[dict[str, Any]] = []
    for instance in report.assembly.instances:
        look = _material(_name(report, instance), main_finish(report, instance))
        materials.setdefault(look["name"], look)
        body = real_of(report.reals, instance) or instance.body
        if body not in accessors:
            accessors[body] = blob.add_mesh(_mesh(body))
        key = (body, look["name"])
        if key not in meshes:
            meshes[key] = blob.name_mesh(instance.body.name, accessors[body], [*materials].index(look["name"]))
        nodes.append({"name": instance.name, "mesh": meshes[key], **_where(instance.placement)})
    tree = _tree(title, nodes, blob, list(materials.values()))
    if fails:
        tree["scenes"][0]["extras"] = {NOT_FOR_MANUFACTURE.lower(): reasons(fails)}
    write_whole(path, _file(tree, blob.data))


def _where(placement: Placement) -> dict[str, Any]:
    """Return where a node stands; nothing of one that stands at the origin, as the specification asks."""
    where = matrix(placement)
    where[:3, 3] *= MM
    return {} if np.array_equal(where, np.eye(4)) else {"matrix": where.T.ravel().round(9).tolist()}


def _tree(title: str, nodes: list[dict[str, Any]], blob: _Blob, materials: list[dict[str, Any]]) -> dict[str, Any]:
    # x right, y up, z to the viewer: our axes are those of glTF
    root = {"name": title, "children": list(range(1, len(nodes) + 1))}
    return {
        "asset": {"version": "2.0", "generator": "dryfit"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [root, *nodes],
        "meshes": blob.meshes,
        "materials": materials,
        "accessors": blob.accessors,
        "bufferViews": blob.views,
        "buffers": [{"byteLength": len(blob.data)}],
    }


def _name(report: Report, instance: Instance) -> str:
    """Return the name of a material: of the panel's with its metal, where that shows."""
    name, panel = main_finish(report, instance).name, report.job.panel
    return f"{name} {panel.material.name}" if instance.role == "panel" and not panel.coating else name


def _material(name: str, finish: Finish) -> dict[str, Any]:
    colour = [round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 6) for c in shares(finish.colour)]
    shine = surface(finish)
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, 1],  # linear, from sRGB
            "metallicFactor": shine.metallic,
            "roughnessFactor": shine.roughness,
        },
    }


class _Blob:
    """The binary chunk as it grows, with the JSON that describes it."""

    def __init__(self) -> None:
        self.data = b""
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []
        self.meshes: list[dict[str, Any]] = []

    def add_mesh(self, solid: trimesh.Trimesh) -> tuple[int, int, int]:
        """Add positions, normals and indices of a mesh, mm; return their accessors."""
        points, normals, faces = _shaded(solid)
        return self._add(points, _VERTICES), self._add(normals, _VERTICES), self._add(faces, _INDICES)

    def name_mesh(self, name: str, accessors: tuple[int, int, int], material: int) -> int:
        """Add a mesh over accessors that may be shared; return its number."""
        position, normal, indices = accessors
        attributes = {"POSITION": position, "NORMAL": normal}
        self.meshes.append(
            {"name": name, "primitives": [{"attributes": attributes, "indices": indices, "material": material}]}
        )
        return len(self.meshes) - 1

    def _add(self, values: np.ndarray, target: int) -> int:
        raw = values.tobytes()
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target})
        self.data += raw + b"\0" * (-len(raw) % 4)
        accessor: dict[str, Any] = {"bufferView": len(self.views) - 1, "count": len(values)}
        if target == _INDICES:
            accessor |= {"componentType": _UINT, "type": "SCALAR"}
        else:
            accessor |= {"componentType": _FLOAT, "type": "VEC3"}
            accessor |= {"min": values.min(axis=0).tolist(), "max": values.max(axis=0).tolist()}
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _mesh(body: Body | RealSolid) -> trimesh.Trimesh:
    import trimesh

    if isinstance(body, Body):
        return mesh(body)
    return trimesh.Trimesh(body.shown.corners, body.shown.triangles, process=False)


def _shaded(solid: trimesh.Trimesh) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return points (n, 3) m, unit normals (n, 3) and indices (m,): round faces smooth, edges sharp.

    Slivers without area at the precision of the file are left out: nobody sees them, and they have no normal.
    """
    import trimesh

    smooth = trimesh.graph.smooth_shade(_with_area(solid), angle=np.radians(SHARP))
    points = (np.asarray(smooth.vertices) * MM).astype("<f4")
    normals = np.asarray(smooth.vertex_normals, dtype=float)
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    units = np.divide(normals, lengths, out=np.tile((0.0, 0.0, 1.0), (len(normals), 1)), where=lengths > 0)
    return points, units.astype("<f4"), np.asarray(smooth.faces).astype("<u4").ravel()


def _with_area(solid: trimesh.Trimesh) -> trimesh.Trimesh:
    import trimesh

    corners = (np.asarray(solid.vertices) * MM).astype("<f4").astype(float)[np.asarray(solid.faces)]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    return trimesh.Trimesh(solid.vertices, np.asarray(solid.faces)[areas > LEAST_AREA], process=False)


def _file(tree: dict[str, Any], data: bytes) -> bytes:
    text = json.dumps(tree, separators=(",", ":"), allow_nan=False).encode()
    text += b" " * (-len(text) % 4)
    chunks = b"".join(np.array([len(c), kind], "<u4").tobytes() + c for c, kind in ((text, _JSON), (data, _BIN)))
    return np.array([_GLTF, 2, 12 + len(chunks)], "<u4").tobytes() + chunks
