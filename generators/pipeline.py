"""The whole flow, from a job to its report."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from dryfit.generators.bodies.assemble import assemble
from dryfit.generators.checks.asking import ask_panel, ask_place
from dryfit.generators.checks.causes import folded
from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.checks.nut_room import resting
from dryfit.generators.checks.registry import place_in_order
from dryfit.generators.clearance.clashes import disagreements
from dryfit.generators.clearance.surroundings import Around, around
from dryfit.generators.clearance.true_solids import unlike_sections
from dryfit.generators.hardware.panel_choice import chosen
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.remedies.second_bag import second_bags
from dryfit.generators.remedies.trial import cured
from dryfit.generators.report import Report
from dryfit.models.findings import Finding
from dryfit.models.job import Job


def check(job: Job) -> Report:
    """Return the report of a job: everything judged, then a remedy sought for what does not fit."""
    return advised(judged(job))


def judged(job: Job) -> Report:
    """Choose the hardware of all places together, put the panel together and ask every check."""
    worst = job.at_worst()
    return _judged(job, worst, chosen(worst, around(worst, {})))


def judged_with(job: Job, stacks: Mapping[str, Stack]) -> Report:
    """Put the panel together with the fasteners given and ask every check."""
    return _judged(job, job.at_worst(), stacks)


def _judged(job: Job, worst: Job, stacks: Mapping[str, Stack]) -> Report:
    """Return the report of a job whose parts are judged at the worse end of their dimensions, as ``worst`` has them."""
    beside = around(worst, stacks)
    fits = _settled(worst, stacks, beside)
    settled = _stacks(fits)
    fitting = Fitting(worst, settled, assemble(worst, settled))
    findings = folded(_in_order(job, [*_of_places(fits, beside), *ask_panel(fitting)]))
    return Report(job, fits, fitting, findings)


def advised(report: Report, again: Callable[[Job], Report] = judged) -> Report:
    """Return the report with remedies for what does not fit, and what would save a second bag of screws.

    ``again`` judges the panel with a change carried out, many times over; what it raises ends the search.
    """
    report = cured(report, again)
    return replace(report, second_bags=second_bags(report, again))


def cross_check(report: Report) -> Report:
    """Return the report with a finding for every pair of bodies on which the two engines disagree.

    Where it has true solids, also for what stands in them and not in their sections.
    """
    assembly = report.fitting.assembly
    more = (*disagreements(assembly), *unlike_sections(report.job, assembly, report.reals))
    return replace(report, findings=_in_order(report.job, [*report.findings, *more])) if more else report


def _settled(job: Job, stacks: Mapping[str, Stack], beside: Sequence[Around]) -> dict[str, Fit]:
    """Return every place among the fasteners of its neighbours, its nuts turned to where they come to rest."""
    fits = {}
    for place, here in zip(job.places, beside, strict=True):
        fit = Fit(job.panel, place.mounting, here.surroundings, stacks.get(place.name))
        stack = fit.stack and replace(fit.stack, rest=resting(fit.beside_fasteners()[0]))
        fits[place.name] = fit.with_stack(stack)
    return fits


def _stacks(fits: Mapping[str, Fit]) -> dict[str, Stack]:
    return {name: fit.stack for name, fit in fits.items() if fit.stack is not None}


def _of_places(fits: Mapping[str, Fit], beside: Sequence[Around]) -> Iterator[Finding]:
    """Yield the answers of the stack checks as findings, bodies by their names; like places are asked once."""
    for (name, fit), here in zip(fits.items(), beside, strict=True):
        for answer in ask_place(fit):
            numbers = [ref for ref in answer.bodies if isinstance(ref, int)]
            bodies = tuple(here.names[ref] if isinstance(ref, int) else f"{name}: {ref}" for ref in answer.bodies)
            places = dict.fromkeys(here.places[n] for n in numbers if here.places[n])
            yield Finding(
                answer.check,
                name,
                answer.verdict,
                answer.says,
                margin=answer.margin,
                unit=answer.unit,
                measured=answer.measured,
                limit=answer.limit,
                bodies=bodies,
                beside=tuple(places),
                view=answer.view,
                source=answer.source,
            )


def _in_order(job: Job, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings place by place as in the layout, within a place in the order of asking."""
    order = {place.name: number for number, place in enumerate(job.places)}
    return tuple(sorted(findings, key=lambda f: (order.get(f.place, len(order)), place_in_order(f.check))))
