"""The catalogue: every part and plug dryfit knows, and those of a user's own part files.

A new part is a record in a YAML file under ``data/parts``; it needs no code.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from pydantic import Field

from dryfit.models.errors import Fault, InputError, display_path, nearest_name, quote
from dryfit.models.fields import Record
from dryfit.models.parts import Part, Plug
from dryfit.models.yamlfile import LineMap, read_record

MOST_PARTS = 500  # parts of one file; a shop's whole stock is a few hundred


class PartFile(Record):
    """A part file: parts and plugs by name."""

    parts: dict[str, Part] = Field(default_factory=dict, max_length=MOST_PARTS)
    plugs: dict[str, Plug] = Field(default_factory=dict, max_length=MOST_PARTS)


@dataclass(frozen=True)
class Catalogue:
    """Parts and plugs by name."""

    parts: Mapping[str, Part]
    plugs: Mapping[str, Plug]


def load_catalogue(extra: Iterable[Path] = ()) -> Catalogue:
    """Return the built-in catalogue with the parts of the user's own files added.

    Raises:
        InputError: with every fault of those files: what the schema forbids, a name that is taken, an unknown plug.
    """
    own = _built_in()
    parts, plugs = dict(own.parts), dict(own.plugs)
    faults: list[Fault] = []
    read: list[tuple[Path, PartFile, LineMap]] = []
    for path in extra:
        try:
            record, lines = read_record(path, PartFile)
        except InputError as error:
            faults.extend(error.faults)
            continue
        read.append((path, record, lines))
        faults.extend(_taken(path, record, lines, parts, plugs))
        parts.update(record.parts)
        plugs.update(record.plugs)
    faults.extend(fault for entry in read for fault in _unknown_plugs(*entry, plugs))
    if faults:
        raise InputError(faults)
    return Catalogue(parts, plugs)


def _taken(
    path: Path, record: PartFile, lines: LineMap, parts: Mapping[str, Part], plugs: Mapping[str, Plug]
) -> Iterable[Fault]:
    for kind, names, known in (("parts", record.parts, parts), ("plugs", record.plugs, plugs)):
        for name in names:
            if name in known:
                line = lines.line((kind, name))
                yield Fault(display_path(path), line, f"the name {quote(name)} is taken", "a name of your own")


def _unknown_plugs(path: Path, record: PartFile, lines: LineMap, plugs: Mapping[str, Plug]) -> Iterable[Fault]:
    for name, part in record.parts.items():
        for number, plug in enumerate(part.plugs):
            if plug not in plugs:
                line = lines.line(("parts", name, "plugs", number))
                nearest = nearest_name(plug, tuple(plugs))
                yield Fault(display_path(path), line, f"unknown plug {quote(plug)}", "the name of a plug", nearest)


@cache
def _built_in() -> Catalogue:
    """Return the parts that come with dryfit."""
    parts: dict[str, Part] = {}
    plugs: dict[str, Plug] = {}
    folder = files("dryfit.models") / "data" / "parts"
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        record, _ = read_record(Path(str(entry)), PartFile)
        parts.update(record.parts)
        plugs.update(record.plugs)
    return Catalogue(parts, plugs)
