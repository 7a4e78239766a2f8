"""Other screws, nuts and washers, keeping as much of the present ones as can be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dryfit.generators.hardware.choice import Choice, options
from dryfit.generators.joints.words import describe
from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategy
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy, worst
from dryfit.models.job import HardwareWish
from dryfit.models.tables.metals import environments, metals

TRIED_EACH = 3  # of the equally good candidates that a wish leaves, those a builder would take first


@strategy("other hardware")
def other_hardware(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose other hardware: but for one thing like the present, then but for two, then any."""
    place, fit = report.job.place(finding.place), report.fits[finding.place]
    seen = {fit.stack.hardware} if fit.stack is not None else set()
    for wish in _relaxed(report, finding.place):
        trial = replace(fit, mounting=replace(fit.mounting, wish=wish), stack=None)
        for choice in options(trial)[:TRIED_EACH]:
            if choice.stack is not None and choice.stack.hardware not in seen:
                seen.add(choice.stack.hardware)
                if _betters(choice, finding):
                    yield Remedy(f"Take {describe(choice.stack)}.", (edits.hardware(place, choice.stack),))


def _betters(choice: Choice, finding: Finding) -> bool:
    """Whether what the checks say of a candidate at its place leaves hope: else trying the whole panel is in vain."""
    told = worst(answer.verdict for answer in choice.answers if answer.check == finding.check)
    return told.rank < finding.verdict.rank


def _relaxed(report: Report, name: str) -> Iterator[HardwareWish]:
    stack, asked = report.fits[name].stack, report.job.place(name).wish
    free = replace(asked, head=None, length=None, nut=None, washers=None)
    if stack is not None:
        held = replace(
            asked, threads=(stack.thread.name,), head=stack.screw.head.kind, length=None,
            nut=stack.nut.kind if stack.nut is not None else None, washers=tuple(w.kind for w in stack.washers),
        )  # fmt: skip
        yield held
        yield replace(held, washers=None)
        yield replace(held, nut=None)
        yield replace(held, nut=None, washers=None)
        yield replace(held, head=None)
        yield replace(held, threads=())
    yield free
    yield replace(free, threads=(), retention=None, heads=(), drives=())


@strategy("other metal")
def other_metal(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose screws of every other metal that they are made of; where damp stays, plain steel rusts by itself."""
    place = report.job.place(finding.place)
    damp = environments()[report.job.environment].name != "indoor"
    for metal in metals().values():
        if place.wish.metal and metal.proof is not None and not (damp and metal.name == "steel"):
            change = Edit(place.entry, ("hardware", "metal"), metal.name)
            yield Remedy(f"Take {metal.words} screws.", (change,))


@strategy("coat the panel")
def coat(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose to keep metals apart, by a coating where there is none, else by what lies between."""
    if report.job.panel.coating == 0 and finding.says.startswith("Part and panel"):
        yield Remedy("Coat or anodise the panel, so that its metal does not touch, and write its `coating`.")
    yield Remedy("Keep the metals apart: a plastic washer and sleeve, or a plain washer over the coating.")


@strategy("insulate")
def insulate(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose what keeps a live bush off the panel: the layout cannot say it."""
    yield Remedy("Take one with an insulated bush, or a panel of plastic.")


@strategy("mask the earth point")
def mask(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose bare metal at the earth point."""
    if report.job.panel.coating and not report.job.panel.mask_earth and report.job.place(finding.place).part.earth:
        says = "Mask the earth point before coating, or scrape it bare: `mask_earth: true`."
        yield Remedy(says, (Edit(None, ("mask_earth",), True),))
