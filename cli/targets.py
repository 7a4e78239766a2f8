"""Files that a command is asked to write: refused before any work where they cannot be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from dryfit.models.reading.errors import DryfitError, display_path


def must_end(path: Path, *ends: str, option: str = "") -> None:
    """Refuse a name that no file of some kind has; messages name the ``option`` that it is given to."""
    if path.suffix.lower() not in ends:
        given = f"{option}: " if option else ""
        raise DryfitError(f"{given}{display_path(path)}: expected a name that ends with {' or '.join(ends)}")


def must_have_folder(path: Path) -> None:
    """Refuse a path in a folder that does not exist."""
    if not path.parent.is_dir():
        raise DryfitError(f"{display_path(path)}: its folder does not exist, expected an existing folder")


def must_be_new(path: Path) -> None:
    """Refuse what is there already."""
    if path.exists():
        raise DryfitError(f"{display_path(path)}: exists already, expected a new file")


def to_write(suffix: str) -> Any:
    """Return what reads an option that names a file to write, which ends as its format has it."""

    def read(ctx: click.Context, param: click.Parameter, path: Path | None) -> Path | None:
        if path is not None:
            must_end(path, suffix, option=param.opts[0])
            must_have_folder(path)
        return path

    return read
