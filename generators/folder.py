"""A folder that is rebuilt as one thing: whole old or whole new, and the user's own files in it left alone.

A build is made in a hidden folder inside (``.dryfit-new-...``: same disk, so that files move by renaming, which no kill
can tear). Complete, it is renamed ``.dryfit-ready``, and from there on it can only go forward: the old files move out
to ``.dryfit-old``, manifest first; then ``.dryfit-ready`` is renamed ``.dryfit-entering``, and the new files move in,
manifest last. At no time do old and new files stand side by side, and a folder that has its manifest is whole. What
a kill interrupts, the next build completes first. A rename over a file that is in use fails on some systems; then the
old files move back.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from dryfit.generators.manifest import MANIFEST, Manifest, is_own, names_of, read_manifest
from dryfit.models.reading.errors import DryfitError, display_path

NEW, READY, ENTERING, OLD = ".dryfit-new-", ".dryfit-ready", ".dryfit-entering", ".dryfit-old"
MOST_NAMED = 10  # files in a message; more would bury what to do


@contextmanager
def rebuilding(folder: Path, force: bool = False) -> Iterator[Path]:
    """Yield an empty hidden folder for a new build; nothing is left of it, nor of folders made for it, on failure.

    First what an earlier build left behind is completed and cleaned up. With ``force`` files of the user's may go.

    Raises:
        DryfitError: if another build is at work in the folder.
    """
    made = _make(folder)
    try:
        with _alone(folder):
            complete(folder, force)
            for left in folder.glob(f"{NEW}*"):
                shutil.rmtree(left, ignore_errors=True)
            staging = _staging(folder)
            try:
                yield staging
            finally:
                shutil.rmtree(staging, ignore_errors=True)
    finally:
        for path in made:
            with suppress(OSError):  # it holds something: the build
                path.rmdir()


def commit(folder: Path, staging: Path, force: bool = False) -> None:
    """Let a complete build, its manifest included, take the place of the last one."""
    refuse_strangers(folder, _inside(staging), force)
    os.rename(staging, folder / READY)
    try:
        complete(folder, force)
    except KeyboardInterrupt:
        complete(folder, force)  # a moment's work: rather finished than left for the next build
        raise


def complete(folder: Path, force: bool = False) -> None:
    """Complete the change to a new build that is under way in a folder, if there is one."""
    ready, entering, old = folder / READY, folder / ENTERING, folder / OLD
    if _is_there(ready):
        _take_out(folder, ready, old, force)
        os.rename(ready, entering)
    if _is_there(entering):
        refuse_strangers(folder, _inside(entering), force)
        for name in _manifest_last(_inside(entering)):
            _move(entering, folder, name)
        shutil.rmtree(entering)
    if _is_there(old):
        _remove_empty(folder, old)
        shutil.rmtree(old)


def refuse_strangers(folder: Path, names: Iterable[str], force: bool = False) -> None:
    """Refuse to write over files that no build of ours made, or that were changed since.

    Raises:
        DryfitError: that names them; with ``force`` only for links, and for folders and files in each other's place.
    """
    names = tuple(names)
    _refuse_other_things(folder, names)
    if force:
        return
    manifest = read_manifest(folder)
    known = manifest.digests() if manifest is not None else {}
    found = [name for name in sorted(names) if os.path.lexists(folder / name) and not _is_ours(folder, name, known)]
    if found:
        told = ", ".join(found[:MOST_NAMED]) + (", ..." if len(found) > MOST_NAMED else "")
        raise DryfitError(
            f"{display_path(folder)}: {told}: not written by dryfit, or changed since; "
            "move them, choose another folder by --out, or give --force to replace them"
        )


def _refuse_other_things(folder: Path, names: Iterable[str]) -> None:
    for name in names:
        path = folder / name
        for below in {path if name.endswith("/") else path.parent} - {folder}:
            if below.is_symlink() or (below.exists() and not below.is_dir()):
                raise DryfitError(f"{display_path(below)}: is a link or a file, expected a folder; move it")
        if path.is_dir() and not name.endswith("/"):
            raise DryfitError(f"{display_path(path)}: is a folder, expected a file; move it")


def _is_ours(folder: Path, name: str, known: dict[str, str]) -> bool:
    path = folder / name
    if name == MANIFEST:
        return read_manifest(folder) is not None
    if path.is_dir():
        return True  # what is in it is asked of by itself
    return is_own(path, known.get(name))


# --- the change ------------------------------------------------------------------------------------------------------


def _take_out(folder: Path, ready: Path, old: Path, force: bool) -> None:
    """Move every file out that is not part of the new build; on failure all go back, and the new build is dropped."""
    new, last = read_manifest(ready), read_manifest(folder) or read_manifest(old)
    arriving = _inside(ready)
    try:
        for name in (MANIFEST, *_leaving(folder, last, new, arriving, force)):
            if os.path.lexists(folder / name):
                _move(folder, old, name)
    except OSError:
        for name in _manifest_last(_inside(old)):
            _move(old, folder, name)
        dropped = ready.with_name(f"{NEW}dropped")
        os.rename(ready, dropped)  # first, and at once: half of it must never be taken for ready
        for left in (dropped, old):
            shutil.rmtree(left, ignore_errors=True)
        raise


def _leaving(
    folder: Path, last: Manifest | None, new: Manifest | None, arriving: set[str], force: bool
) -> Iterator[str]:
    """Yield the files that give way: those of the last build that are not kept; by force those in the way."""
    known = last.digests() if last is not None else {}
    kept = names_of(new.files) - arriving if new is not None else set()
    for name in sorted(({*known, *arriving}) - kept - {MANIFEST}):
        if is_own(folder / name, known.get(name)) or (force and name in arriving):
            yield name


def _move(source: Path, target: Path, name: str) -> None:
    to = target / name
    to.parent.mkdir(parents=True, exist_ok=True)
    os.replace(source / name, to)


def _manifest_last(names: Iterable[str]) -> list[str]:
    return sorted(names, key=lambda name: (name == MANIFEST, name))


def _inside(folder: Path) -> set[str]:
    """Return the files in a folder of ours and in those below it."""
    if not folder.is_dir():
        return set()
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir()}


def _is_there(path: Path) -> bool:
    if path.is_symlink():
        raise DryfitError(f"{display_path(path)}: is a link, expected a folder of a build")
    return path.is_dir()


def _remove_empty(folder: Path, old: Path) -> None:
    """Remove the folders that the old files leave empty."""
    for below in old.iterdir():
        if below.is_dir():
            with suppress(OSError):  # it holds something of the new build, or of the user's
                (folder / below.name).rmdir()


# --- one at a time ---------------------------------------------------------------------------------------------------


def _make(folder: Path) -> list[Path]:
    """Make a folder with those above it; return the ones that were not there, innermost first."""
    if folder.exists() and not folder.is_dir():
        raise DryfitError(f"{display_path(folder)}: is a file, expected a folder for the results")
    missing = [path for path in (folder, *folder.parents) if not path.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return missing


def _staging(folder: Path) -> Path:
    try:
        return Path(tempfile.mkdtemp(prefix=NEW, dir=folder))
    except OSError as error:
        raise DryfitError(f"{display_path(folder)}: cannot be written into: {error.strerror}") from None


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Hold a folder against other builds; the system lets it go even if we are killed."""
    try:
        handle = _held(folder)
    except (BlockingIOError, FileExistsError):
        raise DryfitError(f"{display_path(folder)}: another build is at work there; wait until it is done") from None
    try:
        yield
    finally:
        os.close(handle)


if sys.platform == "win32":

    def _held(folder: Path) -> int:
        return os.open(folder / ".dryfit-lock", os.O_CREAT | os.O_EXCL | os.O_TEMPORARY)

else:

    def _held(folder: Path) -> int:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BaseException:
            os.close(handle)
            raise
        return handle
