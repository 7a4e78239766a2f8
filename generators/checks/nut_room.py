"""Does the nut clear barrel, flange step, lips, neighbours and other nuts; does it spin; does a driver reach it?

A nut can be turned, so two gaps are known of it: that of its corners, all the way round, which it needs to spin, and
that at the angle where it fits best, a flat and not a corner to what stands beside it. There it comes to rest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from dryfit.generators.checks.contexts import DISTINCT, OWN, Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.stacks import BULB, Rest, Stack
from dryfit.generators.joints.words import nut_words
from dryfit.models.catalogue.parts import Bush
from dryfit.models.findings import Answer, Ref, Verdict, grade
from dryfit.models.geometry.bodies import Slice, closest, prism
from dryfit.models.geometry.outlines import SQRT3_2, Outline, hexagon, round_
from dryfit.models.geometry.points import Point
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Nut, Rivet

NUT_GAP = 0.1  # mm between a nut and what stands beside it: the spread of castings and of the nut's place
DRIVER_LENGTH = 60.0  # mm of nut driver that must pass along the axis behind the nut (common practice)
NEAR = 3.0  # mm; what is further from a nut is no matter to it
SIXTH = 60.0  # degrees: a hexagon looks the same again
TURN_STEP = 3  # degrees between the ways a nut is tried; flats facing an obstacle are tried exactly as well
HOPELESS = 1.0  # mm that the round within a nut's flats runs into something: then it is all one how the nut is turned
OTHER_NUT = "other nut"
NO_OBSTACLE = -1  # the number of what is a place's own
BUSH_SOURCE = "bush and its nut: catalogue; gap: common practice"


def has_nut(fit: Fit) -> bool:
    """Whether something is put on: nuts, a rivet's blind side, the nut of a bush."""
    screwed = fit.stack is not None and (fit.stack.nut is not None or fit.stack.screw.rivet is not None)
    return screwed or fit.mounting.part.bush is not None


@stack_check(
    "nut-room",
    has_nut,
    ("other hardware", "move apart", "move inwards"),
    looks_at=("thread", "nut", "washers"),
    sees="beside fasteners",
    hangs_on=("rear.*.width", "rear.*.height", "bush.nut_across"),
)
def nut_room(fit: Fit) -> Iterator[Answer]:
    """Judge the nut of a bush, then the tightest fixing of the place."""
    stack, bush = fit.stack, fit.mounting.part.bush
    if bush is not None:
        yield _bush(fit, bush)
    if stack is not None and stack.screw.rivet is not None:
        yield _blind_side(fit, stack, stack.screw.rivet)
    if stack is not None and stack.nut is not None:
        tightest = min(standing(fit), key=lambda stand: (min(stand.gap.mm, NUT_GAP), stand.spinning.mm))
        yield _judge(fit, stack.nut, tightest)


def resting(fit: Fit) -> Rest | None:
    """Return how the nuts of a place come to rest; None without nuts."""
    if fit.stack is None or fit.stack.nut is None:
        return None
    found = standing(fit)
    return Rest(
        tuple(stand.turn for stand in found),
        all(stand.spinning.mm >= NUT_GAP for stand in found),
        all(driver_gap(fit, stand).mm >= 0 for stand in found),
    )


# --- how a nut stands ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, order=True)
class Gap:
    """A gap, mm, to what, and which obstacle that is."""

    mm: float
    name: str = ""
    number: int = NO_OBSTACLE

    @property
    def refs(self) -> tuple[Ref, ...]:
        """The obstacle as an answer refers to it."""
        return (self.number,) if self.number >= 0 else ()


FREE = Gap(math.inf)


@dataclass(frozen=True)
class Stand:
    """One nut where it came to rest: its angle, the gap there, the gap all the way round, and the nuts beside it."""

    number: int
    turn: float
    gap: Gap
    spinning: Gap
    others: tuple[Slice, ...]


@lru_cache(maxsize=DISTINCT)
def standing(fit: Fit) -> tuple[Stand, ...]:
    """Return every nut of a place: as it is where it spins, else at the angle where it fits best, one by one."""
    stack = fit.stack
    assert stack is not None  # the caller looked
    assert stack.nut is not None
    nut, spots = stack.nut, fit.mounting.fixings
    corners = _slices(stack, [round_(nut.corners).moved(*at) for at in spots])
    spinning = [_gap(fit, corner, _but(corners, n), False) for n, corner in enumerate(corners)]
    turns: list[float] = []
    for number, gap in enumerate(spinning):
        turns.append(0.0 if gap.mm >= NUT_GAP else _best_turn(fit, stack, number, turns))
    hexagons = _slices(
        stack, [hexagon(nut.across_flats).turned(t).moved(*at) for t, at in zip(turns, spots, strict=True)]
    )
    resting = (
        gap if gap.mm >= NUT_GAP else _gap(fit, hexagons[n], _but(hexagons, n), True) for n, gap in enumerate(spinning)
    )
    stands = zip(turns, resting, spinning, strict=True)
    return tuple(Stand(number, *stand, _but(corners, number - 1)) for number, stand in enumerate(stands, start=1))


