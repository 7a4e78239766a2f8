"""The register of strategies: each proposes changes of the layout that may cure a finding. Checks name them."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from functools import cache

from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Remedy

Strategy = Callable[[Report, Finding], Iterator[Remedy]]

_STRATEGIES: dict[str, Strategy] = {}


def strategy(name: str) -> Callable[[Strategy], Strategy]:
    """Register a strategy under the name by which checks ask for it."""

    def register(propose: Strategy) -> Strategy:
        _STRATEGIES[name] = propose
        return propose

    return register


@cache
def strategies() -> dict[str, Strategy]:
    """Return the strategies by name."""
    package = importlib.import_module("dryfit.generators.remedies")
    for module in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{module.name}")
    return dict(_STRATEGIES)
