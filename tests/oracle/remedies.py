"""Remedies told of random panels, carried out on the layout file as its reader would, and the panel checked again.

python -m tests.oracle.remedies --remedies 400 --jobs 2 --report remedies.txt
"""

from __future__ import annotations

import argparse
import io
import json
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from dryfit.generators.pipeline import check, judged
from dryfit.generators.report import Report
from dryfit.generators.writers.report_json import report_json
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from tests.oracle.random_panels import layout, write

RANK = ("fits", "tight", "fails")
SEEDS_AT_A_TIME = 16

State = dict[tuple[str, str], str]  # the worst verdict of every check at every place


@dataclass(frozen=True)
class Tried:
    """One remedy carried out: of what finding, in words, and what is wrong with it (empty: it cures and harms not)."""

    seed: int
    check: str
    says: str
    wrong: str


def reported(text: str, how: Callable[[Job], Report]) -> dict[str, Any] | None:
    """Return the report of a layout as data; None where it is refused."""
    with tempfile.TemporaryDirectory() as folder:
        path = write(Path(folder), text)
        try:
            report: dict[str, Any] = json.loads(report_json(how(read_job(path))))
        except InputError:
            return None
    return report


def state(report: dict[str, Any]) -> State:
    """Return the worst verdict of every check at every place, those told along with another finding too."""
    worst: State = {}
    for f in report["findings"]:
        for name in (f["check"], *f["also"]):
            key = (f["place"], name)
            worst[key] = max(worst.get(key, "fits"), f["verdict"], key=RANK.index)
    return worst


def applied(text: str, changes: list[dict[str, Any]]) -> str:
    """Return a layout with the changes of a remedy made."""
    yaml = YAML(typ="rt")
    data = yaml.load(text)
    for change in changes:
        spot = data["panel"] if change["entry"] is None else data["places"][change["entry"]]
        *way, last = change["path"]
        for key in way:
            spot = spot.setdefault(key, {})
        if change["value"] is None:
            spot.pop(last, None)
        else:
            spot[last] = change["value"]
    out = io.StringIO()
    yaml.dump(data, out)
    return out.getvalue()


def wrong_with(before: State, finding: dict[str, Any], text: str) -> str:
    """Return what is wrong with a remedy that was carried out on a layout: ``text`` is what became of it."""
    report = reported(text, judged)
    if report is None:
        return "the layout is refused"
    after = state(report)
    mine = (finding["place"], finding["check"])
    if RANK.index(after.get(mine, "fits")) >= RANK.index(finding["verdict"]):
        return "it does not cure"
    harmed = [key for key, verdict in after.items() if verdict == "fails" and before.get(key) != "fails"]
    return f"it makes {harmed} fail" if harmed else ""


def tried(seed: int) -> list[Tried]:
    """Carry out every remedy that one random panel is told, each on the layout as it was."""
    text = layout(seed)
    report = reported(text, check)
    return [] if report is None else list(_each(seed, text, report))


def _each(seed: int, text: str, report: dict[str, Any]) -> Iterator[Tried]:
    before, known = state(report), dict[tuple[str, str], str]()
    for finding in report["findings"]:
        if finding["verdict"] == "fits" or not finding["changes"]:
            continue
        changed = applied(text, finding["changes"])
        key = (changed, f"{finding['place']} {finding['check']}")
        if key not in known:
            known[key] = wrong_with(before, finding, changed)
            yield Tried(seed, finding["check"], f"{finding['says']} -> {finding['remedy']}", known[key])


def main() -> None:
    """Try remedies until there are enough, and tell those that do not cure or that harm."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--remedies", type=int, default=400)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--report", type=Path, default=Path("remedies.txt"))
    given = parser.parse_args()
    kinds: Counter[str] = Counter()
    bad, start, panels = 0, time.perf_counter(), 0
    with given.report.open("w", encoding="utf-8") as out, ProcessPoolExecutor(given.jobs) as pool:
        for first in count(given.first, SEEDS_AT_A_TIME):
            for found in pool.map(tried, range(first, first + SEEDS_AT_A_TIME)):
                panels += 1
                for one in found:
                    kinds[one.check] += 1
                    bad += bool(one.wrong)
                    out.write(f"{'WRONG' if one.wrong else 'cures'} {one.seed} {one.check}: {one.says} {one.wrong}\n")
                out.flush()
            if sum(kinds.values()) >= given.remedies:
                break
    print(f"{sum(kinds.values())} remedies of {panels} panels, {bad} wrong, {time.perf_counter() - start:.0f} s")
    print(dict(kinds))


if __name__ == "__main__":
    main()
