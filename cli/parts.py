"""``dryfit parts``: the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import click

from dryfit.models.catalogue.dimensions import Dimension, dimensions
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.sources import CONFIDENCES
from dryfit.models.catalogue.trust import NOT_COUNTED, counted, unconfirmed_holes
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.units import format_mm

MEASURE = "Dimensions are generic: measure the part in hand, or read its maker's drawing, before cutting."


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
    """Print how many values rest on what, and which holes to cut no source confirms."""
    counts = counted(catalogue)
    graded = [grade for grade in (*CONFIDENCES, None) if grade not in NOT_COUNTED]
    total = sum(counts[grade] for grade in graded)
    _table(
        [
            (grade or "no source", str(counts[grade]), f"{counts[grade] / total:.0%}")
            for grade in graded
            if counts[grade]
        ]
    )
    click.echo(f"{total} values of {len(catalogue.parts)} parts and {len(catalogue.plugs)} plugs, each counted once.")
    click.echo(
        f"Not counted: {counts['allowance']} of room that is asked for, {counts['reckoned']} that follow from others.\n"
    )
    click.echo("Holes that no source confirms, to be measured first:")
    for name, holes in unconfirmed_holes(catalogue).items():
        click.echo(f"  {name}: {', '.join(_hole(*hole) for hole in holes)}")


def _hole(path: str, origin: str, grade: str | None) -> str:
    by = "" if origin == path else f"{origin}, "
    return f"{path} ({by}{grade or 'no source'})"
