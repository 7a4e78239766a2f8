"""Lengths as people write them, and as dryfit keeps them: millimetres, always.

``3 mm``, ``0.945 in``, ``1/8 in``, ``1 3/4 in``, ``1/8"`` and a bare number (millimetres) are read, and the other units
of ``data/units.csv``; anything else is an error. Fractions are exact until the last step, so ``1/8 in`` is 3.175 mm to
the last bit.
"""

from __future__ import annotations

import csv
import math
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache

from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.errors import said

MM_PER_INCH = Fraction(254, 10)  # exact by definition (1959 international yard and pound agreement)
LONGEST_LENGTH = 10_000.0  # mm; no panel part is longer, and a bound keeps a stranger's file from hurting
SAME_WRITTEN = 0.01  # mm; a length written in inches to three decimals is within it
SAME_LENGTH = 1e-9  # mm; lengths turned from inches to mm and back differ by less, and no two sizes are this close
FINEST_FRACTION = 64  # inches are printed in 64ths, as drills and rules are marked

_NUMBER = (
    r"(?P<whole>\d+)\s+(?P<top>\d+)\s*/\s*(?P<bottom>\d+)|(?P<num>\d+)\s*/\s*(?P<den>\d+)|(?P<dec>\d+(?:\.\d*)?|\.\d+)"
)
_UNIT = r"(?P<unit>[^\d\s,/-]*)"
_LENGTH = re.compile(rf"\s*(?P<sign>[-+−]?)\s*(?:{_NUMBER})\s*{_UNIT}\s*", re.ASCII)
_BARE = re.compile(rf"\s*[-+−]?\s*(?:{_NUMBER})\s*", re.ASCII)
LENGTH_EXAMPLES = '3 mm, 0.945 in, 1/8 in, 1 3/4 in, 1/8" or a bare number of mm'


def parse_signed_length(value: object) -> float:
    """Return a length or coordinate in mm; it may be negative.

    Raises:
        ValueError: with what was found and what is expected, in one short sentence.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"{said(value)} is not a length; write {LENGTH_EXAMPLES}")
    if isinstance(value, int | float):
        return _bounded(float(value), value)
    match = _LENGTH.fullmatch(value) if len(value) <= 40 else None
    if match is None and _LENGTH.fullmatch(value.replace(",", ".", 1)[:40]):
        raise ValueError(f"{said(value)} is not a length; write {value.replace(',', '.')}, with a point")
    if match is None or match["unit"].casefold() not in _units():
        raise ValueError(f"{said(value)} is not a length; write {LENGTH_EXAMPLES}")
    return _bounded(float(_exact(match, value)), value)


def parse_length(value: object) -> float:
    """Return a length in mm that is not negative; see :func:`parse_signed_length` for the errors."""
    length = parse_signed_length(value)
    if length < 0:
        raise ValueError(f"{said(value)} is negative; a length is zero or more")
    return length


def _exact(match: re.Match[str], value: str) -> Fraction:
    part = match.groupdict()
    bottom = part["bottom"] or part["den"]
    if bottom is not None and int(bottom) == 0:
        raise ValueError(f"{said(value)} divides by zero")
    if part["dec"] is not None:
        number = Fraction(part["dec"] if part["dec"][-1] != "." else part["dec"][:-1])
    elif part["whole"] is not None:
        number = int(part["whole"]) + Fraction(int(part["top"]), int(part["bottom"]))
    else:
        number = Fraction(int(part["num"]), int(part["den"]))
    sign = -1 if part["sign"] in {"-", "−"} else 1
    return sign * number * _units()[part["unit"].casefold()]


@cache
def _units() -> dict[str, Fraction]:
    """Return how many mm the units have, by their names; none is mm."""
    rows = csv.DictReader(data_text("units.csv").splitlines())
    return {"": Fraction(1)} | {row["name"].casefold(): Fraction(row["mm"]) for row in rows}


def with_unit_of(text: str, other: str) -> str:
    """Return a length as text with the unit of another, where it is a bare number: of ``200 x 80 mm`` both are mm."""
    match = _LENGTH.fullmatch(other)
    return f"{text} {match['unit']}" if match is not None and _BARE.fullmatch(text) else text


def _bounded(length: float, found: object) -> float:
    if not math.isfinite(length):
        raise ValueError(f"{said(found)} is not a finite length")
    if abs(length) > LONGEST_LENGTH:
        raise ValueError(f"{said(found)} is longer than {LONGEST_LENGTH:g} mm")
    return length


def is_inches(value: object) -> bool:
    """Whether a length is written in inches."""
    return isinstance(value, str) and value.rstrip().endswith(("in", "inch", '"'))


def to_inches(mm: float) -> float:
    """Return millimetres as inches."""
    return mm / float(MM_PER_INCH)


def format_mm(mm: float, digits: int = 2) -> str:
    """Return ``3.18 mm`` for 3.175: rounded as people do, half away from zero; no trailing zeros, never ``-0``."""
    text = f"{Decimal(repr(float(mm))).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{'0' if text == '-0' else text} mm"


def decimals(value: float, digits: int) -> str:
    """Return a number as files have it: so many decimals at the most, no trailing zeros, never ``-0``."""
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def format_inch(mm: float) -> str:
    """Return a length as inches: a fraction where it is one (``1/8 in``), else three decimals (``0.945 in``)."""
    inches = to_inches(mm)
    sixtyfourths = round(inches * FINEST_FRACTION)
    if sixtyfourths and abs(inches * FINEST_FRACTION - sixtyfourths) < 1e-6:  # noise of mm -> in -> mm
        whole, rest = divmod(Fraction(sixtyfourths, FINEST_FRACTION), 1)
        parts = [str(whole)] if whole else []
        parts += [f"{rest.numerator}/{rest.denominator}"] if rest else []
        return f"{' '.join(parts)} in"
    return f"{inches:.3f} in"


def format_length(mm: float, system: str = "metric") -> str:
    """Return ``3.2 mm``, or ``3/8 in (9.53 mm)`` where the part is an inch part."""
    return f"{format_inch(mm)} ({format_mm(mm)})" if system == "inch" else format_mm(mm)
