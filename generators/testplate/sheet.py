"""What is printed, in 2D: the finished panel seen from its rear, with holes opened by what the printer takes from them.

A tile is printed with its front face on the bed, so the frame of the test plate is the panel seen from the rear: x
runs the other way, z up from the front face at 0. The plate is as thick as the finished panel, coating included, and
its holes are the finished ones, so that screws, bosses and barrels can be tried. All lengths mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from dryfit.generators.bodies.assembly import Assembly, Role
from dryfit.generators.bodies.lips import fold, lips
from dryfit.generators.bodies.panel import sink_depth
from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.bodies import TOUCHING
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.job import Job
from dryfit.models.panel import Edge, Hole, HolePurpose, Panel
from dryfit.models.printer import Printer

AT_FACE = 0.5  # mm from a face within which a body counts as lying on it
SMALLEST = 0.05  # mm across, to which a hole may shrink at most
FROM_REAR: dict[Edge, Edge] = {"left": "right", "right": "left"}
WHAT: dict[Role, str] = {"part": "flange", "nut": "nut", "washer": "washer"}


@dataclass(frozen=True)
class Sink:
    """The countersink of an opening: its diameter at the face, how deep it goes, and from which face."""

    diameter: float
    depth: float
    side: Side


@dataclass(frozen=True)
class Opening:
    """A hole as it is printed, and the place it belongs to (empty: the panel's own)."""

    outline: Outline
    purpose: HolePurpose
    place: str
    sink: Sink | None = None

    @cached_property
    def rim(self) -> Outline:
        """The hole where it is widest, at the face of its countersink."""
        return self.outline if self.sink is None else round_(self.sink.diameter).moved(*self.outline.centre)

    @property
    def name(self) -> str:
        """What a person calls it."""
        what = {"main": "cut-out", "fixing": "fixing hole", "rack": "mounting slot", "plain": "plain hole"}[
            self.purpose
        ]
        return f"the {what} of {self.place}" if self.place else f"a {what}"


@dataclass(frozen=True)
class Land:
    """Where something lies on a face of the panel: a flange, a nut, a washer."""

    what: str
    place: str
    outline: Outline
    side: Side


@dataclass(frozen=True)
class Sheet:
    """The whole test plate before it is cut into tiles."""

    outline: Outline
    thickness: float
    openings: tuple[Opening, ...]
    lands: tuple[Land, ...]
    lips: tuple[tuple[Edge, Outline], ...] = ()  # where they stand, bends included, by the edge as seen from the rear
    notches: tuple[Outline, ...] = ()  # reliefs beside lips that end short of the panel, open to the edge
    lip: float = 0.0  # how far they stand up from the rear face
    bend: float = 0.0  # inside radius of their bends

    @property
    def folds(self) -> tuple[Outline, ...]:
        """Where lips stand, bends included."""
        return tuple(outline for _, outline in self.lips)

    @property
    def height(self) -> float:
        """Height on the bed."""
        return self.thickness + self.lip


def sheet(job: Job, assembly: Assembly, printer: Printer) -> Sheet:
    """Return the finished panel as it is printed, with all that lies on its faces."""
    panel = job.panel
    outline = panel.outline.grown(panel.coating)
    openings = tuple(opening(hole, panel.coating, printer) for hole in job.holes())
    return Sheet(
        outline,
        panel.finished,
        openings,
        tuple(dict.fromkeys(_lands(assembly, panel.finished))),
        tuple(_lips(panel)),
        tuple(relief.mirrored() for lip in lips(panel) for relief in lip.reliefs(panel.coating)),
        panel.lip if panel.folded else 0.0,
        max(0.0, panel.bend_radius - panel.coating),
    )


def opening(hole: Hole, coating: float, printer: Printer) -> Opening:
    """Return a punched hole as it is printed: less the coating on its wall, plus what the printer takes away."""
    finished = min(hole.outline.size) - 2 * coating
    added = max(printer.added(finished), SMALLEST - finished)
    outline = hole.outline.grown(added / 2 - coating).mirrored()
    coated = hole.coated(coating)
    depth = sink_depth(coated)
    if coated.countersink is None or depth == 0:
        return Opening(outline, hole.purpose, hole.place)
    sink = Sink(coated.countersink.diameter + added, depth, hole.sunk_from)
    return Opening(outline, hole.purpose, hole.place, sink)


def _lands(assembly: Assembly, thickness: float) -> Iterator[Land]:
    """Yield where parts, nuts and washers come within reach of either face, seen from the rear."""
    for instance in assembly.of("part", "nut", "washer"):
        for s in instance.slices:
            flat = s.profile.widest.mirrored()
            if s.z1 > TOUCHING and s.z0 < AT_FACE:
                yield Land(WHAT[instance.role], instance.place, flat, "front")
            if s.z0 < -thickness - TOUCHING and s.z1 > -thickness - AT_FACE:
                yield Land(WHAT[instance.role], instance.place, flat, "rear")


def _lips(panel: Panel) -> Iterator[tuple[Edge, Outline]]:
    """Yield where lips stand on the sheet, their bends included, seen from the rear."""
    for lip in lips(panel):
        bend = fold(panel, lip, panel.coating)
        stands = lip.between(bend.low, bend.start, bend.high, bend.edge)
        yield FROM_REAR.get(lip.edge, lip.edge), stands.mirrored()
