"""Files written whole or not at all."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """Yield a temporary path beside ``path``, of the same suffix; it takes the place of ``path`` on success only."""
    temporary = path.with_name(f".dryfit-{secrets.token_hex(4)}{path.suffix}")
    try:
        temporary.touch(exist_ok=False)  # not as tempfile does it: a shop's file has the rights that its umask gives
        yield temporary
        os.replace(temporary, path)
    except OSError as error:
        if error.filename == str(temporary):
            error.filename = str(path)  # the name that the user knows
        raise
    finally:
        with suppress(FileNotFoundError):
            temporary.unlink()


def write_whole(path: Path, data: bytes) -> None:
    """Write bytes to ``path``, whole or not at all."""
    with whole_file(path) as temporary:
        temporary.write_bytes(data)
