"""What differs as a table: rows for a terminal and for a spreadsheet, and JSON for programs. Lengths are mm."""

from __future__ import annotations

import json

from dryfit.generators.intake.comparing.compare import Comparison, Difference
from dryfit.generators.writers.spreadsheet import as_text, csv_text
from dryfit.models.geometry.points import Point
from dryfit.models.version import version

HEADINGS = ("number", "what", "hole", "says", "off mm", "allowed mm", "x from lower left mm", "y from lower left mm")
DECIMALS = 3  # of a mm: what files are rounded to


def rows(found: Comparison) -> tuple[tuple[str, ...], ...]:
    """Return the differences as cells, numbered as in the picture."""
    return tuple(_row(found, number, one) for number, one in enumerate(found.differences, start=1))


def comparison_csv(found: Comparison) -> str:
    """Return the differences as CSV."""
    return csv_text(HEADINGS, (tuple(map(as_text, row[:4])) + row[4:] for row in rows(found)))


def comparison_json(found: Comparison) -> str:
    """Return the comparison as JSON text, the same for the same input."""
    data = {
        "schema": 1,
        "dryfit": version(),
        "layout": found.job.file,
        "layout_sha256": found.job.digest,
        "verdict": str(found.verdict),
        "holes": found.asked,
        "differences": [_record(found, one) for one in found.differences],
    }
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _row(found: Comparison, number: int, one: Difference) -> tuple[str, ...]:
    x, y = _from_corner(found, one) or ("", "")
    return (str(number), one.kind, one.hole, one.says, _number(one.off), _number(one.allowed), _number(x), _number(y))


def _record(found: Comparison, one: Difference) -> dict[str, object]:
    at = _from_corner(found, one)
    return {
        "what": one.kind,
        "hole": one.letter,
        "place": one.place,
        "says": one.says,
        "off": None if one.off is None else round(one.off, DECIMALS),
        "allowed": None if one.allowed is None else round(one.allowed, DECIMALS),
        "x": None if at is None else round(at.x, DECIMALS),
        "y": None if at is None else round(at.y, DECIMALS),
    }


def _from_corner(found: Comparison, one: Difference) -> Point | None:
    """Return where a difference is, from the lower left corner of the panel that was asked for."""
    return None if one.at is None else one.at - found.wanted.box.corner


def _number(value: float | str | None) -> str:
    return value if isinstance(value, str) else "" if value is None else f"{round(value, DECIMALS) + 0.0:.{DECIMALS}f}"
