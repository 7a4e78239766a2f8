"""One page for a build: the document, and the program with its data packed into it; it asks for nothing from outside.

What may run and what may style is named by its hash, so nothing that comes from a layout can do either.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from dryfit.generators.page.contents import contents
from dryfit.generators.page.document import Listed, body, document
from dryfit.generators.page.markup import Element, element
from dryfit.generators.report import Report

HERE = Path(__file__).parent
PROGRAM = HERE / "bundle" / "program.js"
LICENCES = HERE / "bundle" / "licences.txt"


@dataclass(frozen=True)
class Live:
    """What makes a page follow its server: the number of its state, and how that stands, to be shown on top."""

    number: int
    notice: Element


def page(report: Report, files: Iterable[Listed], live: Live | None = None) -> str:
    """Return the page; ``files`` are those beside it, which it lists. The same input gives the same text."""
    data = json.dumps(contents(report), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    notice = [] if live is None else [live.notice]
    return _whole(report.job.title, document(report, files, notice), live, f"{_packed('data', data)}\n")


def bare_page(title: str, live: Live, *contents: Element) -> str:
    """Return a page without a panel that follows its server."""
    return _whole(title, body(*contents, element("main", live.notice)), live)


def still_page(title: str, *contents: Element) -> str:
    """Return a page of words and tables alone, without the program: nothing on it can run."""
    text = str(body(*contents)).removesuffix("</body>")
    return f'<!doctype html>\n<html lang="en">\n{_head(title, "")}\n{text}\n</body>\n</html>\n'


def _whole(title: str, shown: Element, live: Live | None, data: str = "") -> str:
    """Return the text of a page."""
    blocks = f"{data}{_program()}\n<script>{_read(LOADER)}</script>"
    follows = "" if live is None else f' data-live="{live.number}"'
    head = _head(title, _may(live), f"<!--\n{_read(LICENCES)}-->\n")
    text = str(shown).removesuffix("</body>")
    return f'<!doctype html>\n<html lang="en"{follows}>\n{head}\n{text}\n{blocks}\n</body>\n</html>\n'


LOADER = HERE / "source" / "loader.js"
STYLE = HERE / "source" / "page.css"


@cache
def _read(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def _head(title: str, may: str, notes: str = "") -> str:
    """Return the head, with what the page may do besides; the style goes in as it is, for it holds no markup."""
    style = _read(STYLE)
    policy = f"default-src 'none'; {may}style-src {_hash(style)}; base-uri 'none'; form-action 'none'"
    metas: tuple[Element, ...] = (
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=policy),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="color-scheme", content="light dark"),
    )
    words = "".join(str(meta) for meta in (*metas, element("title", title)))
    return f"<head>{words}\n{notes}<style>{style}</style></head>"


def _may(live: Live | None) -> str:
    """Return what a page with the program may do: run that alone; only a live one may ask, and its own server."""
    asks = "" if live is None else "connect-src 'self'; img-src 'self'; "
    return f"script-src {_hash(_read(LOADER))} {_hash(_read(PROGRAM))}; {asks}"


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


@cache
def _program() -> str:
    return _packed("program", _read(PROGRAM))


def _packed(name: str, text: str) -> str:
    """Return a block that the loader unpacks; its letters are those of base64, so it holds no markup."""
    data = gzip.compress(text.encode(), compresslevel=9, mtime=0)
    return f'<script type="application/gzip" id="{name}">{base64.b64encode(data).decode()}</script>'
