"""What came back from the shop, hole by hole against what was asked for, within the tolerances of the drawing.

In: the panel as it was ordered, a plate from a file. Out: every difference, in words and numbers: holes missing, too
many, shifted, of another size or shape, countersinks, the outline, the thickness; and the plate mirrored, turned, or
drawn to another scale as a whole. All lengths mm, panel axes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import median
from typing import Literal

from dryfit.generators.bodies.blank import blank, silhouette
from dryfit.generators.intake.comparing.poses import Pose, behind, best_pose
from dryfit.generators.intake.comparing.shape_differences import off_shape
from dryfit.generators.intake.plates.figures import middle
from dryfit.generators.intake.plates.near import Near
from dryfit.generators.intake.plates.plate import Opening, Plate
from dryfit.generators.intake.plates.rings import area_of
from dryfit.generators.lists.holes import Lettered, lettered_holes
from dryfit.generators.tolerances import GENERAL, Tolerances
from dryfit.generators.writers.holes_csv import position_tolerance
from dryfit.models.findings import Verdict
from dryfit.models.geometry.contours import Contour, describe
from dryfit.models.geometry.outlines import WHOLE_TURN, Outline, round_
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Job
from dryfit.models.panel import Hole
from dryfit.models.reading.errors import number_of
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.tolerances import general_tolerance

Kind = Literal[
    "scaled", "mirrored", "turned", "shifted", "missing", "extra", "size", "shape", "countersink", "outline",
    "thickness",
]  # fmt: skip
"""What a difference is; mirrored and scaled are of the whole panel."""

ROUNDED = 0.004  # mm: files have their coordinates rounded to 0.001 mm or 0.0001 in, twice where they are subtracted
SAME_HOLE = 8.0  # mm that a hole may stand off and still be the one that was meant, if nothing is nearer
SAME_SIZE = 0.5  # share of its size that it may be off by then
SIZE_COUNTS = 0.5  # how much a size that is off counts beside a place, where it is asked which hole is meant
FLAT_OFF = 5.0  # mm2 that a flat outline may have more or less: a corner radius that is off by half a mm
FOLDED_OFF = 0.02  # share of it, where lips are laid flat: notches are the shop's own
HALF_TURN = 180.0
SAME_ANGLE = 2.0  # degrees that the cone of a countersink may be off


@dataclass(frozen=True)
class Difference:
    """One thing that is not as it was asked for; ``off`` is by how much, ``allowed`` how much may be, both mm."""

    kind: Kind
    says: str
    letter: str = ""  # of the hole in the hole chart; empty for the panel as a whole, and for holes that are too many
    place: str = ""  # the place it belongs to, or what it is of the panel's own
    off: float | None = None
    allowed: float | None = None
    at: Point | None = None  # where it is to be seen
    wanted: Outline | None = None
    found: Opening | None = None

    @property
    def hole(self) -> str:
        """The hole in words."""
        return f"{self.letter} {self.place}".strip()


@dataclass(frozen=True)
class Comparison:
    """A panel and what came back of it, laid over it; what differs, the whole panel first."""

    job: Job
    plate: Plate
    pose: Pose
    differences: tuple[Difference, ...]
    asked: int  # holes that were asked for
    wanted: Contour = field(repr=False)
    said: tuple[str, ...] = ()  # what its reader should know, in sentences

    @property
    def verdict(self) -> Verdict:
        """Whether it is what was asked for."""
        return Verdict.FAILS if self.differences else Verdict.FITS

    @property
    def summary(self) -> str:
        """The last line: the verdict, and how many holes are as they should be."""
        wrong = {(one.letter, one.place, one.wanted) for one in self.differences if one.wanted is not None}
        count = len(self.differences)
        told = number_of(count, "difference") if count else "it is what was asked for"
        holes = f"{self.asked} hole is" if self.asked == 1 else f"{self.asked} holes are"
        return f"{self.verdict}: {told}; {self.asked - len(wrong)} of {holes} as asked for"


def compare(job: Job, plate: Plate, allowed: Tolerances = GENERAL, *, coated: bool = False) -> Comparison:
    """Return what differs between a panel and a plate; ``coated``: the plate's holes are as they are under a coating.

    A plate from a flat drawing may show the panel as it is folded or as its blank: the nearer one is meant. A solid may
    lie on its face: where countersinks show that, it is turned over, which is said.
    """
    found = _compared(job, plate, allowed, coated)
    if not found.differences or plate.thickness is None or all(o.sink is None for o in plate.openings):
        return found
    other = _compared(job, behind(plate), allowed, coated)
    return replace(other, said=(LIES_ON_ITS_FACE,)) if len(other.differences) < len(found.differences) else found


LIES_ON_ITS_FACE = "the solid lies on its face: it is compared turned over"


def _compared(job: Job, plate: Plate, allowed: Tolerances, coated: bool) -> Comparison:
    """Return what differs between a panel and a plate that is seen from the front."""
    coating = job.panel.coating if coated else 0.0
    solid = job.panel.thickness if plate.thickness is not None else None
    wants = [_Want(item, as_cut(item.hole.coated(coating), solid), job, allowed) for item in lettered_holes(job)]
    outline = _outline(job, plate)
    pose = best_pose(plate, [want.hole.outline for want in wants], outline.box)
    laid = pose.of(plate)
    pairs = _pairs(wants, laid.openings)
    found = [
        *_whole(pose, job, plate, outline.box),
        *_edges(laid, outline, allowed, job),
        *_thickness(plate, job, coated),
        *_of_holes(wants, laid, pairs),
    ]
    return Comparison(job, laid, pose, tuple(found), len(wants), outline)


def as_cut(hole: Hole, thickness: float | None) -> Hole:
    """Return a hole as a solid of a thickness has it, or a flat drawing: a countersink through all is the hole."""
    if thickness is None or hole.countersink is None:
        return hole
    across = hole.countersink.across(thickness)
    if across <= hole.outline.size.width:
        return hole
    return replace(hole, outline=round_(across).moved(*hole.outline.centre))


@dataclass(frozen=True)
class _Want:
    """A hole that is asked for, and how far it may be off."""

    item: Lettered
    hole: Hole
    job: Job
    allowed: Tolerances

    @property
    def name(self) -> tuple[str, str]:
        """Its letter, and the place it belongs to."""
        return self.item.kind.letter, self.hole.place or self.hole.purpose

    @property
    def size(self) -> float:
        """How far its sizes may be off."""
        return self.allowed.size(self.item.kind.outline, self.item.kind.places)

    @property
    def position(self) -> float:
        """How far it may stand off, from its datum."""
        return position_tolerance(self.job, self.item, self.allowed)

    @property
    def corner(self) -> float:
        """The largest radius that its square corners may have."""
        return self.allowed.corner(self.item.kind.places)


def _outline(job: Job, plate: Plate) -> Contour:
    """Return the outline that is meant: of the folded panel or of its blank, whichever is nearer to the plate's."""
    flat, folded = blank(job.panel).contour, silhouette(job.panel)
    own = sorted(plate.box.size)
    return min(
        (folded, flat), key=lambda ring: sum(abs(a - b) for a, b in zip(sorted(ring.box.size), own, strict=True))
    )


