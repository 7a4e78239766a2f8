"""What the dry run is made of: panel, parts, screws, nuts, washers and plugs as plain solids where they belong.

Read from the records of parts and fasteners alone. Frames are those that the records state: z = 0 is the front face
of the finished panel, a part's own z = 0 the rear face of its flange, a screw is measured from the top of its cone
or from under its head. All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from manifold3d import CrossSection, FillRule, JoinType, Manifold, OpType

from dryfit.models.catalogue.parts import Bush, Part, Plug, Section
from dryfit.models.job import Place
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import Head, Nut, Thread, Washer
from tests.oracle.solids import SAGITTA, Cone, Piece, Polygon, Prism, Solid, Spot, polygon, ring

HEAD_TOP = 0.45  # share of a head's diameter that is flat on top; the rest of its crown falls away
BULB = 1.5  # a set rivet behind, in diameters of its body (common practice)


# --- the panel -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Sink:
    """A conical seat in a surface: radius at the surface, radius of the hole below, and where it ends."""

    top: float
    hole: float
    depth: float

    def radius(self, depth: float) -> float:
        """Return the radius at a depth below the surface."""
        if depth >= self.depth:
            return self.hole
        return self.top - (self.top - self.hole) * depth / self.depth


def sink(seat: Countersink | None, hole: float, coating: float = 0.0) -> Sink:
    """Return a seat as it is once coated: a cone cut to its diameter in the bare face, coating normal to all of it."""
    radius = hole / 2
    if seat is None:
        return Sink(radius, radius, 0.0)
    half = math.radians(seat.angle / 2)
    top = seat.diameter / 2 + coating * (math.tan(half) - 1 / math.cos(half))
    if top <= radius:
        return Sink(radius, radius, 0.0)
    return Sink(top, radius, (top - radius) / math.tan(half))


def finished_hole(hole: Hole, coating: float) -> Polygon:
    """Return a hole of the panel with coating on its wall."""
    flat = CrossSection([polygon(hole.outline)])
    (shape,) = flat.offset(-coating, JoinType.Miter, 4.0, 8).to_polygons() if coating else [polygon(hole.outline)]
    return np.asarray(shape)


def panel_sink(hole: Hole, coating: float) -> Sink:
    """Return the countersink of a fixing hole, coated."""
    return sink(hole.countersink, 2 * hole.outline.corners[0].radius - 2 * coating, coating)


def panel_cuts(panel: Panel, holes: tuple[Hole, ...]) -> Iterator[Piece]:
    """Yield what is cut through the finished sheet."""
    thick = panel.thickness + 2 * panel.coating
    for hole in holes:
        yield Prism(finished_hole(hole, panel.coating), -thick - 1, 1.0)
        if hole.countersink is not None:
            cone = panel_sink(hole, panel.coating)
            (at,) = hole.outline.corners
            if cone.depth > 0:
                deep = min(cone.depth, thick)
                low = cone.radius(deep)
                if hole.sunk_from == "front":
                    yield Cone(at.x, at.y, low, cone.top, -deep, 0.0)
                else:
                    yield Cone(at.x, at.y, cone.top, low, -thick, deep - thick)


def rectangle(width: float, height: float, corner: float) -> Polygon:
    """Return a rectangle about the origin with rounded corners."""
    if corner <= SAGITTA:
        return np.array([[-width, -height], [width, -height], [width, height], [-width, height]]) / 2
    x, y = width / 2 - corner, height / 2 - corner
    steps = np.linspace(0, math.pi / 2, 48)
    quarters = [(x, y, 0.0), (-x, y, 90.0), (-x, -y, 180.0), (x, -y, 270.0)]
    arcs = [
        np.stack([cx + corner * np.cos(steps + math.radians(a)), cy + corner * np.sin(steps + math.radians(a))], axis=1)
        for cx, cy, a in quarters
    ]
    return np.concatenate(arcs)


ABOUT = 2.0  # mm of the sheet kept about what is tried against it


def sheet(panel: Panel, holes: tuple[Hole, ...], box: Sequence[float]) -> Manifold:
    """Return the finished sheet about a box, without its lips: coated on faces, edges and walls, countersinks cut."""
    c = panel.coating
    plate = rectangle(panel.width + 2 * c, panel.height + 2 * c, panel.corner + c if panel.corner else 0.0)
    thick = panel.thickness + 2 * c
    x0, y0, x1, y1 = box[0] - ABOUT, box[1] - ABOUT, box[2] + ABOUT, box[3] + ABOUT
    flat = CrossSection([plate]) ^ CrossSection([np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])])
    near = tuple(h for h in holes if (b := h.outline.box)[0] < x1 and b[2] > x0 and b[1] < y1 and b[3] > y0)
    if flat.is_empty():
        return Manifold()
    body = flat.extrude(thick).translate((0.0, 0.0, -thick))
    return body - Solid(tuple(panel_cuts(panel, near))).still(SAGITTA, 0.0) if near else body


TURNS = {"right": -90.0, "top": 0.0, "left": 90.0, "bottom": 180.0}  # degrees from an edge on top to each
MEETING = 1.0  # mm that a lip may end short of the bend of the next one


@dataclass(frozen=True)
class Edge:
    """One folded edge, as it would lie on top: how far out it is, from where to where along it its lip goes."""

    turn: float
    reach: float
    left: float
    right: float


def edges(panel: Panel) -> Iterator[Edge]:
    """Yield the folded edges of a panel: lips that meet end short of each other's bends."""
    for name in panel.folded:
        level = name in ("top", "bottom")
        reach, half = (panel.height, panel.width) if level else (panel.width, panel.height)
        names = list(TURNS)
        at = names.index(name)
        ends = []
        for beside in (names[(at + 1) % 4], names[at - 1]):
            short = panel.thickness + panel.bend_radius + MEETING
            ends.append(half / 2 - short if beside in panel.folded else min(half, panel.lip_length) / 2)
        if not level:
            ends = [e if e < half / 2 else half / 2 for e in ends]
        yield Edge(TURNS[name], reach / 2, -ends[0], ends[1])


