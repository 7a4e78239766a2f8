"""CAD solids from slices, in the kernel: arcs stay arcs. The kernel loads only when a solid is asked for."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from dryfit.generators.bodies.crossings import refuse_crossings
from dryfit.generators.bodies.panel import bent, sink_depth
from dryfit.models.geometry.bodies import Bent, Body, Profile, Slice, Straight, Taper
from dryfit.models.geometry.folds import Fold
from dryfit.models.geometry.outlines import Corner, Outline
from dryfit.models.geometry.points import Point
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.errors import DryfitError

if TYPE_CHECKING:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation
    from OCP.gp import gp_Pnt
    from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

OVERCUT = 0.01  # mm a cutting cone reaches past its face, so that the boolean leaves no skin
CONFUSION = 1e-7  # mm within which the kernel takes two points for one


def need_kernel() -> None:
    """Load the kernel.

    Raises:
        DryfitError: if it does not load: it wants a graphics library, though nothing is drawn.
    """
    try:
        import OCP.gp  # noqa: F401
    except ImportError as error:
        raise DryfitError(f"CAD solids cannot be made: {error} (Debian's package: libgl1)") from error


@cache
def solid(body: Body) -> TopoDS_Shape:
    """Return the body as one CAD solid: its slices, fused where there are several."""
    whole = _union(body.slices) if body.bent is None else _bent(body.bent)
    solids = _solids(whole)
    return _valid(solids[0] if len(solids) == 1 else whole, body.name)


def _union(slices: Iterable[Slice]) -> TopoDS_Shape:
    first, *more = (_slice_solid(s) for s in slices)
    return _fused(first, more) if more else first


def _bent(shape: Bent) -> TopoDS_Shape:
    """Return folded sheet with its bends round."""
    return _folded(_union(shape.sheet), shape, shape.sheet[0].z0, shape.sheet[-1].z1)


def _folded(sheet: TopoDS_Shape, shape: Bent, low: float, high: float) -> TopoDS_Shape:
    """Return the sheet, which lies between two levels, with its edges cut back and its folds put on."""
    cutters = [_slice_solid(Slice(Straight(outline), low - OVERCUT, high + OVERCUT)) for outline in shape.gone]
    return _fused(_cut(sheet, cutters), [_fold(fold) for fold in shape.folds])


def panel_solid(panel: Panel, holes: tuple[Hole, ...]) -> TopoDS_Shape:
    """Return the bare panel as it is cut: one face with inner wires, extruded once, then countersunk and folded.

    Raises:
        DryfitError: if two holes overlap or one crosses the edge, or the kernel makes no sound solid of it.
    """
    refuse_crossings(panel, holes)
    rings = (wire(hole.outline, 0.0) for hole in holes)
    plate = _raised(_face(wire(panel.outline, 0.0), rings), (0.0, 0.0, -panel.thickness))
    plate = _cut(plate, [_sink_cone(panel, hole) for hole in holes if sink_depth(hole) > 0])
    shape = bent(panel, ())
    return _valid(_solids(plate if shape is None else _folded(plate, shape, -panel.thickness, 0.0))[0], "the panel")


def flat_faces(loops: Iterable[Sequence[Point]]) -> TopoDS_Shape:
    """Return what closed loops fill, on the plane z = 0, as faces; islands within holes are faces of their own."""
    import manifold3d
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    region = manifold3d.CrossSection([[tuple(point) for point in loop] for loop in loops], manifold3d.FillRule.NonZero)
    builder, faces = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(faces)
    for island in region.decompose():
        outer, *inner = sorted(island.to_polygons(), key=lambda ring: -np.ptp(ring[:, 0]))
        builder.Add(faces, _face(_polygon(outer), [_polygon(ring) for ring in inner]))
    return faces


def _polygon(ring: Iterable[Iterable[float]]) -> TopoDS_Wire:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
    from OCP.gp import gp_Pnt

    builder = BRepBuilderAPI_MakePolygon()
    for x, y in ring:
        builder.Add(gp_Pnt(float(x), float(y), 0.0))
    builder.Close()
    return builder.Wire()


def _valid(shape: TopoDS_Shape, name: str) -> TopoDS_Shape:
    """Return a shape that the kernel finds sound.

    Raises:
        DryfitError: if it does not: no file with a broken solid is handed over.
    """
    from OCP.BRepCheck import BRepCheck_Analyzer

    if not BRepCheck_Analyzer(shape).IsValid():
        raise DryfitError(f"no sound solid can be made of {name}")
    return shape


def _fold(fold: Fold) -> TopoDS_Shape:
    """Return a wall with its bend, with true arcs."""
    from OCP.gp import gp_Pnt

    def at(point: Point) -> gp_Pnt:
        across = Point(fold.low, point.x).turned(fold.turn)
        return gp_Pnt(*across, point.y)

    def arc(bend: Callable[[float], Point]) -> tuple[gp_Pnt, gp_Pnt, gp_Pnt]:
        return at(bend(0.0)), at(bend(0.5)), at(bend(1.0))

    outside, inside = arc(fold.outer), arc(fold.inner)
    ends = (outside[2], at(Point(fold.edge, fold.end)), at(Point(fold.wall, fold.end)), inside[2])
    edges = [_arc(*outside), *itertools.starmap(_line, itertools.pairwise(ends))]
    if fold.inside > 0:
        edges.append(_arc(*reversed(inside)))
    start = (inside[0], at(Point(fold.start, -fold.thick)), at(Point(fold.start, 0.0)), outside[0])
    edges += [_line(a, b) for a, b in itertools.pairwise(start) if a.Distance(b) > CONFUSION]
    way = Point(fold.high - fold.low, 0.0).turned(fold.turn)
    return _raised(_face(_wire(edges)), (*way, 0.0))


def _sink_cone(panel: Panel, hole: Hole) -> TopoDS_Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    assert hole.countersink is not None  # it has depth
    sink = hole.countersink
    depth = min(sink.depth, panel.thickness + OVERCUT)
    front = hole.sunk_from == "front"
    start = OVERCUT if front else -panel.thickness - OVERCUT
    axis = gp_Ax2(gp_Pnt(*hole.outline.centre, start), gp_Dir(0, 0, -1 if front else 1))
    return BRepPrimAPI_MakeCone(axis, sink.across(-OVERCUT) / 2, sink.across(depth) / 2, depth + OVERCUT).Shape()


def _slice_solid(s: Slice) -> TopoDS_Shape:
    if isinstance(s.profile, Straight):
        straight = [h.outline for h in s.holes if isinstance(h, Straight)]
        shape = _prism(s.profile.outline, s, straight)
        rest: list[Profile] = [h for h in s.holes if isinstance(h, Taper)]
    else:
        shape, rest = _cone(s.profile, s), list(s.holes)
    return _cut(shape, [_cone(h, s) if isinstance(h, Taper) else _prism(h.outline, s) for h in rest])


def _prism(outline: Outline, s: Slice, holes: Iterable[Outline] = ()) -> TopoDS_Shape:
    return _raised(_face(wire(outline, s.z0), (wire(h, s.z0) for h in holes)), (0.0, 0.0, s.z1 - s.z0))


def _cone(taper: Taper, s: Slice) -> TopoDS_Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    axis = gp_Ax2(gp_Pnt(taper.x, taper.y, s.z0), gp_Dir(0, 0, 1))
    if taper.low == taper.high:
        return BRepPrimAPI_MakeCylinder(axis, taper.low / 2, s.z1 - s.z0).Shape()
    return BRepPrimAPI_MakeCone(axis, taper.low / 2, taper.high / 2, s.z1 - s.z0).Shape()


def wire(outline: Outline, z: float) -> TopoDS_Wire:
    """Return the outline as a closed wire of straight edges and true arcs at height z."""
    if outline.is_circle:
        return _wire([_circle(outline.corners[0], z)])
    edges = []
    following = outline.corners[1:] + outline.corners[:1]
    for corner, after in zip(outline.corners, following, strict=True):
        if corner.is_round:
            edges.append(_arc(*(_at(corner, share, z) for share in (0.0, 0.5, 1.0))))
        start, end = _at(corner, 1.0, z), _at(after, 0.0, z)
        if start.Distance(end) > CONFUSION:
            edges.append(_line(start, end))
    return _wire(edges)


def _at(corner: Corner, share: float, z: float) -> gp_Pnt:
    from OCP.gp import gp_Pnt

    angle = math.radians(corner.start + (corner.stop - corner.start) * share)
    return gp_Pnt(corner.x + corner.radius * math.cos(angle), corner.y + corner.radius * math.sin(angle), z)


# --- the kernel's own words ------------------------------------------------------------------------------------------


def _line(start: gp_Pnt, end: gp_Pnt) -> TopoDS_Edge:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge

    return BRepBuilderAPI_MakeEdge(start, end).Edge()


def _arc(start: gp_Pnt, middle: gp_Pnt, end: gp_Pnt) -> TopoDS_Edge:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.GC import GC_MakeArcOfCircle

    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(start, middle, end).Value()).Edge()


def _circle(c: Corner, z: float) -> TopoDS_Edge:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt

    return BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(gp_Pnt(c.x, c.y, z), gp_Dir(0, 0, 1)), c.radius)).Edge()


def _wire(edges: Iterable[TopoDS_Edge]) -> TopoDS_Wire:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeWire

    builder = BRepBuilderAPI_MakeWire()
    builder.Add(_list(edges))
    return builder.Wire()


def _face(outer: TopoDS_Wire, inner: Iterable[TopoDS_Wire] = ()) -> TopoDS_Face:
    """Return a plane face; its inner wires may run either way round."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.ShapeFix import ShapeFix_Face, ShapeFix_Shape
    from OCP.TopoDS import TopoDS

    straight = ShapeFix_Shape(outer)
    straight.Perform()
    builder = BRepBuilderAPI_MakeFace(TopoDS.Wire(straight.Shape()), True)
    for hole in inner:
        builder.Add(hole)
    fix = ShapeFix_Face(builder.Face())
    fix.FixOrientation()
    fix.Perform()
    return fix.Face()


