"""GLB (glTF 2.0, binary): metres, y up, one mesh per distinct body, a node for every instance."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.bodies.colours import Colour, colour
from dryfit.generators.bodies.meshes import matrix, mesh
from dryfit.generators.lists.failing import NOT_FOR_MANUFACTURE, Fails, reasons
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.bodies import Body

MM = 0.001  # glTF counts in metres
SHARP = 30.0  # degrees between faces beyond which an edge is shown as an edge
_GLTF, _JSON, _BIN = 0x46546C67, 0x4E4F534A, 0x004E4942  # magic numbers of glTF 2.0, section 4.4
_FLOAT, _UINT, _VERTICES, _INDICES = 5126, 5125, 34962, 34963  # enumerants of glTF 2.0


@file_kind("glb", "assembly.glb", "Everything put together, for a 3D viewer.")
def _assembly(order: Order, path: Path) -> None:
    write_glb(replace(order.report.assembly, title=order.title), path, order.fails)


def write_glb(assembly: Assembly, path: Path, fails: Fails = ()) -> None:
    """Write the assembly for a 3D viewer; what ``fails`` goes into the extras of the scene."""
    blob = _Blob()
    colours: dict[Colour, int] = {}
    meshes: dict[tuple[Body, Colour], int] = {}
    accessors: dict[Body, tuple[int, int, int]] = {}
    nodes: list[dict[str, Any]] = []
    for instance in assembly.instances:
        rgb = colour(instance)
        material = colours.setdefault(rgb, len(colours))
        if instance.body not in accessors:
            accessors[instance.body] = blob.add_mesh(instance.body)
        key = (instance.body, rgb)
        if key not in meshes:
            meshes[key] = blob.name_mesh(instance.body.name, accessors[instance.body], material)
        where = matrix(instance.placement)
        where[:3, 3] *= MM
        nodes.append({"name": instance.name, "mesh": meshes[key], "matrix": where.T.ravel().round(9).tolist()})
    tree = _tree(assembly.title, nodes, blob, list(colours))
    if fails:
        tree["scenes"][0]["extras"] = {NOT_FOR_MANUFACTURE.lower(): reasons(fails)}
    write_whole(path, _file(tree, blob.data))


def _tree(title: str, nodes: list[dict[str, Any]], blob: _Blob, colours: list[Colour]) -> dict[str, Any]:
    # x right, y up, z to the viewer: our axes are those of glTF
    root = {"name": title, "children": list(range(1, len(nodes) + 1))}
    return {
        "asset": {"version": "2.0", "generator": "dryfit"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [root, *nodes],
        "meshes": blob.meshes,
        "materials": [_material(c) for c in colours],
        "accessors": blob.accessors,
        "bufferViews": blob.views,
        "buffers": [{"byteLength": len(blob.data)}],
    }


def _material(rgb: Colour) -> dict[str, Any]:
    linear = [round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 6) for c in rgb]  # sRGB to linear
    surface = {"baseColorFactor": [*linear, 1], "metallicFactor": 0.3, "roughnessFactor": 0.55}
    return {"pbrMetallicRoughness": surface}


class _Blob:
    """The binary chunk as it grows, with the JSON that describes it."""

    def __init__(self) -> None:
        self.data = b""
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []
        self.meshes: list[dict[str, Any]] = []

    def add_mesh(self, body: Body) -> tuple[int, int, int]:
        """Add positions, normals and indices of a body; return their accessors."""
        points, normals, faces = _shaded(body)
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


def _shaded(body: Body) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return points (n, 3) m, normals (n, 3) and indices (m,): round faces smooth, edges sharp."""
    import trimesh

    smooth = trimesh.graph.smooth_shade(mesh(body), angle=np.radians(SHARP))
    points = (np.asarray(smooth.vertices) * MM).astype("<f4")
    normals = np.asarray(smooth.vertex_normals).astype("<f4")
    return points, normals, np.asarray(smooth.faces).astype("<u4").ravel()


def _file(tree: dict[str, Any], data: bytes) -> bytes:
    text = json.dumps(tree, separators=(",", ":"), allow_nan=False).encode()
    text += b" " * (-len(text) % 4)
    chunks = b"".join(np.array([len(c), kind], "<u4").tobytes() + c for c, kind in ((text, _JSON), (data, _BIN)))
    return np.array([_GLTF, 2, 12 + len(chunks)], "<u4").tobytes() + chunks
