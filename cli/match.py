"""``dryfit match``: which parts go on which hole."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dryfit.cli.check import DRAWER
from dryfit.cli.lengths import mm
from dryfit.cli.processors import usable
from dryfit.cli.targets import to_write
from dryfit.models.reading.errors import DryfitError, UnknownName

if TYPE_CHECKING:
    from dryfit.generators.matching.asked import Opening, Question, Sheet
    from dryfit.generators.matching.match import Match
    from dryfit.models.catalogue.part_files import Catalogue
    from dryfit.models.catalogue.patterns import Pattern

THE_HOLE = "the hole"


@click.command()
@click.option("--part", "parts", multiple=True, metavar="NAME", help="Only this part; may be given several times.")
@click.option("--pattern", "names", multiple=True, metavar="NAME", help="Only this punched pattern; several times.")
@click.option("--hole", callback=mm, metavar="LENGTH", help="A round hole that is there: its diameter.")
@click.option("--outline", metavar="SHAPE", help="Another hole, as in a layout: '{box: [20 mm, 12 mm], corner: 1 mm}'.")
@click.option(
    "--fixings", callback=mm, metavar="LENGTH", help="Its fixing holes; left out, they are yet to be drilled."
)
@click.option("--across", callback=mm, metavar="LENGTH", help="How far apart they are along x, two on a diagonal.")
@click.option("--up", callback=mm, metavar="LENGTH", help="How far apart they are along y.")
@click.option("--mirror", is_flag=True, help="They are upper right and lower left.")
@click.option("--thickness", default="2 mm", show_default=True, metavar="LENGTH", help="Of the bare sheet, or a gauge.")
@click.option("--material", default="aluminium", show_default=True, metavar="NAME", help="What the sheet is made of.")
@click.option("--coating", default="0 mm", metavar="LENGTH", help="Layer on each surface; by default it is bare.")
@click.option("--finished", is_flag=True, help="The sizes are those after coating, as of a bought panel.")
@click.option("--environment", default="indoor", type=click.Choice(["indoor", "damp", "salt air"]), show_default=True)
@click.option("--thread", "threads", multiple=True, metavar="NAME", help="Screws at hand; each is told by itself.")
@click.option("--drawer", type=click.Path(path_type=Path), metavar="FILE", help=DRAWER)
@click.option("--own", multiple=True, type=click.Path(path_type=Path), metavar="FILE", help="Part file of your own.")
@click.option("--all", "everything", is_flag=True, help="Tell each part that does not go, with the reason.")
@click.option("--json", "as_json", is_flag=True, help="Print the answers as JSON.")
@click.option(
    "--csv", type=click.Path(path_type=Path), callback=to_write(".csv"), metavar="FILE", help="Also write these."
)
@click.option(
    "--page", type=click.Path(path_type=Path), callback=to_write(".html"), metavar="FILE", help="A page to print."
)
@click.option("--processes", type=click.IntRange(1, 256), metavar="N", help="By default one for each processor.")
def match(**given: Any) -> None:
    """Say which parts of the catalogue, and of your own, go on a hole, by the same checks as a panel.

    Give a hole, or a punched pattern, to learn which parts go on it, with which screws, and what would have to be
    drilled; a part to learn which patterns suit it; neither, for the whole matrix of parts and patterns.

    Exit status: 0 nothing fails, 1 something fails, 2 the input is wrong.

    \b
    Example:
      dryfit match --hole 24mm --fixings 3.2mm --across 19mm --up 24mm --coating 0.06mm --finished
      dryfit match --hole 22.2mm --thread M3 --thread 4-40
      dryfit match --part xlr3-socket
      dryfit match --page matrix.html --csv matrix.csv
    """
    from dryfit.generators.matching.asked import questions
    from dryfit.generators.matching.match import matches
    from dryfit.generators.matching.tables import is_matrix, matches_json
    from dryfit.models.catalogue.part_files import load_catalogue
    from dryfit.models.findings import Verdict

    catalogue = load_catalogue(given["own"])
    openings, sheet, parts = _openings(given, catalogue.patterns), _sheet(given), _parts(catalogue, given["parts"])
    deeply = len(openings) == 1 or len(parts) == 1
    asked = list(questions(catalogue, openings, sheet, parts, deeply))
    found = _answers(matches(asked, given["own"], given["processes"] or usable()), asked)
    _write(given, found, openings, sheet)
    if given["as_json"]:
        click.echo(matches_json(found, openings, sheet).encode(), nl=False)
    elif is_matrix(found, openings):
        _print_matrix(found, openings, sheet)
    else:
        _print_list(found, openings, sheet, given["everything"])
    sys.exit(int(any(answer.verdict is Verdict.FAILS for answer in found)))


def _answers(coming: Iterable[Match], asked: Sequence[Question]) -> list[Match]:
    """Return the answers, showing on a terminal how far they are."""
    bar = click.progressbar(
        coming, length=len(asked), label="matching", file=sys.stderr, hidden=not sys.stderr.isatty()
    )
    with bar as shown:
        return list(shown)


# --- what is asked ----------------------------------------------------------------------------------------------------


def _parts(catalogue: Catalogue, names: Sequence[str]) -> tuple[str, ...]:
    for name in names:
        if name not in catalogue.parts:
            raise UnknownName("part", name, catalogue.parts)
    return tuple(dict.fromkeys(names)) or tuple(catalogue.parts)


def _openings(given: dict[str, Any], patterns: Mapping[str, Pattern]) -> tuple[Opening, ...]:
    """Return the holes that are asked about: the patterns named and the hole described, or else every pattern."""
    from dryfit.generators.matching.asked import Opening, pattern_openings

    for name in given["names"]:
        if name not in patterns:
            raise UnknownName("hole pattern", name, patterns)
    found = pattern_openings({name: patterns[name] for name in dict.fromkeys(given["names"])})
    hole = {key: given[key] for key in ("hole", "fixings", "across", "up", "mirror") if given[key]}
    if given["outline"] is not None:
        hole["outline"] = _outline(given["outline"])
    return (*found, *([Opening(THE_HOLE, cutout=_cutout(hole))] if hole else ())) or pattern_openings(patterns)


def _outline(text: str) -> object:
    from dryfit.models.reading.yamlfile import load

    return load("--outline", text)[0]


def _cutout(hole: dict[str, Any]) -> Any:
    from pydantic import ValidationError

    from dryfit.models.wishes.places import CutoutWish

    if "hole" not in hole and "outline" not in hole:
        raise DryfitError("the hole itself is missing: give --hole or --outline, or a --pattern")
    if "across" in hole and "fixings" not in hole:
        raise DryfitError("--across and --up say where fixing holes are: give their diameter too, with --fixings")
    try:
        return CutoutWish.model_validate(hole)
    except ValidationError as error:
        raise _told(error) from None


def _sheet(given: dict[str, Any]) -> Sheet:
    from pydantic import ValidationError

    from dryfit.generators.matching.asked import Sheet
    from dryfit.models.drawer import read_drawer
    from dryfit.models.reading.spellings import meant
    from dryfit.models.tables import fasteners
    from dryfit.models.tables.panels import gauge_thickness, materials
    from dryfit.models.wishes.hardware import Hardware

    material = meant("material", given["material"], materials())
    if material not in materials():
        raise UnknownName("material", material, materials())
    hardware = Hardware(threads=tuple(dict.fromkeys(fasteners.thread(name).name for name in given["threads"])))
    panel = {"material": material, "coating": given["coating"], "holes_finished": given["finished"]}
    try:
        sheet = Sheet.of(given["thickness"], hardware, given["environment"], given["drawer"], **panel)
    except ValidationError as error:
        raise _told(error) from None
    if sheet.drawer is not None:
        read_drawer(sheet.drawer)  # what is wrong with it is told once, not part by part
    if isinstance(sheet.panel.thickness, str):
        gauge_thickness(sheet.panel.material, sheet.panel.thickness.removesuffix(" ga"))  # raises where there is none
    return sheet


def _told(error: Any) -> DryfitError:
    """Return in one line what is wrong first, with the option that it stands at."""
    first = error.errors()[0]
    option = f"--{first['loc'][0]}: " if first["loc"] else ""
    return DryfitError(f"{option}{first['msg'].removeprefix('Value error, ')}")


# --- what is told -----------------------------------------------------------------------------------------------------


def _write(given: dict[str, Any], found: list[Match], openings: Sequence[Opening], sheet: Sheet) -> None:
    from dryfit.generators.matching.tables import matches_csv, matches_page
    from dryfit.generators.writers.whole import write_whole

    if given["csv"] is not None:
        write_whole(given["csv"], matches_csv(found).encode())
    if given["page"] is not None:
        write_whole(given["page"], matches_page(found, openings, sheet).encode())


def _print_matrix(found: Sequence[Match], openings: Sequence[Opening], sheet: Sheet) -> None:
    from dryfit.cli.printing import painted
    from dryfit.generators.matching.tables import MEASURE, counted

    rows = [(pair, list(cells)) for pair, cells in groupby(found, lambda answer: (answer.part, answer.mount))]
    first = max(len(part) for (part, _), _ in rows)
    width = max(len(_short(answer)) for answer in found)
    _print_head(openings, sheet)
    click.echo(f"{'':{first}}  {'':5}  {'  '.join(f'{opening.name:{width}}' for opening in openings)}".rstrip())
    for (part, mount), cells in rows:
        told = "  ".join(painted(f"{_short(answer):{width}}", answer.verdict) for answer in cells)
        click.echo(f"{part:{first}}  {mount:5}  {told}".rstrip())
    click.echo(f"\n{counted(found)}. --csv and --page give the reasons in full.\n! {MEASURE}")


def _short(answer: Match) -> str:
    return f"{answer.verdict} {answer.check}".rstrip()


def _print_head(openings: Sequence[Opening], sheet: Sheet) -> None:
    for opening in openings:
        click.echo(f"{opening.name}: {opening.says}")
    click.echo(f"sheet: {sheet.says}\n")


def _print_list(found: Sequence[Match], openings: Sequence[Opening], sheet: Sheet, everything: bool) -> None:
    from dryfit.generators.matching.tables import MEASURE, counted, worst_last

    _print_head(openings, sheet)
    ordered = worst_last(found)
    shown = [answer for answer in ordered if everything or answer.goes or answer.work is not None or len(found) < 10]
    for answer in shown:
        for line in _lines(answer, len(openings) > 1):
            click.echo(line)
    left = len(ordered) - len(shown)
    if left:
        click.echo(f"{left} more do not go; --all tells each with its reason")
    click.echo(f"\n{counted(found)}\n! {MEASURE}")


def _lines(answer: Match, by_hole: bool) -> Iterator[str]:
    from dryfit.cli.printing import painted
    from dryfit.generators.matching.tables import screws_in_words, why, work_in_words

    name = f"{answer.opening}: {answer.title}" if by_hole else f"{answer.part}: {answer.title}"
    yield f"{painted(f'{answer.verdict:5}', answer.verdict)}  {name}, from the {answer.mount}"
    told = (why(answer), *screws_in_words(answer), work_in_words(answer))
    yield from (f"       {text}" for text in told if text)
