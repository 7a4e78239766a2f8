"""The command ``dryfit``: its subcommands are loaded when they are called, so that help stays instant."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence

import click

from dryfit.models.reading.errors import DryfitError, nearest_name

COMMANDS = {
    "start": "Write a commented layout file to begin with.",
    "check": "Say what fits, what is tight and what fails.",
    "build": "Write the files to order, print, cut, drill and assemble.",
    "printer": "Describe the printer of test plates; learn its hole compensation.",
    "parts": "List the catalogue, or show one part.",
    "hardware": "Say which screws pass a hole, and which length a stack wants.",
    "explain": "Say what a key of a layout means, with an example.",
}
INPUT_IS_WRONG = 2


class LazyGroup(click.Group):
    """A group that imports a command's module only when the command is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command, imported from the module of its name."""
        if cmd_name not in COMMANDS:
            return None
        command = getattr(importlib.import_module(f"dryfit.cli.{cmd_name}"), cmd_name)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Say the nearest command where none has the name."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            near = nearest_name(args[0], tuple(COMMANDS))
            hint = f" Did you mean {near}?" if near else ""
            ctx.fail(f"No command {args[0]!r:.60}.{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="dryfit")
def dryfit() -> None:
    """Build a connector panel in 3D before anyone cuts metal, and say whether it goes together.

    \b
    Example:
      dryfit start box.yaml
      dryfit check box.yaml
      dryfit build box.yaml --out box
    """


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line; every error of ours is one line per fault on standard error, with exit status 2."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without our signs shows ? instead of failing
    try:
        dryfit.main(args=arguments, standalone_mode=True)
    except DryfitError as error:
        click.echo(str(error), err=True)
        sys.exit(INPUT_IS_WRONG)


if __name__ == "__main__":
    main()
