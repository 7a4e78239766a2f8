"""Scenes drawn without a display, in a process of its own.

A graphics library that fails must not take the program with it, and what it writes to standard error is no part of
ours; so one child process draws all pictures of a build.
"""

from __future__ import annotations

import math
import os
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from dryfit.generators.bodies.colours import Colour
from dryfit.generators.looks.scenes import Piece, Scene, View, frame
from dryfit.models.geometry.bodies import Placement
from dryfit.models.reading.errors import DryfitError

FIRST_SECONDS = 120  # software graphics on a busy machine need a hundred times the one second of an idle one
MORE_SECONDS = 60  # for each picture
TURNS = "turns"  # what the graphics library finds the turns of spots by
SLIVER = 1e-3  # mm; which way thinner triangles face is noise of single precision, and would be drawn as edges
MANY = 500_000  # triangles of a picture: more took a gigabyte with threads, and a third of it without
SHARP = 25.0  # degrees between faces beyond which an edge is drawn
SCENE = ".scene"  # how the names of files with scenes end
MARGIN = 1.08  # of the subject's extent that the picture shows
FAR = 2000.0  # mm from the subject to the eye: beyond all that a panel holds
DARK = 0.9  # sum of red, green and blue below which edges are lighter than what they are of
EDGES = ((0.42, 0.43, 0.45), (0.13, 0.14, 0.15))  # of what is dark, of all else
NO_GRAPHICS = (
    "pictures cannot be drawn: this machine's OpenGL and EGL libraries are missing or fail "
    "(Debian's packages: libgl1 libegl1 libglx-mesa0 libegl-mesa0)"
)


def render(scenes: Iterable[tuple[str, Scene]]) -> dict[str, bytes]:
    """Return scenes as PNG, by their names; each is let go of as soon as it is written out for the child.

    Raises:
        DryfitError: if the graphics library of this machine cannot draw.
    """
    with tempfile.TemporaryDirectory() as folder:
        names, most = [], 0
        for number, (name, scene) in enumerate(scenes):
            (Path(folder) / f"{number}{SCENE}").write_bytes(pickle.dumps(scene))
            names.append(name)
            most = max(most, scene.triangles)
        _draw_apart(folder, FIRST_SECONDS + MORE_SECONDS * len(names), sparing=most > MANY)
        return {name: _drawn(Path(folder) / f"{number}.png") for number, name in enumerate(names)}


def _draw_apart(folder: str, seconds: float, sparing: bool) -> None:
    """Draw in a child process, which finds the scenes in a folder of ours and leaves the pictures there.

    ``sparing``: where graphics are drawn by software, without threads, which keep a picture in pieces in memory.
    """
    code = f"from dryfit.generators.writers.offscreen import draw_all; draw_all({folder!r})"
    # without a display the library takes EGL by itself, but complains of the display first
    offscreen = {"VTK_DEFAULT_OPENGL_WINDOW": "vtkEGLRenderWindow"} if sys.platform == "linux" else {}
    threads = {"LP_NUM_THREADS": "0"} if sparing else {}
    command = [sys.executable, "-c", code]
    try:
        subprocess.run(
            command, env={**os.environ, **offscreen, **threads}, capture_output=True, timeout=seconds, check=True
        )
    except subprocess.TimeoutExpired as error:
        raise DryfitError(f"pictures cannot be drawn: not done after {seconds:g} seconds") from error
    except subprocess.CalledProcessError as error:
        raise DryfitError(NO_GRAPHICS) from error


def _drawn(path: Path) -> bytes:
    data = path.read_bytes() if path.exists() else b""
    if not data:
        raise DryfitError(NO_GRAPHICS)
    return data


# --- in the child process -------------------------------------------------------------------------------------------


def draw_all(folder: str) -> None:
    """Draw the scenes of a folder into it."""
    for path in Path(folder).glob(f"*{SCENE}"):
        draw(pickle.loads(path.read_bytes()), str(path.with_suffix(".png")))


