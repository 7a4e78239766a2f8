"""The catalogue: every part and plug dryfit knows, and those of a user's own part files.

A new part is a record in a YAML file under ``data/parts``; it needs no code.
"""

from __future__ import annotations

import re
from collections import ChainMap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

from pydantic import Field

from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.reading.errors import Fault, InputError, display_path, nearest_name, quote
from dryfit.models.reading.fields import Record
from dryfit.models.reading.yamlfile import LineMap, parse_record, read_record

Record_ = TypeVar("Record_", bound=Record)
_NAME = re.compile(r"^  ([a-z0-9-]+):$", re.MULTILINE)
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
    parts: ChainMap[str, Part] = ChainMap({}, own.parts)  # type: ignore[arg-type]  # only the first is written to
    plugs: ChainMap[str, Plug] = ChainMap({}, own.plugs)  # type: ignore[arg-type]
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
    """Return the parts that come with dryfit; each is read when it is asked for."""
    parts: dict[str, str] = {}
    plugs: dict[str, str] = {}
    folder = files("dryfit.models") / "data" / "parts"
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        text = entry.read_text(encoding="utf-8")
        own, _, mates = text.partition("\nplugs:\n")
        parts |= _records(own)
        plugs |= _records(mates)
    return Catalogue(_Lazy(parts, "parts"), _Lazy(plugs, "plugs"))


def _records(text: str) -> dict[str, str]:
    """Return the text of every record of a file of ours: each begins with its name, indented by two."""
    starts = list(_NAME.finditer(text))
    ends = [*(m.start() for m in starts[1:]), len(text)]
    return {m.group(1): text[m.start() : end] for m, end in zip(starts, ends, strict=False)}


class _Lazy(Mapping[str, Record_]):
    """Records by name, each validated when it is first asked for: reading all takes ten times a check."""

    def __init__(self, texts: Mapping[str, str], kind: str):
        self._texts = texts
        self._kind = kind
        self._read: dict[str, Record_] = {}

    def __getitem__(self, name: str) -> Record_:
        if name not in self._read:
            text = f"{self._kind}:\n{self._texts[name]}"
            record, _ = parse_record(f"{name} of the catalogue", text, PartFile)
            self._read[name] = getattr(record, self._kind)[name]
        return self._read[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._texts)

    def __len__(self) -> int:
        return len(self._texts)
