"""What runs in the child process: the kernel reads a STEP file, and what it found is written as plain data.

Its limits are set before the kernel is loaded. What it cannot take it says in one line on standard error.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from dryfit.generators.intake.reading.bounds import limit, refuse
from dryfit.generators.intake.reading.shapes import Edge, EdgeKind, Face, FaceKind, Mesh, Shapes, Solid, Vector
from dryfit.generators.intake.reading.step import LARGEST_ANSWER

if TYPE_CHECKING:
    from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt
    from OCP.STEPControl import STEPControl_Reader
    from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

MOST_SOLIDS = 2_000  # a connector drawn with every contact has some hundred
MOST_FACES = 100_000
ALONG_CURVE = 33  # points along a curve that is neither line nor arc
TURN = 0.25  # radians between neighbouring triangles on what is curved
AS_GOOD_AS = 0.002  # mm by which a free surface may miss the plane, cylinder or cone that it is taken for
ROWS = 33  # points across and along such a surface that tell how far it reaches
LONGEST_TO_FACET = 2e4  # times the facet that a body may be long: larger ones get facets in proportion
MOST_TRIANGLES = 300_000  # of one body; its facets are made coarser until it has no more
COARSER = (1.0, 4.0, 16.0)  # times
DIGITS = 9  # decimals of a mm kept: far below what the kernel itself holds for one point
Box = tuple[Vector, Vector]


def main() -> None:
    """Read the file named first into the file named second; then facet of meshes, memory (bytes) and time (s)."""
    path, answer, facet, memory, seconds = sys.argv[1:]
    limit(int(memory), int(seconds), LARGEST_ANSWER)
    try:
        found = _shapes(path, float(facet))
    except Exception as error:
        if not is_of_the_kernel(error):
            raise
        refuse(f"holds a shape that the kernel cannot work out ({type(error).__name__})")
    Path(answer).write_bytes(TypeAdapter(Shapes).dump_json(found))


def is_of_the_kernel(error: Exception) -> bool:
    """Whether an error is one of the kernel's own, which have no class in common."""
    return type(error).__module__.startswith("OCP")


# --- reading ---------------------------------------------------------------------------------------------------------


def _shapes(path: str, facet: float) -> Shapes:
    found, unit = solids_of(path)
    solids = []
    left = MOST_FACES
    for shape in found:
        solids.append(_solid(shape, facet, left))
        left -= len(solids[-1].faces)
    return Shapes(tuple(solids), unit)


def solids_of(path: str) -> tuple[list[TopoDS_Shape], str]:
    """Return the solids of a file, in mm, and the unit that it is written in."""
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.STEPControl import STEPControl_Reader

    reader = STEPControl_Reader()
    if reader.ReadFile(path) != IFSelect_RetDone:
        refuse("is not what STEP files are made of: the kernel cannot read it")
    unit = _unit(reader)
    if not reader.TransferRoots():
        refuse("holds nothing that the kernel can make a shape of")
    found = solids_in(reader.OneShape())
    if not found:
        refuse("holds no solid body")
    return found, unit


def _unit(reader: STEPControl_Reader) -> str:
    from OCP.TColStd import TColStd_SequenceOfAsciiString

    lengths, angles, solid_angles = (TColStd_SequenceOfAsciiString() for _ in range(3))
    reader.FileUnits(lengths, angles, solid_angles)
    return str(lengths.Value(1).ToCString()) if lengths.Length() else ""


def _bounded(found: Iterator[Any], most: int, what: str) -> Iterator[Any]:
    for number, one in enumerate(found):
        if number == most:
            refuse(f"holds more than {most} {what}")
        yield one


def _explored(shape: TopoDS_Shape, kind: str) -> Iterator[TopoDS_Shape]:
    from OCP import TopAbs
    from OCP.TopExp import TopExp_Explorer

    if shape is None or shape.IsNull():
        return
    explorer = TopExp_Explorer(shape, getattr(TopAbs, f"TopAbs_{kind}"))
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def solids_in(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """Return the solids of a shape."""
    return list(_bounded(_explored(shape, "SOLID"), MOST_SOLIDS, "solids"))


def faces_of(shape: TopoDS_Shape, most: int = MOST_FACES) -> list[TopoDS_Face]:
    """Return the faces of a shape, refused where there are more than so many."""
    from OCP.TopoDS import TopoDS

    return [TopoDS.Face(face) for face in _bounded(_explored(shape, "FACE"), most, "faces")]


def _solid(shape: TopoDS_Shape, facet: float, most: int) -> Solid:
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    faces = faces_of(shape, most)
    volume = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, volume)
    skin = mesh_of(shape, faces, facet) if facet > 0 else None
    return Solid(tuple(_face(face) for face in faces), _box(shape), abs(volume.Mass()), skin)


