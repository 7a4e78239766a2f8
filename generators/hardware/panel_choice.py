"""The hardware of a whole panel: for every place one of its best candidates, so that there is least to buy.

First the fewest different items over all places; then, where prices are known, the lowest cost in whole packs; then
the screws that builders have at hand, and with them the widest margins. A small set-cover problem, solved exactly,
aim after aim, as an integer program by the HiGHS solver.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

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
PANELS_KEPT = 64  # choices remembered while remedies are tried, of which most leave all hardware as it is

Items = tuple[str, ...]  # what is bought for one fixing
Offer = tuple[tuple[Items, int], ...]  # what a place may take, each with its score, the best first


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
    offers = [tuple((choice.items, score) for choice, score in best) for best in ranked]
    if priced:  # whole packs may part like places
        taken = _taken(tuple(offers), tuple(counts or [1] * len(offers)), tuple(priced.values()), spares)
    else:  # one stands for all like it
        alike = tuple(dict.fromkeys(offers))
        found = dict(zip(alike, _taken(alike, (1,) * len(alike), (), spares), strict=True))
        taken = tuple(found[offer] for offer in offers)
    return tuple(choices[number] for choices, number in zip(kept, taken, strict=True))


@lru_cache(maxsize=PANELS_KEPT)
def _taken(
    offers: tuple[Offer, ...], counts: tuple[int, ...], prices: tuple[Price, ...], spares: Spares
) -> tuple[int, ...]:
    """Return the number of the option that each place takes."""
    return tuple(_Program(offers, counts, spares).solve({price.item: price for price in prices}))


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
    return needed + max(spares.least, math.ceil(needed * spares.share - SAME_COST))


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

    def __init__(self, offers: Sequence[Offer], counts: Sequence[int], spares: Spares):
        self.offers, self.counts, self.spares = offers, counts, spares
        named = sorted({item for offer in offers for items, _ in offer for item in items})
        self.items = {item: number for number, item in enumerate(named)}
        self.starts = list(accumulate((len(offer) for offer in offers), initial=2 * len(named)))
        self.scores = [float(score) for offer in offers for _, score in offer]

    def solve(self, prices: Mapping[str, Price]) -> list[int]:
        """Return the number of the option for each place, one aim after the other."""
        count, taken = len(self.items), len(self.scores)
        rows = [*self._one_each(), *self._needs(), *(self._packs(prices) if prices else ())]
        solver = _Solver([1.0] * count + [math.inf] * count + [1.0] * taken, rows)
        bought = [1.0] * count + [0.0] * (count + taken)
        solver.hold(bought, round(solver.least(bought)))
        if prices:
            costs = [0.0] * count + [_price(item, prices).price for item in self.items] + [0.0] * taken
            solver.hold(costs, solver.least(costs) + SAME_COST)
        solver.least([0.0] * (2 * count) + self.scores)
        ranges = zip(self.starts, self.starts[1:], strict=False)
        return [max(range(start, end), key=lambda column: solver.values[column]) - start for start, end in ranges]

    def _options(self) -> Iterator[tuple[int, int, Items]]:
        """Yield place, column and items of every option."""
        for place, offer in enumerate(self.offers):
            for column, (items, _) in enumerate(offer, start=self.starts[place]):
                yield place, column, items

    def _one_each(self) -> Iterator[Row]:
        """Each place takes one option."""
        for start, end in zip(self.starts, self.starts[1:], strict=False):
            yield Row(1.0, 1.0, dict.fromkeys(range(start, end), 1.0))

    def _needs(self) -> Iterator[Row]:
        """The option taken at a place needs its items bought."""
        rows: dict[tuple[int, str], Row] = {}
        for place, column, items in self._options():
            for item in set(items):
                row = rows.setdefault((place, item), Row(0.0, math.inf, {self.items[item]: 1.0}))
                row.terms[column] = -1.0
        yield from rows.values()

    def _packs(self, prices: Mapping[str, Price]) -> Iterator[Row]:
        """The packs of an item hold what is needed with its spares: both the share and the least number."""
        count = len(self.items)
        rows = {
            item: [
                Row(-SAME_COST, math.inf, {count + number: float(_price(item, prices).pack), **least})
                for least in ({number: -float(self.spares.least)}, {})
            ]
            for item, number in self.items.items()
        }
        for place, column, items in self._options():
            for item in items:
                for row, share in zip(rows[item], (0.0, self.spares.share), strict=True):
                    row.terms[column] = row.terms.get(column, 0.0) - self.counts[place] * (1 + share)
        yield from (row for both in rows.values() for row in both)


@dataclass(frozen=True)
class Row:
    """A condition: the sum of unknowns, each by its number with its factor, lies between two bounds."""

    low: float
    high: float
    terms: dict[int, float]


class _Solver:
    """HiGHS on one program of whole numbers, aim after aim."""

    def __init__(self, most: Sequence[float], rows: Iterable[Row]):
        import highspy  # takes longer than most panels, whose best choices are plain

        self._highs = highspy.Highs()
        for option, value in (("output_flag", False), ("threads", 1), ("mip_rel_gap", 0.0)):
            self._highs.setOptionValue(option, value)
        program = highspy.HighsLp()
        program.num_col_ = len(most)
        program.col_cost_, program.col_lower_, program.col_upper_ = [0.0] * len(most), [0.0] * len(most), list(most)
        program.integrality_ = [highspy.HighsVarType.kInteger] * len(most)
        self._highs.passModel(program)
        for row in rows:
            self._add(row)
        self.values: list[float] = []

    def least(self, aim: Sequence[float]) -> float:
        """Return the least that an aim can be; ``values`` are the unknowns then."""
        import numpy as np

        self._highs.changeColsCost(len(aim), np.arange(len(aim), dtype=np.int32), np.array(aim))
        self._highs.run()
        self.values = [round(value) for value in self._highs.getSolution().col_value]
        assert len(self.values) == len(aim)  # any option for each place is a solution
        return sum(factor * value for factor, value in zip(aim, self.values, strict=True))

    def hold(self, aim: Sequence[float], limit: float) -> None:
        """Let an aim grow no further than a limit from now on."""
        self._add(Row(-math.inf, limit, {number: factor for number, factor in enumerate(aim) if factor}))

    def _add(self, row: Row) -> None:
        import numpy as np

        numbers, factors = np.array([*row.terms], dtype=np.int32), np.array([*row.terms.values()])
        self._highs.addRow(row.low, row.high, len(row.terms), numbers, factors)
