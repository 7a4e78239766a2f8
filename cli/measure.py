"""``dryfit measure``: a part file from a solid."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dryfit.cli.targets import must_be_new, must_have_folder
from dryfit.models.geometry.contours import describe
from dryfit.models.reading.errors import DryfitError, display_path
from dryfit.models.reading.units import format_mm

if TYPE_CHECKING:
    from dryfit.generators.intake.measuring.layers import Layer
    from dryfit.generators.intake.measuring.measured import Measured
    from dryfit.generators.intake.measuring.outcome import Outcome
    from dryfit.generators.intake.measuring.turned import Axis

LEAST_TOLD = 0.001  # mm
AXES = ("+x", "-x", "+y", "-y", "+z", "-z")
MEASURE = "Files are drawn to nominal sizes: compare a few lengths with the part in hand before cutting."


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--front", type=click.Choice(AXES), help="Which axis of the file the front looks along, if it is unclear."
)
@click.option(
    "--up", type=click.Choice(AXES), help="Which axis of the file is up; y, or z, if fixing holes do not tell."
)
@click.option(
    "--flange", type=click.IntRange(min=1), help="Which layer lies on the panel, by its number in the picture."
)
@click.option("--axis", type=float, nargs=2, help="Where the plug goes: X and Y in mm, from the middle of the flange.")
@click.option("--name", help="What to call the part; without it, as the file is called.")
@click.option("--out", type=click.Path(path_type=Path), help="The part file; without it, NAME.yaml beside FILE.")
def measure(
    file: Path,
    *,
    front: Axis | None,
    up: Axis | None,
    flange: int | None,
    axis: tuple[float, float] | None,
    name: str | None,
    out: Path | None,
) -> None:
    """Measure the solid of a part in FILE, a STEP file, and write it as a part file, with a picture of what was found.

    \b
    Example:
      dryfit measure socket.step
      dryfit measure socket.step --front -y --up +z
    """
    from dryfit.generators.intake.measuring.outcome import FACET, Wanted, lies_beside, named, outcome, write_part
    from dryfit.generators.intake.measuring.pictures import candidates, findings
    from dryfit.generators.intake.measuring.standing import Unclear
    from dryfit.generators.intake.reading.step import read_step
    from dryfit.generators.writers.svg import write_svg
    from dryfit.models.geometry.points import Point

    called = named(file, name)
    path = out or file.with_name(f"{called}.yaml")
    picture = path.with_name(f"{path.stem}-picture.svg")
    must_be_new(path)
    must_have_folder(path)
    shapes = read_step(file, FACET)
    try:
        made = outcome(file.name, called, shapes, Wanted(front, up, flange, Point(*axis) if axis else None))
    except Unclear as unclear:
        write_svg(candidates(shapes, unclear.ways), picture)
        raise DryfitError(f"{display_path(file)}: {unclear}; they are shown in {display_path(picture)}") from None
    off = write_part(made, path)
    write_svg(findings(made), picture)
    for line in _told(made, off):
        click.echo(line)
    click.echo(f"wrote {display_path(path)} and {display_path(picture)}")
    if not lies_beside(file.name, path):
        click.echo(f"The solid itself is kept where it lies beside {path.name}, by a plain name that ends in .step.")
    click.echo(f"next: write `parts: [{path.name}]` and `part: {called}` in a layout, then check it")


def _told(made: Outcome, off: float) -> Iterator[str]:
    """Yield what was found, for the terminal."""
    way, found = made.standing.way, made.found
    yield f"{made.name}: front {way.front} of the file ({made.standing.why}), up {way.up}"
    yield f"  flange    {describe(found.flange.outline)}, {format_mm(found.thick, 3)} thick"
    for side, sections in (("front", found.front), ("rear", found.rear)):
        yield from (f"  {side:<9} {_section(layer)}" for layer in sections)
    yield f"  held by   {_held(found)}"
    why = "a suggestion" if found.passes else "a guess, as nothing of it passes the panel"
    yield f"  cut-out   {describe(found.cutout.shape.outline)}, for mounting from the {found.mount}: {why}"
    yield from (f"  ! {note}" for note in found.notes)
    yield f"The sections hold all {len(made.of.corners)} corners of the solid, to {max(off, LEAST_TOLD):.3f} mm."
    yield MEASURE


def _section(layer: Layer) -> str:
    shape = describe(layer.outline) if layer.cone is None else f"cone ⌀{layer.cone[0]:g} to ⌀{layer.cone[1]:g}"
    return f"{shape}, {format_mm(layer.low, 3)} to {format_mm(layer.high, 3)}"


def _held(found: Measured) -> str:
    fixings = found.fixings
    if fixings is None:
        return f"a bush of {format_mm(found.bush.across, 3)}, it seems" if found.bush else "nothing that was recognised"
    sunk = f", sunk {format_mm(fixings.sink[0], 3)}, {fixings.sink[1]:g} deg" if fixings.sink else ""
    blind = f", blind, {format_mm(fixings.boss.depth, 3)} deep" if fixings.boss else ""
    spots = " ".join(f"({x:g}, {y:g})" for x, y in fixings.at)
    return f"{len(fixings.at)} holes of {format_mm(fixings.hole, 3)}{sunk}{blind} at {spots}"
