"""``dryfit start``: write a layout file to begin with."""

from __future__ import annotations

from pathlib import Path

import click

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
@click.option("--schema", is_flag=True, help="Also write FILE.schema.json, the JSON Schema that editors check against.")
def start(
    file: Path, *, like: str, drawing: Path | None, thickness: str | None, unit: str | None, schema: bool
) -> None:
    """Write a commented layout to FILE, which must not exist yet.

    \b
    Example:
      dryfit start box.yaml
      dryfit start foyer.yaml --like foyer
      dryfit start box.yaml --from panel.dxf --thickness "2 mm"
      dryfit start box.yaml --from panel.step
    """
    from dryfit.generators.writers.whole import write_whole

    _refuse_there(file)
    targets = {file: _layout(like) if drawing is None else _taken_in(file, drawing, thickness, unit)}
    if schema:
        targets[file.with_suffix(".schema.json")] = _schema()
    for path in targets:
        _refuse_there(path)
    for path, text in targets.items():
        write_whole(path, text.encode())
        click.echo(f"wrote {display_path(path)}")
    click.echo(f"next: dryfit check {display_path(file)}")


def _refuse_there(path: Path) -> None:
    if path.exists():
        raise DryfitError(f"{display_path(path)}: exists already, expected a new file")
    if not path.parent.is_dir():
        raise DryfitError(f"{display_path(path)}: its folder does not exist, expected an existing folder")


def _layout(like: str) -> str:
    return data_text(f"layouts/{like}.yaml")


def _taken_in(file: Path, drawing: Path, thickness: str | None, unit: str | None) -> str:
    """Return the layout of a bought panel, and say what was made of its drawing."""
    from dryfit.generators.intake.files import read_plate
    from dryfit.generators.intake.layouts import started
    from dryfit.models.catalogue.part_files import load_catalogue

    made = started(read_plate(drawing, unit), file.stem, drawing.name, thickness, load_catalogue())
    click.echo(made.summary)
    for told in made.said:
        click.echo(f"! {told}")
    return made.text


def _schema() -> str:
    import json

    from dryfit.models.layout import layout_schema

    return json.dumps(layout_schema(), indent=1) + "\n"
