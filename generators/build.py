"""From a report to a folder of files, with a page that lists them; which files there are, the register knows."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from dryfit.generators.folder import commit, rebuilding, refuse_strangers
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.manifest import MANIFEST, Made, Manifest, NotMade, digest, is_own, read_manifest
from dryfit.generators.report import Report
from dryfit.generators.writers.register import FileKind, Order
from dryfit.generators.writers.register import kinds as all_kinds
from dryfit.models.findings import Verdict
from dryfit.models.reading.errors import DryfitError, display_path
from dryfit.models.version import version

INDEX = "index.html"

Result = tuple[FileKind, str]


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
        refuse_strangers(folder, (*(kind.name for kind in kinds), INDEX, MANIFEST), force)
        done: list[Result] = []
        for kind in kinds:
            done.append((kind, _make(kind, order, staging, folder)))
            yield done[-1]
        if all(why for _, why in done):
            return
        files = _files(staging, done, order.report)
        kept = _kept(folder, set(only))
        _finish(staging, order.report, (*files, *kept[0]), (*_not_made(done), *kept[1]))
        commit(folder, staging, force)


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


def _kept(folder: Path, only: set[str]) -> tuple[tuple[Made, ...], tuple[NotMade, ...]]:
    """Return what stays from the last build where only some words are made anew: what is still as it was made."""
    last = read_manifest(folder) if only else None
    if last is None:
        return (), ()
    stay = only | {"index"}
    files = tuple(f for f in last.files if f.kind not in stay and is_own(folder / f.file, f.sha256))
    return files, tuple(missing for missing in last.not_made if missing.kind not in stay)


def _finish(staging: Path, report: Report, files: Iterable[Made], missing: Iterable[NotMade]) -> None:
    """Write the index page and the manifest of a build."""
    manifest = Manifest(
        dryfit=version(),
        name=report.job.file,
        layout=report.job.digest,
        verdict=str(report.verdict),
        files=tuple(files),
        not_made=tuple(missing),
    )
    index = staging / INDEX
    index.write_bytes(_index(report, manifest).encode())
    whole = (*manifest.files, _made(staging, index, "index", report))
    (staging / MANIFEST).write_bytes(manifest.model_copy(update={"files": whole}).text().encode())


# --- the index page --------------------------------------------------------------------------------------------------


def _index(report: Report, manifest: Manifest) -> str:
    """Return a page that lists the files with their purposes."""
    title = html.escape(report.job.title)
    rows = "".join(f"<tr>{cells}</tr>\n" for kind in all_kinds() for cells in _cells(kind, manifest))
    picture = any(made.file == "front.png" for made in manifest.files)
    front = "<p><img src='front.png' alt='the panel from the front'></p>" if picture else ""
    told = "".join(f"<li>{html.escape(text)}</li>" for text in cautions(report.job))
    return (
        f"<!doctype html><html lang='en'><meta charset='utf-8'><title>{title}</title>\n"
        "<style>body{font:16px/1.5 sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}img{max-width:100%}"
        "td{padding:.2rem 1rem .2rem 0;vertical-align:top}</style>\n"
        f"<h1>{title}</h1><p>Verdict: <b>{report.verdict}</b>. "
        f"Layout: {html.escape(report.job.file)}</p>{_failing(report)}"
        f"{front}\n<table>{rows}</table><ul>{told}</ul></html>\n"
    )


def _failing(report: Report) -> str:
    """Return what fails, for nobody to cut such a panel unawares."""
    fails = [f"{f.place}: {f.says}" if f.place else f.says for f in report.findings if f.verdict is Verdict.FAILS]
    told = "".join(f"<li>{html.escape(text)}</li>" for text in fails)
    return f"\n<p><b>Not for manufacture:</b></p><ul>{told}</ul>" if told else ""


def _cells(kind: FileKind, manifest: Manifest) -> Iterator[str]:
    """Yield the cells of one kind's row: none where nothing of it is there and nothing was to be."""
    purpose = html.escape(kind.purpose)
    files = [f for f in manifest.files if f.file == kind.name or f.file.startswith(_as_folder(kind.name))]
    if files:
        inside = ", ".join(_link(f.file) for f in files if f.file != kind.name)
        older = "" if files[0].layout == manifest.layout else " <i>Made from an earlier state of the layout.</i>"
        yield f"<td>{_link(kind.name)}</td><td>{' '.join(filter(None, (purpose, inside)))}{older}</td>"
    for missing in manifest.not_made:
        if missing.file == kind.name:
            yield f"<td>{kind.name}</td><td>not made: {html.escape(missing.why)}</td>"


def _as_folder(name: str) -> str:
    """Return the name with which the files of a folder begin; of a file, one that nothing begins with."""
    return name if name.endswith("/") else "\0"


def _link(name: str) -> str:
    return f"<a href='{name}'>{name.rstrip('/').rpartition('/')[2]}{'/' * name.endswith('/')}</a>"
