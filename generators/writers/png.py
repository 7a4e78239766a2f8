"""Pictures of the assembly, rendered without a display.

Rendering runs in a process of its own: a graphics library that fails must not take the program with it, and what it
writes to standard error is no part of ours.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.bodies.colours import CLASH, Colour, colour
from dryfit.generators.bodies.meshes import matrix, mesh
from dryfit.generators.writers.whole import whole_file
from dryfit.models.geometry.boxes import Box
from dryfit.models.reading.errors import DryfitError

RENDER_SECONDS = 240  # a picture takes one second; software graphics on a busy machine a hundred
SHARP = 25.0  # degrees between faces beyond which an edge is drawn
MARGIN = 1.08  # of the subject's extent that the picture shows


@dataclass(frozen=True)
class View:
    """One picture: from where it looks (a vector towards the viewer), at which box (None: all), in which size."""

    towards: tuple[float, float, float]
    focus: Box | None = None
    size: tuple[int, int] = (1600, 900)
    plugs: bool = True


FRONT = View((0.0, 0.0, 1.0), size=(1800, 600), plugs=False)
THREE_QUARTER = View((-0.55, 0.5, 0.8))
REAR = View((0.5, 0.45, -0.85), plugs=False)


@dataclass(frozen=True)
class Piece:
    """One instance as triangles where it stands, with its colour."""

    points: np.ndarray
    faces: np.ndarray
    rgb: Colour


def render(assembly: Assembly, pictures: Sequence[tuple[Path, View]], highlight: Collection[str] = ()) -> None:
    """Write pictures of the assembly; instances named in ``highlight`` are shown in the colour of a clash.

    Raises:
        DryfitError: if the graphics library of this machine cannot draw.
    """
    for path, view in pictures:
        pieces = [_piece(i, i.name in highlight) for i in assembly.instances if view.plugs or i.role != "plug"]
        with whole_file(path) as temporary:
            _draw_apart(pieces, view, temporary)


def _piece(instance: Instance, marked: bool) -> Piece:
    solid, where = mesh(instance.body), matrix(instance.placement)
    points = np.asarray(solid.vertices) @ where[:3, :3].T + where[:3, 3]
    return Piece(points, np.asarray(solid.faces), CLASH if marked else colour(instance))


def _draw_apart(pieces: list[Piece], view: View, path: Path) -> None:
    """Draw in a child process, which gets the pieces through a file of ours."""
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "pieces"
        job.write_bytes(pickle.dumps((pieces, view, str(path))))
        code = f"from dryfit.generators.writers.png import _draw_job; _draw_job({str(job)!r})"
        environment = {**os.environ, "VTK_DEFAULT_OPENGL_WINDOW": "vtkEGLRenderWindow"}
        done = subprocess.run(
            [sys.executable, "-c", code], env=environment, capture_output=True, timeout=RENDER_SECONDS, check=False
        )
    if done.returncode != 0 or path.stat().st_size == 0:
        raise DryfitError("pictures cannot be drawn on this machine: its graphics library has no offscreen mode")


def _draw_job(job: str) -> None:
    pieces, view, path = pickle.loads(Path(job).read_bytes())
    draw(pieces, view, path)


def draw(pieces: list[Piece], view: View, path: str) -> None:
    """Draw pieces to a PNG file; call it in a process of its own."""
    import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the drawing backend
    from vtkmodules.vtkIOImage import vtkPNGWriter
    from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow, vtkWindowToImageFilter

    renderer = vtkRenderer()
    renderer.SetBackground(1.0, 1.0, 1.0)
    for piece in pieces:
        for actor in _actors(piece):
            renderer.AddActor(actor)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(True)
    window.SetMultiSamples(8)
    window.SetSize(*view.size)
    window.AddRenderer(renderer)
    _aim(renderer, pieces, view)
    _light(renderer)
    window.Render()
    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.SetScale(1)
    image.ReadFrontBufferOff()
    writer = vtkPNGWriter()
    writer.SetFileName(path)
    writer.SetInputConnection(image.GetOutputPort())
    writer.Write()


def _actors(piece: Piece):  # type: ignore[no-untyped-def]  # yields objects of an untyped library
    from vtkmodules.vtkFiltersCore import vtkFeatureEdges, vtkPolyDataNormals
    from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

    surface = _surface(piece)
    normals = vtkPolyDataNormals()
    normals.SetInputData(surface)
    normals.SetFeatureAngle(SHARP)
    edges = vtkFeatureEdges()
    edges.SetInputData(surface)
    edges.SetFeatureAngle(SHARP)
    edges.BoundaryEdgesOff()
    edges.NonManifoldEdgesOff()
    edges.ColoringOff()
    for source, rgb, is_edge in ((normals, piece.rgb, False), (edges, (0.12, 0.13, 0.14), True)):
        mapper = vtkPolyDataMapper()
        mapper.SetInputConnection(source.GetOutputPort())
        mapper.ScalarVisibilityOff()
        actor = vtkActor()
        actor.SetMapper(mapper)
        look = actor.GetProperty()
        look.SetColor(*rgb)
        look.SetAmbient(1.0 if is_edge else 0.38)
        look.SetDiffuse(0.0 if is_edge else 0.75)
        look.SetSpecular(0.0 if is_edge else 0.18)
        look.SetSpecularPower(25)
        look.SetLineWidth(1.1)
        yield actor


def _surface(piece: Piece):  # type: ignore[no-untyped-def]  # returns an object of an untyped library
    from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData

    points = vtkPoints()
    points.SetData(numpy_to_vtk(np.ascontiguousarray(piece.points), deep=True))
    cells = np.hstack([np.full((len(piece.faces), 1), 3), piece.faces]).astype(np.int64).ravel()
    triangles = vtkCellArray()
    triangles.SetCells(len(piece.faces), numpy_to_vtkIdTypeArray(cells, deep=True))
    surface = vtkPolyData()
    surface.SetPoints(points)
    surface.SetPolys(triangles)
    return surface


def _aim(renderer, pieces: list[Piece], view: View) -> None:  # type: ignore[no-untyped-def]
    """Aim a parallel camera so that the subject fills the picture."""
    everything = np.concatenate([p.points for p in pieces])
    corners = everything if view.focus is None else np.array(view.focus.corners)
    away = np.array(view.towards) / np.linalg.norm(view.towards)
    right = np.cross([0.0, 1.0, 0.0], away)
    right /= np.linalg.norm(right)
    up = np.cross(away, right)
    across, along = corners @ right, corners @ up
    centre = right * (across.max() + across.min()) / 2 + up * (along.max() + along.min()) / 2
    centre += away * float((corners @ away).mean())
    camera = renderer.GetActiveCamera()
    camera.SetFocalPoint(*centre)
    camera.SetPosition(*(centre + away * 2000.0))
    camera.SetViewUp(*up)
    camera.ParallelProjectionOn()
    wide, high = view.size
    half = max(along.max() - along.min(), (across.max() - across.min()) * high / wide) / 2
    camera.SetParallelScale(half * MARGIN)
    renderer.ResetCameraClippingRange()


def _light(renderer) -> None:  # type: ignore[no-untyped-def]
    """Light from over the viewer's left shoulder, with a weak one from the right."""
    from vtkmodules.vtkRenderingCore import vtkLight

    renderer.RemoveAllLights()
    for place, strength in (((-0.6, 0.9, 1.0), 0.95), ((0.9, -0.2, 0.7), 0.35)):
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*place)
        light.SetFocalPoint(0, 0, 0)
        light.SetIntensity(strength)
        renderer.AddLight(light)
