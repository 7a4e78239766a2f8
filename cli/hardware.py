"""``dryfit hardware``: the fastener tables, asked without a layout."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import click

from dryfit.cli.lengths import mm
from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Thread


@click.group(invoke_without_command=True)
@click.option("--panel-hole", callback=mm, metavar="LENGTH", help="Finished fixing hole in the panel.")
@click.option("--flange-hole", callback=mm, metavar="LENGTH", help="Hole in the part's flange.")
@click.option("--stack", callback=mm, metavar="LENGTH", help="All that is clamped, washers included.")
@click.option("--thread", "names", multiple=True, metavar="NAME", help="Only this thread; may be given several times.")
@click.pass_context
def hardware(
    ctx: click.Context,
    panel_hole: float | None,
    flange_hole: float | None,
    stack: float | None,
    names: tuple[str, ...],
) -> None:
    """Say which screws pass a panel hole and a flange hole, and which length a given stack wants.

    Screws are taken at their largest. Lengths are those sold, for a flat-bottomed head and a hexagon nut.

    \b
    Example:
      dryfit hardware --panel-hole 3.1mm --flange-hole 3.4mm
      dryfit hardware --stack "6.2 mm" --thread M3 --thread 4-40
      dryfit hardware tables nuts
    """
    from dryfit.models.tables import fasteners

    if ctx.invoked_subcommand is not None:
        return
    chosen = [fasteners.thread(n) for n in names] or [t for t in fasteners.threads() if fasteners.nuts(t.name)]
    holes = [hole for hole in (panel_hole, flange_hole) if hole is not None]
    if not holes and stack is None:
        raise DryfitError("nothing to answer: give --panel-hole, --flange-hole or --stack, or ask for `tables`")
    header = ["thread", "largest"]
    header += ["clearance", "verdict", "drill to open"] if holes else []
    header += ["shortest", "usual", "engaged", "past the nut"] if stack is not None else []
    rows = (
        [
            t.name,
            format_mm(t.major_max, 3),
            *(_passes(t, min(holes)) if holes else ()),
            *(_length(t, stack) if stack is not None else ()),
        ]
        for t in chosen
    )
    _print([header, *rows])


def _passes(thread: Thread, hole: float) -> list[str]:
    """Return clearance in the tighter hole, verdict, and the drill that would open it."""
    from dryfit.generators.checks.screw_passes import DROP_IN
    from dryfit.models.findings import Verdict, grade
    from dryfit.models.tables import fasteners

    room = hole - thread.major_max
    verdict = grade(room, 0.0, DROP_IN)
    if verdict is Verdict.FITS:
        return [format_mm(room, 3), str(verdict), "-"]
    drill = fasteners.next_drill_at_least(thread.major_max + DROP_IN)
    size = "" if drill.family == "metric" else f" ({format_mm(drill.diameter)})"
    return [format_mm(room, 3), str(verdict), f"{drill.name}{size}"]


def _length(thread: Thread, stack: float) -> list[str]:
    """Return the shortest and the usual length sold for a grip, and what the usual one gives."""
    from dryfit.generators.joints.stacks import AIM_PITCHES, NUT_PITCHES
    from dryfit.models.tables import fasteners

    nut = fasteners.nuts(thread.name, "hexagon")[0]
    least = stack + nut.height + NUT_PITCHES * thread.pitch
    aim = stack + nut.height + AIM_PITCHES * thread.pitch
    sold = [length for length in fasteners.lengths(thread.name) if length >= least]
    if not sold:
        return ["none sold", "-", "-", "-"]
    usual = min(sold, key=lambda length: abs(length - aim))
    past = usual - stack - nut.height
    names = [fasteners.length_name(length, thread.system) for length in (sold[0], usual)]
    return [*names, format_mm(nut.height), f"{format_mm(past)} ({past / thread.pitch:.1f} pitches)"]


@hardware.command()
@click.argument("name", required=False)
def tables(name: str | None) -> None:
    """Print the fastener tables, or the one called NAME, with sources.

    \b
    Example:
      dryfit hardware tables
      dryfit hardware tables washers
    """
    from dataclasses import astuple, fields

    from dryfit.models.reading.errors import UnknownName
    from dryfit.models.tables import fasteners
    from dryfit.models.tables.metals import environments, metals
    from dryfit.models.tables.panels import materials, tie_holes, wall_plates

    known: dict[str, Callable[[], Sequence[Any]]] = {
        "threads": fasteners.threads, "heads": fasteners.heads, "nuts": fasteners.nuts, "washers": fasteners.washers,
        "clearances": fasteners.clearances, "drills": fasteners.drills, "rivets": fasteners.rivets,
        "forming": fasteners.forming_screws, "drivers": lambda: tuple(fasteners.drivers().values()),
        "retention": lambda: tuple(fasteners.retentions().values()),
        "rack": lambda: tuple(fasteners.rack_screws().values()), "plates": lambda: tuple(wall_plates().values()),
        "materials": lambda: tuple(materials().values()), "ties": lambda: tuple(tie_holes().values()),
        "metals": lambda: tuple(metals().values()), "environments": lambda: tuple(environments().values()),
    }  # fmt: skip
    if name is not None and name not in known:
        raise UnknownName("table", name, known)
    for title in (name,) if name is not None else known:
        rows = known[title]()
        click.echo(f"{title} (lengths in mm)")
        _print([[f.name for f in fields(rows[0])], *([_cell(value) for value in astuple(row)] for row in rows)])
        click.echo()


def _cell(value: object) -> str:
    return "-" if value is None else f"{value:.4g}" if isinstance(value, float) else str(value)


def _print(rows: Sequence[Iterable[str]]) -> None:
    cells = [list(row) for row in rows]
    widths = [max(len(row[i]) for row in cells) for i in range(len(cells[0]))]
    for row in cells:
        click.echo("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
