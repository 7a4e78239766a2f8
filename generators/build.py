"""From a report to a folder of files; which files there are, the register knows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from dryfit.generators.writers.register import FileKind, Order
from dryfit.models.reading.errors import DryfitError


def build(order: Order, folder: Path, kinds: Iterable[FileKind]) -> Iterator[tuple[FileKind, str]]:
    """Make the files in a folder, yielding each with an empty text, or with why it could not be made.

    A panel whose holes run into each other has no solid: what depends on it is told, and the rest is made.
    """
    folder.mkdir(parents=True, exist_ok=True)
    done: list[tuple[FileKind, str]] = []
    for kind in kinds:
        try:
            kind.make(replace(order, done=tuple(done)), folder / kind.name)
            done.append((kind, ""))
        except DryfitError as error:
            done.append((kind, str(error)))
        yield done[-1]
