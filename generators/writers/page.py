"""The page of a build."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.page.document import Listed
from dryfit.generators.page.page import page
from dryfit.generators.writers.register import FileKind, Order, file_kind
from dryfit.generators.writers.whole import write_whole


@file_kind("page", "index.html", "The assembly in 3D, findings, lists and these files on one page.")
def _page(order: Order, path: Path) -> None:
    files = [Listed(kind.name, kind.purpose, why, _inside(kind, path.parent)) for kind, why in order.done]
    write_whole(path, page(order.report, files).encode())


def _inside(kind: FileKind, folder: Path) -> tuple[str, ...]:
    """Return the names of the files in a folder that a kind filled; nothing for a file."""
    is_filled = kind.name.endswith("/") and (folder / kind.name).is_dir()
    return tuple(sorted(path.name for path in (folder / kind.name).iterdir())) if is_filled else ()
