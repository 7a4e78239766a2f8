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
    "--schema/--no-schema",
    default=True,
    help="Write layout.schema.json beside it and name it in the first line: editors complete keys by it.",
)
def start(file: Path, like: str, schema: bool) -> None:
    """Write a commented layout to FILE, which must not exist yet.

    \b
    Example:
      dryfit start box.yaml
      dryfit start foyer.yaml --like foyer
    """
    from dryfit.generators.writers.whole import write_whole

    if file.exists():
        raise DryfitError(f"{display_path(file)}: exists already, expected a new file")
    if not file.parent.is_dir():
        raise DryfitError(f"{display_path(file)}: its folder does not exist, expected an existing folder")
    targets = {file: data_text(f"layouts/{like}.yaml")}
    if schema:
        targets = _with_schema(file, targets[file])
    for path, text in targets.items():
        write_whole(path, text.encode())
        click.echo(f"wrote {display_path(path)}")
    click.echo(f"next: dryfit check {display_path(file)}")


def _with_schema(file: Path, text: str) -> dict[Path, str]:
    """Return what is written with the schema, by its path; the schema too, unless one of this version lies there.

    Raises:
        DryfitError: if a file of its name lies there that dryfit has not written.
    """
    from dryfit.models.catalogue.part_files import load_catalogue
    from dryfit.models.layout_schema import BESIDE, FIRST_LINE, OURS, schema_text

    path = file.with_name(BESIDE)
    before, schema = path.read_text(encoding="utf-8") if path.exists() else "", schema_text(load_catalogue().parts)
    if before and OURS not in before:
        raise DryfitError(
            f"{display_path(path)}: is no schema that dryfit wrote, expected another folder or --no-schema"
        )
    return {file: FIRST_LINE + text, **({} if before == schema else {path: schema})}
