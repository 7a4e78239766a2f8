"""What kind of panel a plate is: a rack panel, a wall plate, or a plate of its own size. All lengths mm, panel axes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from dryfit.generators.intake.plates.figures import outline_of
from dryfit.generators.intake.plates.plate import Opening, Plate
from dryfit.models.geometry.contours import describe, shape_kind
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Size
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.panels import RackName, rack_panel, rack_slots, rack_width, wall_plates

RACK_OFF = 1.0  # mm that a rack panel may be larger or smaller than ours and still be one
PLATE_OFF = 0.5  # mm, a wall plate
HOLE_OFF = 2.5  # mm that a mounting hole may stand off ours: makers put slots where they have room
SAME = 0.02  # mm, of sizes that are drawn from the same figures
MOST_UNITS = 12
RACKS: dict[RackName, str] = {"19 inch": "", "half": "half_width: true", "10 inch": "ten_inch: true"}
"""How a layout names the widths of racks, besides ``rack_units``."""


@dataclass(frozen=True)
class Kind:
    """A kind of panel: the keys of a layout that make it, its size, and its own mounting holes."""

    keys: tuple[str, ...]
    size: Size
    holes: tuple[Outline, ...] = ()
    name: str = "panel"


@dataclass(frozen=True)
class Recognised:
    """The kind that a plate is, its corner radius, its mounting holes, and what is off about it, in sentences."""

    kind: Kind
    corner: float
    mounting: tuple[Opening, ...]
    said: tuple[str, ...]

    @property
    def origin(self) -> Point:
        """What positions in a layout of that kind are measured from: all stays where it is about the middle."""
        return Point(-self.kind.size.width / 2, -self.kind.size.height / 2)

    def rest(self, plate: Plate) -> tuple[Opening, ...]:
        """Return the openings that are not the panel's own."""
        return tuple(o for o in plate.openings if o not in self.mounting)


def recognised(plate: Plate) -> Recognised:
    """Return what kind of panel a plate is, by its size and its mounting holes."""
    for kind in known_kinds():
        most = RACK_OFF if "rack" in kind.name else PLATE_OFF
        if all(abs(own - ours) <= most for own, ours in zip(plate.box.size, kind.size, strict=True)):
            mounting = tuple(_mounting(kind.holes, plate.openings))
            if len(mounting) * 2 >= len(kind.holes):
                return Recognised(kind, _corner(plate), mounting, tuple(_said(plate, kind, mounting)))
    width, height = (round(v, 3) for v in plate.box.size)
    own = Kind((f"size: [{width:g} mm, {height:g} mm]",), Size(width, height))
    return Recognised(own, _corner(plate), (), tuple(_said(plate, own, ())))


def known_kinds() -> Iterator[Kind]:
    """Yield rack panels and wall plates."""
    for name, key in RACKS.items():
        for units in range(1, MOST_UNITS + 1):
            size = Size(rack_width(name).width, rack_panel(units).height)
            keys = (f"rack_units: {units}", *filter(None, (key,)))
            yield Kind(keys, size, rack_slots(units, name), f"{units} U rack panel")
    for plate in wall_plates().values():
        yield Kind((f"plate: {plate.name}",), Size(plate.width, plate.height), plate.holes, f"wall plate {plate.name}")


def _mounting(holes: Iterable[Outline], openings: Sequence[Opening]) -> Iterator[Opening]:
    """Yield the opening nearest to each mounting hole, where one is near and about as large."""
    for hole in holes:
        near = [
            o for o in openings
            if o.centre.distance_to(hole.centre) <= HOLE_OFF and min(o.box.size) <= 2 * min(hole.size)
        ]  # fmt: skip
        if near:
            yield min(near, key=lambda o: o.centre.distance_to(hole.centre))


def _corner(plate: Plate) -> float:
    outline = None if plate.contour is None else outline_of(plate.contour)
    if outline is None or shape_kind(outline) != "box":
        return 0.0
    return round(outline.corners[0].radius, 3)


def _said(plate: Plate, kind: Kind, mounting: Sequence[Opening]) -> Iterator[str]:
    outline = None if plate.contour is None else outline_of(plate.contour)
    if plate.contour is None:
        yield "the size is that of the holes together, as no outline is drawn: write the true one"
    elif outline is None or shape_kind(outline) != "box":
        yield "the outline is no rectangle: it is taken as the one about it"
    wider, higher = (a - b for a, b in zip(plate.box.size, kind.size, strict=True))
    if max(abs(wider), abs(higher)) > SAME:
        own, ours = (f"{format_mm(s.width)} by {format_mm(s.height)}" for s in (plate.box.size, kind.size))
        yield f"it is {own}, a {kind.name} here {ours}: write size instead if that matters"
    if kind.holes:
        yield from _said_mounting(kind, mounting)


def _said_mounting(kind: Kind, mounting: Sequence[Opening]) -> Iterator[str]:
    if len(mounting) < len(kind.holes):
        yield f"{len(mounting)} of the {len(kind.holes)} mounting holes of a {kind.name} are there"
    off = max((min(o.centre.distance_to(h.centre) for h in kind.holes) for o in mounting), default=0.0)
    own = {describe(o.outline) if o.outline is not None else "of another shape" for o in mounting}
    if off > SAME:
        yield f"its mounting holes stand up to {format_mm(off)} off those that are put here"
    if own - {describe(hole) for hole in kind.holes}:
        yield f"its mounting holes are {', '.join(sorted(own))}, here {describe(kind.holes[0])}"
