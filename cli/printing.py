"""How findings look in a terminal: calm, in columns, in colour only where a person sees it."""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import groupby

import click

from dryfit.generators.joints.words import describe
from dryfit.generators.lists.measure_first import unsure_kinds
from dryfit.generators.lists.names import in_words
from dryfit.generators.lists.purchase import supply_in_words
from dryfit.generators.lists.unasked import unasked
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict, worst
from dryfit.models.job import Place
from dryfit.models.reading.errors import number_of
from dryfit.models.reading.units import format_inch, format_mm

COLOURS = {Verdict.FITS: "green", Verdict.TIGHT: "yellow", Verdict.FAILS: "red"}


SOMETHING_FAILS = 1


def exit_status(report: Report) -> int:
    """Return the exit status of a report: 0 nothing fails, 1 something fails."""
    return SOMETHING_FAILS if report.verdict is Verdict.FAILS else 0


def in_colour() -> bool:
    """Whether standard output is a terminal that may be coloured (the NO_COLOR convention is kept)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def painted(text: str, verdict: Verdict) -> str:
    """Return text in the colour of a verdict, or plain."""
    return click.style(text, fg=COLOURS[verdict]) if in_colour() else text


def print_report(report: Report, everything: bool) -> None:
    """Print the panel, then place by place what is tight or fails (with ``everything``, also what fits)."""
    job, panel = report.job, report.job.panel
    units = f"{panel.rack_units} U, " if panel.rack_units else ""
    coat = f", {format_mm(panel.coating)} coating per surface" if panel.coating else ""
    click.echo(f"{job.title}")
    click.echo(
        f"{units}{format_mm(panel.width)} x {format_mm(panel.height)}, {panel.material.name} "
        f"{format_mm(panel.thickness)} ({format_inch(panel.thickness)}){coat}"
    )
    for _, group in groupby(job.places, key=lambda place: _alike(report, place, everything)):
        _print_places(report, list(group), everything)
    _print_rest(report, everything)
    for bag in report.second_bags:
        click.echo(f"\nsecond bag: {bag.says}")
    supply = supply_in_words(report)
    if supply:
        click.echo(f"\ndrawer: {supply}")
    unsure = unsure_kinds(report)
    if unsure:
        click.echo("\nmeasure this first; it is from memory, and verdicts hang on it:")
    for kind, told in unsure.items():
        click.echo(f"       {kind}: {told}")
    missing = unasked(report)
    if missing:
        click.echo("\nnot asked, for the layout does not say it:")
    for says in missing:
        click.echo(f"       {says}")
    click.echo()
    click.echo(painted(_summary(report), report.verdict))


def _alike(report: Report, place: Place, everything: bool) -> object:
    """Places in a row that are told together: same part, side, hardware, and word for word the same findings.

    With ``everything`` each place is told by itself, so that every answer is there to be read.
    """
    if everything:
        return place.name
    stack = report.stacks.get(place.name)
    hardware = stack.hardware if stack else None
    told = [
        (f.check, f.verdict, f.says.replace(place.name, ""), f.remedy) for f in _worth(report.of(place.name), False)
    ]
    return (place.kind, place.mount, hardware, told, _elsewhere(report, place.name))


def _worth(findings: Iterable[Finding], everything: bool) -> list[Finding]:
    return [f for f in findings if everything or f.verdict is not Verdict.FITS]


def _print_places(report: Report, places: Sequence[Place], everything: bool) -> None:
    first = places[0]
    findings = report.of(first.name)
    verdict = report.verdict_of(first.name)
    names = in_words([place.name for place in places])
    click.echo()
    click.echo(f"{painted(f'{verdict:5}', verdict)}  {names}: {first.part.title}, from the {first.mount}")
    stack = report.stacks.get(first.name)
    if stack is not None:
        click.echo(f"       {describe(stack)}")
    _print_findings(findings, everything)
    elsewhere = _elsewhere(report, first.name)
    if elsewhere:
        click.echo(f"       {painted(verdict, verdict)}: see {in_words(elsewhere)}")


def _elsewhere(report: Report, name: str) -> tuple[str, ...]:
    """Return the places at which it is told what is wrong with one, where nothing of it itself is as bad."""
    verdict = report.verdict_of(name)
    if worst(finding.verdict for finding in report.of(name)) is verdict:
        return ()
    told = (f.place for f in report.of(name, beside=True) if f.verdict is verdict and f.place != name)
    return tuple(dict.fromkeys(told))


def _print_rest(report: Report, everything: bool) -> None:
    """Print what is said of no place, such as of a plain hole, under a head of its own."""
    placed = {place.name for place in report.job.places}
    rest = _worth((f for f in report.findings if f.place not in placed), everything)
    if rest:
        verdict = worst(finding.verdict for finding in rest)
        click.echo(f"\n{painted(f'{verdict:5}', verdict)}  the panel as a whole")
        _print_findings(rest, everything)


def _print_findings(findings: Iterable[Finding], everything: bool) -> None:
    for finding in _worth(findings, everything):
        click.echo(f"       {painted(f'{finding.verdict:5}', finding.verdict)} {finding.check}: {finding.says}")
        if finding.also:
            click.echo(f"             of the same cause: {', '.join(finding.also)}")
        if finding.remedy is not None:
            click.echo(f"             remedy: {finding.remedy.says}")


def _summary(report: Report) -> str:
    """Return the last line: places by verdict, then answers by verdict."""
    places = Counter(report.verdict_of(place.name) for place in report.job.places)
    answers = Counter(f.verdict for f in report.findings)
    return f"{report.verdict}: of {_counted('place', places)}; of {_counted('answer', answers)}"


def _counted(noun: str, count: Counter[Verdict]) -> str:
    told = ", ".join(f"{count[verdict]} {verdict.verb(count[verdict])}" for verdict in Verdict)
    return f"{number_of(count.total(), noun)} {told}"
