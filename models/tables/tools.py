"""Tools that make round holes in sheet by hand, other than twist drills, in the sizes of the table of drills."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table


@dataclass(frozen=True)
class Tool:
    """A kind of tool: the thickest sheet that it takes and the least diameter it is sold in, mm."""

    name: str
    most_sheet: float
    least: float
    source: str


@cache
def tools() -> tuple[Tool, ...]:
    """Return the kinds of tools, those a builder has at hand first."""
    return read_table("tools", Tool)


def tools_for(diameter: float, sheet: float) -> tuple[str, ...]:
    """Return the kinds of tools that make a hole of a size that is sold, in sheet so thick (mm)."""
    return tuple(tool.name for tool in tools() if sheet <= tool.most_sheet and diameter >= tool.least)
