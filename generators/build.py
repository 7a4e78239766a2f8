"""From a report to a folder of files; which files there are, the register knows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from dryfit.generators.folder import commit, rebuilding, refuse_strangers
from dryfit.generators.manifest import MANIFEST, Made, Manifest, NotMade, digest, is_own, read_manifest
from dryfit.generators.report import Report
from dryfit.generators.writers.register import FileKind, Order, chosen
from dryfit.models.reading.errors import DryfitError, display_path
from dryfit.models.version import version

PAGE = "page"  # the word of the file that lists the others

Result = tuple[FileKind, str]
Kept = tuple[tuple[Made, ...], tuple[NotMade, ...]]


def build(
    order: Order, folder: Path, kinds: Sequence[FileKind], only: Iterable[str] = (), force: bool = False
) -> Iterator[Result]:
    """Make the files in a folder, yielding each with an empty text, or with why it could not be made.

    The folder changes at the end, as one thing; if nothing could be made it does not. With ``only``, words of the
    register, what the last build made of other words is kept. A panel whose holes run into each other has no solid:
    what depends on it is told, and the rest is made.

    Raises:
        DryfitError: if files of the user's stand in the way (``force`` replaces them), or nothing can be written there.
    """
    with rebuilding(folder, force) as staging:
        kept = _kept(folder, set(only))
        kinds = (*kinds, *_page_again(kept, order.report, kinds))
        refuse_strangers(folder, (*(kind.name for kind in kinds), MANIFEST), force)
        done: list[Result] = []
        for kind in kinds:
            listed = (*done, *_listed(kept, order.report, kinds))
            done.append((kind, _make(kind, replace(order, done=listed), staging, folder)))
            yield done[-1]
        if all(why for _, why in done):
            return
        _finish(staging, order.report, done, kept)
        commit(folder, staging, force)


def _page_again(kept: Kept, report: Report, kinds: Iterable[FileKind]) -> tuple[FileKind, ...]:
    """Return the page where the last build made one and this one would leave it as it was: it lists what is new."""
    has_page = any(made.kind == PAGE for made in kept[0])
    return chosen(report, [PAGE]) if has_page and all(kind.word != PAGE for kind in kinds) else ()


def _listed(kept: Kept, report: Report, kinds: Sequence[FileKind]) -> Iterator[Result]:
    """Yield what stays of the last build, for the page: of an earlier state of the layout if it is."""
    state = {_kind_name(made.file): made.layout for made in kept[0]}
    missing = {one.file: one.why for one in kept[1]}
    for kind in (kind for kind in chosen(report) if kind not in kinds):
        if kind.name in state:
            older = "" if state[kind.name] == report.job.digest else " Made from an earlier state of the layout."
            yield replace(kind, purpose=kind.purpose + older), ""
        elif kind.name in missing:
            yield kind, missing[kind.name]


def _kind_name(file: str) -> str:
    """Return the name of the kind that a file is of: a folder's for a file in one."""
    folder, slash, _ = file.partition("/")
    return folder + slash


def _make(kind: FileKind, order: Order, staging: Path, folder: Path) -> str:
    """Make one file; return why it could not be made, or nothing."""
    try:
        kind.make(order, staging / kind.name)
    except DryfitError as error:
        return str(error)
    except OSError as error:
        where, reason = display_path(folder / kind.name), error.strerror or error
        raise DryfitError(f"{where}: cannot be written: {reason}; the folder is as it was") from error
    return ""


def _files(staging: Path, done: Iterable[Result], report: Report) -> Iterator[Made]:
    """Yield what was made, in the order of making; a folder gives every file in it."""
    for kind, why in done:
        path = staging / kind.name
        for file in sorted(path.iterdir()) if path.is_dir() else [path]:
            if not why:
                yield _made(staging, file, kind.word, report)


def _made(staging: Path, file: Path, word: str, report: Report) -> Made:
    name = file.relative_to(staging).as_posix()
    return Made(file=name, kind=word, sha256=digest(file), layout=report.job.digest, dryfit=version())


def _not_made(done: Iterable[Result]) -> Iterator[NotMade]:
    for kind, why in done:
        if why:
            yield NotMade(file=kind.name, kind=kind.word, why=why)


def _kept(folder: Path, only: set[str]) -> Kept:
    """Return what stays from the last build where only some words are made anew: what is still as it was made."""
    last = read_manifest(folder) if only else None
    if last is None:
        return (), ()
    files = tuple(f for f in last.files if f.kind not in only and is_own(folder / f.file, f.sha256))
    return files, tuple(missing for missing in last.not_made if missing.kind not in only)


def _finish(staging: Path, report: Report, done: Sequence[Result], kept: Kept) -> None:
    """Write the manifest of a build: what it made, and what it leaves of the last one."""
    made = (*_files(staging, done, report),)
    names = {file.file for file in made}
    manifest = Manifest(
        dryfit=version(),
        name=report.job.file,
        layout=report.job.digest,
        verdict=str(report.verdict),
        files=(*made, *(file for file in kept[0] if file.file not in names)),
        not_made=(*_not_made(done), *kept[1]),
    )
    (staging / MANIFEST).write_bytes(manifest.text().encode())