def _but(slices: tuple[Slice, ...], number: int) -> tuple[Slice, ...]:
    return slices[:number] + slices[number + 1 :]


def driver_gap(fit: Fit, stand: Stand) -> Gap:
    """Return the gap beside the nut driver that would have to pass along the axis behind a nut."""
    stack = fit.stack
    assert stack is not None  # it has nuts
    assert stack.nut is not None
    outside = round_(stack.nut.driver_outside).moved(*fit.mounting.fixings[stand.number - 1])
    return _gap(fit, prism(outside, stack.nut_face - DRIVER_LENGTH, stack.nut_face), stand.others, False)


def _best_turn(fit: Fit, stack: Stack, number: int, turns: Sequence[float]) -> float:
    """Return the angle at which a nut fits best: the first that is wide enough, else the widest.

    ``turns`` are those of the nuts before it; nuts after it turn a flat to it.
    """
    assert stack.nut is not None  # the caller looked
    across, spots = stack.nut.across_flats, fit.mounting.fixings
    placed = [hexagon(across).turned(turn).moved(*at) for turn, at in zip(turns, spots, strict=False)]
    others = [*placed, *(round_(across).moved(*at) for at in spots[number + 1 :])]
    beside = _slices(stack, others)
    if _gap(fit, _slice(stack, round_(across).moved(*spots[number])), beside, True).mm < -HOPELESS:
        return 0.0
    tried: dict[float, float] = {}
    for turn in _turns(fit, spots[number], others):
        outline = hexagon(across).turned(turn).moved(*spots[number])
        tried[turn] = _gap(fit, _slice(stack, outline), beside, True).mm
        if tried[turn] >= NUT_GAP:
            return turn
    return max(tried, key=lambda turn: tried[turn])


def _turns(fit: Fit, at: Point, others: list[Outline]) -> Iterator[float]:
    """Yield ways to turn the hexagon: a flat straight to the body, to other nuts, and steps of a sixth of a turn."""
    yield math.degrees(math.atan2(at[1], at[0])) % SIXTH
    nuts = [o.least[0].profile.widest for o in fit.around.obstacles if o.least is not o.slices]
    for other in (*others, *nuts):
        x, y = other.centre
        yield math.degrees(math.atan2(y - at[1], x - at[0])) % SIXTH
    yield from (float(a) for a in range(0, int(SIXTH), TURN_STEP))


def _slice(stack: Stack, outline: Outline) -> Slice:
    """Return an outline over the height of the nut; nuts go on from behind."""
    return prism(outline, stack.nut_end, stack.nut_face)


def _slices(stack: Stack, outlines: Sequence[Outline]) -> tuple[Slice, ...]:
    return tuple(_slice(stack, outline) for outline in outlines)


def _gap(fit: Fit, column: Slice, own_nuts: tuple[Slice, ...], turned: bool, own: bool = True) -> Gap:
    """Return the least gap beside a column; ``turned``: nuts of other places turn a flat to it.

    ``own`` says whether the part itself counts: a bush passes its nut, which goes-in judges.
    """
    found = [FREE]
    for name, number, slices in _beside(fit, own_nuts, turned, own):
        contact = closest((column,), slices, NEAR)
        if contact is not None:
            found.append(Gap(contact.gap, name, number))
    return min(found)


def _beside(
    fit: Fit, own_nuts: tuple[Slice, ...], turned: bool, own: bool
) -> Iterator[tuple[str, int, tuple[Slice, ...]]]:
    if own:
        yield OWN, NO_OBSTACLE, fit.own
    yield OTHER_NUT, NO_OBSTACLE, own_nuts
    for number, obstacle in enumerate(fit.around.obstacles):
        yield obstacle.name, number, obstacle.least if turned else obstacle.most


# --- what is said of it --------------------------------------------------------------------------------------------


