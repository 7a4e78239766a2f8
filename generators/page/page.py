"""One page for a build: the document, and the program with its data packed into it; it asks for nothing from outside.

What may run and what may style is named by its hash, so nothing that comes from a layout can do either.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from dryfit.generators.page.contents import contents
from dryfit.generators.page.document import Listed, document
from dryfit.generators.page.markup import Element, element
from dryfit.generators.report import Report

HERE = Path(__file__).parent
PROGRAM = HERE / "bundle" / "program.js"
LICENCES = HERE / "bundle" / "licences.txt"


def page(report: Report, files: Iterable[Listed]) -> str:
    """Return the page; ``files`` are those beside it, which it lists. The same input gives the same text."""
    data = json.dumps(contents(report), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    blocks = f"{_packed('data', data)}\n{_packed('program', _read(PROGRAM))}\n<script>{_read(LOADER)}</script>"
    body = str(document(report, files)).removesuffix("</body>")
    return f'<!doctype html>\n<html lang="en">\n{_head(report.job.title)}\n{body}\n{blocks}\n</body>\n</html>\n'


LOADER = HERE / "source" / "loader.js"
STYLE = HERE / "source" / "page.css"


@cache
def _read(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def _head(title: str) -> str:
    """Return the head: the style goes in as it is, for it holds no markup."""
    policy = (
        f"default-src 'none'; script-src {_hash(_read(LOADER))} {_hash(_read(PROGRAM))}; "
        f"style-src {_hash(_read(STYLE))}; base-uri 'none'; form-action 'none'"
    )
    metas: tuple[Element, ...] = (
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=policy),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="color-scheme", content="light dark"),
    )
    words = "".join(str(meta) for meta in (*metas, element("title", title)))
    return f"<head>{words}\n<!--\n{_read(LICENCES)}-->\n<style>{_read(STYLE)}</style></head>"


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


@cache
def _packed(name: str, text: str) -> str:
    """Return a block that the loader unpacks; its letters are those of base64, so it holds no markup."""
    data = gzip.compress(text.encode(), compresslevel=9, mtime=0)
    return f'<script type="application/gzip" id="{name}">{base64.b64encode(data).decode()}</script>'
