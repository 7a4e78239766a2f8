"""Scenes: what a picture shows, as plain triangles with their colours, so that another process can draw it."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.colours import Colour
from dryfit.generators.bodies.meshes import matrix, solid_mesh
from dryfit.generators.bodies.real import real_of
from dryfit.generators.lettering.legends import clear_legends
from dryfit.generators.lettering.typeface import Loop, outlines, text_box
from dryfit.generators.looks.apart import ways
from dryfit.generators.looks.gaps import Gap
from dryfit.generators.looks.looks import drawn, ink, main_finish, metal
from dryfit.generators.looks.sections import Plane, caps
from dryfit.generators.looks.triangles import flat, surfaces
from dryfit.generators.report import Report
from dryfit.models.geometry.bodies import Placement
from dryfit.models.geometry.boxes import Box
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.finishes import finish, shares

LIFT = 0.03  # mm letters lie above the face, so that both are seen
MARKED: tuple[Colour, ...] = ((0.86, 0.22, 0.15), (0.95, 0.62, 0.16))  # cut faces of the bodies concerned
PALE = 0.12  # how far towards white the cut faces of all others are
ARROW = 0.16  # length of an arrow beside what the picture is high
HEAD = 0.28  # of its head beside its length
LETTERS = 0.045  # height of letters beside what the picture is high
AWAY = 0.04  # of a figure from its gap beside what the picture is high
RIM = 0.45  # of paper about a figure beside the height of its letters
TINT = 0.5  # how far towards red the bodies concerned are where nothing is cut
BEFORE = 0.5  # mm that what is drawn of a gap lies before the cut
INK: Colour = (0.05, 0.06, 0.08)
PAPER: Colour = (1.0, 1.0, 1.0)

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class View:
    """From where a picture looks (a vector towards the viewer), what is up in it, at which box (None: all), its size.

    ``apart`` is the share of the way that things are pulled apart; of ``marked`` instances cut faces are coloured.
    """

    towards: Vector
    focus: Box | None = None
    size: tuple[int, int] = (1600, 900)
    plugs: bool = True
    marked: Collection[str] = ()
    up: Vector = (0.0, 1.0, 0.0)
    apart: float = 0.0
    cut: Plane | None = None
    gap: Gap | None = None
    panel: bool = True


@dataclass(frozen=True)
class Piece:
    """Triangles of one colour: points (n, 3) in mm, faces (m, 3), wherever they stand.

    Flat ones lie in a plane and have no light; they are not cut, and have an edge about them only if ``edged``.
    """

    points: np.ndarray
    faces: np.ndarray
    rgb: Colour
    metal: bool = False
    flat: bool = False
    edged: bool = False
    spots: tuple[Placement, ...] = (Placement(),)

    def reach(self, along: np.ndarray) -> tuple[float, float]:
        """Return from where to where it reaches along a direction, mm."""
        ends = []
        for spot in self.spots:
            where = matrix(spot)
            far = self.points @ (along @ where[:3, :3])
            ends += [(far.min() + along @ where[:3, 3], far.max() + along @ where[:3, 3])]
        return min(low for low, _ in ends), max(high for _, high in ends)


@dataclass(frozen=True)
class Scene:
    """A view with all that is seen in it, and with what is drawn over it, whatever stands before."""

    view: View
    pieces: tuple[Piece, ...]
    over: tuple[Piece, ...] = ()
    transparent: bool = False

    @property
    def triangles(self) -> int:
        """How many triangles are drawn of it."""
        return sum(len(piece.faces) * len(piece.spots) for piece in self.pieces)


def scene(report: Report, view: View, transparent: bool = False) -> Scene:
    """Return what a view of a report shows."""
    ((_, only),) = scenes(report, {"": view}, transparent)
    return only


def scenes(report: Report, views: Mapping[str, View], transparent: bool = False) -> Iterator[tuple[str, Scene]]:
    """Yield what views of a report show, by their names; legends, which take longest, are laid out once for all."""
    legends = tuple(_legends(report))
    for name, view in views.items():
        yield name, _scene(report, view, transparent, legends)


def _scene(report: Report, view: View, transparent: bool, legends: Iterable[Piece]) -> Scene:
    shown = [*_shown(report, view)]
    pieces = [*_solids(report, shown, view.marked if view.cut is None else ())]
    if view.cut is None:
        pieces += legends if view.panel else ()
    else:
        pieces += _cut_faces(report, [one for one, _ in shown], view, view.cut)
    return Scene(view, tuple(pieces), tuple(_measure(view)), transparent)


def _shown(report: Report, view: View) -> Iterator[tuple[Instance, float]]:
    """Yield the instances in a view, each with how far it is drawn off; of a close look those near its focus."""
    hidden = {role for role, shown in (("plug", view.plugs), ("panel", view.panel)) if not shown}
    for one, way in zip(report.assembly.instances, ways(report), strict=True):
        if one.role not in hidden and (view.focus is None or one.box.overlaps(_about(view.focus))):
            yield one, way.side * way.apart * view.apart


def _about(focus: Box) -> Box:
    """Return a box about the focus that fills the picture, however it lies in it."""
    far = max(focus.x1 - focus.x0, focus.y1 - focus.y0, focus.z1 - focus.z0)
    return Box(*(low - far for low in focus[:3]), *(high + far for high in focus[3:]))


def _solids(report: Report, shown: Iterable[tuple[Instance, float]], marked: Collection[str]) -> Iterator[Piece]:
    """Yield the surfaces of everything, those of like things once, with all spots where they stand."""
    alike: dict[tuple[Hashable, bool], tuple[Instance, list[Placement]]] = {}
    for one, off in shown:
        key = (_look(report, one), one.name in marked)
        alike.setdefault(key, (one, []))[1].append(replace(one.placement, z=one.placement.z + off))
    for (_, is_marked), (one, spots) in alike.items():
        for colour, shines, points, faces in _meshes(report, one):
            rgb = _mixed(shares(colour), MARKED[0], TINT) if is_marked else shares(colour)
            yield Piece(points, faces, rgb, shines, spots=tuple(spots))


def _look(report: Report, one: Instance) -> Hashable:
    """Return what decides how an instance looks: its body, and whose it is."""
    if one.role in ("part", "plug"):
        place = report.job.place(one.place)
        return one.body, place.part if one.role == "part" else place.plug
    if one.role == "screw":
        return one.body, report.stacks[one.place].screw, metal(report, one)
    return one.body, "" if one.role == "panel" else metal(report, one)


def _mixed(one: Colour, other: Colour, share: float) -> Colour:
    """Return a colour mixed with a share of another."""
    red, green, blue = (a + (b - a) * share for a, b in zip(one, other, strict=True))
    return red, green, blue


def _meshes(report: Report, one: Instance) -> Iterator[tuple[str, bool, np.ndarray, np.ndarray]]:
    """Yield colour, shine and triangles of an instance in the frame of its body."""
    real, face = real_of(report.reals, one), main_finish(report, one)
    if real is not None:
        yield face.colour, face.metal, real.shown.corners, real.shown.triangles
        return
    seen = drawn(report, one)
    if seen is None:
        solid = solid_mesh(one.body, "show").to_mesh()
        yield face.colour, face.metal, np.asarray(solid.vert_properties)[:, :3], np.asarray(solid.tri_verts)
        return
    for surface in surfaces(seen):
        row = finish(surface.finish)
        yield row.colour, row.metal, surface.points, surface.faces


def _legends(report: Report) -> Iterator[Piece]:
    by_colour: dict[str, list[Loop]] = {}
    for legend in clear_legends(report.job):
        by_colour.setdefault(legend.colour, []).extend(legend.loops)
    for asked, loops in by_colour.items():
        yield _letters(loops, np.array([0.0, 0.0, LIFT]), np.eye(3), shares(ink(report.job.panel, asked)))


def _letters(loops: Iterable[Loop], start: np.ndarray, axes: np.ndarray, rgb: Colour) -> Piece:
    """Return letters in the plane of the first two axes."""
    points, faces = flat([tuple((p.x, p.y) for p in loop) for loop in _wound(loops)])
    return Piece(start + points @ axes[:2], faces, rgb, flat=True)


def _wound(loops: Iterable[Loop]) -> Iterator[Loop]:
    """Yield loops the other way round: this typeface turns clockwise around what is inked."""
    return (loop[::-1] for loop in loops)


# --- what is cut, and what is measured ------------------------------------------------------------------------------


def _cut_faces(report: Report, shown: Iterable[Instance], view: View, plane: Plane) -> Iterator[Piece]:
    concerned = itertools.cycle(MARKED)
    colours = {name: next(concerned) for name in view.marked}
    for rank, one in enumerate(shown):
        pale = _mixed(shares(main_finish(report, one).colour), PAPER, PALE)
        for points, faces in caps(one, plane, rank):
            yield Piece(points, faces, colours.get(one.name, pale), flat=True, edged=True)


def _measure(view: View) -> Iterator[Piece]:
    """Yield two arrows that point at the ends of a gap, and its figure."""
    if view.gap is None or view.focus is None:
        return
    axes, high = frame(view), view.focus.y1 - view.focus.y0
    out = axes[2] * BEFORE
    start, stop = np.array(view.gap.start) + out, np.array(view.gap.stop) + out
    along = np.array(_unit(stop - start, axes))
    for tip, way in ((start, -along), (stop, along)):
        yield _arrow(tip, way * ARROW * high, axes[2])
    yield from _figure(view.gap, (start + stop) / 2, along, axes, high)


def frame(view: View) -> np.ndarray:
    """Return what is right, up and towards the viewer in a picture, as the rows of a (3, 3) matrix."""
    towards = np.array(view.towards) / np.linalg.norm(view.towards)
    right = np.cross(view.up, towards)
    right /= np.linalg.norm(right)
    return np.stack([right, np.cross(towards, right), towards])


def _unit(way: np.ndarray, axes: np.ndarray) -> np.ndarray:
    length = float(np.linalg.norm(way))
    return way / length if length > 0 else axes[0]


def _arrow(tip: np.ndarray, back: np.ndarray, towards: np.ndarray) -> Piece:
    """Return an arrow with its tip at a point, its tail ``back`` from there."""
    aside = np.cross(towards, back) * HEAD / 2
    thin, neck = aside * 0.22, tip + back * HEAD
    corners = [tip, neck + aside, neck - aside, neck + thin, neck - thin, tip + back + thin, tip + back - thin]
    return Piece(np.array(corners), np.array([[0, 1, 2], [3, 5, 6], [3, 6, 4]]), INK, flat=True)


def _figure(gap: Gap, middle: np.ndarray, along: np.ndarray, axes: np.ndarray, high: float) -> Iterator[Piece]:
    """Yield the figure of a gap on a slip of paper beside it."""
    figure = format_mm((2 if gap.across else 1) * gap.gap).replace("-", "\u2212")
    text, height = f"half of {figure}" if gap.across else figure, LETTERS * high
    box = text_box(text, height)
    across = np.cross(axes[2], along)
    across *= 1.0 if across @ axes[1] >= 0 else -1.0  # above rather than below
    rim = height * RIM
    wide, tall = box.size.width + 2 * rim, height + 2 * rim
    half = (abs(float(across @ axes[0])) * wide + abs(float(across @ axes[1])) * tall) / 2
    low = middle + across * (AWAY * high + half) - axes[0] * wide / 2 - axes[1] * tall / 2
    start = low + (axes[0] + axes[1]) * rim
    corners = [low, low + axes[0] * wide, low + axes[0] * wide + axes[1] * tall, low + axes[1] * tall]
    yield Piece(np.array(corners), np.array([[0, 1, 2], [0, 2, 3]]), PAPER, flat=True)
    yield _letters(outlines(text, height), start + axes[2] * BEFORE, axes, INK)
