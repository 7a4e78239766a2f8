"""The hardware of a whole panel: for every place one of its best candidates, so that there is least to buy.

What the checks say comes before all that is bought: only candidates of the best rank that a place has are looked at.
Of these, one aim after the other, each as far as those before it allow:

1. with a drawer: the fewest different items that have to be bought at all;
2. with a drawer: the fewest fixings that nothing keeps from working loose: no washer stays in it to spare a bag;
3. the fewest different items over all places, bought or not;
4. with a drawer: the fewest pieces to buy, spares included, so that what is there is used up first;
5. where prices are known: the lowest cost, in whole packs, of what is bought;
6. the screws that builders have at hand, and with them the widest margins.

Of an item that the drawer holds enough of, nothing is bought, spares neither; of one that it holds too little of,
what is there is used, and the rest bought with the spares of all that is needed. So 10 screws for 12 fixings are made
up by 2 and the spares, unless other screws lie there for all 12. Like places get the same in any case: a row of
sockets is not held by two kinds of screws to empty a drawer.

A small set-cover problem, solved exactly, aim after aim, as an integer program by the HiGHS solver.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from typing import NamedTuple

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

USED, PACKS, BOUGHT, PIECES = range(4)  # blocks of unknowns of the program, each with one for every item

Items = tuple[str, ...]  # what is bought for one fixing


class Option(NamedTuple):
    """What a place may take: what is bought for it, its score (less is better), and whether nothing keeps it."""

    items: Items
    score: int
    is_loose: bool


Offer = tuple[Option, ...]  # all that a place may take, the best first


def chosen(job: Job, beside: Sequence[Around]) -> dict[str, Stack]:
    """Return the stack of every place that gets one, by its name: like places get the same."""
    names: dict[Fit, list[str]] = {}
    for place, here in zip(job.places, beside, strict=True):
        names.setdefault(Fit(job.panel, place.mounting, here.surroundings), []).append(place.name)
    counts = [len(alike) * max(1, len(fit.mounting.fixings)) for fit, alike in names.items()]
    drawer = job.drawer.counts if job.drawer is not None else None
    taken = fewest_items([options(fit) for fit in names], counts, job.prices, Spares(job.spares), drawer)
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
    drawer: Mapping[str, int] | None = None,
) -> tuple[Choice, ...]:
    """Return one choice for each place, by order of the places.

    ``options`` holds, for each distinct place, candidates that are equally good by the checks, usual ones first;
    ``counts`` how many fixings are made like it (1 each if not given); ``drawer`` how many pieces of an item are there.
    """
    ranked = [_ranked(choices) for choices in options]
    kept = [tuple(choice for choice, _ in best) for best in ranked]
    priced = {price.item: price for price in prices}
    is_plain = not priced and drawer is None
    if all(len(choices) == 1 for choices in kept) or (is_plain and _first_is_least(kept)):
        return tuple(choices[0] for choices in kept)
    offers = [tuple(Option(choice.items, score, choice.is_loose) for choice, score in best) for best in ranked]
    if not is_plain:  # whole packs, and what is left in the drawer, may part like places
        there = None if drawer is None else tuple(sorted(drawer.items()))
        taken = _taken(tuple(offers), tuple(counts or [1] * len(offers)), tuple(priced.values()), spares, there)
    else:  # one stands for all like it
        alike = tuple(dict.fromkeys(offers))
        found = dict(zip(alike, _taken(alike, (1,) * len(alike), (), spares, None), strict=True))
        taken = tuple(found[offer] for offer in offers)
    return tuple(choices[number] for choices, number in zip(kept, taken, strict=True))


@lru_cache(maxsize=PANELS_KEPT)
def _taken(
    offers: tuple[Offer, ...],
    counts: tuple[int, ...],
    prices: tuple[Price, ...],
    spares: Spares,
    drawer: tuple[tuple[str, int], ...] | None,
) -> tuple[int, ...]:
    """Return the number of the option that each place takes."""
    program = _Program(offers, counts, spares, None if drawer is None else dict(drawer))
    return tuple(program.solve({price.item: price for price in prices}))


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
    """The integer program.

    Unknowns, block by block: each item used (0 or 1), its packs; with a drawer, whether it is bought (0 or 1), and how
    many pieces; then each option taken (0 or 1).
    """

    def __init__(
        self, offers: Sequence[Offer], counts: Sequence[int], spares: Spares, drawer: Mapping[str, int] | None
    ):
        self.offers, self.spares, self.drawer = offers, spares, drawer
        named = sorted({item for offer in offers for option in offer for item in option.items})
        self.items = {item: number for number, item in enumerate(named)}
        self.most = [1.0, math.inf] if drawer is None else [1.0, math.inf, 1.0, math.inf]  # of each block of items
        self.starts = list(accumulate((len(offer) for offer in offers), initial=len(self.most) * len(named)))
        self.scores = [float(option.score) for offer in offers for option in offer]
        pairs = zip(offers, counts, strict=True)
        self.loose = [float(option.is_loose * count) for offer, count in pairs for option in offer]
        self.needed: dict[str, Counter[int]] = {item: Counter() for item in named}  # pieces that each option takes
        by_place: dict[tuple[str, int], int] = {}
        for place, column, items in self._options():
            for item, number in Counter(items).items():
                self.needed[item][column] = number * counts[place]
                by_place[item, place] = max(by_place.get((item, place), 0), number * counts[place])
        self.most_needed: Counter[str] = Counter()  # pieces of each item that any choice needs
        for (item, _), most in by_place.items():
            self.most_needed[item] += most

    def solve(self, prices: Mapping[str, Price]) -> list[int]:
        """Return the number of the option for each place, one aim after the other."""
        rows = [*self._one_each(), *self._needs(), *self._buys(), *(self._packs(prices) if prices else ())]
        most = [limit for limit in self.most for _ in self.items] + [1.0] * len(self.scores)
        solver = _Solver(most, rows)
        for aim in self._counted():
            solver.hold(aim, round(solver.least(aim)))
        if prices:
            costs = self._of(PACKS, [_price(item, prices).price for item in self.items])
            solver.hold(costs, solver.least(costs) + SAME_COST)
        solver.least([0.0] * self.starts[0] + self.scores)
        ranges = zip(self.starts, self.starts[1:], strict=False)
        return [max(range(start, end), key=lambda column: solver.values[column]) - start for start, end in ranges]

    def _counted(self) -> Iterator[list[float]]:
        """Yield the aims that are whole numbers, one after the other."""
        each = [1.0] * len(self.items)
        if self.drawer is not None:
            yield self._of(BOUGHT, each)
            yield [0.0] * self.starts[0] + self.loose
        yield self._of(USED, each)
        if self.drawer is not None:
            yield self._of(PIECES, each)

    def _of(self, block: int, factors: Sequence[float]) -> list[float]:
        """Return an aim that looks at one block of items alone."""
        aim = [0.0] * (self.starts[0] + len(self.scores))
        aim[block * len(self.items) : (block + 1) * len(self.items)] = factors
        return aim

    def _column(self, block: int, item: str) -> int:
        return block * len(self.items) + self.items[item]

    def _options(self) -> Iterator[tuple[int, int, Items]]:
        """Yield place, column and items of every option."""
        for place, offer in enumerate(self.offers):
            for column, option in enumerate(offer, start=self.starts[place]):
                yield place, column, option.items

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
        """The packs of an item hold what is bought: the pieces, or all that is needed with its spares."""
        for item in self.items:
            holds = {self._column(PACKS, item): float(_price(item, prices).pack)}
            if self.drawer is not None:
                yield Row(0.0, math.inf, holds | {self._column(PIECES, item): -1.0})
                continue
            for share, least in self._wanted:
                terms = {self._column(USED, item): -least, **self._needed(item, -1.0 - share)}
                yield Row(-SAME_COST, math.inf, holds | terms)

    def _buys(self) -> Iterator[Row]:
        """What the drawer has too little of is bought, with the spares of all that is needed."""
        if self.drawer is None:
            return
        for item in self.items:
            there, most = self.drawer.get(item, 0), self.most_needed[item]
            if most <= there:
                continue
            bought, bought_pieces = self._column(BOUGHT, item), self._column(PIECES, item)
            yield Row(float(-there), math.inf, {bought: float(most - there), **self._needed(item, -1.0)})
            for share, least in self._wanted:
                whole = most * (1 + share) + least  # so much is never missed: no condition where nothing is bought
                terms = {bought_pieces: 1.0, bought: -whole, **self._needed(item, -1.0 - share)}
                yield Row(least - there - whole - SAME_COST, math.inf, terms)

    @property
    def _wanted(self) -> tuple[tuple[float, float], ...]:
        """Both conditions on spares: a share of what is needed, and a least number."""
        return ((0.0, float(self.spares.least)), (self.spares.share, 0.0))

    def _needed(self, item: str, factor: float) -> dict[int, float]:
        """Return the terms of how many pieces of an item are needed, times a factor."""
        return {column: factor * count for column, count in self.needed[item].items()}


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

        self._highs, self._optimal = highspy.Highs(), highspy.HighsModelStatus.kOptimal
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
        for setting in ("choose", "off"):  # of presolve: after bounds were held it may fail, though there is a solution
            self._highs.setOptionValue("presolve", setting)
            self._highs.run()
            if self._highs.getModelStatus() == self._optimal:
                break
            self._highs.clearSolver()
        else:
            raise AssertionError("the choice of hardware has no solution")  # any option for each place is one
        self.values = [round(value) for value in self._highs.getSolution().col_value]
        return sum(factor * value for factor, value in zip(aim, self.values, strict=True))

    def hold(self, aim: Sequence[float], limit: float) -> None:
        """Let an aim grow no further than a limit from now on."""
        self._add(Row(-math.inf, limit, {number: factor for number, factor in enumerate(aim) if factor}))

    def _add(self, row: Row) -> None:
        import numpy as np

        numbers, factors = np.array([*row.terms], dtype=np.int32), np.array([*row.terms.values()])
        self._highs.addRow(row.low, row.high, len(row.terms), numbers, factors)
