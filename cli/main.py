"""The command ``dryfit``: its subcommands are loaded when they are called, so that help stays instant."""

from __future__ import annotations

import gc
import importlib
import os
import sys
import traceback
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TextIO

import click

from dryfit.cli import interrupts
from dryfit.models.reading.errors import DryfitError, display_path, nearest_name

COMMANDS = {
    "start": "Write a commented layout file to begin with.",
    "check": "Say what fits, what is tight and what fails.",
    "watch": "Show the page of a panel, and keep it true while its files are edited.",
    "build": "Write the files to order, print, cut, drill and assemble.",
    "compare": "Say where what came back from the shop is not what was asked for.",
    "batch": "Check or build many layouts, with one table of results.",
    "printer": "Describe the printer of test plates; learn its hole compensation.",
    "match": "Say which parts go on a hole, and which punched patterns suit a part.",
    "parts": "List the catalogue, or show one part.",
    "measure": "Make a part file of the solid in a STEP file.",
    "hardware": "Say which screws pass a hole, and which length a stack wants.",
    "explain": "Say what a key of a layout means, with an example.",
}
INPUT_IS_WRONG = 2  # or the output cannot be written
OUR_FAULT = 3
INTERRUPTED = 130  # as shells have it: 128 and the signal's number
PIPE_CLOSED = 141
GARBAGE = (1_000_000, 20, 100)
"""New values until what is left over is looked for, some hundred MB if all were so; how many such looks until one
goes further back, and how many of those until one goes over everything: only what is watched for long comes to that."""
SHOW_TRACEBACK = "DRYFIT_TRACEBACK"


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
    """Run the command line. Whatever goes wrong is told in a line or two on standard error, by exit status."""
    _fill_standard_streams()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without our signs shows ? instead of failing
    interrupts.remember()
    gc.set_threshold(*GARBAGE)  # panels are many small values that live to the end: to go over them again is lost time
    status = _status(sys.argv[1:] if arguments is None else list(arguments))
    sys.exit(INTERRUPTED if interrupts.seen() else status)


def _status(arguments: list[str]) -> int:
    """Return the exit status of a command: this is the one place where errors of every kind end."""
    try:
        _run(arguments)
    except (click.exceptions.Exit, SystemExit) as end:
        return _number(end.exit_code if isinstance(end, click.exceptions.Exit) else end.code)
    except (KeyboardInterrupt, click.Abort):
        return INTERRUPTED
    except BrokenPipeError:
        _let_go_of_output()
        return PIPE_CLOSED
    except Exception as error:
        return INTERRUPTED if interrupts.seen() else _told(error)
    return 0


def _run(arguments: list[str]) -> None:
    try:
        with dryfit.make_context("dryfit", arguments) as context:
            dryfit.invoke(context)
    finally:
        sys.stdout.flush()  # here, where a full disk or a closed pipe can still be told


def _told(error: Exception) -> int:
    """Tell an error, and return the exit status for it."""
    if isinstance(error, click.ClickException):
        error.show()
        return error.exit_code
    if isinstance(error, DryfitError):
        click.echo(str(error), err=True)
        return INPUT_IS_WRONG
    if os.environ.get(SHOW_TRACEBACK):
        traceback.print_exception(error)
    if isinstance(error, OSError):
        _let_go_of_output()
        click.echo(f"{_where(error)}: {error.strerror or error}", err=True)
        return INPUT_IS_WRONG
    click.echo(_report_this(error), err=True)
    return OUR_FAULT


def _number(code: object) -> int:
    return code if isinstance(code, int) else 0 if code is None else INPUT_IS_WRONG


def _where(error: OSError) -> str:
    return display_path(error.filename) if isinstance(error.filename, str | Path) else "standard output"


def _report_this(error: Exception) -> str:
    """Return the line that asks for a report of a fault of ours: what and where in the code."""
    last = traceback.extract_tb(error.__traceback__)[-1]
    what = " ".join(f"{type(error).__name__}: {error}".split())
    return (
        f"a fault of dryfit itself: {what:.200} ({Path(last.filename).name}:{last.lineno}). Please report it with the "
        f"layout and the command; {SHOW_TRACEBACK}=1 shows more."
    )


def _fill_standard_streams() -> None:
    """Open what the caller closed, on nothing, before a file of ours takes its number and is written into."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()


def _nowhere() -> TextIO:
    return open(os.devnull, "w", encoding="utf-8")


def _let_go_of_output() -> None:
    """Send what is still in standard output's buffer to nowhere; else the interpreter complains when it ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(nowhere, sys.stdout.fileno())


if __name__ == "__main__":
    main()
