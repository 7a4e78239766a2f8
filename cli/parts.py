"""``dryfit parts``: the catalogue."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

import click

from dryfit.models.catalogue.dimensions import Dimension, dimensions
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.sources import CONFIDENCES
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.units import format_mm

MEASURE = "Dimensions are generic: measure the part in hand, or read its maker's drawing, before cutting."
HOLES = ("cutout", "fixings.at", "fixings.panel")  # what a shop cuts


@click.command()
@click.argument("name", required=False)
@click.option("--sources", is_flag=True, help="Report how far the dimensions of the whole catalogue can be trusted.")
def parts(name: str | None, sources: bool) -> None:
    """List the catalogue, or show the part or plug NAME with every dimension and where it comes from.

    \b
    Example:
      dryfit parts
      dryfit parts xlr3-socket
      dryfit parts --sources
    """
    catalogue = load_catalogue()
    if name is not None:
        _show(name, _named(catalogue, name))
    elif sources:
        _confidence(catalogue)
    else:
        _list(catalogue.parts.items())


def _named(catalogue: Catalogue, name: str) -> Part | Plug:
    if name in catalogue.plugs:
        return catalogue.plugs[name]
    if name not in catalogue.parts:
        raise UnknownName("part", name, catalogue.parts)
    return catalogue.parts[name]


def _list(items: Iterable[tuple[str, Part]]) -> None:
    rows = [(name, part.family, "/".join(part.mount), part.title) for name, part in items]
    _table(rows)
    click.echo(f"\n{len(rows)} parts. Dimensions are generic: measure the part in hand before cutting.")


def _table(rows: Sequence[tuple[str, ...]], indent: str = "") -> None:
    """Print rows in columns, the last as long as it is."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]) - 1)]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
        click.echo(indent + "  ".join([*cells, row[-1]]).rstrip())


# --- one record ----------------------------------------------------------------------------------------------------


def _show(name: str, record: Part | Plug) -> None:
    click.echo(f"{name}: {record.title}")
    if isinstance(record, Part):
        for label, value in _facts(record):
            click.echo(f"  {label:10}  {value}")
    _table([("dimension", "value", "range", "confidence", "source"), *map(_row, dimensions(record))], "  ")
    click.echo(f"\n{MEASURE}")


def _facts(part: Part) -> Iterator[tuple[str, str]]:
    yield "family", part.family
    yield "mount from", " or ".join(part.mount)
    yield "plugs", ", ".join(part.plugs) or "none"
    care = [name for name in ("mains", "loudspeaker", "earth") if getattr(part, name)]
    if care:
        yield "care", ", ".join(care)


def _row(of: Dimension) -> tuple[str, ...]:
    value = f"{of.value:g} deg" if of.is_angle else format_mm(of.value, 3)
    if of.source is None:
        return (of.path, value, "", "no source", "measure it first")
    return (of.path, value, _range(of.source.least, of.source.greatest), of.source.confidence, of.source.source)


def _range(least: float | None, greatest: float | None) -> str:
    if least is None:
        return f"to {format_mm(greatest)}" if greatest is not None else ""
    return f"{format_mm(least)} to {format_mm(greatest)}" if greatest is not None else f"from {format_mm(least)}"


# --- the whole catalogue -------------------------------------------------------------------------------------------


def _confidence(catalogue: Catalogue) -> None:
    """Print how many dimensions rest on what, and of which parts even the holes to cut are from memory."""
    found: dict[str, Part | Plug] = {**catalogue.parts, **catalogue.plugs}
    every = [(name, dimension) for name, record in found.items() for dimension in dimensions(record)]
    counts = Counter(_grade(dimension) for _, dimension in every)
    rows = [(grade, str(counts[grade]), f"{counts[grade] / len(every):.0%}") for grade in (*CONFIDENCES, "no source")]
    _table([row for row in rows if row[1] != "0"])
    click.echo(f"{len(every)} dimensions of {len(catalogue.parts)} parts and {len(catalogue.plugs)} plugs.\n")
    doubtful = dict.fromkeys(name for name, d in every if d.path.startswith(HOLES) and _grade(d) == "from memory")
    click.echo("Holes from memory, to be measured first:")
    for name in doubtful:
        paths = [d.path for of, d in every if of == name and d.path.startswith(HOLES) and _grade(d) == "from memory"]
        click.echo(f"  {name}: {', '.join(paths)}")


def _grade(dimension: Dimension) -> str:
    return "no source" if dimension.source is None else dimension.source.confidence
