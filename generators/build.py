"""From a report to a folder of files, with a page that lists them; which files there are, the register knows."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator
from pathlib import Path

from dryfit.generators.lists.cautions import cautions
from dryfit.generators.report import Report
from dryfit.generators.writers.register import FileKind, Order
from dryfit.generators.writers.whole import write_whole
from dryfit.models.reading.errors import DryfitError, display_path


def build(order: Order, folder: Path, kinds: Iterable[FileKind]) -> Iterator[tuple[FileKind, str]]:
    """Make the files in a folder, yielding each with an empty text, or with why it could not be made.

    A panel whose holes run into each other has no solid: what depends on it is told, and the rest is made.
    """
    folder.mkdir(parents=True, exist_ok=True)
    done: list[tuple[FileKind, str]] = []
    for kind in kinds:
        try:
            kind.make(order, folder / kind.name)
            done.append((kind, ""))
        except DryfitError as error:
            done.append((kind, str(error)))
        yield done[-1]
    write_whole(folder / "index.html", _index(order.report, done, folder).encode())


def _index(report: Report, done: Iterable[tuple[FileKind, str]], folder: Path) -> str:
    """Return a page that lists the files with their purposes."""
    title = html.escape(report.job.title)
    rows = "".join(
        f"<tr><td><a href='{kind.name}'>{kind.name}</a></td>"
        f"<td>{html.escape(kind.purpose)}{_links(folder, kind)}</td></tr>\n"
        if not why
        else f"<tr><td>{kind.name}</td><td>not made: {html.escape(why)}</td></tr>\n"
        for kind, why in done
    )
    picture = "<p><img src='front.png' alt='the panel from the front'></p>" if _made(done, "front.png") else ""
    told = "".join(f"<li>{html.escape(text)}</li>" for text in cautions(report.job))
    return (
        f"<!doctype html><html lang='en'><meta charset='utf-8'><title>{title}</title>\n"
        "<style>body{font:16px/1.5 sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}img{max-width:100%}"
        "td{padding:.2rem 1rem .2rem 0;vertical-align:top}</style>\n"
        f"<h1>{title}</h1><p>Verdict: <b>{report.verdict}</b>. "
        f"Layout: {html.escape(display_path(report.job.source))}</p>"
        f"{picture}\n<table>{rows}</table><ul>{told}</ul></html>\n"
    )


def _links(folder: Path, kind: FileKind) -> str:
    """Return links to the files of a folder; nothing for a file."""
    if not kind.name.endswith("/"):
        return ""
    names = [html.escape(path.name) for path in sorted((folder / kind.name).iterdir())]
    return " " + ", ".join(f"<a href='{kind.name}{name}'>{name}</a>" for name in names)


def _made(done: Iterable[tuple[FileKind, str]], name: str) -> bool:
    return any(kind.name == name and not why for kind, why in done)
