"""The findings as CSV: a row each, worst first, for a spreadsheet in which a shop ticks off what was mended."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.spreadsheet import as_text, csv_text
from dryfit.generators.writers.whole import write_whole
from dryfit.models.findings import Finding, worst_first

HEADINGS = ("verdict", "place", "check", "margin", "unit", "says", "remedy", "beside", "same cause", "source")
DECIMALS = 3  # of the margin: micrometres


@file_kind("report", "findings.csv", "All findings for a spreadsheet, worst first.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, findings_csv(order.report).encode())


def findings_csv(report: Report) -> str:
    """Return all findings, worst first, else in the order of telling; a margin is at least zero where it fits."""
    return csv_text(HEADINGS, (_row(finding) for finding in worst_first(report.findings)))


def _row(finding: Finding) -> tuple[str, ...]:
    margin = "" if finding.margin is None else f"{round(finding.margin, DECIMALS) + 0.0:.{DECIMALS}f}"
    told = (finding.says, finding.advice, ", ".join(finding.beside), ", ".join(finding.also), finding.source)
    return (str(finding.verdict), as_text(finding.place), finding.check, margin, finding.unit, *map(as_text, told))
