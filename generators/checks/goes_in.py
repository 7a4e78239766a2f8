"""Does every body reach its place: the part through the cut-out, screws, washers and nuts from their own sides?

Everything moves straight along z. What a body sweeps on its way is its own section drawn out to where it comes from,
so the exact engine judges the motion too. Parts stand in each other's way only if neither can be put in first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.checks.cutout_size import across
from dryfit.generators.checks.registry import only_pairs, panel_check, stack_check
from dryfit.generators.clearance.gaps import DISTINCT, contact, near_pairs, relative
from dryfit.generators.clearance.passing import best_play, windows, within
from dryfit.generators.joints.stacks import Stack
from dryfit.models.catalogue.parts import Side
from dryfit.models.catalogue.worst import extent
from dryfit.models.findings import Answer, Finding, Ref, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING, Body, Placement, Slice, closest, prism
from dryfit.models.geometry.outlines import Outline, round_
from dryfit.models.geometry.points import Point
from dryfit.models.reading.units import format_mm

AWAY = 1000.0  # mm: from where a body comes, beyond any part
SOURCE = "geometry of the parts: each is moved straight to its place"


@stack_check(
    "goes-in",
    strategies=("other side", "other hardware", "open the cut-out", "move inwards", "move apart"),
    looks_at=("thread", "head", "nut", "washers"),
    sees="beside fasteners",
    hangs_on=("through.*.width", "through.*.height"),
)
def goes_in(fit: Fit) -> Iterator[Answer]:
    """Judge the way of the part through its hole, then of everything that holds it, and tell what is worst."""
    yield max(_ways(fit), key=lambda a: (a.verdict.rank, -(a.margin if a.margin is not None else AWAY)))


def _ways(fit: Fit) -> Iterator[Answer]:
    yield _through_hole(fit)
    if fit.mounting.part.bush is not None:
        yield from _bush_nut(fit)
    if fit.stack is not None:
        yield from _screws(fit, fit.stack)
        yield from _nuts(fit, fit.stack)


# --- the part ------------------------------------------------------------------------------------------------------


def _through_hole(fit: Fit) -> Answer:
    """Judge the sections that pass the hole on the way in; what stays in it is judged by cutout-size."""
    from_front = fit.mounting.mount == "front"
    _at_rest, *on_the_way = windows(fit.own, fit.panel.finished, from_front)
    if not on_the_way:
        return Answer("goes-in", Verdict.FITS, "The part goes straight in.", source=SOURCE)
    sections = (within(fit.own, *window) for window in on_the_way)
    plays = ((best_play(together, fit.main_hole).across, together) for together in sections)
    room, widest = min(plays, key=lambda pair: pair[0])
    verdict = grade(room, 0.0)
    size = across(min(widest, key=lambda s: best_play((s,), fit.main_hole).air))
    says = f"What passes the hole on the way in, {size}, has {format_mm(room)} of play."
    if verdict is Verdict.FAILS:
        where = "behind" if from_front else "ahead of"
        says = (
            f"The part does not go in: {where} the panel it is {size}, "
            f"{format_mm(-room)} too big for the hole it has to pass."
        )
    return Answer.of_length("goes-in", verdict, says, measured=room, limit=0.0, source=SOURCE)


def swept(slices: tuple[Slice, ...], comes_from: Side) -> tuple[Slice, ...]:
    """Return what slices sweep on their way from the front or from the rear, with room for holes in them."""
    if comes_from == "front":
        return tuple(replace(s, z1=s.z1 + AWAY, holes=()) for s in slices)
    return tuple(replace(s, z0=s.z0 - AWAY, holes=()) for s in slices)


# --- what holds it -------------------------------------------------------------------------------------------------


def _screws(fit: Fit, stack: Stack) -> Iterator[Answer]:
    """Judge the way of every screw head, and of washers under it, from where it comes to the face it bears on."""
    side = stack.joint.side
    for number, at in enumerate(fit.mounting.fixings, start=1):
        head = _column(round_(stack.screw.head.diameter), at, stack.surface, side)
        yield _clear(fit, Way(head, f"screw {number}", "screw head", "drive it in", side))
        for washer in stack.under_head:
            ring = _column(round_(washer.outer), at, stack.surface, side)
            yield _clear(fit, Way(ring, f"{washer.kind} washer {number}", "washer", "put it on", side))


def _nuts(fit: Fit, stack: Stack) -> Iterator[Answer]:
    """Judge the way of every washer and nut, from behind to the face it bears on, flats turned to what is beside."""
    if stack.nut is None:
        return
    for number, at in enumerate(fit.mounting.fixings, start=1):
        nut = _column(round_(stack.nut.across_flats), at, stack.nut_end, "rear")
        yield _clear(fit, Way(nut, f"nut {number}", "nut", "put it on", "rear"))
        for washer in stack.under_nut:
            ring = _column(round_(washer.outer), at, stack.nut_end, "rear")
            yield _clear(fit, Way(ring, f"{washer.kind} washer {number}", "washer", "put it on", "rear"))


def _column(outline: Outline, at: Point, face: float, side: Side) -> Slice:
    """Return the room that something needs from a face out to where it comes from."""
    placed = outline.moved(*at)
    return prism(placed, face, face + AWAY) if side == "front" else prism(placed, face - AWAY, face)


@dataclass(frozen=True)
class Way:
    """The room that something needs to come to its place: whose it is, in words, what is done with it, from where."""

    column: Slice
    ref: Ref
    what: str
    does: str
    side: Side


def _clear(fit: Fit, way: Way) -> Answer:
    met = fit.nearest((way.column,), plugs=False)
    if met is None:
        says = f"Nothing is in the way of the {way.what}."
        return Answer("goes-in", Verdict.FITS, says, bodies=(way.ref,), view=way.side, source=SOURCE)
    verdict = grade(met.gap, 0.0)
    says = f"The way of the {way.what} passes the {met.name} with {format_mm(met.gap)}."
    if verdict is Verdict.FAILS:
        in_the_way = f"The {met.name} is {format_mm(-met.gap)} in the way of the {way.what}"
        says = f"{in_the_way}: there is no way to {way.does}."
        if met.number is not None and fit.around.obstacles[met.number].is_neighbour:
            verdict = Verdict.TIGHT  # it can be put together before its neighbour
            says = f"{in_the_way}: it has to be screwed down before that is mounted."
    bodies = (way.ref, *met.bodies)
    return Answer.of_length(
        "goes-in", verdict, says, measured=met.gap, limit=0.0, bodies=bodies, view=way.side, source=SOURCE
    )


def _bush_nut(fit: Fit) -> Iterator[Answer]:
    """Judge whether the nut of a bush goes over what stands out of the panel on its side."""
    bush = fit.mounting.part.bush
    assert bush is not None  # the caller looked
    front = bush.nut_side == "front"
    face = 0.0 if front else -fit.panel.finished
    passed = [s for s in fit.own if (s.z1 > face + TOUCHING if front else s.z0 < face - TOUCHING)]
    bore = round_(extent(fit.mounting.part, "bush.thread", bush.thread).greatest)  # the nut is made for its thread
    room = min((2 * best_play((s.profile.widest,), bore).air for s in passed), default=None)
    if room is None:
        yield Answer("goes-in", Verdict.FAILS, "The bush does not reach through the panel.", source=SOURCE)
        return
    verdict = grade(room, 0.0)
    says = "The nut of the bush goes over all that stands out on its side."
    if verdict is Verdict.FAILS:
        says = f"The nut of the bush does not go on: what stands out on its side is {format_mm(-room)} too wide for it."
    yield Answer.of_length(
        "goes-in",
        verdict,
        says,
        measured=room,
        limit=0.0,
        bodies=("bush nut",),
        view=bush.nut_side,
        source=SOURCE,
    )


# --- one part past another -----------------------------------------------------------------------------------------


@panel_check("goes-in", only_pairs, ("move apart",))
def past_each_other(fitting: Fitting) -> Iterator[Finding]:
    """Tell of every pair of parts of which neither can be put in past the other.

    Each of the two lies before the other somewhere, so their boxes overlap along z too.
    """
    for one, other in near_pairs(fitting.assembly.of("part"), 0.0):
        gaps = [_past(fitting.by_name[a.place].mount, a, b) for a, b in ((one, other), (other, one))]
        if all(gap < -TOUCHING for gap in gaps) and not _at_rest(one, other):
            first, second = (fitting.by_name[i.place] for i in (one, other))
            says = f"Neither part can be put in past the other: {second.name} is in its way by {format_mm(-max(gaps))}."
            yield Finding.of_length(
                "goes-in",
                first.name,
                Verdict.FAILS,
                says,
                measured=max(gaps),
                limit=0.0,
                bodies=(one.name, other.name),
                beside=(second.name,),
                view=first.mount,
                source=SOURCE,
            )


def _past(comes_from: Side, moving: Instance, standing: Instance) -> float:
    return _gap_past(moving.body, standing.body, comes_from, *relative(moving, standing))


@lru_cache(maxsize=DISTINCT)
def _gap_past(moving: Body, standing: Body, comes_from: Side, at: Placement, beside: Placement) -> float:
    found = closest(swept(at.apply(moving), comes_from), beside.apply(standing))
    return found.gap if found is not None else AWAY


def _at_rest(one: Instance, other: Instance) -> bool:
    """Whether they clash where they rest, which body-room tells."""
    found = contact(one.body, other.body, *relative(one, other))
    return found is not None and found.gap < -TOUCHING
