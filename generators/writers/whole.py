"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """Yield a temporary path beside ``path``, of the same suffix; it takes the place of ``path`` on success only."""
    handle, name = tempfile.mkstemp(prefix=".dryfit-", suffix=path.suffix, dir=path.parent)
    os.close(handle)
    try:
        yield Path(name)
        os.chmod(name, 0o644)
        os.replace(name, path)
    finally:
        with suppress(FileNotFoundError):
            os.unlink(name)


def write_whole(path: Path, data: bytes) -> None:
    """Write bytes to ``path``, whole or not at all."""
    with whole_file(path) as temporary:
        temporary.write_bytes(data)
