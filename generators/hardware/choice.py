"""The choice of hardware for one place: what the checks say of its candidates, and the best of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from dryfit.generators.checks.asking import WORST, Asking, Rank, is_out_of_place, rank
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.clearance.surroundings import NEXT_PART
from dryfit.generators.joints.candidates import families
from dryfit.generators.joints.keeping import NOTHING, kept_by
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer
from dryfit.models.geometry.once import kept
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import HardwareWish

AMPLE = 0.2  # mm: a wider margin is no better
PLACES_KEPT = 1024  # distinct places whose candidates are remembered while remedies are tried
AXIS = Rectangle(0.0, 0.0, 0.0, 0.0)
NOT_CLEARANCES = ("screw-length", "land")  # a longer tail or a larger ring is no better clearance


@dataclass(frozen=True)
class Choice:
    """A stack for a place and what the stack checks say of it."""

    stack: Stack | None
    answers: tuple[Answer, ...]

    @property
    def rank(self) -> Rank:
        """How bad it is."""
        return rank(self.answers)

    @property
    def is_out_of_place(self) -> bool:
        """Whether the part does not suit panel and side at all, which no hardware mends."""
        return is_out_of_place(self.answers)

    @kept
    def items(self) -> tuple[str, ...]:
        """What would have to be bought for it, each by its designation."""
        return () if self.stack is None else tuple(name for _, name in self.stack.items)

    @kept
    def is_loose(self) -> bool:
        """Whether nothing of it keeps the screws from working loose but their preload."""
        return self.stack is not None and kept_by(self.stack, HardwareWish()) == NOTHING

    @kept
    def margin(self) -> float:
        """The least by which a clearance exceeds its limit, mm, counted up to what is ample."""
        told = (a for a in self.answers if a.check not in NOT_CLEARANCES and a.unit == "mm")
        return min([AMPLE, *(a.margin for a in told if a.margin is not None)])


def _is_overrun(fit: Fit) -> bool:
    """Whether another part stands on the axis of the place, which no hardware mends: the usual one will do."""
    return any(o.name == NEXT_PART and o.plan.holds(AXIS) for o in fit.around.obstacles)


@lru_cache(maxsize=PLACES_KEPT)
def options(fit: Fit) -> tuple[Choice, ...]:
    """Return the candidates of the best rank there is for a place, those a builder would take first coming first."""
    asked = Asking(fit)
    best: list[Choice] = []
    limit = WORST
    allowed = families(fit.mounting, fit.joint) if fit.joint is not None else ()
    for family in allowed[: 1 if _is_overrun(fit) else None]:
        if best and best[0].is_out_of_place:
            break
        told = asked.whatever_length(family.first, limit)
        if told is None:
            continue
        for stack in family:
            answers = asked.with_length(stack, told, limit)
            if answers is None:
                continue
            choice = Choice(stack, answers)
            if best and choice.rank < best[0].rank:
                best.clear()
            best.append(choice)
            limit = (choice.rank[0], choice.rank[1] + 1)  # no worse than the best so far
    if not best:
        nothing = asked.of(None)
        assert nothing is not None  # nothing is worse than the worst
        best.append(Choice(None, nothing))
    return tuple(best)
