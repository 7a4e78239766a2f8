"""The index page of a build: what a stranger wrote in a layout stands there as text, never as markup."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path

from dryfit.generators.build import build
from dryfit.generators.pipeline import judged
from dryfit.generators.writers.register import Order, chosen
from dryfit.models.resolve import read_job
from tests.helpers import place

NASTY = "<script>alert('1')</script> & \"two\""


class _Seen(HTMLParser):
    """What a browser sees: the tags, and the text."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_a_title_with_markup_is_shown_as_it_was_written(tmp_path: Path) -> None:
    layout = tmp_path / "a&b<i>.yaml"
    small = place("xlr3-socket", label="'<u>A</u>'", cutout="{hole: 10 mm}")
    panel = "panel: {rack_units: 2, thickness: 3}"
    layout.write_text(f"title: {json.dumps(NASTY)}\norigin: centre\n{panel}\nplaces:\n{small}\n", encoding="utf-8")
    folder, report = tmp_path / "out", judged(read_job(layout))
    list(build(Order(report), folder, chosen(report, ["holes"])))
    seen = _Seen()
    seen.feed((folder / "index.html").read_text(encoding="utf-8"))
    assert not {"script", "i", "u"} & set(seen.tags)
    assert seen.text.count(NASTY) >= 2  # as the title of the page, and above it
    assert "a&b<i>.yaml" in seen.text
    assert "<u>A</u>: " in seen.text  # what fails is told by its place
