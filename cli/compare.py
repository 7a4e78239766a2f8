"""``dryfit compare``: what came back from the shop, against what was asked for."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dryfit.cli.targets import to_write

if TYPE_CHECKING:
    from dryfit.generators.tolerances import Tolerances
    from dryfit.models.job import Job


@click.command()
@click.argument("layout", type=click.Path(path_type=Path))
@click.argument("drawing", type=click.Path(path_type=Path))
@click.option(
    "--unit", metavar="UNIT", help="What DRAWING is drawn in, where it does not say or is wrong: mm, in, cm, m."
)
@click.option("--coated", is_flag=True, help="DRAWING shows the holes as they are under their coating.")
@click.option("--json", "as_json", is_flag=True, help="Print the differences as JSON (lengths in mm).")
@click.option(
    "--csv", "table", callback=to_write(".csv"), type=click.Path(path_type=Path), metavar="FILE",
    help="Write them as a table, too.",
)  # fmt: skip
@click.option(
    "--picture", callback=to_write(".svg"), type=click.Path(path_type=Path), metavar="FILE.svg",
    help="Draw the panel with the differences marked, too.",
)  # fmt: skip
def compare(
    layout: Path, drawing: Path, *, unit: str | None, coated: bool, as_json: bool, table: Path | None,
    picture: Path | None,
) -> None:  # fmt: skip
    """Say where the panel in DRAWING (DXF or STEP) is not what LAYOUT asks for, within the tolerances of its drawing.

    Exit status: 0 it is what was asked for, 1 it is not, 2 the input is wrong.

    \b
    Example:
      dryfit compare box.yaml from-the-shop.dxf
      dryfit compare box.yaml from-the-shop.dxf --picture differences.svg --csv differences.csv
    """
    from dryfit.cli.printing import SOMETHING_FAILS, painted
    from dryfit.generators.intake.comparing.compare import compare as compared
    from dryfit.generators.intake.comparing.tables import comparison_csv, comparison_json, rows
    from dryfit.generators.intake.plates.files import read_plate
    from dryfit.generators.writers.whole import write_whole
    from dryfit.models.findings import Verdict
    from dryfit.models.resolve import read_job

    job = read_job(layout)
    plate = read_plate(drawing, unit)
    found = compared(job, plate, _allowed(job), coated=coated)
    if table is not None:
        write_whole(table, comparison_csv(found).encode())
    if picture is not None:
        from dryfit.generators.intake.comparing.picture import comparison_picture
        from dryfit.generators.writers.svg import write_svg

        write_svg(comparison_picture(found), picture)
    if as_json:
        click.echo(comparison_json(found).encode(), nl=False)
    else:
        _print(rows(found))
        for told in (*plate.said, *found.said):
            click.echo(f"! {told}")
        click.echo(painted(found.summary, found.verdict))
    sys.exit(SOMETHING_FAILS if found.verdict is Verdict.FAILS else 0)


def _allowed(job: Job) -> Tolerances:
    """Return the tolerances of the drawing; it takes some seconds to try them."""
    from dryfit.generators.lists.failing import failing
    from dryfit.generators.pipeline import judged
    from dryfit.generators.tolerances import GENERAL, tolerances

    if sys.stderr.isatty():
        click.echo(f"working out the tolerances of {len(job.places)} places ...", err=True)
    report = judged(job)
    if failing(report.findings):
        click.echo("! the layout fails by itself: general tolerances are compared with", err=True)
        return GENERAL
    return tolerances(report)


def _print(rows: Sequence[Sequence[str]]) -> None:
    """Print the differences in columns; how far off and how far it may be stand behind the words."""
    cells = [
        (n, what, hole, says, f"off {off}, allowed {most}" if most else "")
        for n, what, hole, says, off, most, *_ in rows
    ]
    widths = [max((len(row[i]) for row in cells), default=0) for i in range(3)]
    for row in cells:
        head = "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=False))
        click.echo(f"{head}  {row[3]}{f' ({row[4]})' if row[4] else ''}")