def _judge(fit: Fit, nut: Nut, stand: Stand) -> Answer:
    name = f"The {format_mm(nut.across_flats)} {nut_words(nut)}"
    tool, source = _tool(fit, nut, stand), f"nut: {nut.standard}; gap: common practice"
    if stand.spinning.mm >= NUT_GAP:
        clear = "nothing near" if stand.spinning is FREE else f"{format_mm(stand.spinning.mm)} clear all the way round"
        return _answer(Verdict.FITS, stand, stand.spinning, f"{name} spins freely, {clear}; {tool}.", source)
    gap, worst = stand.gap, format_mm(stand.spinning.mm)
    if gap.mm >= NUT_GAP:
        clear = "nothing near" if gap is FREE else f"{format_mm(gap.mm)} clear"
        says = (
            f"{name} fits with a flat to the {stand.spinning.name}, {clear}, but cannot spin: "
            f"with a corner to it there would be {worst}. Turn the screw."
        )
        return _answer(Verdict.TIGHT, stand, gap, says, source)
    says = f"{name} clashes with the {gap.name} by {format_mm(-gap.mm)}, however it is turned."
    if gap.mm >= 0:
        says = f"{name} has only {format_mm(gap.mm)} beside the {gap.name}; {format_mm(NUT_GAP)} is wanted."
    return _answer(Verdict.FAILS, stand, gap, says, source)


def _answer(verdict: Verdict, stand: Stand, gap: Gap, says: str, source: str) -> Answer:
    bodies: tuple[Ref, ...] = (f"nut {stand.number}", *gap.refs)
    if math.isinf(gap.mm):
        return Answer("nut-room", verdict, says, bodies=bodies, view="rear", source=source)
    return Answer.of_length(
        "nut-room", verdict, says, measured=gap.mm, limit=NUT_GAP, bodies=bodies, view="rear", source=source
    )


def _tool(fit: Fit, nut: Nut, stand: Stand) -> str:
    driver = driver_gap(fit, stand)
    if driver.mm >= 0:
        return f"a {nut.driver} nut driver reaches it"
    return f"a {nut.driver} nut driver does not pass beside the {driver.name}: use a spanner"


def _bush(fit: Fit, bush: Bush) -> Answer:
    """Judge the nut of a bush, which is spun home: beside a neighbour that comes later it may be left flat to it."""
    spinning = _beside_bush(fit, bush, bush.nut_across / SQRT3_2, False)
    flat = _beside_bush(fit, bush, bush.nut_across, True)
    if spinning is FREE:
        says = "The nut of the bush spins freely; nothing is near it."
        return Answer("nut-room", Verdict.FITS, says, bodies=("bush nut",), view=bush.nut_side, source=BUSH_SOURCE)
    verdict, left = grade(spinning.mm, 0.0, NUT_GAP), spinning.mm
    says = f"The nut of the bush has {format_mm(left)} beside the {spinning.name}"
    if spinning.mm < 0:
        says = f"The nut of the bush runs {format_mm(-left)} into the {spinning.name} when it is spun"
    if spinning.mm < 0 <= flat.mm and fit.around.obstacles[spinning.number].is_neighbour:
        verdict, left, says = Verdict.TIGHT, min(flat.mm, NEAR), f"{says}: put it on first and leave a flat to it"
    refs: tuple[Ref, ...] = ("bush nut", *spinning.refs)
    return Answer.of_length(
        "nut-room", verdict, f"{says}.", measured=left, limit=0.0, bodies=refs, view=bush.nut_side, source=BUSH_SOURCE
    )


def _beside_bush(fit: Fit, bush: Bush, across: float, turned: bool) -> Gap:
    """Return the least gap beside a round of some size over the height of a bush's nut."""
    low, high = bush.washer, bush.washer + bush.nut_height
    if bush.nut_side == "rear":
        low, high = -fit.panel.finished - high, -fit.panel.finished - low
    return _gap(fit, prism(round_(across), low, high), (), turned, own=False)


def _blind_side(fit: Fit, stack: Stack, rivet: Rivet) -> Answer:
    """Judge the room for the bulb that a rivet forms behind."""
    across = BULB * rivet.body_max
    bulb = round_(across)
    face = stack.joint.far.z
    rooms = (prism(bulb.moved(*at), face - rivet.blind_side, face) for at in fit.mounting.fixings)
    gap = min(_gap(fit, room, (), False) for room in rooms)
    verdict = Verdict.FITS if gap.mm >= NUT_GAP else Verdict.FAILS
    says = f"The blind side of the rivet is some {format_mm(across)} across when set; nothing is near it."
    if gap is FREE:
        return Answer("nut-room", verdict, says, bodies=("screw 1",), view="rear", source="common practice")
    says = f"The blind side of the rivet, some {format_mm(across)} across when set, has {format_mm(gap.mm)} beside it."
    return Answer.of_length(
        "nut-room",
        verdict,
        says,
        measured=gap.mm,
        limit=NUT_GAP,
        bodies=("screw 1", *gap.refs),
        view="rear",
        source="common practice",
    )
