"""From a job to its report: hardware chosen, everything put together, every question asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from dryfit.generators.bodies.assemble import assemble
from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.checks.registry import Fit, Fitting, panel_checks, strategies
from dryfit.generators.clearance.surroundings import fits
from dryfit.generators.hardware.choice import options
from dryfit.generators.hardware.panel_choice import Spares, fewest_items
from dryfit.generators.hardware.second_bag import SecondBag, names_by_fit, second_bags
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.remedies.remedies import remedy
from dryfit.models.findings import Finding, Verdict, worst
from dryfit.models.job import Job, Place


@dataclass(frozen=True)
class Report:
    """Everything known of a panel put together: hardware, assembly and findings in the order of the places."""

    job: Job
    stacks: Mapping[str, Stack]
    assembly: Assembly
    findings: tuple[Finding, ...]
    second_bags: tuple[SecondBag, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The worst of all findings."""
        return worst(f.verdict for f in self.findings)

    def of(self, place: str) -> tuple[Finding, ...]:
        """Return the findings of one place."""
        return tuple(f for f in self.findings if f.place == place)


def check(job: Job) -> Report:
    """Choose the hardware of all places together, put the panel together and ask every check."""
    each = fits(job)
    alike = names_by_fit(dict(zip((place.name for place in job.places), each, strict=True)))
    distinct = tuple(alike)
    counts = [len(names) * _fixings(fit) for fit, names in alike.items()]
    chosen = fewest_items([options(fit) for fit in distinct], counts, job.prices, Spares(job.spares))
    bags = second_bags([(fit, choice, alike[fit]) for fit, choice in zip(distinct, chosen, strict=True)])
    told = {
        fit: (choice, tuple(_cured(replace(fit, stack=choice.stack), choice.findings)))
        for fit, choice in zip(distinct, chosen, strict=True)
    }
    stacks: dict[str, Stack] = {}
    findings: list[Finding] = []
    for place, fit in zip(job.places, each, strict=True):
        choice, answers = told[fit]
        if choice.stack is not None:
            stacks[place.name] = replace(choice.stack, place=place)
        findings.extend(_at(place, answers))
    fitting = Fitting(job, stacks, assemble(job, stacks))
    findings.extend(f for _, ask in panel_checks() for f in ask(fitting))
    return Report(job, stacks, fitting.assembly, _sorted(job, findings), bags)


def _fixings(fit: Fit) -> int:
    return len(fit.place.part.fixings.at) if fit.place.part.fixings is not None else 1


def cross_check(report: Report) -> Report:
    """Return the report with a finding for every pair of bodies on which the two engines disagree."""
    from dryfit.generators.clearance.clashes import disagreements

    more = disagreements(report.assembly)
    return replace(report, findings=_sorted(report.job, [*report.findings, *more])) if more else report


def _cured(fit: Fit, findings: tuple[Finding, ...]) -> Iterator[Finding]:
    """Yield the findings, those that do not fit with a remedy that was tried."""
    for finding in findings:
        if finding.verdict is Verdict.FITS or finding.remedy:
            yield finding
            continue
        text, changes = remedy(fit, finding, strategies(finding.check))
        yield replace(finding, remedy=text or _no_remedy(finding), changes=changes)


def _no_remedy(finding: Finding) -> str:
    if finding.verdict is Verdict.TIGHT:
        return ""
    return "No hardware, hole or side in the tables cures this: choose another part or panel."


def _at(place: Place, findings: tuple[Finding, ...]) -> Iterator[Finding]:
    """Yield findings worked out for a like place, as findings of this one."""
    for finding in findings:
        changes = tuple(replace(change, entry=place.entry) for change in finding.changes)
        yield replace(finding, place=place.name, changes=changes)


def _sorted(job: Job, findings: list[Finding]) -> tuple[Finding, ...]:
    """Return findings place by place as in the layout, within a place in the order of asking."""
    order = {place.name: number for number, place in enumerate(job.places)}
    return tuple(sorted(findings, key=lambda f: order.get(f.place, len(order))))
