"""Layers of part files: the records of one kind by name, those of some files above those of others.

A record is read when it is asked for. One that is ``like`` another (see :mod:`dryfit.models.catalogue.likeness`) finds
that in its own layer or in those below, never above: what a layer means hangs on nothing that is put over it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Annotated, Literal, TypeVar

from pydantic import Field

from dryfit.models.catalogue.dimensions import unfounded
from dryfit.models.catalogue.likeness import LIKE, SOLID, Raw, followers, merged, restated, set_to
from dryfit.models.catalogue.looks import Look, strays
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.solids import SolidFile
from dryfit.models.catalogue.sources import SOURCES
from dryfit.models.catalogue.words import suggested
from dryfit.models.reading.errors import Fault, InputError, nearest_name, quote
from dryfit.models.reading.fields import Record
from dryfit.models.reading.records import Origin, validated
from dryfit.models.reading.units import format_mm
from dryfit.models.reading.yamlfile import KeyPath, LineMap, load

MOST_PARTS = 500  # parts of one file; a shop's whole stock is a few hundred
LONGEST_CHAIN = 8  # dimensions that follow from one another; a circle of them ends there too

Kind = Literal["parts", "plugs", "looks", "patterns"]
Record_ = TypeVar("Record_", bound=Record)


@dataclass(frozen=True)
class Kept:
    """A record that is on the shelf, or is like one there: its name, and the files of the shelf that it is read from.

    ``instead`` is the layout's own file that is read in its stead, if it has one of that name.
    """

    kind: Kind
    name: str
    files: tuple[Path, ...]
    instead: str = ""


# --- one file --------------------------------------------------------------------------------------------------------


class _PartFile(Record):
    """A part file, its records not yet looked into."""

    parts: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)
    plugs: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)
    looks: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)
    patterns: Annotated[dict[str, Raw], Field(max_length=MOST_PARTS)] = Field(default_factory=dict)


@dataclass(frozen=True)
class Source:
    """One part file: its records as they are written, and the line of every key."""

    file: str
    lines: LineMap
    records: Mapping[Kind, Mapping[str, Raw]]
    path: Path | None = None  # of a user's file

    def fault(self, key: KeyPath, what: str, expected: str, nearest: str = "") -> Fault:
        return Fault(self.file, self.lines.line(key), what, expected, nearest)


def read_source(file: str, text: str, path: Path | None = None) -> Source:
    data, lines = load(file, text)
    whole = validated(data, _PartFile, Origin(file, lines))
    kinds: dict[Kind, Mapping[str, Raw]] = {
        "parts": whole.parts, "plugs": whole.plugs, "looks": whole.looks, "patterns": whole.patterns,
    }  # fmt: skip
    return Source(file, lines, kinds, path)


# --- all files -------------------------------------------------------------------------------------------------------


class Layer(Mapping[str, Record_]):
    """The records of one kind by name: those of its own files, then those of the layer below.

    A layer that gives way lets the one above it have records of the same names.
    """

    def __init__(
        self, kind: Kind, model: type[Record_], sources: Iterable[Source], below: Layer[Record_] | None = None,
        gives_way: bool = False,
    ):  # fmt: skip
        self.taken: list[Fault] = []
        self._gives_way = gives_way
        self._kind: Kind = kind
        self._model = model
        self._below = below
        self._written: dict[str, Source] = {}
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
        yield from (name for name in self._below or () if name not in self._written)
        yield from self._written

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def __contains__(self, name: object) -> bool:
        return name in self._written or (self._below is not None and name in self._below)

    def likeness(self) -> dict[str, str]:
        """Return of every record that is like another the name of that."""
        return {name: like for name in self if (like := self._like(name)) is not None}

    def files(self) -> dict[tuple[Kind, str], str]:
        """Return the files of its own records."""
        return {(self._kind, name): source.file for name, source in self._written.items()}

    def solids(self) -> Iterator[SolidFile]:
        """Yield the solids that its own parts name; ask for the faults first."""
        for name, part in self._read.items():
            home = self._written[name].path
            if isinstance(part, Part) and part.solid is not None and home is not None:
                yield SolidFile(name, part, home, self._fault(name, (SOLID,), "", ""))

    def kept(self, shelf: Layer[Record_]) -> Iterator[Kept]:
        """Yield the records that are on the shelf, the layer below, or are like some there."""
        paths = {source.path for source in shelf._written.values()}
        if not paths:
            return
        for name in dict.fromkeys((*shelf._written, *self._written)):
            files = dict.fromkeys(s.path for s in self._lineage(name) if s.path is not None and s.path in paths)
            hides = name in self._written and name in shelf._written
            if files or hides:
                yield Kept(self._kind, name, tuple(files), self._written[name].file if hides else "")

    def _lineage(self, name: str) -> Iterator[Source]:
        """Yield the files that a record and all that it is like stand in."""
        layer: Layer[Record_] = self
        like: str | None = name
        while like is not None:
            while like not in layer._written:
                if layer._below is None:
                    return
                layer = layer._below
            yield layer._written[like]
            like = layer._like(like)

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

    def _add(self, source: Source) -> None:
        for name in source.records[self._kind]:
            holder = self._written.get(name) or (self._below and self._below._holder(name))
            if holder:
                by = "the catalogue" if holder.path is None else holder.file
                what = f"the name {quote(name)} is taken by {by}"
                self.taken.append(source.fault((self._kind, name), what, "a name of your own"))
            else:
                self._written[name] = source

    def _holder(self, name: str) -> Source | None:
        """Return the file here or below whose name no layer above may have."""
        if name in self._written and not self._gives_way:
            return self._written[name]
        return self._below._holder(name) if self._below is not None else None

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
            nearest = suggested(str(like), self._texts())
            what = f"is like an unknown {noun} {quote(like)}"
            raise InputError([self._fault(name, (LIKE,), what, f"the name of a {noun}", nearest)])
        return str(like)

    def _texts(self) -> dict[str, str]:
        """Return the names with the titles that are written here or below: what people look for."""
        below = self._below._texts() if self._below is not None else {}
        own = ((name, source.records[self._kind][name].get("title", "")) for name, source in self._written.items())
        return {**below, **{name: f"{name} {title}" for name, title in own}}

    def _make(self, name: str) -> None:
        """Read a record whose own likeness was read; what is wrong with that is wrong with this, and told once."""
        if name in self._wrong:
            raise self._wrong[name]
        try:
            raw = self._merged(name)
            record = self._founded(name, self._validated(name, raw))
            self._raw[name], self._read[name] = self._settled(name, raw, record)
        except InputError as error:
            self._wrong[name] = error
            raise

    def _validated(self, name: str, raw: Raw) -> Record_:
        source = self._written[name]
        return validated(raw, self._model, Origin(source.file, source.lines, (self._kind, name), (LIKE,)))

    def _settled(self, name: str, raw: Raw, record: Record_) -> tuple[Raw, Record_]:
        """Return a record that is like another with what follows from its own dimensions, and what is said of them."""
        like, whole = self._like(name), record
        if like is None or self._kind not in ("parts", "plugs"):
            return raw, record
        own = self._own(name)
        for _ in range(LONGEST_CHAIN):
            followed = self._followed(name, raw, list(followers(_held(whole), own)))
            if followed is raw:
                break
            raw, whole = followed, self._validated(name, followed)
        says = f"as written in {PurePath(self._written[name].file).name}"
        stale = restated(_held(whole), _held(self[like]), own, says)
        if not stale:
            return raw, whole
        raw = {**raw, SOURCES: {**raw.get(SOURCES, {}), **stale}}
        return raw, self._validated(name, raw)

    def _followed(self, name: str, raw: Raw, behind: Iterable[tuple[str, str, float]]) -> Raw:
        """Return a record in which some dimensions are what they follow from makes them."""
        for path, of, value in behind:
            try:
                raw = set_to(raw, path, value)
            except ValueError as error:
                what = f"{path} follows from {of}, which makes it {format_mm(value)}, but {error}"
                raise InputError([self._fault(name, (), what, f"{path.split('.')[0]} written out")]) from None
        return raw

    def _own(self, name: str) -> Raw:
        """Return what a record itself writes."""
        return self._written[name].records[self._kind][name]

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
        base = {key: value for key, value in self._base(like).items() if key != SOLID}
        return merged(base, {key: value for key, value in raw.items() if key != LIKE})

    def _base(self, name: str) -> Raw:
        """Return the plain data of a record that was read, here or below."""
        if name in self._written:
            return self._raw[name]
        assert self._below is not None  # the name is known
        self._below[name]  # reads it
        return self._below._base(name)


def _held(record: Record) -> Part | Plug:
    """Return a record that is one with dimensions."""
    assert isinstance(record, Part | Plug)
    return record
