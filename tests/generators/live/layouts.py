"""A small layout to be edited, and a bench that works until nothing is left to do."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.live.bench import Bench

TEXT = """title: {title}
panel: {{rack_units: 1, thickness: 3}}
places:
  - {{part: {part}, at: [{x}, 22], label: A}}
"""


def save(path: Path, title: str = "One", part: str = "xlr3-socket", x: float = 60) -> Path:
    """Write the layout, and return its path."""
    path.write_text(TEXT.format(title=title, part=part, x=x), encoding="utf-8")
    return path


def settle(bench: Bench) -> None:
    """Let a bench work until nothing is left to do."""
    while bench.work():
        pass


def text_of(bench: Bench, name: str) -> str:
    """Return the page of a name."""
    page = bench.page(name)
    assert page is not None
    return page.text.decode()
