"""Lengths and outlines as files for people have them: to a thousandth of a mm, keys and values between braces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from dryfit.models.reading.units import decimals

DIGITS = 3  # decimals of a mm in what is written
IN_DEGREES = ("turn",)  # keys of an outline that are no lengths

Written = Mapping[str, Any]
"""An outline by the keys of :func:`dryfit.models.reading.fields.read_outline`, in mm and degrees."""


def mm(value: float) -> str:
    """Return a length (mm) without its unit."""
    return decimals(value, DIGITS)


def keys(outline: Written, unit: str = "") -> Iterator[str]:
    """Yield the keys that make an outline, with their values; ``unit`` stands behind each length."""
    for key, value in outline.items():
        yield f"{key}: {value:g}" if key in IN_DEGREES else f"{key}: {_lengths(value, unit)}"


def _lengths(value: Any, unit: str) -> str:
    if isinstance(value, list):
        return f"[{', '.join(_lengths(each, unit) for each in value)}]"
    return f"{mm(value)}{unit}"
