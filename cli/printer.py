"""``dryfit printer``: the profile of a plastic printer, and what its coupon teaches."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dryfit.cli.targets import must_end, must_have_folder
from dryfit.models.reading.errors import DryfitError, display_path, quote

if TYPE_CHECKING:
    from dryfit.models.printer import Learned, Printer, Reading


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--measured", multiple=True, metavar="DRAWN=READING",
    help="A hole of the printed coupon: its legend and what you measured; once for each hole.",
)  # fmt: skip
@click.option("--coupon", type=click.Path(path_type=Path), metavar="STL", help="Also write the coupon to print.")
def printer(file: Path, measured: tuple[str, ...], coupon: Path | None) -> None:
    """Write the printer profile FILE, learn its hole compensation from a coupon, or show it.

    A new FILE starts as a commented profile of a generic printer: set its bed, nozzle and filament. Print the coupon,
    measure its holes, each in two directions, and give the readings with --measured. Holes of a test plate are then
    opened so that they print at their size. Of four readings or more, one far off the others is left out, and told.

    \b
    Example:
      dryfit printer my-printer.yaml --coupon coupon.stl
      dryfit printer my-printer.yaml --measured 3.2=3.02 --measured 8=7.85 --measured 16=15.82 --measured 24=23.8
      dryfit build box.yaml --printer my-printer.yaml
    """
    from dryfit.generators.writers.whole import write_whole
    from dryfit.models.printer import generic_text, learn, read_printer, with_compensation

    if coupon is not None:
        must_end(coupon, ".stl")
    for path in (file, coupon):
        if path is not None:
            must_have_folder(path)
    if coupon is not None:
        _refuse_strangers(coupon)
    readings = [_reading(text) for text in measured]
    learned = learn(readings) if readings else None
    is_new = not file.exists()
    if not is_new:
        read_printer(file)  # a profile that is wrong is told, not overwritten
    text = generic_text() if is_new else file.read_text(encoding="utf-8-sig")
    if learned is not None:
        text = with_compensation(text, learned.compensation())
        for line in _told(learned):
            click.echo(line)
    if is_new or learned is not None:
        write_whole(file, text.encode())
        click.echo(f"wrote {display_path(file)}")
    for line in _shown(read_printer(file)):
        click.echo(line)
    if coupon is not None:
        _write_coupon(file, coupon)


def _refuse_strangers(path: Path) -> None:
    """Refuse to write over a file that is none of our STL files."""
    from dryfit.generators.writers.stl import TITLE

    if path.exists():
        with path.open("rb") as stream:
            if stream.read(len(TITLE)) != TITLE:
                raise DryfitError(f"{display_path(path)}: was not written by dryfit, expected a new file")


def _reading(text: str) -> Reading:
    from dryfit.models.printer import Reading
    from dryfit.models.reading.units import parse_length

    drawn, equals, reading = text.partition("=")
    if not equals:
        raise DryfitError(f"--measured {quote(text)}: expected DRAWN=READING, such as 3.2=3.05")
    try:
        return Reading(parse_length(drawn), parse_length(reading))
    except ValueError as error:
        raise DryfitError(f"--measured {quote(text)}: {error}") from None


def _told(learned: Learned) -> Iterator[str]:
    from dryfit.models.reading.units import format_mm

    yield "drawn      measured   off the line"
    for r in (*learned.used, *learned.outliers):
        out = "   left out: far off the others" if r in learned.outliers else ""
        yield f"{format_mm(r.drawn):10} {format_mm(r.measured):10} {format_mm(learned.residual(r), 3)}{out}"
    slope = f"{learned.slope:.4f} x " if learned.sloped else ""
    spread = format_mm(learned.spread, 3)
    yield f"measured = {slope}drawn {learned.start:+.3f} mm; what is left: {spread} (root mean square)"


def _shown(profile: Printer) -> Iterator[str]:
    from dryfit.models.printer import COUPON_HOLES
    from dryfit.models.reading.units import format_mm

    width, depth, height = (format_mm(v) for v in profile.bed)
    yield f"{profile.title}: bed {width} x {depth}, {height} high, nozzle {format_mm(profile.nozzle)}"
    added = ", ".join(f"{d:g}: {profile.added(d):+.3f}" for d in COUPON_HOLES)
    yield f"added to holes (mm across: mm): {added}"


def _write_coupon(file: Path, path: Path) -> None:
    from dryfit.generators.testplate.coupon import coupon
    from dryfit.generators.writers.stl import stl_bytes
    from dryfit.generators.writers.whole import write_whole
    from dryfit.models.printer import read_printer

    piece = coupon(read_printer(file))
    write_whole(path, stl_bytes(piece.points[piece.faces]))
    click.echo(f"wrote {display_path(path)}: print it as it is, without scaling")
