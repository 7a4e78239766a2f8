"""The hardware of a whole panel: for every place one of its best candidates, so that there is least to buy.

First the fewest different items over all places; then, where prices are known, the lowest cost in whole packs; then
the screws that builders have at hand, and with them the widest margins. A small set-cover problem, solved exactly,
aim after aim, as an integer program by the HiGHS solver that scipy carries.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.clearance.surroundings import Around
from dryfit.generators.hardware.choice import AMPLE, Choice, options
from dryfit.generators.joints.stacks import Stack
from dryfit.models.job import Job
from dryfit.models.prices import Price
from dryfit.models.tables.nuts import nut_kinds

MARGIN_STEP = 0.01  # mm: margins closer than this are alike
SAME_COST = 1e-6  # of the currency: rounding of the solver
LEAST_SPARES = 2


def chosen(job: Job, beside: Sequence[Around]) -> dict[str, Stack]:
    """Return the stack of every place that gets one, by its name: like places get the same."""
    names: dict[Fit, list[str]] = {}
    for place, here in zip(job.places, beside, strict=True):
        names.setdefault(Fit(job.panel, place.mounting, here.surroundings), []).append(place.name)
    counts = [len(alike) * max(1, len(fit.mounting.fixings)) for fit, alike in names.items()]
    taken = fewest_items([options(fit) for fit in names], counts, job.prices, Spares(job.spares))
    pairs = zip(names.values(), taken, strict=True)
    return {name: choice.stack for alike, choice in pairs for name in alike if choice.stack is not None}


@dataclass(frozen=True)
class Spares:
    """How many more pieces than needed are bought: a share, and at least a few."""

    share: float = 0.1
    least: int = LEAST_SPARES


def fewest_items(
    options: Sequence[Sequence[Choice]],
    counts: Sequence[int] = (),
    prices: Iterable[Price] = (),
    spares: Spares = Spares(),
) -> tuple[Choice, ...]:
    """Return one choice for each place, by order of the places.

    ``options`` holds, for each distinct place, candidates that are equally good by the checks, usual ones first;
    ``counts`` how many fixings are made like it (1 each if not given).
    """
    ranked = [_ranked(choices) for choices in options]
    kept = [tuple(choice for choice, _ in best) for best in ranked]
    priced = {price.item: price for price in prices}
    if all(len(choices) == 1 for choices in kept) or (not priced and _first_is_least(kept)):
        return tuple(choices[0] for choices in kept)
    alike: dict[object, list[int]] = {}  # without prices one stands for all like it; whole packs may part them
    for place, best in enumerate(ranked):
        key = tuple((choice.items, score) for choice, score in best)
        alike.setdefault((place, key) if priced else key, []).append(place)
    sums = [sum(counts[place] if counts else 1 for place in places) for places in alike.values()]
    firsts = [places[0] for places in alike.values()]
    scores = [[score for _, score in ranked[place]] for place in firsts]
    solved = _Program([kept[place] for place in firsts], scores, sums, spares).solve(priced)
    picked = {place: i for places, i in zip(alike.values(), solved, strict=True) for place in places}
    return tuple(choices[picked[place]] for place, choices in enumerate(kept))


def count_items(choices: Sequence[Choice]) -> int:
    """Return how many different items a set of choices needs."""
    return len({item for choice in choices for item in choice.items})


def cost(choices: Sequence[Choice], counts: Sequence[int], prices: Mapping[str, Price], spares: Spares) -> float:
    """Return what a set of choices costs in whole packs; what has no price counts as dear."""
    needed: dict[str, int] = {}
    for choice, count in zip(choices, counts, strict=True):
        for item in choice.items:
            needed[item] = needed.get(item, 0) + count
    return sum(packs(n, _price(item, prices).pack, spares) * _price(item, prices).price for item, n in needed.items())


def pieces(needed: int, spares: Spares) -> int:
    """Return how many pieces are wanted: what is needed, and the spares."""
    return needed + max(spares.least, int(np.ceil(needed * spares.share - SAME_COST)))


def packs(needed: int, pack: int, spares: Spares) -> int:
    """Return how many packs hold what is needed and the spares."""
    return -(-pieces(needed, spares) // pack)


def _price(item: str, prices: Mapping[str, Price]) -> Price:
    """Return the price of an item; one without is taken to cost, each piece, as much as the dearest pack."""
    dearest = max((price.price for price in prices.values()), default=0.0)
    return prices.get(item, Price(item, 1, dearest, ""))


def _ranked(choices: Sequence[Choice]) -> list[tuple[Choice, int]]:
    """Return choices with a score, the lower the better: usual screws, then wide margins, then usual hardware."""
    usual = list(dict.fromkeys(_usual(choice) for choice in choices))
    steps, total = round(AMPLE / MARGIN_STEP), len(choices)
    scored = []
    for n, choice in enumerate(choices):
        short = min(steps, max(0, round((AMPLE - choice.margin) / MARGIN_STEP)))
        scored.append((choice, (usual.index(_usual(choice)) * (steps + 1) + short) * total + n))
    return sorted(scored, key=lambda pair: pair[1])


def _usual(choice: Choice) -> tuple[str, ...]:
    """Return what a builder would not change for a wider margin: thread, head, and what keeps the screw in place."""
    if choice.stack is None:
        return ()
    stack = choice.stack
    locking = [stack.nut.kind] if stack.nut is not None and nut_kinds()[stack.nut.kind].keeps else []
    return (stack.thread.name, stack.screw.head.kind, *locking, *(washer.kind for washer in stack.washers))


def _first_is_least(kept: Sequence[Sequence[Choice]]) -> bool:
    """Whether the best choice of each place needs no more items than some one place needs at the very least."""
    least = max(min(len(set(choice.items)) for choice in choices) for choices in kept)
    return count_items([choices[0] for choices in kept]) == least


class _Program:
    """The integer program. Unknowns: item bought (0 or 1), packs of each item, option taken (0 or 1)."""

    def __init__(
        self, kept: Sequence[Sequence[Choice]], scores: Sequence[Sequence[int]], counts: Sequence[int], spares: Spares
    ):
        self.kept, self.counts, self.spares = kept, counts, spares
        self.items = sorted({item for choices in kept for choice in choices for item in choice.items})
        self.starts = np.cumsum([2 * len(self.items), *(len(choices) for choices in kept)])
        self.total = int(self.starts[-1])
        self.bought = np.concatenate([np.ones(len(self.items)), np.zeros(self.total - len(self.items))])
        self.score = np.concatenate([np.zeros(2 * len(self.items)), *(np.array(s, dtype=float) for s in scores)])

    def solve(self, prices: Mapping[str, Price]) -> list[int]:
        """Return the number of the option for each place, one aim after the other."""
        rows = [self._one_each(), self._needs()]
        fewest = self._best(self.bought, rows)
        rows.append(_at_most(self.bought, round(float(self.bought @ fewest))))
        if prices:
            costs = self._costs(prices)
            rows.append(self._packs(prices))
            cheapest = self._best(costs, rows)
            rows.append(_at_most(costs, float(costs @ cheapest) + SAME_COST))
        taken = self._best(self.score, rows)
        return [
            int(np.argmax(taken[int(start) : int(start) + len(choices)]))
            for start, choices in zip(self.starts[:-1], self.kept, strict=True)
        ]

    def _best(self, aim: np.ndarray, rows: Sequence[Any]) -> np.ndarray:
        from scipy.optimize import Bounds, milp

        most = np.ones(self.total)
        most[len(self.items) : 2 * len(self.items)] = np.inf
        solved = milp(
            aim, integrality=np.ones(self.total), bounds=Bounds(0, most), constraints=rows, options={"mip_rel_gap": 0.0}
        )
        assert solved.x is not None  # any option for each place is a solution
        found: np.ndarray = np.round(solved.x)
        return found

    def _options(self) -> Iterable[tuple[int, int, Choice]]:
        """Yield place, column and choice of every option."""
        for place, choices in enumerate(self.kept):
            for n, choice in enumerate(choices):
                yield place, int(self.starts[place]) + n, choice

    def _one_each(self) -> Any:
        """Each place takes one option."""
        rows = np.zeros((len(self.kept), self.total))
        for place, column, _ in self._options():
            rows[place, column] = 1
        return _between(rows, 1, 1)

    def _needs(self) -> Any:
        """An option taken needs its items bought."""
        needs = [(column, item) for _, column, choice in self._options() for item in set(choice.items)]
        rows = np.zeros((max(1, len(needs)), self.total))
        for row, (column, item) in enumerate(needs):
            rows[row, self.items.index(item)], rows[row, column] = 1, -1
        return _between(rows, 0, np.inf)

    def _packs(self, prices: Mapping[str, Price]) -> Any:
        """The packs of an item hold what is needed with its spares: both the share and the least number."""
        count = len(self.items)
        rows = np.zeros((2 * count, self.total))
        for n, item in enumerate(self.items):
            rows[n, count + n] = rows[count + n, count + n] = _price(item, prices).pack
            rows[n, n] = -self.spares.least
        for place, column, choice in self._options():
            for item in choice.items:
                n = self.items.index(item)
                rows[n, column] -= self.counts[place]
                rows[count + n, column] -= self.counts[place] * (1 + self.spares.share)
        return _between(rows, -SAME_COST, np.inf)

    def _costs(self, prices: Mapping[str, Price]) -> np.ndarray:
        costs = np.zeros(self.total)
        costs[len(self.items) : 2 * len(self.items)] = [_price(item, prices).price for item in self.items]
        return costs


def _at_most(row: np.ndarray, limit: float) -> Any:
    return _between(row[np.newaxis, :], -np.inf, limit)


def _between(rows: np.ndarray, low: float, high: float) -> Any:
    from scipy.optimize import LinearConstraint
    from scipy.sparse import csr_matrix

    return LinearConstraint(csr_matrix(rows), low, high)
