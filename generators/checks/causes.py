"""One finding per cause: what several checks tell of the same two bodies is told once, by the one that asks nearest.

A nut that clashes with the barrel where it rests has no way to get there either, and two parts that overlap bring
their holes, plugs and latches too near to each other. The finding that stays names the checks that it stands for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from dryfit.models.findings import Finding, Verdict

FOLLOWS = ("land", "goes-in", "body-room")
"""Checks whose failure follows from that of a nearer question about the same bodies, the nearest first."""
TOO_NEAR = ("body-room", "goes-in", "web", "plug-seats", "latch-reach", "nut-room", "washer-land", "land")
"""Checks that fail together where two places are too near to each other, the one that tells first."""


def folded(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings with those of one cause folded into the first of them; what fits and what is tight stays."""
    told = tuple(findings)
    failing = [f for f in told if f.verdict is Verdict.FAILS]
    heads = {**_by_pair(failing), **_by_bodies(failing)}
    also: dict[Finding, list[str]] = {}
    for finding, head in heads.items():
        also.setdefault(_first(head, heads), []).append(finding.check)
    return tuple(_with(f, also.get(f, [])) for f in told if f not in heads)


def _with(finding: Finding, also: list[str]) -> Finding:
    return replace(finding, also=tuple(dict.fromkeys((*finding.also, *also)))) if also else finding


def _first(finding: Finding, heads: dict[Finding, Finding]) -> Finding:
    while finding in heads:
        finding = heads[finding]
    return finding


def _by_bodies(failing: list[Finding]) -> dict[Finding, Finding]:
    """Return what follows from a nearer question about the same bodies of one place, with what it follows from.

    What is told of the panel itself is about one hole or another, whatever the bodies.
    """
    heads: dict[Finding, Finding] = {}
    for finding in failing:
        if finding.check in FOLLOWS and finding.place and not finding.beside:
            before = (f for f in failing if f.place == finding.place and _comes_before(f, finding))
            lead = min(before, key=lambda f: _rank(f.check), default=None)
            if lead is not None:
                heads[finding] = lead
    return heads


def _comes_before(finding: Finding, other: Finding) -> bool:
    """Whether a finding is about the bodies of another one and asks nearer."""
    ours, theirs = set(finding.bodies), set(other.bodies)
    alike = ours == theirs or (bool(ours and theirs) and (ours < theirs or theirs < ours))
    return alike and not finding.beside and _rank(finding.check) < _rank(other.check)


def _rank(check: str) -> int:
    return FOLLOWS.index(check) + 1 if check in FOLLOWS else 0


def _by_pair(failing: list[Finding]) -> dict[Finding, Finding]:
    """Return what two places tell of each other, with the finding that leads."""
    groups: dict[frozenset[str], list[Finding]] = {}
    for finding in failing:
        if len(finding.beside) == 1 and finding.check in TOO_NEAR:
            groups.setdefault(frozenset((finding.place, *finding.beside)), []).append(finding)
    heads: dict[Finding, Finding] = {}
    for group in groups.values():
        lead = min(group, key=lambda f: (TOO_NEAR.index(f.check), f.margin or 0.0))
        heads |= {f: lead for f in group if f is not lead}
    return heads