# --- the whole panel -------------------------------------------------------------------------------------------------


def _whole(pose: Pose, job: Job, plate: Plate, outline: Rectangle) -> Iterator[Difference]:
    if pose.scale != 1.0:
        yield Difference("scaled", f"the file is to be scaled by {pose.scale:.6g}: it is drawn in another unit")
    if pose.mirrored:
        way = "top to bottom" if pose.turn == HALF_TURN else "left to right"
        yield Difference("mirrored", f"the panel is mirrored {way}, as if it were seen from behind")
    if pose.turn and not (pose.mirrored and pose.turn == HALF_TURN):
        yield Difference("turned", f"the panel is turned by {-pose.turn % WHOLE_TURN:g}° anticlockwise")
    if plate.contour is not None:
        by = pose.of(plate).box.corner - outline.corner
        if by.length > ROUNDED:
            far = f"{_way(-by)} from where the lower left corner has them"
            yield Difference("shifted", f"all holes stand {far}", off=by.length)


def _edges(laid: Plate, wanted: Contour, allowed: Tolerances, job: Job) -> Iterator[Difference]:
    if laid.contour is None:
        yield Difference("outline", "no outline is drawn: holes are compared with each other alone")
        return
    corner = wanted.box.corner
    for name, own, ours in zip(("wide", "high"), laid.box.size, wanted.box.size, strict=True):
        most = allowed.outline.size(ours)
        if abs(own - ours) > most + ROUNDED:
            says = f"the panel is {format_mm(own)} {name}, asked for {format_mm(ours)}"
            yield Difference("outline", says, off=own - ours, allowed=most, at=corner)
    off = _filled(laid.contour) * wanted.box.width * wanted.box.height - area_of(wanted)
    if abs(off) > (FOLDED_OFF * area_of(wanted) if job.panel.folded else FLAT_OFF):
        says = f"the outline has another shape: {abs(off):.0f} mm² too {'much' if off > 0 else 'little'}"
        yield Difference("outline", says, at=corner)


