"""How lengths are written on drawings: in millimetres, in inches, or in inches with the millimetres beside them.

Millimetres have a zero before the point and none after the last figure (ISO 129-1; ASME Y14.5, 1.6.1). Inches have no
zero before the point and as many decimals as their tolerance, zeros added (ASME Y14.5, 1.6.2). What is said to be
allowed is never more than what is: a tolerance is rounded down, less what its nominal size was rounded by.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Literal

from dryfit.models.geometry.contours import dimension, number
from dryfit.models.reading.units import format_inch, to_inches

Units = Literal["", "mm", "inch", "inch and mm"]

DECIMALS = 3  # of inches, as machine shops read them
FINE_DECIMALS = 4  # of inches whose tolerance would lose too much at three
COARSE = 0.0635  # mm; least tolerance that still leaves 0.002 in at three decimals, its nominal size rounded
PLAIN_MM, FINE_MM = 2, 3  # decimals of tolerances in mm: three below a tenth
TENTH = 0.1  # mm
NOISE = Decimal("1e-7")  # of a unit; sizes are computed in floating point, and a whole step is not lost by that
KG_PER_LB = 0.45359237  # exact by definition (1959 international yard and pound agreement)
WHOLE_GRAMS = 0.1  # kg; below, grams say more
GENERAL_INCH = 0.254  # mm: the general tolerance of inch sheets, ten thousandths of an inch


@dataclass(frozen=True)
class Measures:
    """One way to write lengths (all given in mm): ``unit`` names it in the title block."""

    unit: str
    inches: bool = False
    beside: bool = False  # the millimetres, in brackets after the inches
    decimals: int = DECIMALS  # of inches

    @property
    def says(self) -> str:
        """How the notes begin."""
        if not self.inches:
            return "Dimensions in mm."
        brackets = ", millimetres in brackets" if self.beside else ""
        return f"Dimensions in inches{brackets}, unless otherwise specified; the cut file and the STEP files are in mm."

    @property
    def general(self) -> str:
        """The general tolerance, as the title block has it."""
        return ".XXX ±.010, angles ±1°" if self.inches else "ISO 2768-m"

    def number(self, mm: float, digits: int = 2) -> str:
        """Return a length; ``digits`` are of mm."""
        return self._written(mm, number(mm, digits))

    def dimension(self, mm: float) -> str:
        """Return a length; in mm with a third decimal where it says something exactly."""
        return self._written(mm, dimension(mm))

    def fine(self, mm: float) -> str:
        """Return a length that is told to the last thousandth of a mm."""
        return self._written(mm, number(mm, 3))

    def _written(self, mm: float, as_mm: str) -> str:
        if not self.inches:
            return as_mm
        text = _inches(mm, self.decimals)
        return f"{text} [{as_mm}]" if self.beside and text != "0" else text

    def holding(self, tolerance: float) -> Measures:
        """Return this way with as many decimals as a tolerance wants."""
        return replace(self, decimals=FINE_DECIMALS if 0 < tolerance < COARSE else DECIMALS) if self.inches else self

    def held(self, tolerance: float, *lengths: float) -> str:
        """Return a tolerance (plus or minus) of lengths that are written by :meth:`dimension`, rounded down."""
        off = max((abs(Decimal(dimension(mm)) - _exact(mm)) for mm in lengths), default=Decimal(0))
        as_mm = f"{_floored(_exact(tolerance) - off, PLAIN_MM if tolerance >= TENTH else FINE_MM).normalize():f}"
        if not self.inches:
            return as_mm
        inches = [to_inches(mm) for mm in lengths]
        off = max((abs(_rounded(v, self.decimals) - _exact(v)) for v in inches), default=Decimal(0))
        left = _floored(_exact(to_inches(tolerance)) - off, self.decimals)
        text = f"{left:.{self.decimals}f}".removeprefix("0")
        return f"{text} [{as_mm}]" if self.beside else text

    def coat(self, mm: float) -> str:
        """Return the thickness of a coating."""
        um = f"{number(mm * 1000)} µm"
        if not self.inches:
            return um
        return f"{_inches(mm, FINE_DECIMALS)}{f' [{um}]' if self.beside else ''}"

    def mass(self, kg: float) -> str:
        """Return a mass: in pounds where lengths are in inches."""
        if self.inches:
            return f"{kg / KG_PER_LB:.2f} lb"
        return f"{kg:.2f} kg" if kg >= WHOLE_GRAMS else f"{kg * 1000:.0f} g"

    def sheet(self, mm: float, gauge: str | None) -> str:
        """Return the thickness of a sheet, which in inches goes by a gauge or a fraction where it is one."""
        if not self.inches:
            return dimension(mm)
        named = f"{gauge} ga" if gauge is not None else format_inch(mm).removesuffix(" in")
        text = self._written(mm, dimension(mm))
        return text if "." in named else f"{named} ({text})"


MM = Measures("mm")
INCH = Measures("inch", inches=True)
DUAL = Measures("inch [mm]", inches=True, beside=True)
BY_UNITS: dict[Units, Measures] = {"mm": MM, "inch": INCH, "inch and mm": DUAL}


def measures(units: Units, inch_job: bool) -> Measures:
    """Return the way that the title block asks for; where it does not, by whether the panel was given in inches."""
    return BY_UNITS.get(units, INCH if inch_job else MM)


def _inches(mm: float, decimals: int) -> str:
    value = _rounded(to_inches(mm), decimals)
    if value == 0:
        return "0"
    text = f"{abs(value):.{decimals}f}".removeprefix("0")
    return f"-{text}" if value < 0 else text


def _rounded(value: float, decimals: int) -> Decimal:
    """Return a value as it is written: half away from zero."""
    return _exact(value).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


def _exact(value: float) -> Decimal:
    return Decimal(repr(float(value)))


def _floored(value: Decimal, decimals: int) -> Decimal:
    """Return what is left of a tolerance, rounded down; nothing where nothing is."""
    return max(Decimal(0), (value + NOISE).quantize(Decimal(1).scaleb(-decimals), ROUND_FLOOR))
