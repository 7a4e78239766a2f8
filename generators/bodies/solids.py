"""CAD solids from slices, in the kernel: arcs stay arcs. The kernel loads only when a solid is asked for."""

from __future__ import annotations

import itertools
import math
from functools import cache
from typing import TYPE_CHECKING

from dryfit.generators.bodies.panel import panel_outline, sink_depth
from dryfit.models.geometry.bodies import Body, Profile, Slice, Straight, Taper
from dryfit.models.geometry.outlines import Corner, Outline, clearance, gap
from dryfit.models.job import Hole, Panel
from dryfit.models.reading.errors import DryfitError

if TYPE_CHECKING:
    import cadquery as cq

OVERCUT = 0.01  # mm a cutting cone reaches past its face, so that the boolean leaves no skin


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
def solid(body: Body) -> cq.Shape:
    """Return the body as one CAD solid: its slices, fused where there are several."""
    shapes = [_slice_solid(s) for s in body.slices]
    fused = shapes[0].fuse(*shapes[1:]).clean() if len(shapes) > 1 else shapes[0]
    return fused.Solids()[0] if len(fused.Solids()) == 1 else fused


def panel_solid(panel: Panel, holes: tuple[Hole, ...]) -> cq.Shape:
    """Return the bare panel as it is cut: one face with inner wires, extruded once, then countersunk and folded.

    Raises:
        DryfitError: if two holes overlap or one crosses the edge; the kernel would make a broken solid of it.
    """
    import cadquery as cq

    _refuse_overlaps(panel, holes)
    outer = wire(panel_outline(panel), 0.0) if panel.lip <= 0 else _between_folds(panel)
    face = cq.Face.makeFromWires(outer, [wire(hole.outline, 0.0) for hole in holes])
    plate: cq.Shape = cq.Solid.extrudeLinear(face, cq.Vector(0, 0, -panel.thickness))
    sinks = [_sink_cone(panel, hole) for hole in holes if sink_depth(hole) > 0]
    if sinks:
        plate = plate.cut(*sinks)
    if panel.lip > 0:
        plate = plate.fuse(*(_lip(panel, side) for side in (1, -1))).clean()
        if panel.corner > 0:
            cutter = Slice(Straight(panel_outline(panel)), -panel.thickness - panel.lip, 0.0)
            plate = plate.intersect(_slice_solid(cutter))
    return plate.Solids()[0]


def _refuse_overlaps(panel: Panel, holes: tuple[Hole, ...]) -> None:
    blank = panel_outline(panel)
    for hole in holes:
        if hole.purpose != "rack" and clearance(hole.outline, blank) <= 0:
            raise DryfitError(f"the {hole.purpose} hole of {hole.place} crosses the edge of the panel")
        if panel.lip > 0 and _crosses_fold(panel, hole):
            raise DryfitError(f"the {hole.purpose} hole of {hole.place or 'the panel'} crosses a fold of the panel")
    for one, other in itertools.combinations(holes, 2):
        if _boxes_apart(one.outline, other.outline):
            continue
        if gap(one.outline, other.outline) <= 0:
            names = " and ".join(f"{h.purpose} hole of {h.place or 'the panel'}" for h in (one, other))
            raise DryfitError(f"the {names} run into each other")


def _crosses_fold(panel: Panel, hole: Hole) -> bool:
    left, bottom, right, top = hole.outline.box
    x = panel.lip_length / 2 + panel.lip_relief
    return left < x and right > -x and max(top, -bottom) > _fold(panel)


def _boxes_apart(a: Outline, b: Outline) -> bool:
    la, ba, ra, ta = a.box
    lb, bb, rb, tb = b.box
    return ra < lb or rb < la or ta < bb or tb < ba


def _fold(panel: Panel) -> float:
    """Return y where the upper fold begins; the lower one begins at minus that."""
    return panel.height / 2 - panel.thickness - panel.bend_radius


def _between_folds(panel: Panel) -> cq.Wire:
    """Return the outline of the flat part of a lipped panel: cut back to the folds, with a relief beside each lip."""
    import cadquery as cq

    w, h, y = panel.width / 2, panel.height / 2, _fold(panel)
    x = panel.lip_length / 2 + panel.lip_relief
    if x >= w:
        ring = [(w, -y), (w, y), (-w, y), (-w, -y)]
    else:
        right = [(x, -y), (x, -h), (w, -h), (w, h), (x, h), (x, y)]
        ring = right + [(-px, -py) for px, py in right]
    return cq.Wire.makePolygon([cq.Vector(px, py, 0) for px, py in ring], close=True)


