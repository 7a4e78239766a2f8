"""Part files, read into parts, plugs and looks by name: those that come with dryfit, and a user's own beside them.

A new part is a record in a YAML file under ``data/parts``, its look one under ``data/details``; neither needs code. A
record may say ``like: NAME`` and then only what differs from that other part, plug or look: mappings are merged key by
key, an outline, a source and every list is replaced whole, and a key left empty is taken away.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

from pydantic import Field

from dryfit.models.catalogue.dimensions import unfounded
from dryfit.models.catalogue.looks import Look, strays
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.sources import OF, SOURCE
from dryfit.models.reading.datafiles import DATA, data_text
from dryfit.models.reading.errors import Fault, InputError, display_path, nearest_name, quote
from dryfit.models.reading.fields import SHAPE_KINDS, Record
from dryfit.models.reading.records import Origin, validated
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.yamlfile import LARGEST_FILE, KeyPath, LineMap, load

MOST_PARTS = 500  # parts of one file; a shop's whole stock is a few hundred
LIKE = "like"
WHOLE = SHAPE_KINDS | {SOURCE, OF}
"""A mapping with one of these keys is an outline or a source: another one takes its place whole."""

Kind = Literal["parts", "plugs", "looks"]
Raw = dict[str, Any]
Record_ = TypeVar("Record_", bound=Record)


@dataclass(frozen=True)
class Catalogue:
    """Parts, plugs and looks by name, and which part or plug is like which other."""

    parts: Mapping[str, Part]
    plugs: Mapping[str, Plug]
    looks: Mapping[str, Look]
    likeness: Mapping[str, str]


def load_catalogue(extra: Iterable[Path] = ()) -> Catalogue:
    """Return the built-in catalogue with the parts of the user's own files added.

    Raises:
        InputError: with every fault of those files: what the schema forbids, a name that is taken, an unknown plug, or
            an unknown part that another is said to be like.
    """
    parts, plugs, looks = _built_in()
    sources: list[_Source] = []
    faults: list[Fault] = []
    for path in extra:
        try:
            sources.append(_source(display_path(path), read_text(path, "YAML file", LARGEST_FILE)))
        except InputError as error:
            faults.extend(error.faults)
    own_parts, own_plugs = _Shelf("parts", Part, sources, parts), _Shelf("plugs", Plug, sources, plugs)
    own_looks = _Shelf("looks", Look, sources, looks)
    faults += [*own_parts.faults(), *own_plugs.faults(), *own_looks.faults(), *own_parts.unknown_plugs(own_plugs)]
    if not faults:
        faults += [*own_parts.unlike_their_looks(own_looks), *own_plugs.unlike_their_looks(own_looks)]
    if faults:
        raise InputError(faults)
    return Catalogue(own_parts, own_plugs, own_looks, {**own_parts.likeness(), **own_plugs.likeness()})


@cache
def _built_in() -> tuple[_Shelf[Part], _Shelf[Plug], _Shelf[Look]]:
    """Return the parts, plugs and looks that come with dryfit: read whole, each validated when it is asked for."""
    sources = _of_folder("parts")
    parts, plugs = _Shelf("parts", Part, sources), _Shelf("plugs", Plug, sources)
    looks = _Shelf("looks", Look, _of_folder("details"))
    taken = [*parts.taken, *plugs.taken, *looks.taken]
    if taken:
        raise InputError(taken)
    return parts, plugs, looks


def _of_folder(folder: str) -> list[_Source]:
    names = sorted(path.name for path in (DATA / folder).iterdir())
    return [_source(f"{folder}/{name}", data_text(f"{folder}/{name}")) for name in names]


# --- one file --------------------------------------------------------------------------------------------------------


class _PartFile(Record):
    """A part file, its records not yet looked into."""

    parts: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)
    plugs: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)
    looks: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)


@dataclass(frozen=True)
class _Source:
    """One part file: its records as they are written, and the line of every key."""

    file: str
    lines: LineMap
    records: Mapping[Kind, Mapping[str, Raw]]

    def fault(self, key: KeyPath, what: str, expected: str, nearest: str = "") -> Fault:
        return Fault(self.file, self.lines.line(key), what, expected, nearest)


def _source(file: str, text: str) -> _Source:
    data, lines = load(file, text)
    whole = validated(data, _PartFile, Origin(file, lines))
    return _Source(file, lines, {"parts": whole.parts, "plugs": whole.plugs, "looks": whole.looks})


# --- all files -------------------------------------------------------------------------------------------------------


class _Shelf(Mapping[str, Record_]):
    """The records of one kind by name: those of its own files, then those of the shelf below."""

    def __init__(
        self, kind: Kind, model: type[Record_], sources: Iterable[_Source], below: _Shelf[Record_] | None = None
    ):
        self.taken: list[Fault] = []
        self._kind: Kind = kind
        self._model = model
        self._below = below
        self._written: dict[str, _Source] = {}
        self._raw: dict[str, Raw] = {}  # of records that were read: with what they are like
        self._read: dict[str, Record_] = {}
        self._wrong: dict[str, InputError] = {}
        for source in sources:
            self._add(source)

    def __getitem__(self, name: str) -> Record_:
        if name not in self._written and self._below is not None:
            return self._below[name]
        for each in reversed(self._descent(name)):
            self._make(each)
        return self._read[name]

    def __iter__(self) -> Iterator[str]:
        """Iterate over the names, the user's own last."""
        yield from self._below or ()
        yield from self._written

    def __len__(self) -> int:
        return len(self._written) + len(self._below or ())

    def __contains__(self, name: object) -> bool:
        return name in self._written or (self._below is not None and name in self._below)

    def likeness(self) -> dict[str, str]:
        """Return of every record that is like another the name of that."""
        return {name: like for name in self if (like := self._like(name)) is not None}

    def faults(self) -> Iterator[Fault]:
        """Yield what is wrong with its own records."""
        yield from self.taken
        for name in self._written:
            try:
                self[name]
            except InputError as error:
                yield from error.faults

    def unknown_plugs(self, plugs: Mapping[str, Plug]) -> Iterator[Fault]:
        """Yield the plugs that its own parts name and nobody has; ask for the faults first."""
        for name, part in self._read.items():
            for number, plug in enumerate(getattr(part, "plugs", ())):
                if plug not in plugs:
                    near = nearest_name(plug, tuple(plugs))
                    key = ("plugs", number)
                    yield self._fault(name, key, f"unknown plug {quote(plug)}", "the name of a plug", near)

    def unlike_their_looks(self, looks: Mapping[str, Look]) -> Iterator[Fault]:
        """Yield the looks that its own records name and nobody has, or of which a piece stands out of the envelope.

        A record that takes its look over from another it is like is drawn plain where that does not suit it.
        """
        for name, one in self._read.items():
            if not isinstance(one, Part | Plug) or "look" not in self._written[name].records[self._kind][name]:
                continue
            if one.look and one.look not in looks:
                near = nearest_name(one.look, tuple(looks))
                yield self._fault(name, ("look",), f"unknown look {quote(one.look)}", "the name of a look", near)
            elif one.look and (piece := strays(one, looks[one.look])) is not None:
                what = f"{quote(piece)} of the look {quote(one.look)} stands out of the body of {quote(name)}"
                yield self._fault(name, ("look",), what, "a look that lies within what is checked")

    def _add(self, source: _Source) -> None:
        for name in source.records[self._kind]:
            if name in self:
                fault = source.fault((self._kind, name), f"the name {quote(name)} is taken", "a name of your own")
                self.taken.append(fault)
            else:
                self._written[name] = source

    def _fault(self, name: str, key: KeyPath, what: str, expected: str, nearest: str = "") -> Fault:
        return self._written[name].fault((self._kind, name, *key), what, expected, nearest)

    # --- what is like another ------------------------------------------------------------------------------------

    def _descent(self, name: str) -> list[str]:
        """Return a record, what it is like, what that is like, and so on, as far as they are not read yet."""
        found: list[str] = []
        while name in self._written and name not in self._read:
            if name in found:
                others = ", ".join(found[found.index(name) + 1 :]) or "itself"
                what = f"{quote(name)} is like itself by way of {others}"
                raise InputError([self._fault(name, (LIKE,), what, "one of them written out")])
            found.append(name)
            like = self._like(name)
            if like is None:
                break
            name = like
        return found

    def _like(self, name: str) -> str | None:
        """Return the name of the record that a record is like, or None if it is written out."""
        if name not in self._written and self._below is not None:
            return self._below._like(name)
        like = self._written[name].records[self._kind][name].get(LIKE)
        if like is None:
            return None
        if not isinstance(like, str | float | int) or str(like) not in self:
            noun = self._kind.removesuffix("s")
            nearest = nearest_name(str(like), tuple(self))
            what = f"is like an unknown {noun} {quote(like)}"
            raise InputError([self._fault(name, (LIKE,), what, f"the name of a {noun}", nearest)])
        return str(like)

    def _make(self, name: str) -> None:
        """Read a record whose own likeness was read; what is wrong with that is wrong with this, and told once."""
        if name in self._wrong:
            raise self._wrong[name]
        try:
            self._raw[name] = self._merged(name)
            source = self._written[name]
            origin = Origin(source.file, source.lines, (self._kind, name), (LIKE,))
            self._read[name] = self._founded(name, validated(self._raw[name], self._model, origin))
        except InputError as error:
            self._wrong[name] = error
            raise

    def _founded(self, name: str, record: Record_) -> Record_:
        """Return a record all whose sources follow, if at all, from dimensions that it has."""
        if not isinstance(record, Part | Plug):
            return record  # looks have no sources
        key = unfounded(record)
        if key is not None:
            of = quote(str(record.sources[key].of))
            what, expected = f"{key} follows from {of}", "a dimension that this record has, not itself"
            raise InputError([self._fault(name, ("sources", key), what, expected)])
        return record

    def _merged(self, name: str) -> Raw:
        raw, like = self._written[name].records[self._kind][name], self._like(name)
        if like is None:
            return raw
        return merged(self._base(like), {key: value for key, value in raw.items() if key != LIKE})

    def _base(self, name: str) -> Raw:
        """Return the plain data of a record that was read, here or below."""
        if name in self._written:
            return self._raw[name]
        assert self._below is not None  # the name is known
        self._below[name]  # reads it
        return self._below._base(name)


def merged(base: Raw, own: Raw) -> Raw:
    """Return a record that is like another but for what is its own; see the head of this module."""
    whole = dict(base)
    for key, value in own.items():
        before = whole.get(key)
        if value is None:
            whole.pop(key, None)
        elif isinstance(value, dict) and isinstance(before, dict) and WHOLE.isdisjoint(value):
            whole[key] = merged(before, value)
        else:
            whole[key] = value
    return whole
