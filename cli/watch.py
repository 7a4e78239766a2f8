"""``dryfit watch``: the page of a panel, kept true while its files are edited."""

from __future__ import annotations

import signal
import sys
import threading
import time
import webbrowser
from pathlib import Path
from types import FrameType

import click

from dryfit.cli import interrupts
from dryfit.models.reading.errors import DryfitError, display_path

INTERVAL = 0.05  # s between looks at the files
TERMINATED = 143  # as shells have it: 128 and the signal's number


@click.command()
@click.argument("source", type=click.Path(path_type=Path))
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port of this machine; by default a free one.")
@click.option("--browser/--no-browser", default=True, help="Open the page, or only tell its address.")
def watch(source: Path, port: int, browser: bool) -> None:
    """Show the page of SOURCE, a layout or a folder of layouts, and keep it true while they are edited.

    The page follows every saved change of a layout, of its part files and of its prices: first what exact gaps tell,
    then all that `dryfit check` tells. What is wrong in a file is shown at its line, beside the panel as it was before.
    The page is served to this machine alone. Ctrl-C ends it.

    Exit status: 130 ended by Ctrl-C, 143 ended by a signal, 2 there is no such file or the port is taken.

    \b
    Example:
      dryfit watch box.yaml
      dryfit watch rooms/ --port 8000 --no-browser
    """
    from dryfit.generators.live.bench import Bench
    from dryfit.generators.live.server import serving

    if not source.exists():
        raise DryfitError(f"{display_path(source)}: there is no such file, expected a layout or a folder of layouts")
    signal.signal(signal.SIGTERM, _terminate)
    bench = Bench(source, click.echo)
    with serving(bench, port) as server:
        click.echo(f"{display_path(source)}: {server.url} (Ctrl-C ends it)")
        if browser:  # some browsers return only when they are closed
            threading.Thread(target=webbrowser.open, args=(server.url,), daemon=True).start()
        while True:
            interrupts.stop_if_seen()
            if not bench.work():
                time.sleep(INTERVAL)


def _terminate(number: int, frame: FrameType | None) -> None:
    sys.exit(TERMINATED)
