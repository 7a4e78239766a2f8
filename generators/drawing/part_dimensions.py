"""Where the dimensions of a part or plug are taken: every one of them on its front or its side, mm in its own frame.

The front is seen along z, the side from the right with the front to the left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from dryfit.models.catalogue.letters import lettered
from dryfit.models.catalogue.parts import Bush, Fixings, Latch, Part, Plug, Section
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import ORIGIN, Point

CABLE = 8.0  # mm of the cable that is drawn
SHORT = 9.0  # mm that is drawn of room that is asked for: no caliper takes it
USUAL_PANEL = 2.0  # mm; drawn where a part says nothing of how thick a panel may be

View = Literal["front", "side"]
Run = Literal["across", "up", "deep", "round"]


@dataclass(frozen=True)
class Taken:
    """One dimension where it is taken: in which view, which way it runs, from where to where.

    ``across`` runs along x, ``up`` along y, ``deep`` along z; ``at`` is the other coordinate of the line, and ``room``
    how long what it measures is there. A ``round`` one is the circle about ``spot`` whose diameter is ``high``.
    """

    path: str
    view: View
    run: Run = "across"
    low: float = 0.0
    high: float = 0.0
    at: float = 0.0
    room: float = 0.0
    spot: Point = ORIGIN


def taken(record: Part | Plug) -> tuple[Taken, ...]:
    """Return where every dimension is taken, in the order of the record."""
    found = {one.path: one for one in (_of_part(record) if isinstance(record, Part) else _of_plug(record))}
    return tuple(found[one.path] for one in lettered(record))


def _of_part(part: Part) -> Iterator[Taken]:
    thick = part.flange.thick
    yield from _flat("flange.outline", part.flange.outline)
    yield Taken("flange.thick", "side", "deep", 0.0, thick)
    yield from _flat("cutout", part.cutout)
    if part.cutout_rear is not None:
        yield from _flat("cutout_rear", part.cutout_rear)
    if part.fixings is not None:
        yield from _fixings(part.fixings, seat_face(part))
    if part.bush is not None:
        yield from _bush(part.bush, seat_face(part), panel_of(part))
    yield from _sections("front", part.front, thick, 1.0)
    yield from _sections("rear", part.rear, 0.0, -1.0)
    if part.latch is not None:
        yield from _latch(part.latch, thick)
    end = -max((section.stop for section in part.rear), default=0.0)
    yield Taken("wiring", "side", "deep", end - min(part.wiring, SHORT), end)
    yield Taken("seat", "side", "deep", thick, thick + part.seat)
    low, high = panel_faces(part)
    yield Taken("thickest", "side", "deep", low, high)
    if part.snap is not None:
        yield Taken("snap.thickest", "side", "deep", low, high)
        face, ahead = seat_face(part)
        ends = sorted((face, face + ahead * part.snap.thinnest))
        yield Taken("snap.thinnest", "side", "deep", ends[0], ends[1])


def panel_faces(part: Part) -> tuple[float, float]:
    """Return z of the faces of the panel as it is drawn, the rear one first."""
    face, ahead = seat_face(part)
    low, high = sorted((face, face + ahead * panel_of(part)))
    return low, high


def panel_of(part: Part) -> float:
    """Return how thick the panel is drawn, mm."""
    return part.thickest or (part.snap.thickest if part.snap is not None else USUAL_PANEL)


def seat_face(part: Part) -> tuple[float, float]:
    """Return z of the face that lies on the panel, and on which side of it the panel is: 1 before it, -1 behind."""
    return (part.flange.thick, 1.0) if part.mount[0] == "rear" else (0.0, -1.0)


def _flat(path: str, outline: Outline) -> Iterator[Taken]:
    """Yield the dimensions of an outline seen from the front."""
    box = outline.box
    if outline.is_circle:
        yield Taken(f"{path}.width", "front", "round", 0.0, box.width, spot=outline.centre)
        return
    yield Taken(f"{path}.width", "front", "across", box.left, box.right, box.top)
    yield Taken(f"{path}.height", "front", "up", box.bottom, box.top, box.left)


def _fixings(fixings: Fixings, seat: tuple[float, float]) -> Iterator[Taken]:
    if len(fixings.at) > 1:
        first, second = fixings.at[:2]
        (x0, x1), (y0, y1) = sorted((first.x, second.x)), sorted((first.y, second.y))
        both = x0 != x1 and y0 != y1
        if x0 != x1:
            yield Taken(f"fixings.at.{'across' if both else 'apart'}", "front", "across", x0, x1, y0)
        if y0 != y1:
            yield Taken(f"fixings.at.{'up' if both else 'apart'}", "front", "up", y0, y1, x0)
    spot = max(fixings.at)  # the one furthest to the right, where the letters stand
    for name in ("hole", "panel"):
        yield Taken(f"fixings.{name}", "front", "round", 0.0, fixings.hole, spot=spot)
    if fixings.seat is not None:
        for name in ("diameter", "angle"):
            yield Taken(f"fixings.seat.{name}", "front", "round", 0.0, fixings.seat.diameter, spot=spot)
    if fixings.boss is not None:
        face, ahead = seat
        ends = sorted((face, face - ahead * fixings.boss.depth))
        yield Taken("fixings.boss.depth", "side", "deep", ends[0], ends[1])


def _bush(bush: Bush, seat: tuple[float, float], panel: float) -> Iterator[Taken]:
    face, ahead = seat

    def deep(path: str, start: float, stop: float) -> Taken:
        ends = sorted((face + ahead * start, face + ahead * stop))
        return Taken(path, "side", "deep", ends[0], ends[1])

    def over(path: str, size: float, start: float, stop: float) -> Taken:
        return Taken(path, "side", "up", -size / 2, size / 2, face + ahead * (start + stop) / 2, stop - start)

    under = panel + bush.washer
    yield over("bush.thread", bush.thread, max(under + bush.nut_height, bush.length - 1.0), bush.length)
    yield deep("bush.length", 0.0, bush.length)
    yield over("bush.nut_across", bush.nut_across, under, under + bush.nut_height)
    yield deep("bush.nut_height", under, under + bush.nut_height)
    yield deep("bush.washer", panel, under)
    yield over("bush.washer_across", bush.washer_across, panel, under)


def _sections(path: str, sections: tuple[Section, ...], face: float, way: float) -> Iterator[Taken]:
    """Yield the dimensions of a run of sections: what is round is taken from the side, a box across from the front."""
    for number, section in enumerate(sections):
        here = f"{path}.{number}"
        middle = face + way * (section.start + section.stop) / 2
        ends = sorted((face, face + way * section.stop))
        if section.cone is not None:
            wide = max(section.cone)
            wider = section.start if section.cone[0] == wide else section.stop
            yield Taken(f"{here}.width", "side", "up", -wide / 2, wide / 2, face + way * wider)
        else:
            assert section.outline is not None  # one of the two, by validation
            yield from _section(here, section.outline, middle, section.stop - section.start)
        yield Taken(f"{here}.depth", "side", "deep", ends[0], ends[1])


def across(section: Section) -> float:
    """Return how wide a section is."""
    return section.outline.size.width if section.outline is not None else max(section.cone or (0.0,))


def _section(path: str, outline: Outline, middle: float, room: float) -> Iterator[Taken]:
    box = outline.box
    if outline.is_circle:
        yield Taken(f"{path}.width", "side", "up", box.bottom, box.top, middle, room)
        return
    yield Taken(f"{path}.width", "front", "across", box.left, box.right, box.top)
    yield Taken(f"{path}.height", "side", "up", box.bottom, box.top, middle, room)


def _latch(latch: Latch, thick: float) -> Iterator[Taken]:
    room = latch.finger.moved(*latch.at).box
    level = thick + latch.height
    yield Taken("latch.height", "side", "deep", thick, level, latch.at[1])
    yield Taken("latch.finger.width", "front", "across", room.left, room.right, room.top)
    yield Taken("latch.finger.height", "front", "up", room.bottom, room.top, room.left)
    yield Taken("latch.deep", "side", "deep", level, level + min(latch.deep, SHORT), room.top)


def _of_plug(plug: Plug) -> Iterator[Taken]:
    yield from _sections("body", plug.body, 0.0, 1.0)
    yield from _sections("nose", plug.nose, 0.0, -1.0)
    yield Taken("travel", "side", "deep", -plug.travel, 0.0)
    yield Taken("turn", "front", "round", 0.0, max(map(across, plug.body)))  # its rim, that turns
    if plug.grip is not None:
        yield from _flat("grip", plug.grip)
    end = max(section.stop for section in plug.body)
    yield Taken("cable", "side", "up", -plug.cable / 2, plug.cable / 2, end + CABLE / 2, CABLE)
