"""Asking the checks: every question that applies to a place is answered, or the place fails."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from functools import lru_cache

from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.checks.registry import FIRST, StackCheck, panel_checks, place_in_order, seen_by, stack_checks
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer, Finding, Verdict

Rank = tuple[int, int]  # how many answers fail, how many do not simply fit
WORST: Rank = (1_000_000, 1_000_000)
PLACES_KEPT = 1024  # distinct places whose answers are remembered while remedies are tried


def rank(answers: Iterable[Answer]) -> Rank:
    """Return how bad answers are together."""
    verdicts = [answer.verdict for answer in answers]
    return verdicts.count(Verdict.FAILS), len(verdicts) - verdicts.count(Verdict.FITS)


class Asking:
    """Asks the stack checks about one place, and remembers each answer for what of the stack it depends on.

    What does not depend on the screw's length is asked first: where that is no good, no length makes it better.
    """

    def __init__(self, fit: Fit):
        self.fit = fit
        self._told: dict[tuple[str, Hashable], tuple[Answer, ...]] = {}
        self._whatever_length: dict[Hashable, tuple[Answer, ...]] = {}

    def of(self, stack: Stack | None, limit: Rank = WORST) -> tuple[Answer, ...] | None:
        """Return what the checks say of a stack, in their order; None as soon as that is no better than ``limit``."""
        told = self._of_any_length(stack)
        if rank(told) >= limit:
            return None
        if told and told[0].check == FIRST and told[0].verdict is Verdict.FAILS:
            return told[:1]
        fit = self.fit.with_stack(stack)
        told += tuple(answer for check in stack_checks() if _is_of_length(check) for answer in self._asked(check, fit))
        return None if rank(told) >= limit else tuple(sorted(told, key=lambda answer: place_in_order(answer.check)))

    def _of_any_length(self, stack: Stack | None) -> tuple[Answer, ...]:
        key = None if stack is None else (stack.thread.name, stack.screw.head, stack.nut, stack.washers, stack.metal)
        if key not in self._whatever_length:
            fit = self.fit.with_stack(stack)
            asked = (self._asked(check, fit) for check in stack_checks() if not _is_of_length(check))
            self._whatever_length[key] = tuple(answer for told in asked for answer in told)
        return self._whatever_length[key]

    def _asked(self, check: StackCheck, fit: Fit) -> tuple[Answer, ...]:
        key = (check.name, seen_by(check, fit.stack))
        if key not in self._told:
            self._told[key] = answered(check, fit)
        return self._told[key]


def _is_of_length(check: StackCheck) -> bool:
    return "length" in check.looks_at


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
