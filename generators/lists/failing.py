"""What every sheet and file of a panel that fails says first: that it is not for manufacture, and what fails."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dryfit.generators.lists.names import in_words
from dryfit.models.findings import Finding, Verdict

NOT_FOR_MANUFACTURE = "NOT FOR MANUFACTURE"
STATUS = "fails"  # of the document, in its title block
HEADLINE = f"{NOT_FOR_MANUFACTURE}: THIS PANEL FAILS"
MOST_TOLD = 24  # sentences; `dryfit check` tells all of them

Fails = tuple[Finding, ...]
"""The findings of a panel that fail; none where it may be made."""


def failing(findings: Iterable[Finding]) -> Fails:
    """Return those findings that fail, in the order of telling."""
    return tuple(finding for finding in findings if finding.verdict is Verdict.FAILS)


def titled(title: str, fails: Fails) -> str:
    """Return the title of a file, which says so in front where the panel is not for manufacture."""
    return f"{NOT_FOR_MANUFACTURE}: {title}" if fails else title


def reasons(fails: Fails) -> tuple[str, ...]:
    """Return what fails in short: every check once, with the places where it does."""
    by_check: dict[str, list[str]] = {}
    for finding in fails:
        by_check.setdefault(finding.check, []).append(finding.place or "the panel")
    return tuple(f"{check}: {in_words(tuple(dict.fromkeys(places)))}" for check, places in by_check.items())


def sentences(fails: Fails) -> tuple[str, ...]:
    """Return what fails in sentences, with the remedies; of many, the first, and how many more there are."""
    return tuple(_sentences(fails))


def _sentences(fails: Fails) -> Iterator[str]:
    for finding in fails[:MOST_TOLD]:
        remedy = f" Remedy: {finding.advice}" if finding.advice else ""
        yield f"{finding.place or 'Panel'} ({finding.check}): {finding.says}{remedy}"
    if len(fails) > MOST_TOLD:
        yield f"and {len(fails) - MOST_TOLD} more: `dryfit check` tells all."