# --- faces -----------------------------------------------------------------------------------------------------------


def _face(face: TopoDS_Face) -> Face:
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepGProp import BRepGProp
    from OCP.GeomAbs import GeomAbs_SurfaceType as Types
    from OCP.GProp import GProp_GProps

    surface = BRepAdaptor_Surface(face)
    area = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, area)
    measures: dict[str, Any] = {"box": _box(face), "area": _plain(abs(area.Mass()))}
    kind = surface.GetType()
    if kind == Types.GeomAbs_Plane:
        point, normal = _outwards(surface, face)
        return Face("plane", point, normal, **measures, loops=_loops(face))
    turned: Callable[[BRepAdaptor_Surface], Turned] | None = {
        Types.GeomAbs_Cylinder: _cylinder,
        Types.GeomAbs_Cone: _cone,
        Types.GeomAbs_Torus: _torus,
        Types.GeomAbs_Sphere: _sphere,
    }.get(kind)
    if turned is None:
        return _recognised(face, surface, measures)
    name, axis, more = turned(surface)
    at = _vector(axis.Location())
    measures |= {key: _plain(value) for key, value in more.items()}
    sweep = _plain(math.degrees(surface.LastUParameter() - surface.FirstUParameter()))
    hollow = _is_hollow(surface, face, axis, more)
    return Face(name, at, _vector(axis.Direction()), **measures, sweep=sweep, hollow=hollow)


def _recognised(face: TopoDS_Face, surface: BRepAdaptor_Surface, measures: dict[str, Any]) -> Face:
    """Return a face that is written as a free surface: as the plane, cylinder or cone that it lies on, if it does."""
    point, normal = _outwards(surface, face)
    try:
        found = _canonical(face)
    except Exception as error:
        if not is_of_the_kernel(error):
            raise
        found = None  # it cannot tell
    if found is None:
        return Face("free", point, normal, **measures)
    name, axis, more = found
    if axis is None:
        return Face(name, point, normal, **measures, loops=_loops(face))
    more |= _reach(surface, axis)
    hollow = _is_hollow(surface, face, axis, more)
    measures |= {key: _plain(value) for key, value in more.items()}
    return Face(name, _vector(axis.Location()), _vector(axis.Direction()), **measures, hollow=hollow)


def _canonical(face: TopoDS_Face) -> tuple[FaceKind, gp_Ax1 | None, dict[str, float]] | None:
    """Return the plain surface that a face lies on, with its axis if it is turned about one; None if it is none."""
    from OCP.gp import gp_Cone, gp_Cylinder, gp_Pln
    from OCP.ShapeAnalysis import ShapeAnalysis_CanonicalRecognition

    known = ShapeAnalysis_CanonicalRecognition(face)
    cylinder, cone = gp_Cylinder(), gp_Cone()
    if known.IsPlane(AS_GOOD_AS, gp_Pln()):
        return "plane", None, {}
    if known.IsCylinder(AS_GOOD_AS, cylinder):
        return "cylinder", cylinder.Axis(), {"radius": cylinder.Radius()}
    if known.IsCone(AS_GOOD_AS, cone):
        return "cone", cone.Axis(), {"radius": cone.RefRadius(), "second": math.degrees(cone.SemiAngle())}
    return None


def _reach(surface: BRepAdaptor_Surface, axis: gp_Ax1) -> dict[str, float]:
    """Return how far a surface reaches along an axis, and how far about it, by points in rows."""
    from OCP.gp import gp_Ax3, gp_Trsf

    frame = gp_Trsf()
    frame.SetTransformation(gp_Ax3(axis.Location(), axis.Direction()))
    across = [surface.FirstUParameter(), surface.LastUParameter()]
    along = [surface.FirstVParameter(), surface.LastVParameter()]
    shares = [n / (ROWS - 1) for n in range(ROWS)]
    values = [[low + (high - low) * share for share in shares] for low, high in (across, along)]
    points = [surface.Value(u, v).Transformed(frame) for u in values[0] for v in values[1]]
    angles = sorted(math.degrees(math.atan2(p.Y(), p.X())) for p in points)
    gaps = [b - a for a, b in zip(angles, [*angles[1:], angles[0] + 360.0], strict=True)]
    open_ = max(gaps) if max(gaps) > 360.0 / ROWS * 1.5 else 0.0
    heights = [p.Z() for p in points]
    return {"low": min(heights), "high": max(heights), "sweep": 360.0 - open_}


