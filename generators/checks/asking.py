"""Asking the checks: every question that applies to a place is answered, or the place fails."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from dryfit.generators.checks.contexts import NOTHING_NEAR, Fit, Fitting
from dryfit.generators.checks.registry import FIRST, StackCheck, panel_checks, place_in_order, seen_by, stack_checks
from dryfit.generators.clearance.surroundings import Surroundings
from dryfit.generators.joints.stacks import Rest, Stack
from dryfit.models.findings import Answer, Finding, Verdict
from dryfit.models.job import HardwareWish, Mounting
from dryfit.models.panel import Panel

Rank = tuple[int, int]  # how many answers fail, how many do not simply fit
WORST: Rank = (1_000_000, 1_000_000)
PLACES_KEPT = 1024  # distinct places whose answers are remembered while remedies are tried
MOUNTINGS_KEPT = 256  # parts as they are mounted, of which the like is remembered: some hundreds of answers each

Told = dict[tuple[str, Hashable, Rest | None], tuple[Answer, ...]]  # what checks said, by what of the stack they saw


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
        self._part = _but_for_wish(fit.mounting)
        self._alone = _told(fit.panel, self._part, NOTHING_NEAR)
        self._beside: dict[float, _Beside] = {}  # what is beside fasteners so wide

    def of(self, stack: Stack | None, limit: Rank = WORST) -> tuple[Answer, ...] | None:
        """Return what the checks say of a stack, in their order; None as soon as that is no better than ``limit``."""
        told = self.whatever_length(stack, limit)
        return None if told is None else self.with_length(stack, told, limit)

    def whatever_length(self, stack: Stack | None, limit: Rank) -> tuple[Answer, ...] | None:
        """Return what is said of a stack whatever the length of its screw; None where it is no better than a limit."""
        told: tuple[Answer, ...] = ()
        for check in _but_by_length():
            told += self._asked(check, stack)
            if rank(told) >= limit:
                return None
            if is_out_of_place(told):
                break
        return told

    def with_length(self, stack: Stack | None, told: tuple[Answer, ...], limit: Rank) -> tuple[Answer, ...] | None:
        """Return all that is said of a stack, given what is ``told`` of it whatever the length of its screw."""
        if is_out_of_place(told):
            return told
        if rank(told) >= limit:  # what is better was found among its like
            return None
        for check in _by_length():
            told += self._asked(check, stack)
        if rank(told) >= limit:
            return None
        return tuple(sorted(told, key=lambda answer: place_in_order(answer.check)))

    def _asked(self, check: StackCheck, stack: Stack | None) -> tuple[Answer, ...]:
        if check.sees == "beside fasteners":
            return self._beside_fasteners(check, stack)
        told = self._told if check.sees == "all" else self._alone
        key = _key(check, stack)
        if key not in told:
            told[key] = answered(check, self.fit.with_stack(stack))
        return told[key]

    def _beside_fasteners(self, check: StackCheck, stack: Stack | None) -> tuple[Answer, ...]:
        """Ask a check among those obstacles only that may matter to fasteners."""
        wide = stack.widest if stack is not None else 0.0
        if wide not in self._beside:
            fit, numbers = self.fit.with_stack(stack).beside_fasteners()
            self._beside[wide] = _Beside(fit.around, numbers, _told(fit.panel, self._part, fit.around))
        beside = self._beside[wide]
        key = _key(check, stack)
        if key not in beside.told:
            beside.told[key] = answered(check, replace(self.fit, around=beside.around, stack=stack))
        return tuple([_renumbered(answer, beside.numbers) for answer in beside.told[key]])


@dataclass(frozen=True)
class _Beside:
    """What of the surroundings may matter to fasteners, its obstacles by their numbers in the whole, what is told."""

    around: Surroundings
    numbers: tuple[int, ...]
    told: Told


def is_out_of_place(told: Sequence[Answer]) -> bool:
    """Whether the part does not suit panel and side at all: then nothing else is asked."""
    return bool(told) and told[0].check == FIRST and told[0].verdict is Verdict.FAILS


def _key(check: StackCheck, stack: Stack | None) -> tuple[str, Hashable, Rest | None]:
    return (check.name, seen_by(check, stack), stack.rest if stack is not None else None)


@lru_cache(maxsize=MOUNTINGS_KEPT)
def _told(panel: Panel, mounting: Mounting, around: Surroundings) -> Told:
    """Return where to remember what is said of a part as it is mounted, in what of its surroundings is seen."""
    return {}


def _renumbered(answer: Answer, numbers: Sequence[int]) -> Answer:
    """Return an answer with its obstacles by their numbers in the whole surroundings."""
    bodies = tuple([numbers[ref] if isinstance(ref, int) else ref for ref in answer.bodies])
    return answer if bodies == answer.bodies else replace(answer, bodies=bodies)


@lru_cache(maxsize=MOUNTINGS_KEPT)
def _but_for_wish(mounting: Mounting) -> Mounting:
    return replace(mounting, wish=HardwareWish())


@cache
def _but_by_length() -> tuple[StackCheck, ...]:
    """Return the stack checks to which the screw's length is all one, those that depend on least of the stack first."""
    checks = (check for check in stack_checks() if "length" not in check.looks_at)
    return tuple(sorted(checks, key=lambda check: (check.name != FIRST, len(check.looks_at))))


@cache
def _by_length() -> tuple[StackCheck, ...]:
    """Return the others."""
    checks = (check for check in stack_checks() if "length" in check.looks_at)
    return tuple(sorted(checks, key=lambda check: len(check.looks_at)))


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
