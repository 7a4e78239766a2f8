"""Has every head, washer and nut its ring of material, on both sides of the stack, and the nut of a bush too?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.joint import Face
from dryfit.generators.joints.stacks import BULB, Stack
from dryfit.models.catalogue.parts import Side
from dryfit.models.catalogue.worst import bush_holds
from dryfit.models.findings import Answer, Ref, Verdict, grade
from dryfit.models.geometry.areas import shared_area
from dryfit.models.geometry.outlines import Outline, hexagon, round_
from dryfit.models.tables.fasteners import Thread, washers

LEAST = 0.1
"""of what a plain washer of the size bears on. Less is nothing: it pulls through when tightened (common practice)."""
AIM = 0.25  # of the same; with less the material under it gives (common practice)
WHOLE = 0.75  # of its own ring that must lie on material; with less it tips (common practice)
RING = 2.0  # diameters across the washer of a thread that has none in the tables (ISO 7089 is 2.1 to 2.5)
SOURCE = "bearing area against that of the plain washer of the size (ISO 7089, ASME B18.22.1); shares: common practice"


@dataclass(frozen=True)
class Bearing:
    """Something that bears on a face: its outline, the hole it is over, what it would bear on with nothing missing."""

    what: str
    ref: Ref
    outline: Outline
    side: Side
    plate: Outline | None  # None: the edge is far
    holes: tuple[Outline, ...]
    own_hole: Outline
    wanted: float  # mm2

    @cached_property
    def area(self) -> float:
        """The area it bears on, mm2."""
        on = self.outline.area if self.plate is None else shared_area(self.outline, self.plate)
        return max(0.0, on - sum(shared_area(self.outline, hole) for hole in self.holes))

    @property
    def whole(self) -> float:
        """The area it would bear on if only its own hole were there, mm2."""
        return self.outline.area - shared_area(self.outline, self.own_hole)


def bears(fit: Fit) -> bool:
    """Whether anything is clamped at a place: screws, or the nut of a bush."""
    return fit.stack is not None or fit.mounting.part.bush is not None


@stack_check(
    "land",
    bears,
    ("other hardware", "smaller fixings", "move inwards"),
    looks_at=("thread", "head", "nut", "washers"),
    sees="beside fasteners",
)
def land(fit: Fit) -> Iterator[Answer]:
    """Tell the poorest of all bearings of the place."""
    answers = [_judge(bearing) for bearing in _bearings(fit)]
    if not answers:
        yield Answer("land", Verdict.FITS, "Every head sits on its cone.", source=SOURCE)
    else:
        yield max(answers, key=_poorness)


def _poorness(answer: Answer) -> tuple[int, float]:
    assert answer.margin is not None  # there is always a share to tell
    return answer.verdict.rank, -answer.margin


def _judge(bearing: Bearing) -> Answer:
    share = bearing.area / bearing.wanted
    verdict = grade(share, LEAST, AIM)
    says = (
        f"The {bearing.what} bears on {bearing.area:.1f} mm2, {share:.0%} of what a plain washer of the size bears on."
    )
    if verdict is Verdict.FAILS:
        says = f"The {bearing.what} has no land: {bearing.area:.1f} mm2 bear it, and it pulls through."
    elif bearing.area < WHOLE * bearing.whole:
        verdict = Verdict.TIGHT
        kept = bearing.area / bearing.whole
        says = f"The {bearing.what} bears on {kept:.0%} of its ring only: it hangs over an edge and tips."
    return Answer(
        "land", verdict, says, share - LEAST, "share", bodies=(bearing.ref,), view=bearing.side, source=SOURCE
    )


def _bearings(fit: Fit) -> Iterator[Bearing]:
    if fit.stack is not None:
        yield from _of_stack(fit, fit.stack)
    if fit.mounting.part.bush is not None:
        yield _of_bush(fit)


def _of_stack(fit: Fit, stack: Stack) -> Iterator[Bearing]:
    """Yield what bears on the two faces of a joint, fixing by fixing."""
    for number, at in enumerate(fit.mounting.fixings, start=1):
        for face, what, outline in _on_faces(stack, number):
            ref = f"{'screw' if what.endswith(('head', 'side')) else what} {number}"
            side: Side = stack.joint.side if face is stack.joint.head else "rear"
            plate, holes, own = _sheet(fit, face, at)
            yield Bearing(what, ref, outline.moved(*at), side, plate, holes, own, _washer_area(stack.thread))


def _on_faces(stack: Stack, number: int) -> Iterator[tuple[Face, str, Outline]]:
    """Yield the two faces with what bears on them; a countersunk head sits in its cone."""
    joint, head = stack.joint, stack.screw.head
    if stack.under_head:
        yield joint.head, f"{stack.under_head[0].kind} washer", round_(stack.under_head[0].outer)
    elif head.angle is None:
        yield joint.head, f"{head.kind} head", round_(head.diameter)
    if stack.under_nut:
        yield joint.far, f"{stack.under_nut[0].kind} washer", round_(stack.under_nut[0].outer)
    elif stack.nut is not None:
        turn = stack.rest.turns[number - 1] if stack.rest is not None else 0.0
        yield joint.far, "nut", hexagon(stack.nut.across_flats).turned(turn)
    elif stack.screw.rivet is not None:
        yield joint.far, "blind side", round_(BULB * stack.screw.rivet.body_max)


def _sheet(fit: Fit, face: Face, at: tuple[float, float]) -> tuple[Outline | None, tuple[Outline, ...], Outline]:
    """Return the plate of a face, all its holes, and the hole at one fixing; of the panel other places' holes too."""
    opening = round_(face.hole if face.sink is None else max(face.hole, face.sink.diameter))
    if face.of == "flange":
        return fit.covers, tuple(opening.moved(*spot) for spot in fit.mounting.fixings), opening.moved(*at)
    holes = (*(opening.moved(*spot) for spot in fit.mounting.cutout.fixings), fit.main_hole, *fit.around.holes)
    return fit.around.edge, holes, opening.moved(*at)


def _of_bush(fit: Fit) -> Bearing:
    """Return what the nut of a bush, or the washer under it, bears on; it is measured by its own ring."""
    bush = fit.mounting.part.bush
    assert bush is not None  # the caller looked
    held, across = bush_holds(fit.mounting.part)
    outline = round_(across) if held == "washer" else hexagon(across)
    what = "washer under the bush nut" if held == "washer" else "bush nut"
    bore = round_(bush.thread)
    holes: Sequence[Outline] = (fit.main_hole, *fit.fixing_holes, *fit.around.holes)
    return Bearing(
        what, "bush nut", outline, bush.nut_side, fit.around.edge, tuple(holes), fit.main_hole, outline.area - bore.area
    )  # fmt: skip


def _washer_area(thread: Thread) -> float:
    """Return the area that the plain washer of a thread bears on, mm2."""
    plain = washers(thread.name, "plain")
    outer, inner = (plain[0].outer, plain[0].inner) if plain else (RING * thread.major, thread.major)
    return math.pi / 4 * (outer**2 - inner**2)
