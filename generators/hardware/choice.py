"""The choice of hardware: candidates for a place, and the best of them.

Every candidate is a whole stack that could be bought; the stack checks judge it. What the layout asks for narrows the
candidates; where it asks for everything, there is one, and the checks say what they think of it.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.checks.registry import Fit, seen_by, stack_checks
from dryfit.generators.joints.stacks import Stack, lengths_to_try
from dryfit.models.findings import Finding, Verdict
from dryfit.models.job import HardwareWish, Place
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import RIVET, Head, Nut, Screw, Thread, Washer

AMPLE = 0.2  # mm: a wider margin is no better
LENGTHS_TRIED = 3  # best sold lengths judged per combination; more only repeats verdicts of worse ones
USUAL_THREADS = ("M3", "No. 4-40", "No. 6-32", "M2.5", "No. 5-40", "M4")  # as builders have them at hand, best first
USUAL_HEADS = ("countersunk", "raised countersunk", "pan", "button")
Retention = tuple[str, tuple[str, ...]]  # nut kind and washer kinds, from the panel outwards

RETENTIONS: dict[str, tuple[Retention, ...]] = {
    "tooth washer": (("hexagon", ("tooth internal",)), ("narrow", ("tooth internal",)), ("thin", ("tooth internal",))),
    "split washer": (("hexagon", ("split",)), ("narrow", ("split",)), ("hexagon", ("plain", "split"))),
    "self-locking nut": (("self-locking", ()), ("self-locking", ("plain",))),
    "tooth-washer nut": (("tooth-washer nut", ()),),
    "thread locker": (("hexagon", ()), ("narrow", ()), ("thin", ()), ("hexagon", ("plain",))),
}
"""What each way of keeping a screw from working loose is made of, the better first (common practice)."""
LOCKING_NUTS = {"self-locking": "self-locking nut", "tooth-washer nut": "tooth-washer nut"}
"""The nuts that lock by themselves, by kind, with the way of keeping a screw that each is."""


@dataclass(frozen=True)
class Choice:
    """A stack for a place and what the stack checks say of it."""

    stack: Stack | None
    findings: tuple[Finding, ...]

    @property
    def rank(self) -> Rank:
        """How bad it is."""
        return _rank(self.findings)

    @property
    def items(self) -> tuple[str, ...]:
        """What would have to be bought for it, each by its designation."""
        return () if self.stack is None else tuple(name for _, name in self.stack.items)

    @property
    def margin(self) -> float:
        """The least by which a clearance exceeds its limit, mm, counted up to what is ample."""
        return min([AMPLE, *(f.measured - f.limit for f in self.findings if f.check != "screw-length")])


Rank = tuple[int, int]  # how many answers fail, how many do not simply fit
BEST: Rank = (0, 0)
WORST: Rank = (1_000, 1_000)


def _rank(findings: Sequence[Finding]) -> Rank:
    verdicts = [f.verdict for f in findings]
    return verdicts.count(Verdict.FAILS), len(verdicts) - verdicts.count(Verdict.FITS)


class Judge:
    """Asks the stack checks about one place, and remembers each answer for what of the stack it depends on."""

    def __init__(self, fit: Fit):
        self.fit = fit
        self._told: dict[tuple[str, Hashable], tuple[Finding, ...]] = {}

    def of(self, stack: Stack | None, limit: Rank = WORST) -> Choice | None:
        """Return the stack with what the checks say, or None as soon as that is no better than ``limit``."""
        told: list[Finding] = []
        fails = poor = 0
        for name, check in stack_checks():
            key = (name, seen_by(name, stack))
            if key not in self._told:
                self._told[key] = tuple(check(replace(self.fit, stack=stack)))
            for finding in self._told[key]:
                told.append(finding)
                fails += finding.verdict is Verdict.FAILS
                poor += finding.verdict is not Verdict.FITS
            if (fails, poor) >= limit:
                return None
            if told and told[0].check == "mount-side" and told[0].verdict is Verdict.FAILS:
                break
        return Choice(stack, tuple(told))


def judge(fit: Fit) -> tuple[Finding, ...]:
    """Return what all stack checks say of a fit."""
    choice = Judge(fit).of(fit.stack)
    assert choice is not None  # nothing is worse than the worst
    return choice.findings


def choose(fit: Fit) -> Choice:
    """Return the first candidate that fits, or else the one of which the checks complain least."""
    return next(iter(options(fit, first_only=True)))


def options(fit: Fit, first_only: bool = False) -> tuple[Choice, ...]:
    """Return the candidates of the best rank there is for a place, those a builder would take first coming first.

    With ``first_only`` the search ends at the first one that simply fits.
    """
    asked = Judge(fit)
    best: list[Choice] = []
    for stack in candidates(fit):
        limit = WORST if not best else (best[0].rank[0], best[0].rank[1] + 1)  # no worse than the best so far
        choice = asked.of(stack, limit)
        if choice is None:
            continue
        if best and choice.rank < best[0].rank:
            best.clear()
        best.append(choice)
        if first_only and choice.rank == BEST:
            break
    if not best:
        nothing = asked.of(None)
        assert nothing is not None  # nothing is worse than the worst
        best.append(nothing)
    return tuple(best)


def candidates(fit: Fit) -> Iterator[Stack]:
    """Yield the stacks worth judging for a place, those a builder would take first coming first."""
    fixings = fit.place.part.fixings
    if fixings is None or fit.place.mount not in fit.place.part.mount:
        return
    if fixings.boss is not None:
        yield from _into_boss(fit)
        return
    yield from _riveted(fit)
    for thread in _threads(fit.place):
        for head in _heads(fit, thread):
            for nut, washers in _nuts(fit.place.wish, thread):
                yield from _lengths(fit, thread, head, nut, washers)


def _riveted(fit: Fit) -> Iterator[Stack]:
    """Yield the rivets that the layout allows, one for each grip range."""
    for name in fit.place.wish.threads:
        for screw in fasteners.riveted(name.removeprefix(RIVET)) if name.startswith(RIVET) else ():
            if fit.place.wish.length in (None, screw.length):
                yield Stack(fit.place, fit.panel, screw, None)


def _into_boss(fit: Fit) -> Iterator[Stack]:
    assert fit.place.part.fixings is not None  # the caller looked
    boss = fit.place.part.fixings.boss
    assert boss is not None
    name = boss.thread or boss.forming
    assert name is not None  # one of the two, by validation
    thread = fasteners.thread(name)
    for head in _heads(fit, thread):
        yield from _lengths(fit, thread, head, None, ())


def _threads(place: Place) -> Iterator[Thread]:
    names = place.wish.threads or USUAL_THREADS
    return (fasteners.thread(name) for name in names if not name.startswith(RIVET))


def _heads(fit: Fit, thread: Thread) -> Iterator[Head]:
    """Yield a head of each kind with a drive at hand, those that suit the seat first."""
    place = fit.place
    conical = place.part.fixings is not None and place.part.fixings.seat is not None
    if place.mount == "rear":
        conical = place.cutout.countersink is not None and place.cutout.sunk_from == "front"
    kinds = USUAL_HEADS if conical else USUAL_HEADS[2:] + USUAL_HEADS[:2]
    at_hand = place.wish.heads or kinds
    for kind in (place.wish.head,) if place.wish.head else (k for k in kinds if k in at_hand):
        yield from [head for head in fasteners.heads(thread.name, kind) if _drives(place.wish, head)][:1]


def _drives(wish: HardwareWish, head: Head) -> bool:
    return not wish.drives or head.drive.startswith(wish.drives)


def _nuts(wish: HardwareWish, thread: Thread) -> Iterator[tuple[Nut | None, tuple[Washer, ...]]]:
    """Yield nuts with washers as the layout's wish and retention allow."""
    ways: Sequence[Retention] = RETENTIONS[wish.retention] if wish.retention else _usual_ways()
    if wish.nut == "none":
        yield None, _washers(wish.washers or (), thread) or ()
        return
    if wish.nut is not None and all(kind != wish.nut for kind, _ in ways):
        ways = tuple((wish.nut, washers) for washers in dict.fromkeys(w for _, w in ways))
    seen = set()
    for kind, kinds in ways:
        pick = (kind, wish.washers if wish.washers is not None else kinds)
        nuts, washers = fasteners.nuts(thread.name, kind), _washers(pick[1], thread)
        if (wish.nut in (None, kind)) and nuts and washers is not None and pick not in seen:
            seen.add(pick)
            yield nuts[0], washers


def _usual_ways() -> tuple[Retention, ...]:
    """Return every way, tooth washers first; split washers only when asked for, since they lock poorly."""
    return tuple(dict.fromkeys(w for name, ways in RETENTIONS.items() if name != "split washer" for w in ways))


def _washers(kinds: Sequence[str], thread: Thread) -> tuple[Washer, ...] | None:
    """Return the washers of these kinds, or None where a kind does not exist for the thread."""
    found = [fasteners.washers(thread.name, kind)[:1] for kind in kinds]
    return tuple(w[0] for w in found) if all(found) else None


def _lengths(fit: Fit, thread: Thread, head: Head, nut: Nut | None, washers: tuple[Washer, ...]) -> Iterator[Stack]:
    trial = Stack(fit.place, fit.panel, Screw(thread, head, 1.0), nut, washers)
    wished = fit.place.wish.length
    sold = (wished,) if wished is not None else tuple(lengths_to_try(trial, fasteners.lengths(thread.name)))
    for length in sold[:LENGTHS_TRIED]:
        yield replace(trial, screw=Screw(thread, head, length))
