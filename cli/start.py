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
@click.option("--schema", is_flag=True, help="Also write FILE.schema.json, the JSON Schema that editors check against.")
def start(file: Path, like: str, schema: bool) -> None:
    """Write a commented layout to FILE, which must not exist yet.

    \b
    Example:
      dryfit start box.yaml
      dryfit start foyer.yaml --like foyer
    """
    from dryfit.generators.writers.whole import write_whole

    targets = {file: _layout(like)}
    if schema:
        targets[file.with_suffix(".schema.json")] = _schema()
    for path in targets:
        if path.exists():
            raise DryfitError(f"{display_path(path)}: exists already, expected a new file")
        if not path.parent.is_dir():
            raise DryfitError(f"{display_path(path)}: its folder does not exist, expected an existing folder")
    for path, text in targets.items():
        write_whole(path, text.encode())
        click.echo(f"wrote {display_path(path)}")
    click.echo(f"next: dryfit check {display_path(file)}")


def _layout(like: str) -> str:
    return data_text(f"layouts/{like}.yaml")


def _schema() -> str:
    import json

    from dryfit.models.layout import layout_schema

    return json.dumps(layout_schema(), indent=1) + "\n"
