"""``dryfit check``: read a layout, put it together, say what fits."""

from __future__ import annotations

import sys
from pathlib import Path

import click

DRAWER = "Screws, nuts and washers at hand: a CSV file with the columns item and count."


def _schema(ctx: click.Context, param: click.Parameter, asked: bool) -> None:
    """Print the schema and end, where it is asked for."""
    if asked:
        from dryfit.models.reading.datafiles import data_text

        click.echo(data_text("report.schema.json").encode(), nl=False)
        ctx.exit()


@click.command()
@click.argument("layout", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the whole report as JSON (lengths in mm).")
@click.option(
    "--schema", is_flag=True, is_eager=True, expose_value=False, callback=_schema,
    help="Print the JSON Schema of that report; needs no LAYOUT.",
)  # fmt: skip
@click.option("--quick", is_flag=True, help="Exact gaps only; do not cross-check with meshes.")
@click.option("--all", "everything", is_flag=True, help="Tell what fits as well.")
@click.option("--drawer", type=click.Path(path_type=Path), metavar="FILE", help=DRAWER)
def check(layout: Path, as_json: bool, quick: bool, everything: bool, drawer: Path | None) -> None:
    """Say place by place what fits, what is tight and what fails in LAYOUT, with numbers and remedies.

    Exit status: 0 nothing fails, 1 something fails, 2 the input is wrong.

    \b
    Example:
      dryfit check box.yaml
      dryfit check box.yaml --json > report.json
    """
    from dryfit.cli.printing import exit_status, print_report
    from dryfit.generators import pipeline as checking
    from dryfit.generators.intake.solids.reals import with_solids
    from dryfit.generators.lists.cautions import cautions
    from dryfit.generators.lists.purchase import other_metals, strange_prices
    from dryfit.models.resolve import read_job

    job = read_job(layout, drawer)
    report = checking.check(job)
    if not quick:
        report = checking.cross_check(with_solids(report))
    if as_json:
        from dryfit.generators.writers.report_json import report_json

        click.echo(report_json(report).encode(), nl=False)  # UTF-8 whatever the locale
    else:
        print_report(report, everything)
        click.echo()
        for caution in (*cautions(job), *strange_prices(report), *other_metals(report)):
            click.echo(f"! {caution}")
    sys.exit(exit_status(report))