def draw(scene: Scene, path: str) -> None:
    """Draw a scene to a PNG file; call it in a process of its own."""
    import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the drawing backend
    from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow

    below, above = vtkRenderer(), vtkRenderer()
    below.SetBackground(1.0, 1.0, 1.0)
    below.SetBackgroundAlpha(0.0 if scene.transparent else 1.0)
    above.SetLayer(1)
    above.InteractiveOff()
    above.SetActiveCamera(below.GetActiveCamera())
    planes = _planes(scene.view)
    for piece in scene.pieces:
        _add(below, piece, planes)
    for piece in scene.over:
        _add(above, piece, None)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(True)
    window.SetMultiSamples(8)
    window.SetAlphaBitPlanes(True)
    window.SetNumberOfLayers(2)
    window.SetSize(*scene.view.size)
    window.AddRenderer(below)
    window.AddRenderer(above)
    _aim(below, scene)
    _light(below)
    window.Render()
    _save(window, path, scene.transparent)


def _save(window: Any, path: str, transparent: bool) -> None:
    from vtkmodules.vtkIOImage import vtkPNGWriter
    from vtkmodules.vtkRenderingCore import vtkWindowToImageFilter

    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.SetScale(1)
    image.ReadFrontBufferOff()
    if transparent:
        image.SetInputBufferTypeToRGBA()
    writer = vtkPNGWriter()
    writer.SetFileName(path)
    writer.SetInputConnection(image.GetOutputPort())
    writer.Write()


def _planes(view: View) -> Any:
    """Return what clips the half that is taken off, or None."""
    from vtkmodules.vtkCommonDataModel import vtkPlane

    if view.cut is None:
        return None
    plane = vtkPlane()
    plane.SetOrigin(view.cut.x, view.cut.y, 0.0)
    plane.SetNormal(*(-part for part in view.cut.normal))
    return plane


def _add(renderer: Any, piece: Piece, plane: Any) -> None:
    from vtkmodules.vtkFiltersCore import vtkFeatureEdges, vtkPolyDataNormals

    surface = _surface(piece)
    if piece.flat:
        renderer.AddActor(_actor(surface, piece, piece.rgb, None, lit=(1.0, 0.0, 0.0)))
        if piece.edged:
            rim = vtkFeatureEdges()
            rim.SetInputData(surface)
            rim.FeatureEdgesOff()
            rim.ColoringOff()
            renderer.AddActor(_actor(rim, piece, EDGES[1], None, lit=(1.0, 0.0, 0.0)))
        return
    normals = vtkPolyDataNormals()
    normals.SetInputData(surface)
    normals.SetFeatureAngle(SHARP)
    edges = vtkFeatureEdges()
    edges.SetInputData(surface)
    edges.SetFeatureAngle(SHARP)
    edges.BoundaryEdgesOff()
    edges.NonManifoldEdgesOff()
    edges.ColoringOff()
    lit = (0.40, 0.57, 0.16) if piece.metal else (0.42, 0.56, 0.06)
    renderer.AddActor(_actor(normals, piece, piece.rgb, plane, lit))
    renderer.AddActor(_actor(edges, piece, EDGES[sum(piece.rgb) >= DARK], plane, lit=(1.0, 0.0, 0.0)))


def _actor(source: Any, piece: Piece, rgb: Colour, plane: Any, lit: tuple[float, float, float]) -> Any:
    """Return what draws a surface or lines of a piece at all its spots.

    ``lit`` are its shares of ambient, diffuse and specular light.
    """
    from vtkmodules.vtkRenderingCore import vtkActor

    mapper = _mapper(source, piece.spots)
    mapper.ScalarVisibilityOff()
    if plane is not None:
        mapper.AddClippingPlane(plane)
    actor = vtkActor()
    actor.SetMapper(mapper)
    look = actor.GetProperty()
    look.SetColor(*rgb)
    ambient, diffuse, specular = lit
    look.SetAmbient(ambient)
    look.SetDiffuse(diffuse)
    look.SetSpecular(specular)
    look.SetSpecularPower(30)
    look.SetLineWidth(1.1)
    return actor


