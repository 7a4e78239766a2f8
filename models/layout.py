"""The layout file: what a person writes about one panel, read and judged by itself."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from dryfit.models.filling import filled
from dryfit.models.keys import examples
from dryfit.models.reading.errors import display_path
from dryfit.models.reading.fields import SHAPE_KEYS, Names, OneOrMore, Record, Text
from dryfit.models.reading.records import Origin, every_key, validated
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.yamlfile import LARGEST_FILE, LineMap, load
from dryfit.models.shorthand import with_known_keys, with_likeness
from dryfit.models.titles import BLANK, Titles
from dryfit.models.wishes.centres import MOST_PLACES
from dryfit.models.wishes.hardware import Hardware
from dryfit.models.wishes.panels import PanelWish
from dryfit.models.wishes.places import PlaceWish
from dryfit.models.wishes.plain_holes import MOST_CUTS, CutWish


class Layout(Record):
    """A whole layout file."""

    title: Text
    panel: PanelWish
    hardware: Hardware = Hardware()
    environment: Annotated[Literal["indoor", "damp", "salt air"], Names("environment")] = "indoor"
    origin: Annotated[Literal["corner", "centre"], Names("origin")] = "corner"
    revision: Text = ""
    notes: Annotated[tuple[Text, ...], Field(max_length=20), OneOrMore()] = ()
    title_block: Titles = BLANK
    parts: Annotated[tuple[Text, ...], Field(max_length=20), OneOrMore()] = ()
    legend_font: Text = ""  # a typeface for legends, beside the layout
    cut: Annotated[tuple[CutWish, ...], Field(max_length=MOST_CUTS), OneOrMore()] = ()
    places: Annotated[tuple[PlaceWish, ...], Field(min_length=1, max_length=MOST_PLACES), OneOrMore()]

    @model_validator(mode="after")
    def _not_too_many(self) -> Layout:
        total = sum(entry.places for entry in self.places)
        if total > MOST_PLACES:
            raise ValueError(f"{total} places are more than the {MOST_PLACES} a panel may have")
        if sum(len(entry.spots) for entry in self.cut) > MOST_CUTS:
            raise ValueError(f"a panel has at most {MOST_CUTS} plain holes")
        return self


@dataclass(frozen=True)
class LayoutFile:
    """A layout with the file it was read from, and the text of that; ``drawer`` is a file for the one it names."""

    path: Path
    layout: Layout
    lines: LineMap
    text: str = field(default="", repr=False)
    drawer: Path | None = None


def read_layout(path: Path) -> LayoutFile:
    """Return a layout file, validated whole.

    Raises:
        InputError: with every fault of the file.
    """
    return parse_layout(path, layout_text(path))


def layout_text(path: Path) -> str:
    """Return the text of a layout file, whatever it says.

    Raises:
        InputError: if it is no text file, or too large.
    """
    return read_text(path, "YAML file", LARGEST_FILE)


def parse_layout(path: Path, text: str, values: Mapping[str, str] | None = None) -> LayoutFile:
    """Return a layout given as text, its ``{name}`` fields filled with values if there are any.

    ``path`` names it in messages, and what it names is looked for beside that.
    """
    file = display_path(path)
    data, lines = load(file, text)
    if values is not None:
        data, text = filled(data, values), text + json.dumps(dict(values), sort_keys=True)
    data, lines = with_likeness(file, *with_known_keys(data, lines, known_keys()))
    return LayoutFile(path, validated(data, Layout, Origin(file, lines, examples=examples())), lines, text)


@cache
def known_keys() -> frozenset[str]:
    """Return the name of every key that a layout may have."""
    return frozenset(every_key(Layout)) | SHAPE_KEYS


def yaml_files(folder: Path) -> list[Path]:
    """Return the YAML files in a folder and below it, in order; layouts are among them, part files and printers too."""
    return sorted(path for end in ("yaml", "yml") for path in folder.rglob(f"*.{end}"))


def looks_like_layout(text: str) -> bool:
    """Whether the text of a YAML file is meant as a layout, right or wrong."""
    return re.search(r"^places\s*:", text, re.MULTILINE) is not None
