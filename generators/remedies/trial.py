"""Trying remedies: the layout is edited and the whole panel checked again, as the user would.

A remedy is told only if its finding is better after it and nothing fails that did not fail before. What cures one
finding is tried first on the next, so that a row of like places is cured by one change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice

from dryfit.generators.checks.registry import strategies as of_check
from dryfit.generators.clearance.surroundings import Surroundings
from dryfit.generators.remedies.register import strategies
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy, Verdict, worst, worst_first
from dryfit.models.job import Job, Mounting
from dryfit.models.panel import Panel
from dryfit.models.resolve import with_edits

MOST_WORK = 26_000  # obstacles looked at in all trials of one report: some two seconds
A_PLACE = 15  # obstacles: what a place costs besides that is judged again as it was
A_CHANGE = 120  # obstacles: what a place costs whose hardware is chosen anew
MOST_EACH = 24  # trials for one finding
ENDED = "No more remedies were sought: the panel has too many faults to try them all."

Again = Callable[[Job], Report]
Distinct = tuple[Panel, Mounting, Surroundings]
State = dict[tuple[str, str], Verdict]  # the worst verdict of every check at every place


class Trials:
    """The trials of one report: each change is tried once, and there is an end to the work that they are.

    The work is counted, not timed, so that the same panel is always told the same.
    """

    def __init__(self, report: Report, again: Again, most: int = MOST_WORK):
        self.report = report
        self._again = again
        self._before = state(report)
        self._known = _distinct(report)
        self._after: dict[tuple[Edit, ...], State | None] = {}
        self._left = most - 2 * _work(report)  # what it took to judge the panel first, with nothing remembered

    @property
    def ended(self) -> bool:
        """Whether no trials are left."""
        return self._left <= 0

    def cures(self, finding: Finding, remedy: Remedy) -> bool:
        """Whether a remedy betters a finding and makes nothing fail that did not fail before."""
        if not remedy.edits:
            return True  # what the layout cannot say is not tried
        after = self.after(remedy.edits)
        if after is None:
            return False
        better = after.get((finding.check, finding.place), Verdict.FITS).rank < finding.verdict.rank
        return better and not any(
            verdict is Verdict.FAILS and self._before.get(key) is not Verdict.FAILS for key, verdict in after.items()
        )

    def after(self, edits: tuple[Edit, ...]) -> State | None:
        """Return how things stand after edits; None where they make no layout, or no trials are left."""
        if edits not in self._after:
            if self.ended:
                return None
            report = self.edited(edits)
            self._after[edits] = None if report is None else state(report)
        return self._after[edits]

    def edited(self, edits: tuple[Edit, ...]) -> Report | None:
        """Return the report of the panel after edits; None where they make no layout, or no work is left."""
        if self.ended:
            return None
        job = with_edits(self.report.job, edits)
        if job is None:
            self._left -= A_PLACE * len(self.report.job.places)
            return None
        report = self._again(job)
        self._left -= _work(report) + A_CHANGE * len(_distinct(report) - self._known)
        return report


def _work(report: Report) -> int:
    """Return what it takes to judge a panel of which much is remembered."""
    met = sum(len(fit.around.obstacles) for fit in report.fits.values())
    return A_PLACE * len(report.job.places) + met


def _distinct(report: Report) -> set[Distinct]:
    """Return the places of a panel, those once that look alike in company alike."""
    return {(fit.panel, fit.mounting, fit.around) for fit in report.fits.values()}


def state(report: Report) -> State:
    """Return the worst verdict of every check at every place."""
    found: State = {}
    for finding in report.findings:
        for check in (finding.check, *finding.also):
            key = (check, finding.place)
            found[key] = worst((found.get(key, Verdict.FITS), finding.verdict))
    return found


def cured(report: Report, again: Again) -> Report:
    """Return the report with a remedy for every finding that does not simply fit, where one was found.

    None is sought for what is told of the panel itself: strategies change places.
    """
    if report.job.draft is None:
        return report
    trials = Trials(report, again, MOST_WORK - A_CHANGE * len(_distinct(report)))
    known: list[Remedy] = []
    told: dict[Finding, Remedy | None] = {}
    for finding in worst_first(f for f in report.findings if f.is_bad and f.place):
        told[finding] = _remedy(trials, finding, known)
        if told[finding] is not None and told[finding] not in known:
            known.append(told[finding])  # type: ignore[arg-type]  # None was asked for just now
    return replace(report, findings=tuple(replace(f, remedy=told.get(f)) for f in report.findings))


def _remedy(trials: Trials, finding: Finding, known: list[Remedy]) -> Remedy | None:
    for remedy in (r for r in known if r.edits):
        if (
            trials.after(remedy.edits) is not None
            and trials.cures(finding, remedy)
            and _concerns(trials, finding, remedy)
        ):
            return remedy
    if trials.ended:
        return Remedy(ENDED) if finding.verdict is Verdict.FAILS else None
    tried: list[str] = []
    for remedy in islice(_proposed(trials.report, finding, tried), MOST_EACH):
        if trials.cures(finding, remedy):
            return remedy
    if finding.verdict is not Verdict.FAILS:
        return None
    return Remedy(ENDED if trials.ended else _nothing(tried))


def _concerns(trials: Trials, finding: Finding, remedy: Remedy) -> bool:
    """Whether a remedy that was told of another finding speaks of this place: it edits its entry, or the panel."""
    entries = {trials.report.job.place(name).entry for name in (finding.place, *finding.beside)}
    return all(edit.entry is None or edit.entry in entries for edit in remedy.edits)


def _proposed(report: Report, finding: Finding, tried: list[str]) -> Iterator[Remedy]:
    """Yield what the strategies of a check propose, each its share first; note which had something to propose."""
    names = of_check(finding.check)
    proposals = {name: iter(strategies()[name](report, finding)) for name in names}
    for most in (MOST_EACH // max(1, len(names)), MOST_EACH):
        for name, proposed in proposals.items():
            for remedy in islice(proposed, most):
                if name not in tried:
                    tried.append(name)
                yield remedy


def _nothing(tried: list[str]) -> str:
    if not tried:
        return "No change of hardware, hole, side or place applies here: choose another part or panel."
    return f"Nothing that was tried cures this ({', '.join(tried)}): choose another part or panel."
