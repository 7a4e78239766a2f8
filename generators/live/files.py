"""Whether files have changed, however an editor saves them: asked often, so that it must be cheap."""

from __future__ import annotations

import os
import stat
import time
from hashlib import sha256
from pathlib import Path

from dryfit.models.reading.yamlfile import LARGEST_FILE

COARSE = 2_000_000_000  # ns: the coarsest clock of a file system; what is younger may have changed without showing it

Look = bytes
"""What a file looked like: the digest of what is in it, or nothing where it could not be read."""


class Files:
    """The last looks at files: what shows no change is not read again."""

    def __init__(self) -> None:
        self._known: dict[Path, tuple[tuple[int, ...], Look]] = {}

    def look(self, path: Path) -> Look:
        """Return what a file looks like now."""
        try:
            found = path.stat()
            if not stat.S_ISREG(found.st_mode):
                return b""
            key = (found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino)
            known = self._known.get(path)
            if known is not None and known[0] == key and time.time_ns() - found.st_mtime_ns > COARSE:
                return known[1]
            seen = _digest(path)
        except (OSError, ValueError):
            return b""
        self._known[path] = (key, seen)
        return seen


def _digest(path: Path) -> Look:
    with open(path, "rb", opener=_without_waiting) as stream:
        return sha256(stream.read(LARGEST_FILE + 1)).digest()


def _without_waiting(path: str, flags: int) -> int:
    """Open a file that may have become a pipe since it was looked at: that would wait for ever."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))
