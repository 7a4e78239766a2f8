"""How a legend is to look, beyond its text: a second line, how high, on which side of its part, in what colour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from dryfit.models.reading.fields import PositiveLength, Record, Text

LegendSide = Literal["above", "below", "left", "right"]

LOWEST, HIGHEST = 1.0, 50.0  # mm, capitals; lower ones nobody reads, higher ones are no legends


class LegendWish(Record):
    """A legend as it may be written in full: one or two lines, their height, side and colour."""

    text: Text = ""
    second: Text = ""
    height: Annotated[PositiveLength, Field(ge=LOWEST, le=HIGHEST)] | None = None
    side: LegendSide | None = None
    colour: Text = ""


@dataclass(frozen=True)
class Lettering:
    """What is asked for of one legend; what is empty is chosen."""

    second: str = ""  # line, below the first
    height: float | None = None  # of capitals, mm
    side: LegendSide | None = None
    colour: str = ""


PLAIN = Lettering()
