"""Hole chart as CSV: every hole with its position from two datums, in mm and inches, and what is done to it."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.lists.failing import Fails
from dryfit.generators.lists.holes import Lettered, lettered_holes
from dryfit.generators.tolerances import GENERAL, Tolerances
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.spreadsheet import as_text, csv_text
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.contours import number
from dryfit.models.job import Job
from dryfit.models.reading.units import to_inches

COLUMNS = (
    "hole",
    "letter",
    "place",
    "purpose",
    "shape",
    "size before coating mm",
    "size before coating in",
    "size after coating mm",
    "given finished",
    "size tolerance mm",
    "position tolerance mm",
    "countersink mm",
    "countersink angle deg",
    "countersink side",
    "x from lower left mm",
    "y from lower left mm",
    "x from centre mm",
    "y from centre mm",
    "x from lower left in",
    "y from lower left in",
    "x from centre in",
    "y from centre in",
    "not for manufacture",
)


@file_kind("holes", "holes.csv", "Every hole with its position from two datums.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, holes_csv(order.report.job, order.fails, order.allowed).encode("utf-8"))


def holes_csv(job: Job, fails: Fails = (), allowed: Tolerances = GENERAL) -> str:
    """Return the hole chart: a line of headings, then one line per hole; of a panel that fails each row says so.

    Tolerances are plus or minus; a fixing hole's position has its own from the axis of its place.
    """
    rows = enumerate(lettered_holes(job), start=1)
    return csv_text(COLUMNS, ((*_row(job, n, item, allowed), _failing(item.hole.place, fails)) for n, item in rows))


def _failing(place: str, fails: Fails) -> str:
    """Return what fails at the place of a hole, or that the panel does; nothing where it may be made."""
    checks = dict.fromkeys(f.check for f in fails if place and place in (f.place, *f.beside))
    return f"fails: {', '.join(checks)}" if checks else "the panel fails" * bool(fails)


def _row(job: Job, n: int, item: Lettered, allowed: Tolerances) -> list[str]:
    hole, kind, (x, y) = item.hole, item.kind, item.at
    left, bottom = job.panel.width / 2, job.panel.height / 2
    sink = kind.countersink
    spots = (x + left, y + bottom, x, y)
    return [
        str(n),
        kind.letter,
        as_text(hole.place or hole.name),
        hole.purpose,
        kind.punched,
        number(kind.diameter, 3),
        f"{to_inches(kind.diameter):.4f}",
        number(kind.diameter - 2 * kind.coating, 3),
        "yes" if job.panel.holes_finished else "no",
        number(allowed.size(kind.outline, kind.places), 3),
        number(position_tolerance(job, item, allowed), 3),
        number(sink.diameter, 3) if sink is not None else "",
        number(sink.angle) if sink is not None else "",
        kind.sunk_from if sink is not None else "",
        *(f"{_unsigned_zero(v):.3f}" for v in spots),
        *(f"{_unsigned_zero(to_inches(v)):.4f}" for v in spots),
    ]


def position_tolerance(job: Job, item: Lettered, allowed: Tolerances) -> float:
    """Return the tolerance of a hole's position: a place's from the datum, a fixing hole's from its place's axis."""
    if not item.hole.place:
        return allowed.outline.position(max(map(abs, item.at)))
    place = job.place(item.hole.place)
    if item.hole.purpose == "fixing":
        return allowed.within(place.cutout.fixings, [place.name])
    return allowed.spot(job.panel, place)


def _unsigned_zero(value: float) -> float:
    """Return the value without the noise that prints as -0.000."""
    return 0.0 if abs(value) < 5e-5 else value