Turned = tuple[FaceKind, "gp_Ax1", dict[str, float]]


def _cylinder(surface: BRepAdaptor_Surface) -> Turned:
    shape = surface.Cylinder()
    reach = {"low": surface.FirstVParameter(), "high": surface.LastVParameter()}
    return "cylinder", shape.Axis(), {"radius": shape.Radius(), **reach}


def _cone(surface: BRepAdaptor_Surface) -> Turned:
    shape = surface.Cone()
    angle = shape.SemiAngle()
    ends = sorted(v * math.cos(angle) for v in (surface.FirstVParameter(), surface.LastVParameter()))
    return (
        "cone",
        shape.Axis(),
        {
            "radius": shape.RefRadius(),
            "second": math.degrees(angle),
            "low": ends[0],
            "high": ends[1],
        },
    )


def _torus(surface: BRepAdaptor_Surface) -> Turned:
    shape = surface.Torus()
    minor = shape.MinorRadius()
    low, high = _reach_of_arc(minor, surface.FirstVParameter(), surface.LastVParameter())
    return "torus", shape.Axis(), {"radius": shape.MajorRadius(), "second": minor, "low": low, "high": high}


def _sphere(surface: BRepAdaptor_Surface) -> Turned:
    shape = surface.Sphere()
    ends = [shape.Radius() * math.sin(v) for v in (surface.FirstVParameter(), surface.LastVParameter())]
    return "sphere", shape.Position().Axis(), {"radius": shape.Radius(), "low": min(ends), "high": max(ends)}


def _reach_of_arc(radius: float, start: float, stop: float) -> tuple[float, float]:
    """Return the least and greatest height above its centre of an arc from one angle to another (radians)."""
    heights = [radius * math.sin(start), radius * math.sin(stop)]
    quarters = range(math.ceil(start / (math.pi / 2)), math.floor(stop / (math.pi / 2)) + 1)
    heights += [radius * math.sin(quarter * math.pi / 2) for quarter in quarters]
    return min(heights), max(heights)


def _outwards(surface: BRepAdaptor_Surface, face: TopoDS_Face) -> tuple[Vector, Vector]:
    """Return a point near the middle of a face, and the direction there that leads out of the material."""
    from OCP.gp import gp_Dir, gp_Pnt, gp_Vec
    from OCP.TopAbs import TopAbs_REVERSED

    u = (surface.FirstUParameter() + surface.LastUParameter()) / 2
    v = (surface.FirstVParameter() + surface.LastVParameter()) / 2
    point, across, along = gp_Pnt(), gp_Vec(), gp_Vec()
    surface.D1(u, v, point, across, along)
    normal = across.Crossed(along)
    if normal.Magnitude() == 0:  # where a surface comes to a point it has no direction
        return _vector(point), Vector(0.0, 0.0, 0.0)
    way = gp_Dir(normal)
    return _vector(point), _vector(way.Reversed() if face.Orientation() == TopAbs_REVERSED else way)


def _is_hollow(surface: BRepAdaptor_Surface, face: TopoDS_Face, axis: gp_Ax1, more: dict[str, float]) -> bool:
    """Whether the way out of the material leads towards the axis, or the middle of the tube of a torus."""
    point, way = _outwards(surface, face)
    at, along = _vector(axis.Location()), _vector(axis.Direction())
    off = Vector(point.x - at.x, point.y - at.y, point.z - at.z)
    up = off.dot(along)
    out = Vector(off.x - up * along.x, off.y - up * along.y, off.z - up * along.z)
    if surface.GetType().name == "GeomAbs_Torus":
        far = math.sqrt(out.dot(out)) or 1.0
        out = Vector(*(o - c / far * more["radius"] for o, c in zip(off, out, strict=True)))
    elif surface.GetType().name == "GeomAbs_Sphere":
        out = off
    return way.dot(out) < 0


# --- loops of planes -------------------------------------------------------------------------------------------------


def _loops(face: TopoDS_Face) -> tuple[tuple[Edge, ...], ...]:
    """Return the loops of a plane face, the outer one first."""
    from OCP.BRepTools import BRepTools
    from OCP.TopoDS import TopoDS

    outer = BRepTools.OuterWire_s(face)
    wires = [TopoDS.Wire(wire) for wire in _explored(face, "WIRE")]
    wires.sort(key=lambda wire: not wire.IsSame(outer))
    return tuple(tuple(_edges(wire, face)) for wire in wires)


