"""``dryfit build``: make the files."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dryfit.cli import interrupts
from dryfit.cli.check import DRAWER
from dryfit.models.reading.errors import DryfitError, display_path

if TYPE_CHECKING:
    from dryfit.generators.writers.register import FileKind, Order

    Results = Sequence[tuple[FileKind, str]]


SMALLEST, LARGEST = 64, 8192
"""Pixels of a side of a picture: less shows nothing, more is beyond what graphics libraries draw at once."""


class WithKinds(click.Command):
    """A command whose help ends with the kinds of files that there are."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the kinds with their files, as the register has them."""
        from dryfit.generators.writers.register import kinds

        rows = [(word, ", ".join(kind.name for kind in of)) for word, of in groupby(kinds(), lambda kind: kind.word)]
        with formatter.section("Kinds"):
            formatter.write_dl(rows)


@click.command(cls=WithKinds)
@click.argument("layout", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the files; by default the layout's name.")
@click.option("--only", multiple=True, metavar="KIND", help="Make only this kind of file; may be given several times.")
@click.option(
    "--paper", type=click.Choice(["A4", "A3", "Letter", "Tabloid"]), default=None,
    help="Paper of the drawings: A3 if not said, Tabloid if they are in inches; the drill template: A4 or Letter.",
)  # fmt: skip
@click.option(
    "--printer", type=click.Path(path_type=Path), metavar="FILE",
    help="Profile of the printer that makes the test plate (see `dryfit printer`); by default a generic one.",
)  # fmt: skip
@click.option(
    "--size", callback=lambda _, __, text: _size(text), metavar="WIDTHxHEIGHT",
    help="Size of every picture in pixels, such as 2400x1350; by default each as suits it.",
)  # fmt: skip
@click.option("--step-legends", is_flag=True, help="Put the legends into panel.step, as faces on its front.")
@click.option("--transparent", is_flag=True, help="Leave the background out of pictures.")
@click.option(
    "--shop", type=click.Path(path_type=Path), metavar="FILE",
    help="What the title blocks say besides, kept once: owner, creator ... (see `dryfit explain title_block`).",
)  # fmt: skip
@click.option("--drawer", type=click.Path(path_type=Path), metavar="FILE", help=DRAWER)
@click.option("--force", is_flag=True, help="Replace files in the way that dryfit did not write, or that were changed.")
def build(
    layout: Path,
    *,
    out: Path | None,
    only: tuple[str, ...],
    paper: str | None,
    printer: Path | None,
    size: tuple[int, int] | None,
    transparent: bool,
    step_legends: bool,
    shop: Path | None,
    drawer: Path | None,
    force: bool,
) -> None:
    """Make the files of LAYOUT: to order, print, cut, drill and assemble.

    The folder is replaced as one thing, at the end: what this build does not make of an earlier one is gone, files of
    your own stay. With --only the rest of an earlier build stays too. manifest.json names every file with its digest.

    Exit status: 0 nothing fails, 1 something fails (the files are made all the same), 2 the input is wrong or nothing
    of a KIND asked for could be made.

    \b
    Example:
      dryfit build box.yaml
      dryfit build box.yaml --out shop --only drawing --only step
    """
    from dryfit.cli.printing import exit_status
    from dryfit.generators import pipeline as checking
    from dryfit.generators.build import build as making
    from dryfit.generators.intake.solids.reals import with_solids
    from dryfit.generators.lists.cautions import cautions
    from dryfit.generators.lists.purchase import other_metals, strange_prices, supply_in_words
    from dryfit.generators.writers.register import Order, chosen
    from dryfit.models.printer import read_printer
    from dryfit.models.resolve import read_job
    from dryfit.models.titles import Titles, read_titles

    job = read_job(layout, drawer)
    profile = read_printer(printer) if printer is not None else None
    titles = read_titles(shop) if shop is not None else Titles()
    folder = out if out is not None else layout.with_suffix("")
    report = with_solids(checking.check(job))
    order = Order(report, paper or "", profile, size, transparent, titles, step_legends=step_legends)
    kinds = chosen(report, only)
    with click.progressbar(length=len(kinds), label="building", file=sys.stderr, hidden=not sys.stderr.isatty()) as bar:
        results = []
        for result in making(order, folder, kinds, only, force):
            interrupts.stop_if_seen()  # else what it spoiled would take the place of the last build
            results.append(result)
            bar.update(1)
    for line in (*_told(folder, results), *_of_test_plate(order, results)):
        click.echo(line)
    supply = supply_in_words(report)
    if supply:
        click.echo(f"\ndrawer: {supply}")
    click.echo(f"\nverdict: {report.verdict}; `dryfit check {display_path(layout)}` tells why")
    for caution in (*cautions(job), *strange_prices(report), *other_metals(report)):
        click.echo(f"! {caution}")
    _refuse_nothing(only, results)
    sys.exit(exit_status(report))


def _size(text: str | None) -> tuple[int, int] | None:
    """Return width and height of pictures."""
    if text is None:
        return None
    sides = [int(side) if side.isdecimal() and len(side) <= len(str(LARGEST)) else 0 for side in text.split("x")]
    if len(sides) != 2 or not all(SMALLEST <= side <= LARGEST for side in sides):
        what = f"{text!r} is not a size of pictures"
        raise click.BadParameter(f"{what}; write WIDTHxHEIGHT in pixels, each {SMALLEST} to {LARGEST}: 2400x1350")
    return sides[0], sides[1]


def _told(folder: Path, results: Results) -> Iterator[str]:
    """Yield a line for every file that was made, and one for all that could not be made for the same reason."""
    for why, group in groupby(results, lambda result: result[1]):
        kinds = [kind for kind, _ in group]
        if why:
            yield f"{', '.join(display_path(folder / kind.name) for kind in kinds):40} not made: {why}"
        else:
            yield from (f"{display_path(folder / kind.name):40} {kind.purpose}" for kind in kinds)


def _refuse_nothing(only: Sequence[str], results: Results) -> None:
    """Raise if nothing was made of a kind that was asked for by its word."""
    made = {kind.word for kind, why in results if not why}
    lost = dict.fromkeys(f"no {kind.word} made: {why}" for kind, why in results if kind.word in {*only} - made)
    if lost:
        raise DryfitError("\n".join(lost))


def _of_test_plate(order: Order, results: Results) -> Iterator[str]:
    """Yield what there is to know of the test plate, if it was made."""
    from dryfit.generators.testplate.plate import summary_lines
    from dryfit.generators.writers.plate import plate

    if any(kind.word == "test-plate" and not why for kind, why in results):
        yield ""
        yield from summary_lines(order.once(plate))
