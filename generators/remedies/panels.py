"""Remedies that change the panel itself, or what is behind it."""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.remedies.register import strategy
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy
from dryfit.models.job import Job
from dryfit.models.reading.units import format_inch, format_mm
from dryfit.models.tables.panels import box_depths, sheets_sold


@strategy("other sheet")
def other_sheet(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose the thicknesses sold that the part suits with their coating, that nearest to the panel's first."""
    job, part = report.job, report.job.place(finding.place).part
    low, high = (part.snap.thinnest, part.snap.thickest) if part.snap is not None else (0.0, part.thickest)
    suited = (t for t in sheets_sold(job.inches) if low <= t + 2 * job.panel.coating <= high)
    for thick in sorted(suited, key=lambda t: abs(t - job.panel.thickness)):
        yield Remedy(f"Take sheet {_length(job, thick)} thick.", (Edit(None, ("thickness",), thick),))


@strategy("deeper box")
def deeper_box(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose the deeper boxes that can be had behind a wall plate, the shallowest of them first."""
    job = report.job
    wish = job.draft.layout.layout.panel if job.draft is not None else None
    for depth in box_depths((wish.plate or wish.box or "") if wish is not None else ""):
        if depth > (job.panel.depth or 0.0):
            yield Remedy(f"Take a box {_length(job, depth)} deep.", (Edit(None, ("depth",), depth),))


def _length(job: Job, mm: float) -> str:
    return f"{format_inch(mm)} ({format_mm(mm)})" if job.inches else format_mm(mm)
