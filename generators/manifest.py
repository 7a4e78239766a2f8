"""The manifest of a built folder: every file with its digest, and the layout and the version that it was made from.

By it a later build knows its own files from those of the user.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from dryfit.models.reading.errors import InputError
from dryfit.models.reading.textfile import read_text

MANIFEST = "manifest.json"
LARGEST = 1_000_000  # bytes; that of a panel in a hundred tiles takes a fiftieth
PLAIN_NAME = r"^[A-Za-z0-9_-][A-Za-z0-9._-]*(/[A-Za-z0-9_-][A-Za-z0-9._-]*)?$"
"""A file in the folder or in one below it: a stranger's manifest must not lead out of the folder."""

Digest = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


class _Entry(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


class Made(_Entry):
    """One file: its path in the folder, the word of its kind, and the layout and version it was made from."""

    file: Annotated[str, Field(pattern=PLAIN_NAME, max_length=200)]
    kind: str
    sha256: Digest
    layout: str
    dryfit: str


class NotMade(_Entry):
    """A file that should be there but could not be made, and why."""

    file: str
    kind: str
    why: str


class Manifest(_Entry):
    """All files of a folder: ``layout`` is the digest of the layout of the last build, ``name`` its file's name."""

    manifest: Literal[1] = 1
    dryfit: str
    name: str
    layout: str
    verdict: str
    files: tuple[Made, ...]
    not_made: tuple[NotMade, ...] = ()

    def text(self) -> str:
        """Return the manifest as it stands in its file."""
        return self.model_dump_json(indent=1) + "\n"

    def digests(self) -> dict[str, str]:
        """Return the digest of every file by its path in the folder."""
        return {made.file: made.sha256 for made in self.files}


def read_manifest(folder: Path) -> Manifest | None:
    """Return the manifest of a folder; None where there is none, or where the file of that name is not one of ours."""
    path = folder / MANIFEST
    if path.is_symlink() or not path.is_file():
        return None
    try:
        return Manifest.model_validate_json(read_text(path, "JSON file", LARGEST))
    except (InputError, ValidationError):
        return None


def digest(path: Path) -> str:
    """Return the SHA-256 of a file, in hexadecimal figures."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def is_own(path: Path, sha256: str | None) -> bool:
    """Whether there is a plain file that still has a digest: one that we wrote and nobody has changed."""
    return sha256 is not None and not path.is_symlink() and path.is_file() and digest(path) == sha256


def torn(folder: Path) -> tuple[str, ...]:
    """Return the files of a built folder that are not as its manifest has them; all are where there is no manifest."""
    manifest = read_manifest(folder)
    if manifest is None:
        return (MANIFEST,)
    return tuple(name for name, sha256 in manifest.digests().items() if not is_own(folder / name, sha256))


def names_of(files: Iterable[Made]) -> set[str]:
    """Return the paths of files in their folder."""
    return {made.file for made in files}
