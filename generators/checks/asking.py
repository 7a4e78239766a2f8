"""Asking the checks: every question that applies to a place is answered, or the place fails."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import replace
from functools import cache, lru_cache

from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.checks.registry import FIRST, StackCheck, panel_checks, place_in_order, seen_by, stack_checks
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer, Finding, Verdict
from dryfit.models.job import HardwareWish, Mounting
from dryfit.models.panel import Panel

Rank = tuple[int, int]  # how many answers fail, how many do not simply fit
BEST: Rank = (0, 0)
WORST: Rank = (1_000_000, 1_000_000)
PLACES_KEPT = 1024  # distinct places whose answers are remembered while remedies are tried
MOUNTINGS_KEPT = 128  # parts as they are mounted, of which the like is remembered: some hundreds of answers each

Told = dict[tuple[str, Hashable], tuple[Answer, ...]]  # what checks said, by what of the stack they saw


def rank(answers: Iterable[Answer]) -> Rank:
    """Return how bad answers are together."""
    verdicts = [answer.verdict for answer in answers]
    return verdicts.count(Verdict.FAILS), len(verdicts) - verdicts.count(Verdict.FITS)


class Asking:
    """Asks the stack checks about one place, and remembers each answer for what of the stack it depends on.

    What depends on little is asked first, for it is asked of the fewest, and what depends on the screw's length last:
    where the rest is no good, no length makes it better.
    """

    def __init__(self, fit: Fit):
        self.fit = fit
        self._told: Told = {}
        self._told_alone = _told_alone(fit.panel, _but_for_wish(fit.mounting))
        self._hopeless: dict[Hashable, Rank] = {}  # what is known of stacks, whatever the length of their screw

    def of(self, stack: Stack | None, limit: Rank = WORST) -> tuple[Answer, ...] | None:
        """Return what the checks say of a stack, in their order; None as soon as that is no better than ``limit``."""
        if stack is not None and self.is_hopeless(stack, limit):
            return None
        fit = self.fit.with_stack(stack)
        told: tuple[Answer, ...] = ()
        for check in _by_what_they_look_at():
            told += self._asked(check, fit)
            if rank(told) >= limit:
                if "length" not in check.looks_at and stack is not None:
                    self._hopeless[_but_for_length(stack)] = rank(told)
                return None
            if told and told[0].check == FIRST and told[0].verdict is Verdict.FAILS:
                return told
        return tuple(sorted(told, key=lambda answer: place_in_order(answer.check)))

    def is_hopeless(self, stack: Stack, limit: Rank) -> bool:
        """Whether it is known already that a stack is no better than ``limit``, whatever the length of its screw."""
        return self._hopeless.get(_but_for_length(stack), BEST) >= limit

    def _asked(self, check: StackCheck, fit: Fit) -> tuple[Answer, ...]:
        key = (check.name, seen_by(check, fit.stack))
        told = self._told_alone if check.alone else self._told
        if key not in told:
            told[key] = answered(check, fit)
        return told[key]


@lru_cache(maxsize=MOUNTINGS_KEPT)
def _told_alone(panel: Panel, mounting: Mounting) -> Told:
    """Return where to remember what is said of a part as it is mounted, whatever stands around it."""
    return {}


def _but_for_wish(mounting: Mounting) -> Mounting:
    return replace(mounting, wish=HardwareWish())


def _but_for_length(stack: Stack) -> Hashable:
    return (stack.thread.name, stack.screw.head, stack.nut, stack.washers)


@cache
def _by_what_they_look_at() -> tuple[StackCheck, ...]:
    """Return the stack checks, those that depend on least of the stack first."""
    return tuple(sorted(stack_checks(), key=lambda c: (c.name != FIRST, "length" in c.looks_at, len(c.looks_at))))


@lru_cache(maxsize=PLACES_KEPT)
def ask_place(fit: Fit) -> tuple[Answer, ...]:
    """Return what the stack checks say of a place with the stack it has."""
    told = Asking(fit).of(fit.stack)
    assert told is not None  # nothing is worse than the worst
    return told


def answered(check: StackCheck, fit: Fit) -> tuple[Answer, ...]:
    """Return the answers of a check to a question that applies; silence fails."""
    if not check.applies(fit):
        return ()
    answers = tuple(check.ask(fit))
    return answers or (Answer(check.name, Verdict.FAILS, _silence(check.name)),)


def ask_panel(fitting: Fitting) -> Iterator[Finding]:
    """Yield what the panel checks say, and a failure for every place that a check should have answered for."""
    for check in panel_checks():
        found = tuple(check.ask(fitting))
        yield from found
        told = {finding.place for finding in found}
        for place in fitting.job.places:
            if place.name not in told and check.applies(place):
                yield Finding(check.name, place.name, Verdict.FAILS, _silence(check.name))


def _silence(name: str) -> str:
    return f"The question {name} applies here and was not answered: this place cannot be said to fit."
