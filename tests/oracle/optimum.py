"""The choice of hardware against trying everything: all threads, heads, nuts, washers and sold lengths, in all ways.

python -m tests.oracle.optimum --panels 200 --jobs 2
python -m tests.oracle.optimum --panels 200 --jobs 2 --drawer
"""

from __future__ import annotations

import argparse
import math
import random
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from itertools import product
from pathlib import Path
from typing import TypeVar

from dryfit.generators.checks.asking import answered, rank
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import FIRST, stack_checks
from dryfit.generators.clearance.surroundings import around
from dryfit.generators.hardware.panel_choice import chosen
from dryfit.generators.joints.joint import joint
from dryfit.generators.joints.stacks import Stack
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.findings import Answer, Verdict
from dryfit.models.job import Job, Place
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from dryfit.models.tables import fasteners

T = TypeVar("T", fasteners.Nut, fasteners.Washer)
WAYS = 200_000  # of combining places; panels with more are left out
THREADS = ("M2.5", "M3", "M4", "No. 4-40", "No. 6-32")
HEADS = ("pan", "countersunk", "button", "raised countersunk")
RETENTIONS = ("tooth washer", "self-locking nut", "tooth-washer nut", "thread locker")


Aims = tuple[int, ...]  # of a whole panel, each as far as those before it allow
Stock = dict[str, int]  # pieces in the drawer, by designation


@dataclass(frozen=True)
class Result:
    """What came of one panel: rank of every kind of place and how far the aims were met, as chosen and at best."""

    seed: int
    chosen: tuple[list[tuple[int, int]], Aims]
    best: tuple[list[tuple[int, int]], Aims]

    @property
    def is_best(self) -> bool:
        """Whether nothing better is to be had."""
        return self.chosen == self.best


def full(seed: int) -> Stock:
    """Return a drawer with some of what might be taken: of some items too few, of others none."""
    rng = random.Random(seed)
    names: list[str] = []
    for thread in map(fasteners.thread, THREADS):
        heads, sold = rng.sample(fasteners.heads(thread.name), 2), fasteners.lengths(thread.name)
        names += [fasteners.Screw(thread, head, length).designation for head in heads for length in rng.sample(sold, 4)]
        names += [nut.designation for nut in fasteners.nuts(thread.name) if rng.random() < 0.5]
        names += [washer.designation for washer in fasteners.washers(thread.name) if rng.random() < 0.4]
    return {name: rng.choice([0, 1, 2, 4, 8, 100]) for name in names}


def small(seed: int) -> str:
    """Return a small layout whose wishes leave a few hundred ways to screw each part down."""
    rng = random.Random(seed)
    parts = load_catalogue().parts
    names = sorted(name for name, part in parts.items() if part.fixings is not None)
    lines = [
        f"title: Small {seed}", "origin: centre",
        f"panel: {{size: [240, 120], thickness: {rng.choice([1, 1.5, 2, 3, 3.175, 4])}, "
        f"coating: {rng.choice([0, 0.06])}}}",
        f"hardware: {{threads: [{', '.join(rng.sample(THREADS, rng.choice([1, 2])))}], "
        f"heads: [{', '.join(rng.sample(HEADS, rng.choice([1, 2])))}]"
        + (f", retention: {rng.choice(RETENTIONS)}" if rng.random() < 0.6 else "") + "}",
        "places:",
    ]  # fmt: skip
    for number in range(rng.choice([1, 2, 2, 3])):
        name = rng.choice(names)
        side = rng.choice(parts[name].mount)
        lines.append(f"  - {{part: {name}, label: P{number}, at: [{-80 + 80 * number}, 0], mount: {side}, plug: none}}")
    return "\n".join(lines) + "\n"


def everything(place: Place, job: Job, drawer: Stock) -> Iterator[Stack]:
    """Yield every stack that the wishes of a place leave open, from the tables alone.

    Of several alike the first is taken, and what the drawer has.
    """
    held, wish = joint(place.mounting, job.panel), place.wish
    assert held is not None  # the part has fixings
    boss = held.boss
    names = (boss.screw,) if boss is not None else wish.threads
    for name in names:
        thread = fasteners.thread(name)
        for head in (h for kind in wish.heads for h in _heads(thread, kind, drawer)):
            for nut, washers in [(None, ())] if boss is not None else _nuts(wish.retention, name, drawer):
                for length in fasteners.lengths(name):
                    yield Stack(held, fasteners.Screw(thread, head, length), nut, washers)


def _heads(thread: fasteners.Thread, kind: str, drawer: Stock) -> list[fasteners.Head]:
    rows = fasteners.heads(thread.name, kind)
    lengths = fasteners.lengths(thread.name)
    there = {row for row in rows for at in lengths if drawer.get(fasteners.Screw(thread, row, at).designation, 0)}
    return [row for row in rows if row is rows[0] or row in there]


def _nuts(
    retention: str | None, name: str, drawer: Stock
) -> Iterator[tuple[fasteners.Nut, tuple[fasteners.Washer, ...]]]:
    ways = fasteners.retention_ways()
    for kind in ways if retention is None else (retention,):
        if kind == "split washer" and retention is None:
            continue  # it locks poorly, and is taken only where it is asked for
        for way in ways[kind]:
            nuts = _usual_or_there(fasteners.nuts(name, way.nut), drawer)
            washers = [_usual_or_there(fasteners.washers(name, washer), drawer) for washer in way.washers]
            yield from ((nut, under) for nut in nuts for under in product(*washers))


