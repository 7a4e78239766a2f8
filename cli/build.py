"""``dryfit build``: make the files."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dryfit.models.reading.errors import DryfitError, display_path

if TYPE_CHECKING:
    from dryfit.generators.files import FileKind, Order


@click.command()
@click.argument("layout", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the files; by default the layout's name.")
@click.option("--only", multiple=True, metavar="KIND", help="Make only this kind of file; may be given several times.")
@click.option(
    "--paper", type=click.Choice(["A4", "A3", "Letter", "Tabloid"]), default="A3", show_default=True,
    help="Paper of the shop drawing; the drill template comes on A4 or Letter.",
)  # fmt: skip
@click.option(
    "--printer", type=click.Path(path_type=Path), metavar="FILE",
    help="Profile of the printer that makes the test plate (see `dryfit printer`); by default a generic one.",
)  # fmt: skip
def build(layout: Path, out: Path | None, only: tuple[str, ...], paper: str, printer: Path | None) -> None:
    """Make the files of LAYOUT: to order, print, cut, drill and assemble.

    Kinds: report, drawing, dxf, template, holes, parts, assembly, step, stl, test-plate, glb, pictures.

    Exit status: 0 nothing fails, 1 something fails (the files are made all the same), 2 the input is wrong.

    \b
    Example:
      dryfit build box.yaml
      dryfit build box.yaml --out shop --only drawing --only step
    """
    from dryfit.cli.printing import exit_status
    from dryfit.generators import files
    from dryfit.generators import pipeline as checking
    from dryfit.generators.lists.cautions import cautions
    from dryfit.models.printer import read_printer
    from dryfit.models.resolve import read_job

    job = read_job(layout)
    profile = read_printer(printer) if printer is not None else None
    folder = out if out is not None else layout.with_suffix("")
    if folder.exists() and not folder.is_dir():
        raise DryfitError(f"{display_path(folder)}: is a file, expected a folder for the results")
    report = checking.check(job)
    kinds = files.chosen(report, only)
    with click.progressbar(length=len(kinds), label="building", file=sys.stderr, hidden=not sys.stderr.isatty()) as bar:
        results = []
        order = files.Order(report, paper, profile)
        for result in files.build(order, folder, kinds):
            results.append(result)
            bar.update(1)
    for kind, why in results:
        click.echo(f"{display_path(folder / kind.name):40} {f'not made: {why}' if why else kind.purpose}")
    click.echo(f"{display_path(folder / 'index.html'):40} This list as a page.")
    for line in _of_test_plate(order, results):
        click.echo(line)
    click.echo(f"\nverdict: {report.verdict}; `dryfit check {display_path(layout)}` tells why")
    for caution in cautions(job):
        click.echo(f"! {caution}")
    sys.exit(exit_status(report))


def _of_test_plate(order: Order, results: Iterable[tuple[FileKind, str]]) -> Iterator[str]:
    """Yield what there is to know of the test plate, if it was made."""
    from dryfit.generators.testplate.plate import summary_lines

    if any(kind.word == "test-plate" and not why for kind, why in results):
        yield ""
        yield from summary_lines(order.test_plate)
