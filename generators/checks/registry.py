"""The register of checks, and what a check is given to look at.

Two kinds of question exist. A stack check looks at one place with one fastener stack and what stands around it; it
is asked of every candidate while hardware is chosen, and again of the choice. A panel check looks at the whole
assembly. Both yield findings.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Literal

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.remedies.remedies import Strategy
from dryfit.models.findings import Finding
from dryfit.models.geometry.bodies import Slice
from dryfit.models.job import Job, Panel, Place

OWN_PART, PANEL = "own part", "panel"  # names of the obstacles that belong to the place itself


@dataclass(frozen=True)
class Obstacle:
    """Something near a place: what it is in plain words, and its slices in the frame of the place."""

    name: str
    slices: tuple[Slice, ...]


@dataclass(frozen=True)
class Fit:
    """One place with one stack, in the frame of the place (its axis at x = y = 0, not turned back)."""

    panel: Panel
    place: Place
    stack: Stack | None
    around: tuple[Obstacle, ...] = ()  # its own part first, then what stands beside it


@dataclass(frozen=True)
class Fitting:
    """The whole panel put together."""

    job: Job
    stacks: Mapping[str, Stack]
    assembly: Assembly

    @cached_property
    def by_name(self) -> dict[str, Place]:
        """The places by name."""
        return {place.name: place for place in self.job.places}


StackCheck = Callable[[Fit], Iterator[Finding]]
PanelCheck = Callable[[Fitting], Iterator[Finding]]

StackPart = Literal["thread", "head", "length", "nut", "washers"]
EVERYTHING: tuple[StackPart, ...] = ("thread", "head", "length", "nut", "washers")

_LOOKS_AT: dict[str, tuple[StackPart, ...]] = {}
_STACK_CHECKS: dict[str, StackCheck] = {}
_STRATEGIES: dict[str, tuple[Strategy, ...]] = {}
_PANEL_CHECKS: dict[str, PanelCheck] = {}

ORDER = (
    "mount-side",
    "cutout-size",
    "hole-pattern",
    "screw-passes",
    "head-seat",
    "screw-length",
    "screw-bottoms",
    "nut-room",
    "washer-land",
    "plug-seats",
    "latch-reach",
    "plug-room",
    "body-room",
    "rear-room",
    "web",
    "legend-room",
    "stiffness",
    "stack-up",
    "metals",
    "mains-care",
)
"""The order in which questions are asked and told. A part on the wrong side is asked nothing more. A check that is
not named here comes last."""


def stack_check(
    name: str, remedies: tuple[Strategy, ...] = (), looks_at: tuple[StackPart, ...] = EVERYTHING
) -> Callable[[StackCheck], StackCheck]:
    """Register a check that looks at one place with one stack.

    ``remedies`` are the strategies that may cure what it finds. ``looks_at`` names what of the stack its answer
    depends on, so that it is asked once for all stacks that have this in common.
    """

    def register(check: StackCheck) -> StackCheck:
        _STACK_CHECKS[name] = check
        _STRATEGIES[name] = remedies
        _LOOKS_AT[name] = looks_at
        return check

    return register


def panel_check(name: str) -> Callable[[PanelCheck], PanelCheck]:
    """Register a check that looks at the whole panel."""

    def register(check: PanelCheck) -> PanelCheck:
        _PANEL_CHECKS[name] = check
        return check

    return register


@cache
def _load() -> None:
    """Import every module of this package, so that each registers its check."""
    package = importlib.import_module("dryfit.generators.checks")
    for module in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{module.name}")


def _place_in_order(name: str) -> int:
    return ORDER.index(name) if name in ORDER else len(ORDER)


@cache
def stack_checks() -> tuple[tuple[str, StackCheck], ...]:
    """Return the stack checks by name, in the order of telling."""
    _load()
    return tuple(sorted(_STACK_CHECKS.items(), key=lambda item: _place_in_order(item[0])))


def seen_by(name: str, stack: Stack | None) -> Hashable:
    """Return what of a stack the check ``name`` depends on."""
    if stack is None:
        return None
    parts: dict[StackPart, Hashable] = {
        "thread": stack.thread.name,
        "head": (stack.screw.head.kind, stack.screw.head.standard),
        "length": stack.screw.length,
        "nut": stack.nut,
        "washers": stack.washers,
    }
    return tuple(parts[part] for part in _LOOKS_AT[name])


def strategies(name: str) -> tuple[Strategy, ...]:
    """Return the strategies that may cure a finding of the stack check ``name``."""
    _load()
    return _STRATEGIES.get(name, ())


@cache
def panel_checks() -> tuple[tuple[str, PanelCheck], ...]:
    """Return the panel checks by name, in the order of telling."""
    _load()
    return tuple(sorted(_PANEL_CHECKS.items(), key=lambda item: _place_in_order(item[0])))
