"""The files that come with dryfit: tables, catalogue, layouts to begin with."""

from __future__ import annotations

from pathlib import Path

DATA = Path(__file__).parents[1] / "data"


def data_text(name: str) -> str:
    """Return the text of a file under ``models/data``."""
    return (DATA / name).read_text(encoding="utf-8")
