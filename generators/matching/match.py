"""Answers: what the checks say of one part on one hole, and of many, over the processors of this machine."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

from dryfit.generators.checks.asking import answered
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import StackCheck, stack_checks
from dryfit.generators.clearance.surroundings import around
from dryfit.generators.joints.candidates import candidates
from dryfit.generators.joints.joint import joint
from dryfit.generators.joints.words import describe
from dryfit.generators.lists.purchase import supply_in_words
from dryfit.generators.matching.asked import PLACE, Opening, Question
from dryfit.generators.matching.work import Work, to_drill, work
from dryfit.generators.pipeline import judged, judged_with
from dryfit.generators.report import Report
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Side
from dryfit.models.findings import Verdict
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import resolve

FEW = 60  # questions: more are worth the second or so that other processes take to start
CHUNK = 8  # questions handed to a process at a time
NO_LAYOUT = "layout"  # in place of a check's name, where the hole cannot be asked of at all


@dataclass(frozen=True)
class Passing:
    """How a part goes with the screws of one thread: the verdict, and the check that tells it first."""

    thread: str
    verdict: Verdict
    check: str = ""


@dataclass(frozen=True)
class Match:
    """What is said of one part, from one side, on one hole.

    ``supply`` is what of the hardware is there and what is to buy, where there is a drawer.
    ``check`` and ``says`` are the first of the worst findings, empty where all fits, and ``also`` the other checks that
    do not simply fit. ``unused`` counts fixing holes that the part leaves open.
    """

    part: str
    title: str
    mount: Side
    opening: str
    verdict: Verdict
    check: str = ""
    says: str = ""
    also: tuple[str, ...] = ()
    hardware: str = ""
    supply: str = ""
    threads: tuple[Passing, ...] = ()
    work: Work | None = None
    unused: int = 0

    @property
    def goes(self) -> bool:
        """Whether it goes as things are."""
        return self.verdict is not Verdict.FAILS


def matches(asked: Sequence[Question], files: tuple[Path, ...] = (), processes: int = 1) -> Iterator[Match]:
    """Yield the answer to each question, in their order; ``files`` are the user's own part files."""
    if processes == 1 or len(asked) <= FEW:
        yield from (match(question, files) for question in asked)
        return
    context = multiprocessing.get_context("spawn")  # nothing of this process leaks in, on every system alike
    pool = ProcessPoolExecutor(processes, context, signal.signal, (signal.SIGINT, signal.SIG_IGN))
    try:
        yield from pool.map(partial(match, files=files), asked, chunksize=CHUNK)
    finally:
        pool.shutdown(cancel_futures=True)


def match(question: Question, files: tuple[Path, ...] = ()) -> Match:
    """Return the answer to one question: what is said of a panel with that one place."""
    catalogue, opening = _catalogue(files), question.opening
    title = catalogue.parts[question.part].title
    try:
        job = resolve(question.layout(), catalogue)
    except InputError as error:
        says = error.faults[0].what
        return Match(question.part, title, question.mount, opening.name, Verdict.FAILS, NO_LAYOUT, f"{says}.")
    is_hopeless = _is_hopeless(job)
    report = _with_usual(job) if is_hopeless else judged(job)
    first, stack = report.first_worst, report.stacks.get(PLACE)
    return Match(
        question.part, title, question.mount, opening.name, report.verdict,
        first.check if first else "", first.says if first else "", _others(report, is_hopeless),
        describe(stack) if stack is not None and not is_hopeless else "",
        supply_in_words(report) if stack is not None and report.verdict is not Verdict.FAILS else "",
        tuple(_passing(question, catalogue)) if question.deeply and report.verdict is not Verdict.FAILS else (),
        _work(report, opening) if question.deeply else None,
        len(opening.fixings) if not job.places[0].fixings else 0,
    )  # fmt: skip


def _others(report: Report, is_hopeless: bool) -> tuple[str, ...]:
    """Return the other checks that do not simply fit; where screws were not chosen, those that ask nothing of them."""
    first, told = report.first_worst, (f.check for f in report.findings if f.is_bad)
    whatever = {check.name for check in _of_no_screw()}
    return tuple(dict.fromkeys(c for c in told if first and c != first.check and (c in whatever or not is_hopeless)))


def _of_no_screw() -> tuple[StackCheck, ...]:
    """Return the checks whose answer is the same whatever the screws."""
    return tuple(check for check in stack_checks() if not check.looks_at)


def _is_hopeless(job: Job) -> bool:
    """Whether a part with screws fails in a way that none of them mends, such as a barrel too fat for its hole."""
    worst = job.at_worst()
    if not worst.places[0].mounting.fixings:
        return False  # there is nothing to choose
    fit = Fit(worst.panel, worst.places[0].mounting, around(worst, {})[0].surroundings)
    return any(answer.verdict is Verdict.FAILS for check in _of_no_screw() for answer in answered(check, fit))


def _with_usual(job: Job) -> Report:
    """Return the report with the first screws that may be tried: where it is all one, choosing is lost time."""
    worst = job.at_worst()
    mounting = worst.places[0].mounting
    held = joint(mounting, worst.panel)
    usual = next(candidates(mounting, held), None) if held is not None else None
    return judged_with(job, {} if usual is None else {PLACE: usual})


@lru_cache(maxsize=1)
def _catalogue(files: tuple[Path, ...]) -> Catalogue:
    return load_catalogue(files)


# --- screws from a list ----------------------------------------------------------------------------------------------


def _passing(question: Question, catalogue: Catalogue) -> Iterator[Passing]:
    """Yield how the part goes with each thread at hand by itself; where it has a thread of its own, nothing."""
    fixings, hardware = catalogue.parts[question.part].fixings, question.sheet.hardware
    if fixings is None or fixings.boss is not None or len(hardware.threads) < 2:
        return
    for name in hardware.threads:
        report = judged(resolve(question.layout(hardware.changed(threads=(name,))), catalogue))
        first = report.first_worst
        yield Passing(name, report.verdict, first.check if first is not None else "")


# --- what would have to be done --------------------------------------------------------------------------------------


def _work(report: Report, opening: Opening) -> Work | None:
    (place,) = report.job.places
    if report.verdict is Verdict.FAILS:
        return work(report, () if opening.is_undrilled else place.cutout.fixing_holes)
    if opening.is_undrilled and place.cutout.fixings:
        return Work(to_drill(place), report.verdict)
    return None