def _lip(panel: Panel, side: int) -> cq.Shape:
    """Return one folded lip with its bend, along the top (side 1) or the bottom (side -1)."""
    import cadquery as cq

    t, r, w = panel.thickness, panel.bend_radius, panel.lip_length
    edge, inner = panel.height / 2, _fold(panel)
    quarter = math.sqrt(0.5)
    profile = cq.Workplane("YZ").moveTo(inner, 0.0)
    profile = profile.threePointArc((inner + (t + r) * quarter, (t + r) * (quarter - 1)), (edge, -t - r))
    profile = profile.lineTo(edge, -t - panel.lip).lineTo(edge - t, -t - panel.lip).lineTo(edge - t, -t - r)
    if r > 0:
        profile = profile.threePointArc((inner + r * quarter, -t - r + r * quarter), (inner, -t))
    lip = profile.close().extrude(w / 2, both=True)
    shape = lip.val()
    assert isinstance(shape, cq.Shape)
    return shape if side == 1 else shape.mirror("XZ")


def _sink_cone(panel: Panel, hole: Hole) -> cq.Shape:
    import cadquery as cq

    assert hole.countersink is not None  # it has depth
    sink = hole.countersink
    slope = math.tan(math.radians(sink.angle / 2))
    depth = min(sink.depth, panel.thickness + OVERCUT)
    x, y = hole.outline.centre
    front = hole.sunk_from == "front"
    start = OVERCUT if front else -panel.thickness - OVERCUT
    wide = sink.diameter / 2 + OVERCUT * slope
    return cq.Solid.makeCone(
        wide, max(0.0, wide - (depth + OVERCUT) * slope), depth + OVERCUT, cq.Vector(x, y, start),
        cq.Vector(0, 0, -1 if front else 1),
    )  # fmt: skip


def _slice_solid(s: Slice) -> cq.Shape:
    import cadquery as cq

    if isinstance(s.profile, Straight):
        straight = [h.outline for h in s.holes if isinstance(h, Straight)]
        face = cq.Face.makeFromWires(wire(s.profile.outline, s.z0), [wire(h, s.z0) for h in straight])
        shape: cq.Shape = cq.Solid.extrudeLinear(face, cq.Vector(0, 0, s.z1 - s.z0))
        rest: list[Profile] = [h for h in s.holes if isinstance(h, Taper)]
    else:
        shape, rest = _cone(s.profile, s), list(s.holes)
    cutters = [_cone(h, s) if isinstance(h, Taper) else _prism(h.outline, s) for h in rest]
    return shape.cut(*cutters) if cutters else shape


def _prism(outline: Outline, s: Slice) -> cq.Shape:
    import cadquery as cq

    return cq.Solid.extrudeLinear(cq.Face.makeFromWires(wire(outline, s.z0), []), cq.Vector(0, 0, s.z1 - s.z0))


def _cone(taper: Taper, s: Slice) -> cq.Shape:
    import cadquery as cq

    at, up = cq.Vector(taper.x, taper.y, s.z0), cq.Vector(0, 0, 1)
    if taper.low == taper.high:
        return cq.Solid.makeCylinder(taper.low / 2, s.z1 - s.z0, at, up)
    return cq.Solid.makeCone(taper.low / 2, taper.high / 2, s.z1 - s.z0, at, up)


def wire(outline: Outline, z: float) -> cq.Wire:
    """Return the outline as a closed wire of straight edges and true arcs at height z."""
    import cadquery as cq

    if outline.is_circle:
        c = outline.corners[0]
        return cq.Wire.assembleEdges([cq.Edge.makeCircle(c.radius, cq.Vector(c.x, c.y, z))])
    edges = []
    following = outline.corners[1:] + outline.corners[:1]
    for corner, after in zip(outline.corners, following, strict=True):
        if corner.is_round:
            edges.append(cq.Edge.makeThreePointArc(*(_at(corner, share, z) for share in (0.0, 0.5, 1.0))))
        start, end = _at(corner, 1.0, z), _at(after, 0.0, z)
        if (end - start).Length > 1e-7:  # kernel confusion: shorter edges are points to it
            edges.append(cq.Edge.makeLine(start, end))
    return cq.Wire.assembleEdges(edges)


def _at(corner: Corner, share: float, z: float) -> cq.Vector:
    import cadquery as cq

    angle = math.radians(corner.start + (corner.stop - corner.start) * share)
    return cq.Vector(corner.x + corner.radius * math.cos(angle), corner.y + corner.radius * math.sin(angle), z)
