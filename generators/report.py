"""The report: everything known of a panel put together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from dryfit.generators.bodies.assemble import assemble
from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.bodies.real import Reals
from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Finding, Verdict, worst
from dryfit.models.job import Job


@dataclass(frozen=True)
class SecondBag:
    """Screws that only some places need: their name, the places, why, and what would save the bag."""

    screw: str
    places: tuple[str, ...]
    why: str
    change: str

    @property
    def says(self) -> str:
        """The whole in one sentence or two."""
        names = ", ".join(self.places)
        change = self.change or "Only another part there saves the bag."
        return f"{self.screw}: only {names} want{'s' * (len(self.places) == 1)} it, for {self.why} {change}"


@dataclass(frozen=True)
class Report:
    """Hardware, assembly and findings in the order of the places.

    ``fits`` and ``fitting`` are the places and the whole as they were judged: parts at the worse end of their
    dimensions. The ``assembly`` has them as they are meant. ``reals`` are the true solids of parts that have one, where
    somebody read them: they are drawn and handed over in place of the slices that hold them.
    """

    job: Job
    fits: Mapping[str, Fit]
    fitting: Fitting
    findings: tuple[Finding, ...]
    second_bags: tuple[SecondBag, ...] = ()
    reals: Reals = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def stacks(self) -> dict[str, Stack]:
        """The fasteners of every place that has some, by its name."""
        return {name: fit.stack for name, fit in self.fits.items() if fit.stack is not None}

    @cached_property
    def assembly(self) -> Assembly:
        """The panel put together from parts as they are meant: what is drawn and handed over."""
        return assemble(self.job, self.stacks)

    @property
    def verdict(self) -> Verdict:
        """The worst of all findings."""
        return worst(f.verdict for f in self.findings)

    @property
    def first_worst(self) -> Finding | None:
        """The first finding that is as bad as the whole; None where all is well."""
        bad = (f for f in self.findings if f.verdict is self.verdict)
        return None if self.verdict is Verdict.FITS else next(bad)

    def of(self, place: str, beside: bool = False) -> tuple[Finding, ...]:
        """Return the findings of one place; with ``beside`` also those of others that concern it."""
        return tuple(f for f in self.findings if f.place == place or (beside and place in f.beside))

    def verdict_of(self, place: str) -> Verdict:
        """Return the verdict of one place: the worst that is told of it, at other places too."""
        return worst(f.verdict for f in self.findings if place == f.place or (place in f.beside and f.check in SHARED))


SHARED = ("body-room", "web", "goes-in")
"""Checks that tell a clash of two places once, at the first of them."""
