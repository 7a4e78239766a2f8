"""Pictures of the assembly, rendered without a display.

Rendering runs in a process of its own, one for all pictures of a build: a graphics library that fails must not take
the program with it, and what it writes to standard error is no part of ours.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.bodies.colours import CLASH, Colour, colour
from dryfit.generators.bodies.meshes import matrix, mesh
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.boxes import Box
from dryfit.models.reading.errors import DryfitError

FIRST_SECONDS = 120  # software graphics on a busy machine need a hundred times the one second of an idle one
MORE_SECONDS = 60  # for each picture
SHARP = 25.0  # degrees between faces beyond which an edge is drawn
MARGIN = 1.08  # of the subject's extent that the picture shows
CLOSE_UP = 20.0  # mm shown about what fails
NO_GRAPHICS = (
    "pictures cannot be drawn: this machine's OpenGL and EGL libraries are missing or fail "
    "(Debian's packages: libgl1 libegl1 libglx-mesa0 libegl-mesa0)"
)


@dataclass(frozen=True)
class View:
    """One picture: from where it looks (a vector towards the viewer), at which box (None: all), in which size.

    Instances named in ``marked`` are shown in the colour of a clash.
    """

    towards: tuple[float, float, float]
    focus: Box | None = None
    size: tuple[int, int] = (1600, 900)
    plugs: bool = True
    marked: Collection[str] = ()


FRONT = View((0.0, 0.0, 1.0), size=(1800, 600), plugs=False)
THREE_QUARTER = View((-0.55, 0.5, 0.8))
REAR = View((0.5, 0.45, -0.85), plugs=False)


def pictures(order: Order) -> dict[str, bytes]:
    """Return all pictures of a report by their file names."""
    report = order.report
    views = {"front.png": FRONT, "three-quarter.png": THREE_QUARTER, "rear.png": REAR}
    failure = first_failure(report)
    if failure is not None:
        views["close-up.png"] = close_up(report, failure)
    return render(report.assembly, views)


def _something_fails(report: Report) -> bool:
    return first_failure(report) is not None


@file_kind("pictures", "front.png", "The panel from the front.")
def _front(order: Order, path: Path) -> None:
    write_whole(path, order.once(pictures)["front.png"])


@file_kind("pictures", "three-quarter.png", "The panel with its plugs in.")
def _three_quarter(order: Order, path: Path) -> None:
    write_whole(path, order.once(pictures)["three-quarter.png"])


@file_kind("pictures", "rear.png", "What is behind the panel.")
def _rear(order: Order, path: Path) -> None:
    write_whole(path, order.once(pictures)["rear.png"])


@file_kind("pictures", "close-up.png", "A close look at the first thing that fails.", when=_something_fails)
def _close_up(order: Order, path: Path) -> None:
    write_whole(path, order.once(pictures)["close-up.png"])


def first_failure(report: Report) -> Finding | None:
    """Return the first finding that fails at a place, or None."""
    return next((f for f in report.findings if f.verdict is Verdict.FAILS and f.place), None)


def close_up(report: Report, finding: Finding) -> View:
    """Return the view of what fails at a place, from the side where it is seen."""
    towards = (0.35, 0.45, -0.8) if finding.view == "rear" else (-0.45, 0.5, 0.75)
    plugs = finding.check in {"plug-seats", "plug-room"}
    return View(towards, _about(report, finding.place), (1200, 900), plugs, concerned(report, finding))


def concerned(report: Report, finding: Finding) -> tuple[str, ...]:
    """Return the names of the bodies that a finding is about; of a place without any, its part."""
    return finding.bodies or tuple(i.name for i in report.assembly.of("part") if i.place == finding.place)


def _about(report: Report, place: str) -> Box:
    spot, r = report.job.place(place), CLOSE_UP
    return Box(spot.x - r, spot.y - r, -r, spot.x + r, spot.y + r, r)


@dataclass(frozen=True)
class Piece:
    """One instance as triangles where it stands, with its colour."""

    points: np.ndarray
    faces: np.ndarray
    rgb: Colour


def render(assembly: Assembly, views: Mapping[str, View]) -> dict[str, bytes]:
    """Return pictures of the assembly as PNG, by the names of their views.

    Raises:
        DryfitError: if the graphics library of this machine cannot draw.
    """
    scenes = [(name, view, _pieces(assembly, view)) for name, view in views.items()]
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "scenes").write_bytes(pickle.dumps(scenes))
        _draw_apart(folder, FIRST_SECONDS + MORE_SECONDS * len(views))
        return {name: _drawn(Path(folder) / name) for name in views}


def _pieces(assembly: Assembly, view: View) -> list[Piece]:
    return [_piece(i, i.name in view.marked) for i in assembly.instances if view.plugs or i.role != "plug"]


def _piece(instance: Instance, marked: bool) -> Piece:
    solid, where = mesh(instance.body), matrix(instance.placement)
    points = np.asarray(solid.vertices) @ where[:3, :3].T + where[:3, 3]
    return Piece(points, np.asarray(solid.faces), CLASH if marked else colour(instance))


def _draw_apart(folder: str, seconds: float) -> None:
    """Draw in a child process, which finds the scenes in a folder of ours and leaves the pictures there."""
    code = f"from dryfit.generators.writers.png import _draw_scenes; _draw_scenes({folder!r})"
    # without a display the library takes EGL by itself, but complains of the display first
    offscreen = {"VTK_DEFAULT_OPENGL_WINDOW": "vtkEGLRenderWindow"} if sys.platform == "linux" else {}
    command = [sys.executable, "-c", code]
    try:
        subprocess.run(command, env={**os.environ, **offscreen}, capture_output=True, timeout=seconds, check=True)
    except subprocess.TimeoutExpired as error:
        raise DryfitError(f"pictures cannot be drawn: not done after {seconds:g} seconds") from error
    except subprocess.CalledProcessError as error:
        raise DryfitError(NO_GRAPHICS) from error


def _drawn(path: Path) -> bytes:
    data = path.read_bytes() if path.exists() else b""
    if not data:
        raise DryfitError(NO_GRAPHICS)
    return data


def _draw_scenes(folder: str) -> None:
    for name, view, pieces in pickle.loads((Path(folder) / "scenes").read_bytes()):
        draw(pieces, view, str(Path(folder) / name))


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
    edge = (0.45, 0.46, 0.48) if sum(piece.rgb) < 0.9 else (0.12, 0.13, 0.14)
    for source, rgb, is_edge in ((normals, piece.rgb, False), (edges, edge, True)):
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
