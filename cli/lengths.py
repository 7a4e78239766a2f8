"""Options that take a length."""

from __future__ import annotations

import click

from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.units import parse_length


def mm(ctx: click.Context, param: click.Parameter, value: str | None) -> float | None:
    """Return the length that is given to an option, mm; None where there is none."""
    return None if value is None else length_of(f"--{(param.name or '').replace('_', '-')}", value)


def length_of(option: str, text: str) -> float:
    """Return a length (mm) that is given to an option, which messages name."""
    try:
        return parse_length(text)
    except ValueError as error:
        raise DryfitError(f"{option}: {error}") from None
