"""The choice of hardware against trying everything: all threads, heads, nuts, washers and sold lengths, in all ways.

python -m tests.oracle.optimum --panels 200 --jobs 2
"""

from __future__ import annotations

import argparse
import math
import random
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import product
from pathlib import Path

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

WAYS = 200_000  # of combining places; panels with more are left out
THREADS = ("M2.5", "M3", "M4", "No. 4-40", "No. 6-32")
HEADS = ("pan", "countersunk", "button", "raised countersunk")
RETENTIONS = ("tooth washer", "self-locking nut", "tooth-washer nut", "thread locker")


@dataclass(frozen=True)
class Result:
    """What came of one panel: rank of every place and number of items, as chosen and at best."""

    seed: int
    chosen: tuple[list[tuple[int, int]], int]
    best: tuple[list[tuple[int, int]], int]

    @property
    def is_best(self) -> bool:
        """Whether nothing better is to be had."""
        return self.chosen == self.best


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


def everything(place: Place, job: Job) -> Iterator[Stack]:
    """Yield every stack that the wishes of a place leave open, from the tables alone."""
    held, wish = joint(place.mounting, job.panel), place.wish
    assert held is not None  # the part has fixings
    boss = held.boss
    names = (boss.screw,) if boss is not None else wish.threads
    for name in names:
        thread = fasteners.thread(name)
        for head in (h for kind in wish.heads for h in fasteners.heads(name, kind)[:1]):
            for nut, washers in [(None, ())] if boss is not None else _nuts(wish.retention, name):
                for length in fasteners.lengths(name):
                    yield Stack(held, fasteners.Screw(thread, head, length), nut, washers)


def _nuts(retention: str | None, name: str) -> Iterator[tuple[fasteners.Nut, tuple[fasteners.Washer, ...]]]:
    ways = fasteners.retention_ways()
    for kind in ways if retention is None else (retention,):
        if kind == "split washer" and retention is None:
            continue  # it locks poorly, and is taken only where it is asked for
        for way in ways[kind]:
            nuts = fasteners.nuts(name, way.nut)[:1]
            washers = [fasteners.washers(name, washer)[:1] for washer in way.washers]
            if nuts and all(washers):
                yield nuts[0], tuple(w[0] for w in washers)


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


def compared(seed: int) -> Result | None:
    """Return chosen and best of one small panel; None where it is refused, or has too many ways."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "layout.yaml"
        path.write_text(small(seed), encoding="utf-8")
        try:
            job = read_job(path)
        except InputError:
            return None  # a wish that no table meets
    beside = around(job, {})
    taken = chosen(job, beside)
    ranks, items, least = [], [], []
    for place, here in zip(job.places, beside, strict=True):
        fit, known = Fit(job.panel, place.mounting, here.surroundings), dict[object, tuple[Answer, ...]]()
        if answers(fit, known)[-1].check == FIRST:  # the part does not suit the panel: its screws are as good as others
            items.append([frozenset(taken[place.name].items if place.name in taken else ())])
            continue
        ranked = [(rank(answers(fit.with_stack(s), known)), s) for s in (None, *everything(place, job))]
        ranked = [pair for pair in ranked if pair[1] is not None] or ranked  # bad screws are told of better than none
        best = min(r for r, _ in ranked)
        least.append(best)
        options = {frozenset(s.items) if s is not None else frozenset() for r, s in ranked if r == best}
        items.append(sorted(options, key=sorted))
        ranks.append(rank(answers(fit.with_stack(taken.get(place.name)), known)))
    if math.prod(len(options) for options in items) > WAYS:
        return None
    fewest = min(len(frozenset().union(*way)) for way in product(*items))
    bought = len({item for stack in taken.values() for item in stack.items})
    return Result(seed, (ranks, bought), (least, fewest))


def main() -> None:
    """Compare many panels and tell where something better is to be had."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--panels", type=int, default=200)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=2)
    given = parser.parse_args()
    start = time.perf_counter()
    with ProcessPoolExecutor(given.jobs) as pool:
        found = list(pool.map(compared, range(given.first, given.first + given.panels)))
    results = [result for result in found if result is not None]
    for result in results:
        if not result.is_best:
            print(result)
    left_out, equal = len(found) - len(results), sum(result.is_best for result in results)
    print(f"{len(results)} panels, {equal} at their best, {left_out} left out, {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
