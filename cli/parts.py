"""``dryfit parts``: the catalogue."""

from __future__ import annotations

from collections.abc import Iterable

import click

from dryfit.models.catalogue.parts import Part
from dryfit.models.geometry.outlines import Outline
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.units import format_inch, format_mm


@click.command()
@click.argument("name", required=False)
def parts(name: str | None) -> None:
    """List the catalogue, or show the part NAME with every dimension and where it comes from.

    \b
    Example:
      dryfit parts
      dryfit parts xlr3-socket
    """
    from dryfit.models.catalogue.part_files import load_catalogue

    catalogue = load_catalogue()
    if name is None:
        _list(catalogue.parts.items())
        return
    if name not in catalogue.parts:
        raise UnknownName("part", name, catalogue.parts)
    _show(name, catalogue.parts[name])


def _list(items: Iterable[tuple[str, Part]]) -> None:
    rows = [(name, part.family, "/".join(part.mount), part.title) for name, part in items]
    widths = [max(len(row[i]) for row in rows) for i in range(3)]
    for row in rows:
        click.echo("  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[3]]))
    click.echo(f"\n{len(rows)} parts. Dimensions are generic: measure the part in hand before cutting.")


def _show(name: str, part: Part) -> None:
    click.echo(f"{name}: {part.title}")
    for label, value in _facts(part):
        click.echo(f"  {label:14} {value}")
    click.echo("  sources")
    for path, source in part.sources.items():
        click.echo(f"    {path:24} {source}")
    click.echo("\nDimensions are generic: measure the part in hand, or read its maker's drawing, before cutting.")


def _facts(part: Part) -> list[tuple[str, str]]:
    facts = [
        ("family", part.family),
        ("mount from", " or ".join(part.mount)),
        ("flange", f"{_size(part.flange.outline)}, {format_mm(part.flange.thick)} thick"),
        ("cut-out", _size(part.cutout)),
    ]
    if part.cutout_rear is not None:
        facts.append(("cut-out, rear", _size(part.cutout_rear)))
    if part.fixings is not None:
        spots = ", ".join(f"({x:g}, {y:g})" for x, y in part.fixings.at)
        facts.append(("fixing holes", f"{format_mm(part.fixings.hole)} at {spots} mm from the axis"))
        facts.append(("in the panel", format_mm(part.fixings.panel)))
    if part.bush is not None:
        facts.append(("bush", f"{format_mm(part.bush.thread)} thread, {format_mm(part.bush.length)} long"))
    depth = max((section.stop for section in part.rear), default=0.0)
    facts.append(("depth behind", f"{format_mm(depth)} and {format_mm(part.wiring)} for wiring"))
    facts.append(("plugs", ", ".join(part.plugs) or "none"))
    flags = [name for name in ("mains", "loudspeaker", "earth") if getattr(part, name)]
    return [*facts, ("care", ", ".join(flags))] if flags else facts


def _size(outline: Outline) -> str:
    width, height = outline.size
    if outline.is_circle:
        return f"{format_mm(width, 3)} ({format_inch(width)}) round"
    return f"{format_mm(width, 3)} x {format_mm(height, 3)}"
