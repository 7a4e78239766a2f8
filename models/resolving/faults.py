"""The faults of one layout, gathered while it is worked out, so that all are told in one run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from dryfit.models.layout import LayoutFile
from dryfit.models.reading.errors import Fault, InputError, display_path, nearest_name, quote
from dryfit.models.reading.spellings import meant
from dryfit.models.reading.yamlfile import KeyPath

Row = TypeVar("Row")

MOST_TOLD = 10  # names that a message lists
LISTED = {"part": "the name of a part", "plug": "the name of a plug"}  # of the catalogue


class Faults:
    """What is wrong with one layout, each fault at the line of its key."""

    def __init__(self, file: LayoutFile):
        self.file = file
        self.found: list[Fault] = []

    def line(self, path: KeyPath) -> int:
        """Return the line of a key of the layout."""
        return self.file.lines.line(path)

    def note(self, path: KeyPath, what: str, expected: str = "", nearest: str = "") -> None:
        """Note a fault at a key of the layout."""
        self.found.append(Fault(display_path(self.file.path), self.line(path), what, expected, nearest))

    def unknown(self, path: KeyPath, kind: str, name: str, names: Iterable[str]) -> None:
        """Note a name that is in no table."""
        known = tuple(names)
        key = next((part for part in reversed(path) if isinstance(part, str)), "")
        expected = (
            f"one of {', '.join(known)}"
            if len(known) <= MOST_TOLD
            else LISTED.get(key, f"a name that `dryfit explain {key}` lists")
        )
        self.note(path, f"unknown {kind} {quote(name)}", expected, nearest_name(name, known))

    def row(self, path: KeyPath, kind: str, name: str, table: Mapping[str, Row], *others: str) -> Row | None:
        """Return the row of a table that is meant by a name; note it where there is none."""
        row = table.get(meant(kind, name, table))
        if row is None:
            self.unknown(path, kind, name, (*others, *table))
        return row

    def stop(self) -> None:
        """Go no further where anything is wrong.

        Raises:
            InputError: with every fault.
        """
        if self.found:
            raise InputError(self.found)
