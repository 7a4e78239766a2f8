"""Which places force a second bag of screws, why, and what would let the first bag serve them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.checks.registry import Fit, strategies
from dryfit.generators.hardware.choice import Choice, options
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.remedies.remedies import open_fixings, other_hardware, remedy
from dryfit.models.findings import Finding, Verdict
from dryfit.models.job import HardwareWish


@dataclass(frozen=True)
class SecondBag:
    """Screws that only some places need: their name, the places, why, and what would save the bag."""

    screw: str
    places: tuple[str, ...]
    why: str
    change: str

    @property
    def says(self) -> str:
        """The whole in one sentence or two."""
        names = ", ".join(self.places)
        change = self.change or "Only another part there saves the bag."
        return f"{self.screw}: only {names} want{'s' * (len(self.places) == 1)} it, for {self.why} {change}"


def second_bags(chosen: Sequence[tuple[Fit, Choice, Sequence[str]]]) -> tuple[SecondBag, ...]:
    """Return every bag beyond the first; ``chosen`` holds each distinct fit, its choice and its places' names."""
    used: Counter[str] = Counter()
    stacks: dict[str, Stack] = {}
    for _, choice, names in chosen:
        if choice.stack is not None:
            name = screw_name(choice.stack)
            used[name] += len(names)
            stacks.setdefault(name, choice.stack)
    if len(used) < 2:
        return ()
    first = stacks[used.most_common(1)[0][0]]
    return tuple(_gathered(_bag(fit, choice, names, first) for fit, choice, names in chosen if _other(choice, first)))


def screw_name(stack: Stack) -> str:
    """Return the name a bag of these screws is bought by."""
    return next(name for group, name in stack.items if group == "screw")


def _other(choice: Choice, first: Stack) -> bool:
    return choice.stack is not None and screw_name(choice.stack) != screw_name(first)


def _gathered(bags: Iterator[SecondBag]) -> Iterator[SecondBag]:
    """Yield bags of like screws with a like reason as one."""
    by_kind: dict[tuple[str, str, str], tuple[str, ...]] = {}
    for bag in bags:
        key = (bag.screw, bag.why, bag.change)
        by_kind[key] = (*by_kind.get(key, ()), *bag.places)
    yield from (SecondBag(screw, places, why, change) for (screw, why, change), places in by_kind.items())


def _bag(fit: Fit, choice: Choice, names: Sequence[str], first: Stack) -> SecondBag:
    assert choice.stack is not None  # the caller looked
    why, change = _reason(fit, choice.stack, first)
    return SecondBag(screw_name(choice.stack), tuple(names), why, change)


def _reason(fit: Fit, own: Stack, first: Stack) -> tuple[str, str]:
    """Return why the screws of the first bag do not serve a place, and what would make them serve."""
    if own.boss is not None and own.thread.name != first.thread.name:
        return (
            f"the part's blind boss takes no other than {own.thread.name}.",
            f"Swap the part for one that takes {first.thread.name}.",
        )
    if _asked_for(fit.place.wish, first):
        return "the layout asks for it there.", "Leave that place's own `hardware` out, if it may be otherwise."
    wish = replace(
        fit.place.wish, threads=(first.thread.name,), head=first.screw.head.kind, length=first.screw.length,
        metal=first.place.wish.metal, nut=None, washers=None,
    )  # fmt: skip
    trial = replace(fit, place=replace(fit.place, wish=wish))
    best = options(trial)[0]
    worst = _worst(best.findings)
    if worst is None:
        return "the other bag would fit there, but want one more item.", ""
    tried = tuple(s for s in (open_fixings, *strategies(worst.check)) if s is not other_hardware)
    text, _ = remedy(replace(trial, stack=best.stack), worst, tuple(dict.fromkeys(tried)))
    return f"{worst.says[:1].lower()}{worst.says[1:]}", text


def _asked_for(wish: HardwareWish, first: Stack) -> bool:
    """Whether the layout itself rules the first bag out."""
    threads, heads = wish.threads or (first.thread.name,), (None, first.screw.head.kind)
    return first.thread.name not in threads or wish.head not in heads or wish.length not in (None, first.screw.length)


def _worst(findings: Sequence[Finding]) -> Finding | None:
    bad = [f for f in findings if f.verdict is not Verdict.FITS]
    return max(bad, key=lambda f: f.verdict.rank, default=None)


def names_by_fit(fits: Mapping[str, Fit]) -> dict[Fit, tuple[str, ...]]:
    """Return the names of the places that are alike, by their fit."""
    names: dict[Fit, tuple[str, ...]] = {}
    for name, fit in fits.items():
        names[fit] = (*names.get(fit, ()), name)
    return names