def lips(panel: Panel) -> Manifold:
    """Return the folded lips with the inside round of their bends, behind the sheet."""
    return Manifold.batch_boolean([_lip(panel, edge) for edge in edges(panel)] or [Manifold()], OpType.Add)


def _lip(panel: Panel, edge: Edge) -> Manifold:
    t, c, r = panel.thickness, panel.coating, max(0.0, panel.bend_radius - panel.coating)
    top, back = edge.reach + c, -(t + 2 * c)
    inside = edge.reach - t - c
    steps = np.linspace(0, math.pi / 2, 48)
    bend = [(inside - r + r * math.cos(a), back - r + r * math.sin(a)) for a in steps] if r > 0 else [(inside, back)]
    profile = [(top, back), (top, back - panel.lip), (inside, back - panel.lip), *bend]
    if r > 0:
        profile.append((inside - r, back))
    wall = _along_x(np.array(profile), edge.right - edge.left)
    return wall.translate(((edge.left + edge.right) / 2, 0.0, 0.0)).rotate((0.0, 0.0, edge.turn))


def _along_x(profile: Polygon, length: float) -> Manifold:
    """Return a (y, z) profile drawn along x, centred."""
    flat = CrossSection([profile], FillRule.NonZero)
    body = flat.extrude(length)  # profile y on x, z on y, length on z
    return body.transform(np.array([[0.0, 0.0, 1.0, -length / 2], [1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0]]))


# --- parts and plugs -----------------------------------------------------------------------------------------------


def flange_front(place: Place, thick: float) -> float:
    """Return z of the front face of the flange; ``thick`` is that of the finished panel."""
    return place.part.flange.thick if place.mount == "front" else -thick


def _section(section: Section, low: float, high: float, spot: Spot, forward: bool) -> Piece:
    if section.outline is not None:
        return Prism(spot.put(polygon(section.outline)), low, high)
    assert section.cone is not None
    near, far = section.cone
    r_low, r_high = (near, far) if forward else (far, near)
    return Cone(spot.x, spot.y, r_low / 2, r_high / 2, low, high)