def _raised(face: TopoDS_Face, way: tuple[float, float, float]) -> TopoDS_Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    return BRepPrimAPI_MakePrism(face, gp_Vec(*way), True).Shape()


def _fused(shape: TopoDS_Shape, others: Iterable[TopoDS_Shape]) -> TopoDS_Shape:
    """Return the union, without seams between faces that go on from each other."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
    from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain

    clean = ShapeUpgrade_UnifySameDomain(_boolean(BRepAlgoAPI_Fuse(), shape, others), True, True, True)
    clean.AllowInternalEdges(False)
    clean.Build()
    return clean.Shape()


def _cut(shape: TopoDS_Shape, others: list[TopoDS_Shape]) -> TopoDS_Shape:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    return _boolean(BRepAlgoAPI_Cut(), shape, others) if others else shape


def _boolean(
    operation: BRepAlgoAPI_BooleanOperation, shape: TopoDS_Shape, others: Iterable[TopoDS_Shape]
) -> TopoDS_Shape:
    operation.SetArguments(_list([shape]))
    operation.SetTools(_list(others))
    operation.SetRunParallel(True)
    operation.Build()
    return operation.Shape()


def _solids(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    from OCP.TopAbs import TopAbs_SOLID
    from OCP.TopExp import TopExp
    from OCP.TopTools import TopTools_IndexedMapOfShape

    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, TopAbs_SOLID, found)
    return [found.FindKey(n) for n in range(1, found.Extent() + 1)]


def _list(shapes: Iterable[TopoDS_Shape]) -> object:
    from OCP.TopTools import TopTools_ListOfShape

    made = TopTools_ListOfShape()
    for shape in shapes:
        made.Append(shape)
    return made
