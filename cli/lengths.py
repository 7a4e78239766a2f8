"""Options that take a length."""

from __future__ import annotations

import click

from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.units import parse_length


def mm(ctx: click.Context, param: click.Parameter, value: str | None) -> float | None:
    """Return the length that is given to an option, mm; None where there is none."""
    if value is None:
        return None
    try:
        return parse_length(value)
    except ValueError as error:
        raise DryfitError(f"--{(param.name or '').replace('_', '-')}: {error}") from None
