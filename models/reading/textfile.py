"""Text files from people, looked at before they are read: a plain file, no larger than it may be, in UTF-8."""

from __future__ import annotations

import stat
from pathlib import Path

from dryfit.models.reading.errors import Fault, InputError, display_path


def read_text(path: Path, kind: str, largest: int) -> str:
    """Return the text of a file of at most ``largest`` bytes; ``kind`` is what it should be, such as ``YAML file``.

    Raises:
        InputError: naming the file, and the line where it ceases to be text.
    """
    raw = read_bytes(path, kind, largest)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError([Fault(display_path(path), line, "is not text", "UTF-8 text")]) from None


def read_bytes(path: Path, kind: str, largest: int) -> bytes:
    """Return what is in a plain file; anything else might have no end, or never answer. Errors: as of read_text."""
    file = display_path(path)
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            what = "is a folder" if stat.S_ISDIR(found.st_mode) else "is no plain file"
            raise InputError([Fault(file, None, what, f"a {kind}")])
        if found.st_size <= largest:
            with path.open("rb") as stream:
                raw = stream.read(largest + 1)
            if len(raw) <= largest:
                return raw
    except FileNotFoundError:
        raise InputError([Fault(file, None, "there is no such file", f"an existing {kind}")]) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "its name is not a path"
        raise InputError([Fault(file, None, f"cannot be read: {reason}", f"a readable {kind}")]) from None
    raise InputError([Fault(file, None, "is too large", f"at most {largest} bytes")])