def _filled(ring: Contour) -> float:
    """Return how much of its box a contour fills."""
    return area_of(ring) / (ring.box.width * ring.box.height)


def _thickness(plate: Plate, job: Job, coated: bool) -> Iterator[Difference]:
    ours = job.panel.finished if coated else job.panel.thickness
    most = general_tolerance(ours)
    if plate.thickness is not None and abs(plate.thickness - ours) > most + ROUNDED:
        says = f"the sheet is {format_mm(plate.thickness)} thick, asked for {format_mm(ours)}"
        yield Difference("thickness", says, off=plate.thickness - ours, allowed=most)


# --- which hole is which ---------------------------------------------------------------------------------------------


def _pairs(wants: Sequence[_Want], openings: Sequence[Opening]) -> dict[int, int]:
    """Return which opening each wanted hole became, by their numbers: the nearest first, each once."""
    there = Near(enumerate(openings), SAME_HOLE)
    tries = sorted(
        (cost, n, m)
        for n, want in enumerate(wants)
        for m, opening in there.about(want.hole.outline.centre)
        if (cost := _far(want.hole.outline, opening)) is not None
    )
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    for _, n, m in tries:
        if n not in pairs and m not in taken:
            pairs[n] = m
            taken.add(m)
    return pairs


def _far(outline: Outline, opening: Opening) -> float | None:
    """Return how unlike a wanted hole an opening is; None where it is another one."""
    apart = outline.centre.distance_to(opening.centre)
    off = abs(max(opening.box.size) - max(outline.size))
    if off > SAME_SIZE * max(outline.size):
        return None
    return apart + SIZE_COUNTS * off


# --- hole by hole --------------------------------------------------------------------------------------------------


def _of_holes(wants: Sequence[_Want], laid: Plate, pairs: Mapping[int, int]) -> Iterator[Difference]:
    openings = laid.openings
    axes = _axes([(want, openings[pairs[n]]) for n, want in enumerate(wants) if n in pairs])
    for n, want in enumerate(wants):
        if n not in pairs:
            at = want.hole.outline.centre
            says = f"{describe(want.hole.outline)} is missing at {_spot(at, laid.corner)}"
            yield Difference("missing", says, *want.name, at=at, wanted=want.hole.outline)
        else:
            yield from _of_hole(want, openings[pairs[n]], axes)
    wanted = set(pairs.values())
    for opening in (o for m, o in enumerate(openings) if m not in wanted):
        shape = describe(opening.outline) if opening.outline is not None else "hole"
        says = f"{shape} at {_spot(opening.centre, laid.corner)} was not asked for"
        yield Difference("extra", says, at=opening.centre, found=opening)


@dataclass(frozen=True)
class _Axis:
    """How far the axis of a place is off, and how far its holes may be off about that.

    It is that of its main hole, but where only this stands off: then of the fixing holes, and ``main`` is how far off
    about them.
    """

    off: Point
    about: float
    main: Point = ORIGIN


def _axes(met: Sequence[tuple[_Want, Opening]]) -> dict[str, _Axis]:
    """Return the axes of all places."""
    places: dict[str, list[tuple[_Want, Point]]] = {}
    for want, opening in met:
        if want.hole.purpose in {"main", "fixing"}:
            places.setdefault(want.hole.place, []).append((want, _moved(want.hole.outline, opening)))
    return {name: _axis(holes) for name, holes in places.items()}


