"""``dryfit start``: write a layout file to begin with, or a file for a part of one's own."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from dryfit.cli.lengths import length_of
from dryfit.cli.targets import must_be_new, must_end, must_have_folder
from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.errors import DryfitError, display_path


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--like",
    type=click.Choice(["blank", "foyer", "bench", "trouble"]),
    default="blank",
    show_default=True,
    help="blank: a commented layout to fill in; foyer: the demo panel; bench: a test panel for a 10-inch rack; "
    "trouble: the demo with a mistake of each kind.",
)
@click.option(
    "--from", "drawing", type=click.Path(path_type=Path), metavar="DRAWING",
    help="A bought or drilled panel instead, with its cut-outs as they are: a DXF or STEP file of it.",
)  # fmt: skip
@click.option(
    "--thickness", metavar="LENGTH", help="Of that panel, which a DXF file does not say: 2 mm, 1/8 in, 16 ga."
)
@click.option(
    "--unit", metavar="UNIT", help="What DRAWING is drawn in, where it does not say or is wrong: mm, in, cm, m."
)
@click.option(
    "--bend-radius", "bend", metavar="LENGTH",
    help="Inside radius of its bends, where DRAWING is a flat blank with bend lines; else as its thickness.",
)  # fmt: skip
@click.option(
    "--schema/--no-schema",
    default=True,
    help="Write layout.schema.json (of a part: parts.schema.json) beside it and name it in the first line: editors "
    "complete keys by it.",
)
@click.option(
    "--part",
    type=click.Choice(["flange", "round", "rectangular", "bush"]),
    help="Write a part file instead, with the part's plug, and beside it a sheet (PDF, SVG) of where the caliper goes. "
    "flange: held by screws; round: snaps into a round hole; rectangular: its hole is one; bush: a thread and a nut.",
)
def start(
    file: Path,
    *,
    like: str,
    drawing: Path | None,
    thickness: str | None,
    unit: str | None,
    bend: str | None,
    schema: bool,
    part: str | None,
) -> None:
    """Write a commented layout to FILE, which must not exist yet; or, with --part, a part of your own.

    \b
    Example:
      dryfit start box.yaml
      dryfit start foyer.yaml --like foyer
      dryfit start box.yaml --from panel.dxf --thickness "2 mm"
      dryfit start box.yaml --from panel.step
      dryfit start my-socket.yaml --part flange
    """
    _refuse_there(file)
    if part is not None:
        _start_part(file, part, schema)
        return
    text = _layout(like) if drawing is None else _taken_in(file, drawing, unit, thickness, bend)
    _write(_with_schema(file, text) if schema else {file: text.encode()})
    click.echo(f"next: dryfit check {display_path(file)}")


def _write(targets: Mapping[Path, bytes]) -> None:
    """Write files that may be written."""
    from dryfit.generators.writers.whole import write_whole

    for path, content in targets.items():
        write_whole(path, content)
        click.echo(f"wrote {display_path(path)}")


def _start_part(file: Path, kind: str, schema: bool) -> None:
    """Write the file of a part, and its sheet."""
    from dryfit.generators.drawing.part_sheet import in_one, part_sheet
    from dryfit.generators.writers.pdf import pdf_bytes
    from dryfit.generators.writers.svg import svg_text
    from dryfit.models.catalogue.shelf import ENDS
    from dryfit.models.catalogue.templates import part_file, part_name

    must_end(file, *ENDS)
    text, catalogue = part_file(kind, file)
    name = part_name(file)
    plug = catalogue.parts[name].plugs[0]
    sheet = part_sheet(name, catalogue.parts[name], plug, catalogue.plugs[plug])
    for path in (file.with_suffix(".pdf"), file.with_suffix(".svg")):
        _refuse_there(path)
    drawn = {file.with_suffix(".pdf"): pdf_bytes(sheet), file.with_suffix(".svg"): svg_text(in_one(sheet)).encode()}
    written = _with_part_schema(file, text) if schema else {file: text.encode()}
    _write({**written, **drawn})
    click.echo(
        f"next: measure yours, fill it in, see it: dryfit parts {display_path(file)} {name} --picture {name}.png"
    )
    click.echo(f"in a layout beside it: parts: [{file.name}] and places: [{{part: {name}, at: [40 mm, 40 mm]}}]")


def _refuse_there(path: Path) -> None:
    must_be_new(path)
    must_have_folder(path)


def _layout(like: str) -> str:
    return data_text(f"layouts/{like}.yaml")


def _taken_in(file: Path, drawing: Path, unit: str | None, thickness: str | None, bend: str | None) -> str:
    """Return the layout of a bought panel, and say what was made of its drawing."""
    from dryfit.generators.intake.panels.layouts import started
    from dryfit.generators.intake.plates.files import read_plate
    from dryfit.models.catalogue.part_files import load_catalogue

    radius = length_of("--bend-radius", bend) if bend is not None else None
    plate = read_plate(drawing, unit)
    made = started(plate, file.stem, drawing.name, thickness, load_catalogue(), bend=radius)
    click.echo(made.summary)
    for told in made.said:
        click.echo(f"! {told}")
    return made.text


def _with_schema(file: Path, text: str) -> dict[Path, bytes]:
    """Return a layout and the schema of layouts."""
    from dryfit.models.catalogue.part_files import load_catalogue
    from dryfit.models.layout_schema import BESIDE, FIRST_LINE, schema_text

    return _beside(file, FIRST_LINE + text, file.with_name(BESIDE), schema_text(load_catalogue()))


def _with_part_schema(file: Path, text: str) -> dict[Path, bytes]:
    """Return a part file and the schema of part files."""
    from dryfit.models.catalogue.part_files import load_catalogue
    from dryfit.models.part_schema import BESIDE, FIRST_LINE, part_schema_text

    return _beside(file, FIRST_LINE + text, file.with_name(BESIDE), part_schema_text(load_catalogue()))


def _beside(file: Path, text: str, path: Path, schema_text: str) -> dict[Path, bytes]:
    """Return what is written with a schema, by its path; the schema too, unless one of this version lies there.

    Raises:
        DryfitError: if a file of its name lies there that dryfit has not written.
    """
    from dryfit.models.layout_schema import OURS

    schema = schema_text.encode()
    before = path.read_bytes() if path.exists() else schema
    if OURS.encode() not in before:
        raise DryfitError(
            f"{display_path(path)}: is no schema that dryfit wrote, expected another folder or --no-schema"
        )
    return {file: text.encode(), **({} if path.exists() and before == schema else {path: schema})}
