"""The register of checks.

Two kinds of question exist. A stack check looks at one place with one fastener stack and what stands around it; it
is asked of every candidate while hardware is chosen, and again of the choice. A panel check looks at the whole
assembly. Each says of which places it must answer: a question that applies and is not answered fails (see
:mod:`dryfit.generators.checks.asking`).
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Generic, Literal, TypeVar

from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.joints.stacks import Stack, StackPart
from dryfit.models.findings import Answer, Finding
from dryfit.models.job import Place

EVERYTHING: tuple[StackPart, ...] = ("thread", "head", "length", "nut", "washers")

Seen = Literal["nothing", "beside fasteners", "all"]

Ask = TypeVar("Ask")
About = TypeVar("About")


@dataclass(frozen=True)
class Check(Generic[Ask, About]):
    """One question: its name, how it is asked, of what it must answer, and the strategies that may cure what it finds.

    ``looks_at`` names what of the stack the answer depends on, so that it is asked once for all that have it in common.
    ``sees`` says what of the surroundings it depends on as well, so that it is asked once for all places that have in
    common how the part is mounted, the panel, and that. But for ``all`` it does not depend on what the layout asks for.
    ``hangs_on`` names the dimensions of part and plug that decide its answers in mm: patterns of their paths, those of
    a plug under ``plug``, the sections that go through the panel under ``through``.
    """

    name: str
    ask: Ask
    applies: Callable[[About], bool]
    strategies: tuple[str, ...]
    looks_at: tuple[StackPart, ...] = EVERYTHING
    sees: Seen = "all"
    hangs_on: tuple[str, ...] = ()


StackAsk = Callable[[Fit], Iterator[Answer]]
PanelAsk = Callable[[Fitting], Iterator[Finding]]
StackCheck = Check[StackAsk, Fit]
PanelCheck = Check[PanelAsk, Place]

_STACK_CHECKS: dict[str, StackCheck] = {}
_PANEL_CHECKS: dict[str, PanelCheck] = {}

ORDER = (
    "mount-side",
    "hardware",
    "cutout-size",
    "goes-in",
    "hole-pattern",
    "screw-passes",
    "head-seat",
    "screw-length",
    "screw-bottoms",
    "nut-room",
    "washer-land",
    "land",
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
    "live-bush",
)
"""The order in which questions are asked and told. A part on the wrong side is asked nothing more. A check that is
not named here comes last."""
_ORDERED = {name: number for number, name in enumerate(ORDER)}

FIRST = "mount-side"


def only_pairs(_: object) -> bool:
    """Of no place alone: the check tells of pairs of places, and of each place another check by its name answers."""
    return False


def always(_: object) -> bool:
    """Whatever the part has, the question applies."""
    return True


def stack_check(
    name: str,
    applies: Callable[[Fit], bool] = always,
    strategies: tuple[str, ...] = (),
    looks_at: tuple[StackPart, ...] = EVERYTHING,
    sees: Seen = "all",
    *,
    hangs_on: tuple[str, ...] = (),
) -> Callable[[StackAsk], StackAsk]:
    """Register a check that looks at one place with one stack."""

    def register(ask: StackAsk) -> StackAsk:
        _STACK_CHECKS[name] = Check(name, ask, applies, strategies, looks_at, sees, hangs_on)
        return ask

    return register


def panel_check(
    name: str,
    applies: Callable[[Place], bool] = always,
    strategies: tuple[str, ...] = (),
    *,
    hangs_on: tuple[str, ...] = (),
) -> Callable[[PanelAsk], PanelAsk]:
    """Register a check that looks at the whole panel."""

    def register(ask: PanelAsk) -> PanelAsk:
        _PANEL_CHECKS[name] = Check(name, ask, applies, strategies, hangs_on=hangs_on)
        return ask

    return register


@cache
def _load() -> None:
    """Import every module of this package, so that each registers its check."""
    package = importlib.import_module("dryfit.generators.checks")
    for module in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{module.name}")


def place_in_order(name: str) -> int:
    """Return the place of a check in the order of telling."""
    return _ORDERED.get(name, len(ORDER))


@cache
def stack_checks() -> tuple[StackCheck, ...]:
    """Return the stack checks, in the order of asking."""
    _load()
    return tuple(sorted(_STACK_CHECKS.values(), key=lambda check: place_in_order(check.name)))


@cache
def panel_checks() -> tuple[PanelCheck, ...]:
    """Return the panel checks, in the order of asking."""
    _load()
    return tuple(sorted(_PANEL_CHECKS.values(), key=lambda check: place_in_order(check.name)))


@cache
def strategies(name: str) -> tuple[str, ...]:
    """Return the names of the strategies that may cure what the check ``name`` finds."""
    of_stack = (check.strategies for check in stack_checks() if check.name == name)
    of_panel = (check.strategies for check in panel_checks() if check.name == name)
    return tuple(dict.fromkeys(strategy for named in (*of_stack, *of_panel) for strategy in named))


@cache
def hangs_on(name: str) -> tuple[str, ...]:
    """Return the dimensions that decide what the check ``name`` answers, as patterns of their paths."""
    of_stack = (check.hangs_on for check in stack_checks() if check.name == name)
    of_panel = (check.hangs_on for check in panel_checks() if check.name == name)
    return tuple(dict.fromkeys(path for named in (*of_stack, *of_panel) for path in named))


@cache
def names() -> tuple[str, ...]:
    """Return the names of all checks, in the order of asking."""
    asked = {*(check.name for check in stack_checks()), *(check.name for check in panel_checks())}
    return tuple(sorted(asked, key=place_in_order))


def question(name: str) -> str:
    """Return what a check asks, as its module says first."""
    asking = {check.name: check.ask.__module__ for check in stack_checks()}
    asking |= {check.name: check.ask.__module__ for check in panel_checks() if check.name not in asking}
    told = sys.modules[asking[name]].__doc__ or ""
    return " ".join(told.partition("?")[0].split()) + "?"


def seen_by(check: StackCheck, stack: Stack | None) -> Hashable:
    """Return what of a stack a check depends on."""
    return None if stack is None else tuple([stack.parts[part] for part in check.looks_at])