def ahead(sections: tuple[Section, ...], face: float, spot: Spot) -> tuple[Piece, ...]:
    """Return sections that are measured forward from a face."""
    return tuple(_section(s, face + s.start, face + s.stop, spot, True) for s in sections)


def behind(sections: tuple[Section, ...], face: float, spot: Spot) -> tuple[Piece, ...]:
    """Return sections that are measured backward from a face."""
    return tuple(_section(s, face - s.stop, face - s.start, spot, False) for s in sections)


def part_solid(part: Part, spot: Spot, front: float, mount: str) -> Solid:
    """Return a part whose flange has its front face at ``front``, with its fixing holes bored."""
    base = front - part.flange.thick
    flange = Prism(spot.put(polygon(part.flange.outline)), base, front)
    pieces = (flange, *ahead(part.front, front, spot), *behind(part.rear, base, spot))
    if part.fixings is None:
        return Solid(pieces)
    fixings = part.fixings
    cuts: list[Piece] = []
    bores: list[Piece] = []
    for at in part.fixings.at:
        x, y = spot.point(*at)
        if fixings.boss is not None:
            radius = fasteners.thread(fixings.boss.thread or fixings.boss.forming or "").major / 2
            low, high = (base, base + fixings.boss.depth) if mount == "front" else (front - fixings.boss.depth, front)
            cuts.append(Prism(ring(x, y, radius + SAGITTA), low, high))
            continue
        cone = sink(fixings.seat, fixings.hole)
        bore = Prism(ring(x, y, fixings.hole / 2 + SAGITTA), base, front)
        cuts.append(bore)
        bores.append(bore)
        if cone.depth > 0:
            deep = min(cone.depth, part.flange.thick)
            cuts.append(Cone(x, y, cone.radius(deep), cone.top, front - deep, front))
    return Solid(pieces, tuple(cuts), tuple(bores))


def plug_solid(plug: Plug, spot: Spot, shoulder: float) -> tuple[Solid, Solid | None]:
    """Return what of a plug stands before its shoulder, and its nose if it has one."""
    nose = behind(plug.nose, shoulder, spot)
    return Solid(ahead(plug.body, shoulder, spot)), Solid(nose) if nose else None


# --- screws --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Fasteners:
    """What holds one place, as the report names it."""

    thread: Thread
    head: Head
    length: float
    nut: Nut | None
    washers: tuple[Washer, ...]
    blind: float = 0.0  # what a rivet has behind before it is set
    side: str = "front"  # from which its screws go in
    turns: tuple[float, ...] = ()  # degrees of its nuts in the frame of the place

    @property
    def shank(self) -> float:
        """The greatest diameter of the shank."""
        return self.thread.major_max


def named(hardware: Mapping[str, object] | None) -> Fasteners | None:
    """Return the fasteners that the report names for a place."""
    if hardware is None:
        return None
    name, length = str(hardware["screw"]), float(str(hardware["length"]))
    if name.startswith(fasteners.RIVET):
        rows = fasteners.riveted(name.removeprefix(fasteners.RIVET))
        screw = min(rows, key=lambda row: abs(row.length - length))
        assert screw.rivet is not None
        return Fasteners(screw.thread, screw.head, screw.length, None, (), screw.rivet.blind_side)
    rows_of_head = fasteners.heads(name, str(hardware["head"]))
    standard = hardware["head_standard"]
    head = next(row for row in rows_of_head if row.drive == hardware["driver"] and row.standard == standard)
    nut = None
    if hardware["nut"] != "none":
        nuts = fasteners.nuts(name, str(hardware["nut"]))
        nut = next(row for row in nuts if row.standard == hardware["nut_standard"])
    kinds = hardware["washers"]
    assert isinstance(kinds, list)
    washers = tuple(fasteners.washers(name, kind)[0] for kind in kinds)
    side, turns = str(hardware["from"]), hardware["nut_turns"]
    assert isinstance(turns, list)
    return Fasteners(fasteners.thread(name), head, length, nut, washers, side=side, turns=tuple(turns))


