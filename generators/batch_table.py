"""The results of many layouts: a table (CSV, JSON lines) and a page, in the order in which the layouts were given."""

from __future__ import annotations

import html
import json
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, astuple
from pathlib import Path
from urllib.parse import quote

from dryfit.generators.batch import COLUMNS, VERDICTS, Row
from dryfit.generators.manifest import MANIFEST, Made, Manifest, digest
from dryfit.generators.writers.spreadsheet import as_text, csv_text
from dryfit.models.reading.errors import number_of
from dryfit.models.version import version

INDEX = "index.html"
TABLES = ("results.csv", "results.jsonl", INDEX)


def write_tables(rows: Sequence[Row], staging: Path, built: bool) -> None:
    """Write the tables, the page and their manifest into a folder; ``built``: the page leads to each panel's files."""
    texts = (results_csv(rows), results_jsonl(rows), page(rows, built))
    for name, text in zip(TABLES, texts, strict=True):
        (staging / name).write_bytes(text.encode())
    files = tuple(
        Made(file=name, kind="batch", sha256=digest(staging / name), layout="", dryfit=version()) for name in TABLES
    )
    manifest = Manifest(dryfit=version(), name="", layout="", verdict=worst(rows), files=files)
    (staging / MANIFEST).write_bytes(manifest.text().encode())


def worst(rows: Iterable[Row]) -> str:
    """Return the worst verdict of all."""
    return max((row.verdict for row in rows), key=VERDICTS.index)


def results_csv(rows: Iterable[Row]) -> str:
    """Return the table as CSV."""
    return csv_text(
        COLUMNS, ([as_text(cell) if isinstance(cell, str) else cell for cell in astuple(row)] for row in rows)
    )


def results_jsonl(rows: Iterable[Row]) -> str:
    """Return the table as JSON, one row a line."""
    return "".join(json.dumps(asdict(row), ensure_ascii=False) + "\n" for row in rows)


def counted(rows: Iterable[Row]) -> str:
    """Return in one line how many layouts came out how."""
    count = Counter(row.verdict for row in rows)
    told = ", ".join(f"{count[verdict]} {verdict}" for verdict in VERDICTS if count[verdict])
    return f"{number_of(count.total(), 'layout')}: {told}"


def page(rows: Sequence[Row], built: bool) -> str:
    """Return a page with the table, what needs a look first."""
    order = sorted(rows, key=lambda row: -VERDICTS.index(row.verdict))
    lines = "".join(f"<tr>{''.join(_cells(row, built))}</tr>\n" for row in order)
    return (
        "<!doctype html><html lang='en'><meta charset='utf-8'><title>dryfit batch</title>\n"
        "<style>body{font:16px/1.5 sans-serif;max-width:70rem;margin:2rem auto;padding:0 1rem}"
        "td,th{padding:.2rem 1rem .2rem 0;vertical-align:top;text-align:left}</style>\n"
        f"<h1>{html.escape(counted(rows))}</h1>\n"
        "<table><tr><th>name</th><th>layout</th><th>verdict</th><th>places</th><th>says</th></tr>\n"
        f"{lines}</table></html>\n"
    )


def _cells(row: Row, built: bool) -> Iterator[str]:
    name = html.escape(row.name)
    linked = built and row.verdict in VERDICTS[:3]
    yield f"<td><a href='{quote(row.name)}/'>{name}</a></td>" if linked else f"<td>{name}</td>"
    for cell in (row.layout, row.verdict, row.places or "", row.says):
        yield f"<td>{html.escape(str(cell))}</td>"
