"""Names of places as a person lists them."""

from __future__ import annotations

from collections.abc import Sequence
from string import digits


def in_words(names: Sequence[str]) -> str:
    """Return names as a person lists them: a run that is numbered on by its ends, others one by one."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _stem(name) == _stem(runs[-1][-1]) and _number(name) == _number(runs[-1][-1]) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def _stem(name: str) -> str:
    return name.rstrip(digits)


def _number(name: str) -> int:
    """Return the number at the end of a name; one that follows no other where there is none."""
    return int(name.removeprefix(_stem(name)) or -2)
