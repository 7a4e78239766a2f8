"""STEP files of anybody's, looked at from outside: is it there, is it one, can it be read in bounded time."""

from __future__ import annotations

import stat
from pathlib import Path

from dryfit.models.reading.errors import Fault, InputError, display_path

LARGEST_STEP = 64_000_000  # bytes; a maker's connector with every contact and spring has some ten million
STEP_ENDS = (".step", ".stp")  # of names, in small letters
HEAD = b"ISO-10303-21"  # how every such file begins (ISO 10303-21, 5.3)
LOOKED_AT = 4096  # bytes, within which it begins: comments may stand before it


def look_at_step(path: Path) -> None:
    """Refuse what is no plain file, is too large, or does not begin as a STEP file does.

    Raises:
        InputError: in one line, of the file as a whole.
    """
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            what = "is a folder" if stat.S_ISDIR(found.st_mode) else "is no plain file"
            raise wrong_step(path, what, "a STEP file")
        with path.open("rb") as stream:
            begins = stream.read(LOOKED_AT)
    except FileNotFoundError:
        raise wrong_step(path, "there is no such file", "an existing STEP file") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "its name is not a path"
        raise wrong_step(path, f"cannot be read: {reason}", "a readable STEP file") from None
    if found.st_size > LARGEST_STEP:
        raise wrong_step(path, f"is too large, {found.st_size} bytes", f"at most {LARGEST_STEP} bytes")
    if HEAD not in begins:
        raise wrong_step(path, "is no STEP file", f"one that begins with {HEAD.decode()}")


def wrong_step(path: Path, what: str, expected: str) -> InputError:
    """Return the error of a STEP file that is wrong as a whole."""
    return InputError([Fault(display_path(path), None, what, expected)])