def _mapper(source: Any, spots: Sequence[Placement]) -> Any:
    """Return what draws something at its spots, having it in memory once."""
    from vtkmodules.vtkRenderingCore import vtkGlyph3DMapper

    mapper = vtkGlyph3DMapper()
    if hasattr(source, "GetOutputPort"):
        mapper.SetSourceConnection(source.GetOutputPort())
    else:
        mapper.SetSourceData(source)
    mapper.SetInputData(_standing(spots))
    mapper.SetOrientationArray(TURNS)
    mapper.SetOrientationModeToQuaternion()
    mapper.ScalingOff()
    return mapper


def _standing(spots: Sequence[Placement]) -> Any:
    """Return spots as points, each with its turn."""
    from vtkmodules.util.numpy_support import numpy_to_vtk
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkPolyData

    points, turns = vtkPoints(), numpy_to_vtk(np.array([_quaternion(spot) for spot in spots]), deep=True)
    points.SetData(numpy_to_vtk(np.array([(spot.x, spot.y, spot.z) for spot in spots], dtype=float), deep=True))
    turns.SetName(TURNS)
    there = vtkPolyData()
    there.SetPoints(points)
    there.GetPointData().AddArray(turns)
    return there


def _quaternion(spot: Placement) -> tuple[float, float, float, float]:
    """Return how something is turned: about z, after half a turn about y where it is flipped."""
    half = math.radians(spot.turn) / 2
    return (0.0, -math.sin(half), math.cos(half), 0.0) if spot.flip else (math.cos(half), 0.0, 0.0, math.sin(half))


def _surface(piece: Piece) -> Any:
    from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData

    points = vtkPoints()
    points.SetData(numpy_to_vtk(np.ascontiguousarray(piece.points), deep=True))
    faces = piece.faces[_heights(piece.points[piece.faces]) > SLIVER]
    cells = np.hstack([np.full((len(faces), 1), 3), faces]).astype(np.int64).ravel()
    triangles = vtkCellArray()
    triangles.SetCells(len(faces), numpy_to_vtkIdTypeArray(cells, deep=True))
    surface = vtkPolyData()
    surface.SetPoints(points)
    surface.SetPolys(triangles)
    return surface


def _heights(corners: np.ndarray) -> np.ndarray:
    """Return the least heights of triangles, (n, 3, 3) mm: what they are wide where they are slivers."""
    sides = np.roll(corners, -1, axis=1) - corners
    double = np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1)
    longest = np.linalg.norm(sides, axis=2).max(axis=1)
    return np.asarray(np.divide(double, longest, out=np.zeros(len(corners)), where=longest > 0))


def _aim(renderer: Any, scene: Scene) -> None:
    """Aim a parallel camera so that the subject fills the picture."""
    view = scene.view
    right, up, away = frame(view)
    across, along, deep = (_ends(scene, way) for way in (right, up, away))
    wide, high = view.size
    half = max(along[1] - along[0], (across[1] - across[0]) * high / wide) / 2 * MARGIN
    if view.focus is not None:
        half = (view.focus.y1 - view.focus.y0) / 2
    centre = (right * sum(across) + up * sum(along) + away * sum(deep)) / 2
    camera = renderer.GetActiveCamera()
    camera.SetFocalPoint(*centre)
    camera.SetPosition(*(centre + away * FAR))
    camera.SetViewUp(*up)
    camera.ParallelProjectionOn()
    camera.SetParallelScale(half)
    camera.SetClippingRange(FAR / 4, FAR * 2)


def _ends(scene: Scene, along: np.ndarray) -> tuple[float, float]:
    """Return from where to where the subject of a scene reaches along a direction, mm."""
    if scene.view.focus is not None:
        far = np.array(scene.view.focus.corners) @ along
        return float(far.min()), float(far.max())
    ends = [piece.reach(along) for piece in scene.pieces]
    return min(low for low, _ in ends), max(high for _, high in ends)


def _light(renderer: Any) -> None:
    """Light evenly: from over the viewer's left shoulder, from the viewer, and weakly from the right."""
    from vtkmodules.vtkRenderingCore import vtkLight

    renderer.RemoveAllLights()
    for place, strength in (((-0.6, 0.9, 1.0), 0.55), ((0.0, 0.0, 1.0), 0.62), ((0.9, -0.2, 0.7), 0.2)):
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*place)
        light.SetFocalPoint(0, 0, 0)
        light.SetIntensity(strength)
        renderer.AddLight(light)
