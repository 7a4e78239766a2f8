"""``dryfit explain``: the keys of a layout, each with an example."""

from __future__ import annotations

import click

from dryfit.models.reading.errors import UnknownName


@click.command()
@click.argument("key", required=False)
def explain(key: str | None) -> None:
    """Say what a KEY of a layout means, with an example; without one, list all of them.

    KEY is written as it stands in the file, with what it stands below where that helps: pitch, places.pitch, hardware.

    \b
    Example:
      dryfit explain
      dryfit explain pitch
      dryfit explain places.cutout
    """
    from dryfit.models.keys import explained, keys

    found = explained(key) if key is not None else keys()
    if not found:
        raise UnknownName("key", key or "", dict.fromkeys(name for row in keys() for name in (row.name, row.key)))
    wide = max(len(row.key) for row in found)
    for row in found:
        click.echo(f"{row.key:{wide}}  {row.says}")
        click.echo(f"{'':{wide}}    {row.name}: {row.example}")