def head_profile(head: Head, shank: float) -> list[tuple[float, float]]:
    """Return (depth below the plane its length is measured from, radius) of a head, downwards, sharp steps twice."""
    r, s = head.diameter / 2, shank / 2
    if head.angle is None:
        return [(0.0, r), (0.0, s), (1e3, s)]
    slope = math.tan(math.radians(head.angle / 2))
    rim = max(0.0, ((head.theoretical or head.diameter) - head.diameter) / 2 / slope)
    return [(0.0, r), (rim, r), (rim + (r - s) / slope, s), (1e3, s)]


def rests(head: Head, shank: float, seat: Sink, thick: float) -> float | None:
    """Return how deep the plane of a screw's length comes to lie in a hole; None: the head falls through.

    ``thick`` is that of what the head bears on. The head is let down until some point of it meets the wall.
    """
    profile = head_profile(head, shank)
    low, high = -profile[-2][0] - 1.0, thick + 1.0
    if _passes(profile, seat, high, thick):
        return None
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _passes(profile, seat, middle, thick) else (low, middle)
    return low


def _passes(profile: list[tuple[float, float]], seat: Sink, sunk: float, thick: float) -> bool:
    """Whether a head whose plane lies so deep is clear of the wall all the way through the sheet."""
    near = 1e-9
    for depth, radius in profile:
        if 0 <= depth + sunk <= thick and radius > seat.radius(depth + sunk) + near:
            return False
    return all(_radius(profile, depth - sunk) <= seat.radius(depth) + near for depth in (0.0, seat.depth, thick))


def _radius(profile: list[tuple[float, float]], depth: float) -> float:
    """Return the radius of a head at a depth below its plane; above it, that of its rim."""
    if depth <= 0:
        return profile[0][1]
    for (d0, r0), (d1, r1) in pairwise(profile):
        if d0 <= depth <= d1 and d1 > d0:
            return r0 + (r1 - r0) * (depth - d0) / (d1 - d0)
    return profile[-1][1]


def screw_solid(f: Fasteners, x: float, y: float, plane: float, side: float) -> Solid:
    """Return a screw whose length is measured from ``plane``; its head looks to ``side`` (+1: the front)."""
    s, r = f.shank / 2, f.head.diameter / 2
    body: list[Piece] = []
    if f.head.angle is None:
        shoulder = 0.5 * f.head.height
        body.append(Cone(x, y, s, s, -f.length, 0.0))
        body.append(Cone(x, y, r, r, 0.0, shoulder))
        body.append(Cone(x, y, r, r * HEAD_TOP, shoulder, f.head.height))
    else:
        (_, _), (rim, _), (foot, _), _ = head_profile(f.head, f.shank)
        body.append(Cone(x, y, s, s, -f.length, -foot))
        body.append(Cone(x, y, s, r, -foot, -rim))
        if rim > 0:
            body.append(Cone(x, y, r, r, -rim, 0.0))
        if f.head.crown > 0:
            body.append(Cone(x, y, r, r * HEAD_TOP, 0.0, f.head.crown))
    if side > 0:
        return Solid(tuple(body)).lifted(plane)
    flipped = tuple(Cone(x, y, p.r_high, p.r_low, -p.high, -p.low) for p in body if isinstance(p, Cone))
    return Solid(flipped).lifted(plane)


def washer_solid(washer: Washer, x: float, y: float, low: float) -> Solid:
    """Return a washer as clamped, lying from ``low`` upwards."""
    high = low + washer.thickness
    bore = Prism(ring(x, y, washer.inner / 2 + SAGITTA), low, high)
    return Solid((Prism(ring(x, y, washer.outer / 2), low, high),), (bore,), (bore,))


def nut_solid(section: Polygon, bore: float, x: float, y: float, levels: tuple[float, float]) -> Solid:
    """Return a nut of any section (about the origin), bored to the thread's outside."""
    hole = Prism(ring(x, y, bore / 2 + SAGITTA), *levels)
    return Solid((Prism(section + np.array([x, y]), *levels),), (hole,), (hole,))


def bush_washer(bush: Bush) -> float:
    """Return the diameter of what lies under the nut of a bush; 0 where there is nothing."""
    return max(bush.washer_across, bush.nut_across) if bush.washer > 0 else 0.0
