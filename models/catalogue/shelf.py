"""The shelf: a folder of part files that every layout finds, kept once by a person or by a firm.

``DRYFIT_SHELF`` names it, or several, parted as in ``PATH``, the firm's beside one's own; empty, there is none. Where
nothing is said it is the folder ``dryfit/shelf`` where the platform keeps what a person has set up.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

from dryfit.models.reading.errors import Fault, InputError, display_path

SETTING = "DRYFIT_SHELF"
MOST_FILES = 200  # of one shelf; a firm that keeps one for each kind of connector has some twenty
ENDS = (".yaml", ".yml")


def shelf_folders() -> tuple[Path, ...]:
    """Return the folders that make up the shelf, whether or not they are there."""
    said = os.environ.get(SETTING)
    if said is None:
        settings = _settings()
        return () if settings is None else (settings / "dryfit" / "shelf",)
    return tuple(Path(os.path.abspath(os.path.expanduser(name))) for name in said.split(os.pathsep) if name.strip())


def _settings() -> Path | None:
    """Return the folder where programs keep what a person has set up; None where the machine knows of none."""
    where = {"win32": "~/AppData/Roaming", "darwin": "~/Library/Application Support"}.get(sys.platform, "~/.config")
    said = os.environ.get({"win32": "APPDATA", "darwin": ""}.get(sys.platform, "XDG_CONFIG_HOME"), "")
    folder = Path(said or os.path.expanduser(where))
    return folder if folder.is_absolute() else None


def shelf_files() -> tuple[Path, ...]:
    """Return the part files of the shelf, folder by folder, by name.

    Raises:
        InputError: if a folder that was asked for cannot be read, or holds too many files: parts that are not found
            must not be told as unknown.
    """
    return tuple(path for folder in shelf_folders() for path in _files(folder))


def _files(folder: Path) -> Iterator[Path]:
    try:
        found = sorted(path for path in folder.iterdir() if path.suffix.lower() in ENDS and path.name[0] != ".")
    except FileNotFoundError:
        if SETTING not in os.environ:
            return  # nobody has put anything there yet
        raise _fault(folder, "there is no such folder", "an existing folder") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "its name is not a path"
        raise _fault(folder, f"cannot be read: {reason}", "a readable folder") from None
    if len(found) > MOST_FILES:
        raise _fault(folder, f"holds {len(found)} part files", f"at most {MOST_FILES}")
    yield from found


def _fault(folder: Path, what: str, expected: str) -> InputError:
    named = f"the shelf {display_path(folder)}" + (f", from {SETTING}" if SETTING in os.environ else "")
    return InputError([Fault(named, None, what, expected)])