def _usual_or_there(rows: Sequence[T], drawer: Stock) -> list[T]:
    return [row for row in rows if row is rows[0] or drawer.get(row.designation, 0)]


def answers(fit: Fit, known: dict[object, tuple[Answer, ...]]) -> tuple[Answer, ...]:
    """Return what every check says of a stack, none left out; ``known`` remembers whole answers for whole stacks."""
    if fit.stack not in known:
        told: list[Answer] = []
        for check in stack_checks():
            told += answered(check, fit)
            if check.name == FIRST and told[-1].verdict is Verdict.FAILS:
                break
        known[fit.stack] = tuple(told)
    return known[fit.stack]


def compared(seed: int, with_drawer: bool = False) -> Result | None:
    """Return chosen and best of one small panel; None where it is refused, or has too many ways."""
    drawer = full(seed) if with_drawer else None
    with tempfile.TemporaryDirectory() as folder:
        path, listed = Path(folder) / "layout.yaml", Path(folder) / "drawer.csv"
        path.write_text(small(seed), encoding="utf-8")
        rows = ["item,count", *(f'"{name}",{count}' for name, count in (drawer or {}).items())]
        listed.write_text("\n".join(rows), encoding="utf-8")
        try:
            job = read_job(path, listed if with_drawer else None)
        except InputError:
            return None  # a wish that no table meets
    return _compared(seed, job, drawer)


def _compared(seed: int, job: Job, drawer: Stock | None) -> Result | None:
    beside = around(job, {})
    taken = chosen(job, beside)
    alike: dict[Fit, list[Place]] = {}
    for place, here in zip(job.places, beside, strict=True):
        alike.setdefault(Fit(job.panel, place.mounting, here.surroundings), []).append(place)
    ranks, items, least, counts = [], [], [], []
    for fit, places in alike.items():
        place, known = places[0], dict[object, tuple[Answer, ...]]()
        counts.append(len(places) * len(place.part.fixings.at if place.part.fixings is not None else ()))
        if answers(fit, known)[-1].check == FIRST:  # the part does not suit the panel: its screws are as good as others
            items.append([_bag(taken.get(place.name))])
            continue
        every = (None, *everything(place, job, drawer or {}))
        ranked = [(rank(answers(fit.with_stack(s), known)), s) for s in every]
        ranked = [pair for pair in ranked if pair[1] is not None] or ranked  # bad screws are told of better than none
        best = min(r for r, _ in ranked)
        least.append(best)
        items.append(sorted({_bag(s) for r, s in ranked if r == best}))
        ranks.append(rank(answers(fit.with_stack(taken.get(place.name)), known)))
    if math.prod(len(options) for options in items) > WAYS:
        return None
    got = [_bag(taken.get(places[0].name)) for places in alike.values()]
    best_aims = min(aims(way, counts, drawer) for way in product(*items))
    return Result(seed, (ranks, aims(got, counts, drawer)), (least, best_aims))


Bag = tuple[bool, tuple[str, ...]]  # whether nothing keeps it from working loose, and what is in it for one fixing


def _bag(stack: Stack | None) -> Bag:
    if stack is None:
        return (False, ())
    kinds = {washer.kind for washer in stack.washers}
    locks = stack.nut is not None and fasteners.nut_kinds()[stack.nut.kind].keeps is not None
    kept = locks or kinds & {"split", "tooth internal", "tooth external"}
    in_plastic = stack.boss is not None and stack.boss.material == "plastic"
    return (not kept and not in_plastic and stack.screw.rivet is None, tuple(name for _, name in stack.items))


def aims(way: Sequence[Bag], counts: Sequence[int], drawer: Stock | None) -> Aims:
    """Return how far a choice meets the aims: items bought, fixings that nothing keeps, items used, pieces bought.

    Of these a tenth is spare, and at least two; without a drawer the items that are used are all that counts.
    """
    needed: Counter[str] = Counter()
    for (_, names), count in zip(way, counts, strict=True):
        for name in names:
            needed[name] += count
    if drawer is None:
        return (len(needed),)
    loose = sum(count for (is_loose, _), count in zip(way, counts, strict=True) if is_loose)
    short = {name: n - drawer.get(name, 0) for name, n in needed.items() if n > drawer.get(name, 0)}
    spares = sum(max(2, -(-needed[name] // 10)) for name in short)
    return (len(short), loose, len(needed), sum(short.values()) + spares)


def main() -> None:
    """Compare many panels and tell where something better is to be had."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--panels", type=int, default=200)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--drawer", action="store_true", help="Take from a drawer that has some of it.")
    given = parser.parse_args()
    start = time.perf_counter()
    with ProcessPoolExecutor(given.jobs) as pool:
        seeds = range(given.first, given.first + given.panels)
        found = list(pool.map(partial(compared, with_drawer=given.drawer), seeds))
    results = [result for result in found if result is not None]
    for result in results:
        if not result.is_best:
            print(result)
    left_out, equal = len(found) - len(results), sum(result.is_best for result in results)
    print(f"{len(results)} panels, {equal} at their best, {left_out} left out, {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