def _axis(holes: Sequence[tuple[_Want, Point]]) -> _Axis:
    main = next((by for want, by in holes if want.hole.purpose == "main"), ORIGIN)
    fixings = [by for want, by in holes if want.hole.purpose == "fixing"]
    about = min((want.position for want, _ in holes if want.hole.purpose == "fixing"), default=0.0)
    middle = Point(*(median(way) for way in zip(*(by for _, by in holes), strict=True)))
    all_off = len(fixings) > 1 and all(_far_off(by - main) > about + ROUNDED for by in fixings)
    if all_off and _far_off(main - middle) > about + ROUNDED:
        return _Axis(middle, about, main - middle)
    return _Axis(main, about)


def _far_off(by: Point) -> float:
    """Return the larger of both coordinates: each has the tolerance for itself."""
    return max(abs(by.x), abs(by.y))


def _of_hole(want: _Want, opening: Opening, axes: Mapping[str, _Axis]) -> Iterator[Difference]:
    outline, by = want.hole.outline, _moved(want.hole.outline, opening)
    axis = axes.get(want.hole.place)
    if axis is not None and want.hole.purpose == "fixing":
        yield from _off(want, opening, by - axis.off, " about the axis of its place")
    elif axis is not None and axis.main != ORIGIN:
        says = f"stands {_way(axis.main)} from where the fixing holes of its place have it"
        yield _differs("shifted", want, opening, says, _far_off(axis.main), axis.about)
        yield from _off(want, opening, axis.off, " with its fixing holes")
    else:
        yield from _off(want, opening, by, "")
    for kind, says, off, most in off_shape(outline, opening.outline, want.size, want.corner, ROUNDED):
        yield _differs(kind, want, opening, says, off, most)
    yield from _of_sink(want, opening)


def _off(want: _Want, opening: Opening, by: Point, how: str) -> Iterator[Difference]:
    far = _far_off(by)
    if far > want.position + ROUNDED:
        yield _differs("shifted", want, opening, f"stands {_way(by)}{how}", far, want.position)


def _moved(outline: Outline, opening: Opening) -> Point:
    """Return how far an opening stands from a hole: by their corners, where they have as many."""
    found = opening.outline
    if found is None or len(found.corners) != len(outline.corners):
        return opening.centre - outline.centre
    return middle(found) - middle(outline)


def _of_sink(want: _Want, opening: Opening) -> Iterator[Difference]:
    ours, own = want.hole.countersink, opening.sink
    if ours is None and own is None:
        return
    if ours is None or own is None:
        says = "the countersink is missing" if own is None else f"a countersink of {format_mm(own.diameter)} too many"
        yield _differs("countersink", want, opening, says)
        return
    if own.side != want.hole.sunk_from:
        says = f"the countersink is from the {own.side}, asked for from the {want.hole.sunk_from}"
        yield _differs("countersink", want, opening, says)
    most, off = want.allowed.cut(want.item.kind.places).size(ours.diameter), own.diameter - ours.diameter
    if abs(off) > most + ROUNDED:
        says = f"the countersink is {format_mm(own.diameter)} across, asked for {format_mm(ours.diameter)}"
        yield _differs("countersink", want, opening, says, off, most)
    if own.angle is not None and abs(own.angle - ours.angle) > SAME_ANGLE:
        says = f"the countersink has {own.angle:.1f}°, asked for {ours.angle:g}°"
        yield _differs("countersink", want, opening, says)


def _differs(kind: Kind, want: _Want, opening: Opening, says: str, *numbers: float | None) -> Difference:
    """Return a difference of a hole; ``numbers`` are by how much it is off, and how much it may be."""
    off, most = numbers or (None, None)
    if not want.hole.place:  # it has no name of its own: its place on the panel tells it from others
        says = f"at {_spot(want.hole.outline.centre, want.job.panel.outline.box.corner)}: {says}"
    return Difference(kind, says, *want.name, off, most, opening.centre, want.hole.outline, opening)


def _way(by: Point) -> str:
    """Return a shift in words: ``0.50 mm to the right and 0.20 mm up``."""
    ways = ((by.x, "to the right", "to the left"), (by.y, "up", "down"))
    told = [f"{format_mm(abs(v))} {plus if v > 0 else minus}" for v, plus, minus in ways if abs(v) > ROUNDED]
    return " and ".join(told)


def _spot(at: Point, corner: Point) -> str:
    x, y = at - corner
    return f"({x:.2f}, {y:.2f})"
