"""Remedies: changes that would make a failing place fit, each tried before it is told.

A strategy proposes; :func:`remedy` puts each proposal through all stack checks and takes the first that cures the
finding and makes nothing else fail. So a remedy is never a canned sentence.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from dryfit.generators.joints.stacks import Stack, local_fixings, panel_hole
from dryfit.models.findings import Change, Finding, Verdict
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import Cutout, HardwareWish, Place
from dryfit.models.reading.units import format_mm
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import length_name

if TYPE_CHECKING:
    from dryfit.generators.checks.registry import Fit

PUNCH_STEP = 0.1  # mm: main holes are asked for in tenths
TURN_DIGITS = 1  # decimals of a degree a part can be turned by hand against a scribed line


@dataclass(frozen=True)
class Proposal:
    """A place changed in one respect, in words and as edits of the layout (entry numbers are filled in later)."""

    place: Place
    text: str
    edits: tuple[tuple[tuple[str, ...], object], ...]
    stack: Stack | None = None


Strategy = Callable[["Fit", Finding], Iterator[Proposal]]


def remedy(fit: Fit, finding: Finding, strategies: Sequence[Strategy]) -> tuple[str, tuple[Change, ...]]:
    """Return the first proposal that works, in words and as changes of entry 0; empty if none does."""
    from dryfit.generators.clearance.surroundings import changed
    from dryfit.generators.hardware.choice import choose, judge

    before = {f.check for f in judge(fit) if f.verdict is Verdict.FAILS}
    for strategy in strategies:
        for proposal in strategy(fit, finding):
            trial = changed(fit, proposal.place, proposal.stack)
            found = judge(trial) if proposal.stack is not None else choose(trial).findings
            failing = {f.check for f in found if f.verdict is Verdict.FAILS}
            cured = all(f.verdict.rank < finding.verdict.rank for f in found if f.check == finding.check)
            if cured and failing <= before - {finding.check}:
                return proposal.text, tuple(Change(0, path, value) for path, value in proposal.edits)
    return "", ()


# --- strategies ----------------------------------------------------------------------------------------------------


def other_hardware(fit: Fit, finding: Finding) -> Iterator[Proposal]:
    """Propose other screws, nuts and washers, keeping as much of the present ones as can be."""
    from dryfit.generators.hardware.choice import choose

    for wish in _relaxed(fit):
        place = replace(fit.place, wish=wish)
        stack = choose(replace(fit, place=place)).stack
        if stack is not None and not _same_items(stack, fit.stack):
            yield Proposal(place, f"Take {describe(stack)}.", (((("hardware",)), as_hardware(stack)),), stack)


def _relaxed(fit: Fit) -> Iterator[HardwareWish]:
    """Yield wishes that keep the present hardware but for one thing, then but for two, then free ones."""
    stack, asked = fit.stack, fit.place.wish
    free = replace(asked, head=None, length=None, nut=None, washers=None)
    if stack is not None:
        held = replace(
            asked, threads=(stack.thread.name,), head=stack.screw.head.kind, length=None,
            nut=stack.nut.kind if stack.nut is not None else None,
            washers=tuple(w.kind for w in stack.washers),
        )  # fmt: skip
        yield held
        yield replace(held, washers=None)
        yield replace(held, nut=None)
        yield replace(held, nut=None, washers=None)
        yield replace(held, head=None)
        yield replace(held, threads=())
    yield free
    yield replace(free, threads=(), retention=None, heads=())


def _same_items(a: Stack, b: Stack | None) -> bool:
    return b is not None and (a.screw, a.nut, a.washers) == (b.screw, b.nut, b.washers)


def describe(stack: Stack) -> str:
    """Return the hardware of a place in words: ``M3 x 10 mm countersunk screws with ...``."""
    if stack.screw.rivet is not None:
        return f"{stack.screw.rivet.name} blind rivets for a grip of {format_mm(stack.screw.rivet.grip_max)} at most"
    length = length_name(stack.screw.length, stack.thread.system)
    words = f"{stack.thread.name} x {length} {stack.screw.head.kind} screws"
    rest = [f"{w.kind} washers" for w in stack.washers]
    if stack.nut is not None:
        rest.append(f"{stack.nut.kind} nuts ({stack.nut.driver} across flats)")
    return f"{words} with {' and '.join(rest)}" if rest else words


def as_hardware(stack: Stack) -> dict[str, object]:
    """Return a stack as the ``hardware`` of a place in the layout file."""
    if stack.screw.rivet is not None:
        return {"screw": stack.thread.name, "length": stack.screw.length}
    wanted: dict[str, object] = {
        "screw": stack.thread.name,
        "length": length_name(stack.screw.length, stack.thread.system),
        "head": stack.screw.head.kind,
    }
    if stack.nut is not None:
        wanted["nut"] = stack.nut.kind
        wanted["washers"] = [w.kind for w in stack.washers]
    return wanted


def open_cutout(fit: Fit, finding: Finding) -> Iterator[Proposal]:
    """Propose a main hole that leaves the body its play, to the next tenth."""
    from dryfit.generators.checks.cutout_size import PLAY_AIM

    more = PLAY_AIM - finding.measured
    cut = fit.place.cutout
    if more <= 0 or finding.limit != 0.0:
        return
    if not cut.main.is_circle:
        wider = replace(cut, main=cut.main.grown(more / 2))
        yield Proposal(replace(fit.place, cutout=wider), f"Open the hole by {format_mm(more / 2)} on every side.", ())
        return
    size = math.ceil((cut.main.size[0] + more) / PUNCH_STEP - 1e-6) * PUNCH_STEP
    wider = replace(cut, main=round_(size))
    yield Proposal(
        replace(fit.place, cutout=wider), f"Open the hole to {format_mm(size)} before coating.", _cutout_edits(wider)
    )


def open_fixings(fit: Fit, finding: Finding) -> Iterator[Proposal]:
    """Propose the next drill that lets the screw drop through the panel."""
    from dryfit.generators.checks.screw_passes import DROP_IN

    if fit.stack is None or panel_hole(fit.place, fit.panel) - fit.stack.thread.major_max >= DROP_IN:
        return
    wanted = fit.stack.thread.major_max + DROP_IN + 2 * fit.panel.coating
    family = "metric" if fit.stack.thread.system == "metric" else None
    drill = fasteners.next_drill_at_least(wanted, family)
    wider = replace(fit.place.cutout, fixing_diameter=drill.diameter)
    text = f"Drill the fixing holes to {drill.name} ({format_mm(drill.diameter)})."
    yield Proposal(replace(fit.place, cutout=wider), text, _cutout_edits(wider), fit.stack)


def turn_part(fit: Fit, finding: Finding) -> Iterator[Proposal]:
    """Propose turning the part in its cut-out until the holes line up."""
    from dryfit.generators.checks.hole_pattern import align

    theirs = fit.place.cutout.fixings
    if len(theirs) != len(local_fixings(fit.place)):
        return
    turn = align(local_fixings(fit.place), theirs, 0.0).best_turn
    whole = round(fit.place.part_turn + turn, TURN_DIGITS)
    place = replace(fit.place, part_turn=whole)
    way = "anticlockwise" if turn > 0 else "clockwise"
    text = f"Turn the part {abs(turn):.{TURN_DIGITS}f} degrees {way} in its cut-out."
    yield Proposal(place, text, ((("part_turn",), whole),), fit.stack and replace(fit.stack, place=place))


def redrill_fixings(fit: Fit, finding: Finding) -> Iterator[Proposal]:
    """Propose fixing holes where the part has its own."""
    points = local_fixings(fit.place)
    cut = replace(fit.place.cutout, fixings=points)
    spots = " and ".join(f"({x:+.2f}, {y:+.2f})" for x, y in points)
    text = f"Drill the fixing holes at {spots} mm from the axis."
    yield Proposal(replace(fit.place, cutout=cut), text, _cutout_edits(cut))


def other_side(fit: Fit, finding: Finding) -> Iterator[Proposal]:
    """Propose mounting from the other side, in the hole as it is, then in the one the part wants there."""
    place, part = fit.place, fit.place.part
    mount = "rear" if place.mount == "front" else "front"
    if mount not in part.mount:
        return
    text = f"Mount the part from the {mount}."
    free = replace(place.wish, head=None, length=None, nut=None, washers=None)
    turned = replace(place, mount=mount, wish=free)
    edits: tuple[tuple[tuple[str, ...], object], ...] = ((("mount",), mount),)
    if place.wish != free:
        edits += ((("hardware",), None),)
    yield Proposal(turned, text, edits)
    hole = part.cutout_rear if mount == "rear" and part.cutout_rear is not None else part.cutout
    cut = replace(place.cutout, main=hole.grown(fit.panel.coating))
    yield Proposal(replace(turned, cutout=cut), text, edits)


def _cutout_edits(cut: Cutout) -> tuple[tuple[tuple[str, ...], object], ...]:
    """Return the edit that writes a round cut-out, as punched, into the layout."""
    wanted: dict[str, object] = {"hole": _tidy(cut.main.size[0])}
    if cut.fixings:
        wanted["fixings"] = _tidy(cut.fixing_diameter)
        wanted["at"] = [[_tidy(x), _tidy(y)] for x, y in cut.fixings]
    if cut.countersink is not None:
        sink = cut.countersink
        wanted["countersink"] = {"diameter": sink.diameter, "angle": sink.angle, "from": cut.sunk_from}
    return ((("cutout",), wanted),) if cut.main.is_circle else ()


def _tidy(mm: float) -> float:
    return round(mm, 4)
