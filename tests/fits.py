"""Places by hand: the plain part with fasteners put on it and things put beside it, no layout and no choice between.

So a check is asked in a millisecond, and every figure it tells can be worked out beside the test. All lengths mm. The
panel is 3 mm thick, its front face at z = 0. The part is that of :mod:`tests.plain`, screwed with M3 by 12 mm: the
pan head is 5.6 mm across and 2.4 high, the hexagon nut 5.5 mm across flats, 6.351 over its corners and 2.4 high, its
driver 8.3 mm across; the plain washer is 7 mm across, 0.5 thick, the split one 6.2 across and 0.8 thick.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

from dryfit.generators.checks.asking import answered
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_checks
from dryfit.generators.clearance.surroundings import Obstacle, Surroundings
from dryfit.generators.joints.joint import joint
from dryfit.generators.joints.stacks import Rest, Stack
from dryfit.models.catalogue.parts import Part, Plug, Side
from dryfit.models.findings import Answer, Ref, Verdict
from dryfit.models.geometry.bodies import Slice, prism
from dryfit.models.geometry.outlines import Outline, hexagon, round_
from dryfit.models.geometry.points import Point
from dryfit.models.job import Cutout, HardwareWish, Mounting
from dryfit.models.panel import Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables import fasteners
from dryfit.models.tables.panels import Material
from tests.plain import PART, about

STEEL = Material("steel", 7850.0, 210.0, 0.3, 235.0, -0.7, "metal", "by hand", "common practice")
PLASTIC = Material("plastic", 1050.0, 2.3, 0.35, 40.0, None, "plastic", "by hand", "common practice")
OVER_CORNERS = 6.3509  # 5.5 mm over the cosine of 30 degrees, as the table of nuts has it
BOSS = {"thread": "M3", "depth": 6}
CHECKS = {check.name: check for check in stack_checks()}


@dataclass(frozen=True)
class Fasteners:
    """What is screwed in: thread, head, length, nut or none, washers; head, nut and washers by their kinds."""

    length: float = 12.0
    head: str = "pan"
    nut: str | None = "hexagon"
    washers: tuple[str, ...] = ()
    rivet: str | None = None
    thread: str = "M3"
    rest: Rest | None = None

    def stack(self, mounting: Mounting, panel: Panel) -> Stack:
        """Return the stack that they make of a part as it is mounted."""
        of = joint(mounting, panel)
        assert of is not None  # the part has fixing holes
        if self.rivet is not None:
            screw = next(s for s in fasteners.riveted(self.rivet) if s.length == self.length)
            return Stack(of, screw, None, rest=self.rest)
        name = self.thread
        screw = fasteners.Screw(fasteners.thread(name), fasteners.heads(name, self.head)[0], self.length)
        nut = fasteners.nuts(name, self.nut)[0] if self.nut is not None else None
        return Stack(of, screw, nut, tuple(fasteners.washers(name, k)[0] for k in self.washers), rest=self.rest)


SCREWED = Fasteners()


def sheet(thick: float = 3.0, coating: float = 0.0, **more: Any) -> Panel:
    """Return a panel of 200 x 100 mm."""
    return Panel(**{"width": 200.0, "height": 100.0, "thickness": thick, "material": STEEL, "coating": coating, **more})


def mounted(
    side: str = "front", turn: float = 0.0, hole: Outline | None = None, fixing_hole: float = 3.4,
    sink: Countersink | None = None, plug: Any = None, wish: HardwareWish | None = None, **changes: Any,
) -> Mounting:  # fmt: skip
    """Return the plain part as it is mounted, changed where ``changes`` says so, turned in its cut-out."""
    part = Part.model_validate({name: value for name, value in {**PART, **changes}.items() if value is not None})
    spots = tuple(Point(*at) for at in part.fixings.at) if part.fixings is not None else ()
    cut = Cutout(hole or part.cutout, spots, fixing_hole, sink)
    made = Plug.model_validate({"title": "Plug", "travel": 10, **plug}) if plug else None
    name = "plain-plug" if plug else None
    return Mounting("plain", part, cast(Side, side), cut, turn, name, made, wish or HardwareWish())


def fit(
    screwed: Fasteners | None = SCREWED, *, panel: Panel | None = None, beside: Sequence[Obstacle] = (),
    holes: Sequence[Outline] = (), edge: Outline | None = None, **given: Any,
) -> Fit:  # fmt: skip
    """Return the plain part as :func:`mounted` has it, screwed, among what is beside it."""
    panel, mounting = panel or sheet(), mounted(**given)
    has_screws = screwed is not None and mounting.part.fixings is not None
    stack = screwed.stack(mounting, panel) if screwed is not None and has_screws else None
    return Fit(panel, mounting, Surroundings(tuple(beside), tuple(holes), edge), stack)


def told(check: str, of: Fit) -> tuple[Answer, ...]:
    """Return what a check says of a place; nothing where its question does not apply."""
    return answered(CHECKS[check], of)


def thing(outline: Outline, z0: float, z1: float, name: str = "next part") -> Obstacle:
    """Return something beside a place that cannot be turned."""
    made = (prism(outline, z0, z1),)
    return Obstacle(name, made, made, made)


def post(x: float, y: float, across: float, z0: float = -20.0, z1: float = 40.0, name: str = "next part") -> Obstacle:
    """Return something round beside a place."""
    return thing(round_(across).moved(x, y), z0, z1, name)


def next_nut(x: float, y: float, z0: float = -5.4, z1: float = -3.0) -> Obstacle:
    """Return a nut of a neighbour: as it stands, with a flat to whatever it is beside, and as it spins."""

    def at(outline: Outline) -> tuple[Slice, ...]:
        return (prism(outline.moved(x, y), z0, z1),)

    return Obstacle("next nut", at(hexagon(5.5)), at(round_(5.5)), at(round_(OVER_CORNERS)))


def of_length(
    check: str, verdict: Verdict, says: str, measured: float, limit: float = 0.0, bodies: tuple[Ref, ...] = (),
    view: Side = "front", source: str = "",
) -> Answer:  # fmt: skip
    """Return the answer to a question of length that is expected, to be compared within the noise of rounding."""
    return Answer(
        check, verdict, says, about(measured - limit, 1e-6), "mm", about(measured, 1e-6), limit, bodies, view, source
    )
