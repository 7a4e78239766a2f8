"""Which places force a second bag of screws, why, and what would let the first bag serve them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from dryfit.generators.joints.stacks import Stack
from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategies
from dryfit.generators.remedies.trial import Again, Trials
from dryfit.generators.report import Report, SecondBag
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Verdict
from dryfit.models.job import HardwareWish, Place

SAVING = ("open the fixings", "turn the part", "redrill the fixings", "other side")
"""Strategies that may let other screws serve a place, whose hardware stays."""
MOST_BAGS = 6  # kinds of places looked into: who needs more bags knows why
MOST_WORK = 5_000  # spent on looking, as trials count it: a seventh of what remedies get


def second_bags(report: Report, again: Again) -> tuple[SecondBag, ...]:
    """Return every bag beyond the first; a place and all that are like it are told together."""
    used = Counter(screw_name(stack) for stack in report.stacks.values())
    if len(used) < 2 or report.job.draft is None:
        return ()
    name = used.most_common(1)[0][0]
    first = next(stack for stack in report.stacks.values() if screw_name(stack) == name)
    others = [p for p in report.job.places if p.name in report.stacks and screw_name(report.stacks[p.name]) != name]
    groups: dict[object, list[Place]] = {}
    for place in others:
        groups.setdefault((place.mounting, screw_name(report.stacks[place.name])), []).append(place)
    trials = Trials(report, again, MOST_WORK)
    return _gathered(_bag(trials, group, first) for group in list(groups.values())[:MOST_BAGS])


def screw_name(stack: Stack) -> str:
    """Return the name a bag of these screws is bought by."""
    return next(name for group, name in stack.items if group == "screw")


def _gathered(bags: Iterable[SecondBag]) -> tuple[SecondBag, ...]:
    """Return bags of like screws with a like reason as one."""
    by_kind: dict[tuple[str, str, str], tuple[str, ...]] = {}
    for bag in bags:
        key = (bag.screw, bag.why, bag.change)
        by_kind[key] = (*by_kind.get(key, ()), *bag.places)
    return tuple(SecondBag(screw, places, why, change) for (screw, why, change), places in by_kind.items())


def _bag(trials: Trials, group: list[Place], first: Stack) -> SecondBag:
    why, change = _reason(trials, group[0], first)
    return SecondBag(screw_name(trials.report.stacks[group[0].name]), tuple(p.name for p in group), why, change)


def _reason(trials: Trials, place: Place, first: Stack) -> tuple[str, str]:
    """Return why the screws of the first bag do not serve a place, and what would make them serve."""
    own = trials.report.stacks[place.name]
    if own.boss is not None and own.thread.name != first.thread.name:
        return (
            f"the part's blind boss takes no other than {own.thread.name}.",
            f"Swap the part for one that takes {first.thread.name}.",
        )
    if _asked_for(place.wish, first):
        return "the layout asks for it there.", "Leave that place's own `hardware` out, if it may be otherwise."
    with_first = (_first_there(place, first),)
    there = trials.edited(with_first)
    if there is None:
        return "the panel is too crowded to look for the reason.", ""
    found = _worst(there, place)
    if found is None:
        return "the other bag would fit there, but want one more item.", ""
    why = f"{found[1].says[:1].lower()}{found[1].says[1:]}"
    for name in SAVING:
        for remedy in strategies()[name](found[0], found[1]):
            after = (
                trials.edited((*remedy.edits, *with_first)) if remedy.edits else None
            )  # the first bag's, whatever else
            if after is not None and _worst(after, place) is None:
                return why, remedy.says
    return why, ""


def _first_there(place: Place, first: Stack) -> Edit:
    wanted = edits.hardware(place, first).value
    return Edit(place.entry, ("hardware",), {k: v for k, v in wanted.items() if k not in ("nut", "washers")})


def _asked_for(wish: HardwareWish, first: Stack) -> bool:
    """Whether the layout itself rules the first bag out."""
    threads, heads = wish.threads or (first.thread.name,), (None, first.screw.head.kind)
    return first.thread.name not in threads or wish.head not in heads or wish.length not in (None, first.screw.length)


def _worst(report: Report, place: Place) -> tuple[Report, Finding] | None:
    """Return the worst that is found at a place, with the report; None where all fits."""
    bad = [
        f for f in report.of(place.name) if f.is_bad and f.check not in ("metals", "web", "legend-room", "mains-care")
    ]
    worst = max(bad, key=lambda f: f.verdict is Verdict.FAILS, default=None)
    return None if worst is None else (report, worst)