def _edges(wire: TopoDS_Wire, face: TopoDS_Face) -> Iterator[Edge]:
    from OCP.BRep import BRep_Tool
    from OCP.BRepTools import BRepTools_WireExplorer

    explorer = BRepTools_WireExplorer(wire, face)
    while explorer.More():
        edge = explorer.Current()
        if not BRep_Tool.Degenerated_s(edge):
            yield _edge(edge)
        explorer.Next()


def _edge(edge: TopoDS_Edge) -> Edge:
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GeomAbs import GeomAbs_CurveType as Types
    from OCP.TopAbs import TopAbs_REVERSED

    curve = BRepAdaptor_Curve(edge)
    reversed_ = edge.Orientation() == TopAbs_REVERSED
    if curve.GetType() == Types.GeomAbs_Line:
        return Edge("line", _along(curve, 2, reversed_))
    if curve.GetType() != Types.GeomAbs_Circle:
        return Edge("curve", _along(curve, ALONG_CURVE, reversed_))
    circle = curve.Circle()
    whole = math.isclose(curve.LastParameter() - curve.FirstParameter(), 2 * math.pi)
    kind: EdgeKind = "circle" if whole else "arc"
    points = _along(curve, 3, reversed_)[: 2 if whole else 3]
    axis = circle.Axis().Direction()
    centre = _vector(circle.Location())
    return Edge(kind, points, centre, _vector(axis.Reversed() if reversed_ else axis), _plain(circle.Radius()))


def _along(curve: BRepAdaptor_Curve, count: int, reversed_: bool) -> tuple[Vector, ...]:
    first, last = curve.FirstParameter(), curve.LastParameter()
    points = [_vector(curve.Value(first + (last - first) * n / (count - 1))) for n in range(count)]
    return tuple(reversed(points) if reversed_ else points)


# --- meshes ----------------------------------------------------------------------------------------------------------


def mesh_of(shape: TopoDS_Shape, faces: list[TopoDS_Face], facet: float, turn: float = TURN) -> Mesh:
    """Return the skin of a shape in triangles that stray from it by at most ``facet`` mm, or as said in the mesh.

    On what is curved neighbours turn by at most so many radians.
    """
    from OCP.BRep import BRep_Tool
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.BRepTools import BRepTools
    from OCP.TopAbs import TopAbs_REVERSED
    from OCP.TopLoc import TopLoc_Location

    low, high = _box(shape)
    facet = max(facet, math.dist(low, high) / LONGEST_TO_FACET)
    for times in COARSER:
        BRepTools.Clean_s(shape)
        BRepMesh_IncrementalMesh(shape, facet * times, False, turn, False)
        if _triangles(faces) <= MOST_TRIANGLES:
            break
    else:
        refuse(f"holds a body of more than {MOST_TRIANGLES} triangles")
    facet *= times
    corners: list[Vector] = []
    triangles: list[tuple[int, int, int]] = []
    of_face: list[int] = []
    for number, face in enumerate(faces):
        where = TopLoc_Location()
        skin = BRep_Tool.Triangulation_s(face, where)
        if skin is None:
            continue
        shift, turn = len(corners) - 1, where.Transformation()
        corners += [_vector(skin.Node(n).Transformed(turn)) for n in range(1, skin.NbNodes() + 1)]
        inside_out = face.Orientation() == TopAbs_REVERSED
        for n in range(1, skin.NbTriangles() + 1):
            a, b, c = skin.Triangle(n).Get()
            triangles.append((a + shift, c + shift, b + shift) if inside_out else (a + shift, b + shift, c + shift))
        of_face += [number] * skin.NbTriangles()
    return Mesh(tuple(corners), tuple(triangles), tuple(of_face), facet)


def _triangles(faces: list[TopoDS_Face]) -> int:
    from OCP.BRep import BRep_Tool
    from OCP.TopLoc import TopLoc_Location

    skins = (BRep_Tool.Triangulation_s(face, TopLoc_Location()) for face in faces)
    return sum(skin.NbTriangles() for skin in skins if skin is not None)


# --- plain numbers ---------------------------------------------------------------------------------------------------


def _box(shape: TopoDS_Shape) -> Box:
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    if box.IsVoid() or box.IsOpen():
        refuse("holds a body without end")
    return _vector(box.CornerMin()), _vector(box.CornerMax())


def _vector(of: gp_Pnt | gp_Dir) -> Vector:
    return Vector(_plain(of.X()), _plain(of.Y()), _plain(of.Z()))


def _plain(value: float) -> float:
    """Return a number as it is written: rounded far below what matters, so that the same file gives the same."""
    if not math.isfinite(value):
        refuse("holds a shape without end")
    return round(value, DIGITS) + 0.0
