"""``dryfit explain``: the keys of a layout, each with an example."""

from __future__ import annotations

import click

from dryfit.models.reading.errors import UnknownName

NO_BREAK = "\xa0"
WIDTH = 110  # signs of a line


@click.command()
@click.argument("key", required=False)
@click.option("--schema", is_flag=True, help="Print the JSON Schema of layouts, which editors complete keys by.")
def explain(key: str | None, schema: bool) -> None:
    """Say what a KEY of a layout means, with an example and the names it takes; without one, list all of them.

    KEY is written as it stands in the file, with what it stands below where that helps: pitch, places.pitch, hardware.

    \b
    Example:
      dryfit explain
      dryfit explain pitch
      dryfit explain colour
      dryfit explain places.cutout
    """
    from textwrap import fill, indent

    from dryfit.models.key_names import names_of
    from dryfit.models.keys import explained, keys

    if schema:
        from dryfit.models.layout_schema import schema_text

        click.echo(schema_text().encode(), nl=False)  # UTF-8 whatever the locale
        return
    found = explained(key) if key is not None else keys()
    if not found:
        raise UnknownName("key", key or "", dict.fromkeys(name for row in keys() for name in (row.name, row.key)))
    wide = max(len(row.key) for row in found)
    for row in found:
        click.echo(f"{row.key:{wide}}  {row.says}")
        click.echo(f"{'':{wide}}    {row.name}: {row.example}")
        if key is not None and (names := names_of(row.key)):
            whole = (name.replace(" ", NO_BREAK) for name in names)
            told = fill(f"one of {', '.join(whole)}", WIDTH - wide, break_on_hyphens=False).replace(NO_BREAK, " ")
            click.echo(indent(told, " " * (wide + 4)))
