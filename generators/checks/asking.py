"""Asking the checks: every question that applies to a place is answered, or the place fails."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from functools import lru_cache

from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.checks.registry import FIRST, StackCheck, panel_checks, seen_by, stack_checks
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
    """Asks the stack checks about one place, and remembers each answer for what of the stack it depends on."""

    def __init__(self, fit: Fit):
        self.fit = fit
        self._told: dict[tuple[str, Hashable], tuple[Answer, ...]] = {}

    def of(self, stack: Stack | None, limit: Rank = WORST) -> tuple[Answer, ...] | None:
        """Return what the checks say of a stack, or None as soon as that is no better than ``limit``."""
        fit = self.fit.with_stack(stack)
        told: list[Answer] = []
        for check in stack_checks():
            key = (check.name, seen_by(check, stack))
            if key not in self._told:
                self._told[key] = answered(check, fit)
            told += self._told[key]
            if rank(told) >= limit:
                return None
            if told and told[0].check == FIRST and told[0].verdict is Verdict.FAILS:
                break
        return tuple(told)


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
