"""Random panels, judged by the program and by the dry run; where the two differ is told.

python -m tests.oracle.compare --panels 2000 --jobs 2 --report outputs/differences.txt
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

from dryfit.generators.pipeline import judged
from dryfit.generators.writers.report_json import report_json
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from tests.oracle.dry_run import dry_run
from tests.oracle.random_panels import layout, write
from tests.oracle.things import State, Trouble

TOLD = 50  # panels after which a word is said
ABOUT_ROOM = frozenset(
    {"cutout-size", "hole-pattern", "screw-passes", "screw-bottoms", "nut-room", "washer-land", "plug-seats",
     "plug-room", "body-room", "goes-in", "land"}
)  # fmt: skip
"""Checks whose `fails` says that bodies run into each other or fall through."""


@dataclass(frozen=True)
class Difference:
    """Where the program and the dry run do not agree."""

    kind: str  # wrong fits, wrong fails
    seed: int
    places: tuple[str, ...]
    cause: str
    detail: str


@dataclass
class Outcome:
    """What came of one panel."""

    seed: int
    text: str
    refused: str = ""
    places: int = 0
    seconds: tuple[float, float] = (0.0, 0.0)
    verdicts: Counter[str] = field(default_factory=Counter)
    differences: list[Difference] = field(default_factory=list)


def hardware_of(report: dict[str, object]) -> dict[str, object]:
    """Return the hardware by place that a report names."""
    return {p["place"]: p["hardware"] for p in report["places"]}  # type: ignore[attr-defined]


def judge(job: Job) -> tuple[dict[str, object], list[Trouble]]:
    """Return the program's report of a job as data, and the troubles of its dry run with the hardware named there."""
    report = json.loads(report_json(judged(job)))
    return report, dry_run(job.at_worst(), hardware_of(report))  # type: ignore[arg-type]


def differences(seed: int, report: dict[str, object], troubles: Iterable[Trouble]) -> list[Difference]:
    """Return where report and dry run differ: collisions of places that do not fail, and failures of what goes."""
    failing: dict[str, list[dict[str, object]]] = {}
    names = [p["place"] for p in report["places"]]  # type: ignore[attr-defined]
    for f in report["findings"]:  # type: ignore[attr-defined]
        if f["verdict"] == "fails":
            for name in [f["place"], *f["beside"]]:
                failing.setdefault(name, []).append(f)
    found: list[Difference] = []
    touched: set[str] = set()
    for t in troubles:
        touched.update(t.places)
        if t.state is State.COLLIDES and not any(p in failing for p in t.places):
            found.append(Difference("wrong fits", seed, t.places, cause(t), str(t)))
    for name in names:
        room = [f for f in failing.get(name, []) if f["check"] in ABOUT_ROOM and f["place"] == name]
        if room and name not in touched:
            for f in room:
                found.append(Difference("wrong fails", seed, (name,), str(f["check"]), f"{f['measured']} {f['says']}"))
    return found


def cause(t: Trouble) -> str:
    """Return the cause of a trouble without its numbers, to count by."""
    what = t.what.rstrip("0123456789. ")
    against = t.against.rstrip("0123456789. ")
    return f"{t.kind}: {what} / {against}" + (" of another" if len(t.places) > 1 else "")


def one(seed: int) -> Outcome:
    """Make, judge and dry-run one random panel."""
    text = layout(seed)
    outcome = Outcome(seed, text)
    with tempfile.TemporaryDirectory() as folder:
        path = write(Path(folder), text)
        try:
            job = read_job(path)
        except InputError as error:
            outcome.refused = str(error)
            return outcome
    start = time.perf_counter()
    report = json.loads(report_json(judged(job)))
    middle = time.perf_counter()
    troubles = dry_run(job.at_worst(), hardware_of(report))  # type: ignore[arg-type]
    outcome.seconds = (middle - start, time.perf_counter() - middle)
    outcome.places = len(job.places)
    outcome.differences = differences(seed, report, troubles)
    worst: dict[str, State] = {p.name: State.FREE for p in job.places}
    for t in troubles:
        for name in t.places:
            worst[name] = max(worst[name], t.state)
    outcome.verdicts.update(f"oracle {s.name}" for s in worst.values())
    failing = {f["place"] for f in report["findings"] if f["verdict"] == "fails"}
    outcome.verdicts.update("dryfit fails" if p in failing else "dryfit no fails" for p in worst)
    return outcome


def main() -> None:
    """Run many panels and tell where the two differ."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--panels", type=int, default=2000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--report", type=Path, default=Path("outputs/differences.txt"))
    given = parser.parse_args()
    seeds = range(given.first, given.first + given.panels)
    total: Counter[str] = Counter()
    causes: Counter[tuple[str, str]] = Counter()
    panels: dict[tuple[str, str], set[int]] = {}
    refused, checked, dried = 0, 0.0, 0.0
    start = time.perf_counter()
    with given.report.open("w", encoding="utf-8") as out, ProcessPoolExecutor(given.jobs) as pool:
        for outcome in pool.map(one, seeds, chunksize=4):
            if outcome.refused:
                refused += 1
                continue
            total["panels"] += 1
            total["places"] += outcome.places
            if total["panels"] % TOLD == 0:
                print(f"{total['panels']} panels, {time.perf_counter() - start:.0f} s", file=sys.stderr)
            total += outcome.verdicts
            checked, dried = checked + outcome.seconds[0], dried + outcome.seconds[1]
            for kind_and_cause in {(d.kind, d.cause) for d in outcome.differences}:
                causes[kind_and_cause] += 1
                panels.setdefault(kind_and_cause, set()).add(outcome.seed)
            if outcome.differences:
                out.write(f"=== seed {outcome.seed}\n{outcome.text}\n")
                for d in outcome.differences:
                    out.write(f"{d.kind}: {d.cause}: {d.detail}\n")
                out.write("\n")
                out.flush()
    print(f"{total['panels']} panels, {total['places']} places, {refused} refused; "
          f"check {checked:.0f} s, dry run {dried:.0f} s, wall {time.perf_counter() - start:.0f} s")  # fmt: skip
    print(dict(total))
    for (kind, what), count in sorted(causes.items(), key=lambda item: (item[0][0], -item[1])):
        print(f"{count:5d} {kind}: {what}   e.g. seeds {sorted(panels[kind, what])[:6]}")


if __name__ == "__main__":
    main()
