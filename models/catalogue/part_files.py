"""Part files, read into parts, plugs, looks and punched patterns by name.

Three layers: what comes with dryfit, the shelf above it, a layout's own files on top. A name of the shelf must be none
of dryfit's, lest it change what layouts mean; a layout's own files come before the shelf, so that a layout with all its
parts beside it means the same with any shelf. Which records of the shelf are in use can be asked of the catalogue.

A new part is a record in a YAML file under ``data/parts``, its look one under ``data/details``; neither needs code. A
record may say ``like: NAME`` and then only what differs: see :mod:`dryfit.models.catalogue.likeness`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from dryfit.models.catalogue.layers import Kept, Kind, Layer, Source, read_source
from dryfit.models.catalogue.looks import Look
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.patterns import Pattern
from dryfit.models.catalogue.shelf import shelf_files
from dryfit.models.catalogue.solids import SolidFile
from dryfit.models.reading.datafiles import DATA, data_text
from dryfit.models.reading.errors import Fault, InputError, display_path
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.yamlfile import LARGEST_FILE

Texts = tuple[tuple[Path, str], ...]


@dataclass(frozen=True)
class Catalogue:
    """Parts, plugs, looks and patterns by name, which part or plug is like which other, and what the shelf has in it.

    ``files`` names the file of each record that does not come with dryfit; ``solids`` are of the parts that name one.
    """

    parts: Mapping[str, Part]
    plugs: Mapping[str, Plug]
    looks: Mapping[str, Look]
    patterns: Mapping[str, Pattern]
    likeness: Mapping[str, str]
    kept: tuple[Kept, ...] = ()
    files: Mapping[tuple[Kind, str], str] = field(default_factory=dict)
    solids: Mapping[str, SolidFile] = field(default_factory=dict)


def load_catalogue(extra: Iterable[Path] = (), shelf: Iterable[Path] | None = None) -> Catalogue:
    """Return the built-in catalogue with the parts of the shelf and of the user's own files added.

    ``shelf`` are its files; None: those of the machine's own shelf.

    Raises:
        InputError: with every fault of those files: what the schema forbids, a name that is taken, an unknown plug, or
            an unknown part that another is said to be like.
    """
    faults: list[Fault] = []
    kept = _texts(shelf_files() if shelf is None else shelf, faults)
    return _catalogue(_texts(extra, faults), kept, faults)


def parse_catalogue(path: Path, text: str) -> Catalogue:
    """Return the built-in catalogue with the parts of one file added that is given as text; ``path`` names it.

    Raises:
        InputError: as :func:`load_catalogue`.
    """
    return _catalogue(((path, text),), (), [])


def _catalogue(read: Texts, shelf: Texts, faults: list[Fault]) -> Catalogue:
    """Return the catalogue with a user's files and the shelf's; or tell what is wrong, with the faults so far."""
    kept, wrong = _kept(shelf)
    own = _layers(_sources(read, faults), kept)
    faults += (*wrong, *own.faults())
    if faults:
        raise InputError(faults)
    return own.catalogue(kept)


@dataclass(frozen=True)
class _Layers:
    """The layer of each kind of record that some files make up."""

    parts: Layer[Part]
    plugs: Layer[Plug]
    looks: Layer[Look]
    patterns: Layer[Pattern]

    @property
    def all(self) -> tuple[Layer[Any], ...]:
        return (self.parts, self.plugs, self.looks, self.patterns)

    def faults(self) -> list[Fault]:
        """Return what is wrong with the records of these files."""
        found = [fault for layer in self.all for fault in layer.faults()]
        found += self.parts.unknown_plugs(self.plugs)
        if not found:
            found += [*self.parts.unlike_their_looks(self.looks), *self.plugs.unlike_their_looks(self.looks)]
        return found

    def catalogue(self, shelf: _Layers) -> Catalogue:
        """Return the whole of what these layers and those below them hold."""
        kept = (one for own, below in zip(self.all, shelf.all, strict=True) for one in own.kept(below))
        likeness = {**self.parts.likeness(), **self.plugs.likeness()}
        files = {key: file for layers in (shelf, self) for layer in layers.all for key, file in layer.files().items()}
        solids = {one.name: one for layers in (shelf, self) for one in layers.parts.solids()}
        return Catalogue(self.parts, self.plugs, self.looks, self.patterns, likeness, tuple(kept), files, solids)


def _layers(sources: Sequence[Source], below: _Layers | None = None, gives_way: bool = False) -> _Layers:
    under = below.all if below is not None else (None,) * 4
    return _Layers(
        Layer("parts", Part, sources, under[0], gives_way),
        Layer("plugs", Plug, sources, under[1], gives_way),
        Layer("looks", Look, sources, under[2], gives_way),
        Layer("patterns", Pattern, sources, under[3], gives_way),
    )


@cache
def _built_in() -> _Layers:
    """Return what comes with dryfit: read whole, each record validated when it is asked for."""
    holes = read_source("patterns.yaml", data_text("patterns.yaml"))
    layers = _layers([*_of_folder("parts"), *_of_folder("details"), holes])
    taken = [fault for layer in layers.all for fault in layer.taken]
    if taken:
        raise InputError(taken)
    return layers


def _of_folder(folder: str) -> list[Source]:
    names = sorted(path.name for path in (DATA / folder).iterdir())
    return [read_source(f"{folder}/{name}", data_text(f"{folder}/{name}")) for name in names]


@lru_cache(maxsize=4)
def _kept(read: Texts) -> tuple[_Layers, tuple[Fault, ...]]:
    """Return the layers of the shelf and what is wrong with them; many layouts are read with one shelf."""
    faults: list[Fault] = []
    layers = _layers(_sources(read, faults), _built_in(), gives_way=True)
    return layers, (*faults, *layers.faults())


def _texts(paths: Iterable[Path], faults: list[Fault]) -> Texts:
    """Return a user's files with their texts; those that cannot be read are added to the faults."""
    found = []
    for path in paths:
        try:
            found.append((path, read_text(path, "YAML file", LARGEST_FILE)))
        except InputError as error:
            faults.extend(error.faults)
    return tuple(found)


def _sources(read: Texts, faults: list[Fault]) -> list[Source]:
    """Return files as far as they hold records; what is wrong with the others is added to the faults."""
    found = []
    for path, text in read:
        try:
            found.append(read_source(display_path(path), text, path))
        except InputError as error:
            faults.extend(error.faults)
    return found
