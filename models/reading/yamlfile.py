"""YAML files from people: read whole, bounded, and every fault told with its line.

One pass over the parser's events makes plain data and the line of every key. Values are counted on the way, so that a
file that holds too much costs no more than one that holds just enough. YAML 1.2 rules: ``no`` and ``12:30`` are text,
and a number remembers how it was written, for where text is wanted. Anchors, aliases and tags (but for those that
change nothing) have no place in these files and are refused, because a stranger's file may use them to grow or to
build objects.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml
from yaml import MarkedYAMLError
from yaml.events import AliasEvent, MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, StreamEndEvent
from yaml.reader import ReaderError

from dryfit.models.reading.errors import Fault, InputError, quote
from dryfit.models.reading.tables import read_table

LARGEST_FILE = 1_000_000  # bytes; a panel of 500 places written out is a tenth of it
MOST_VALUES = 100_000  # in one file; 500 parts written out have a good half of it
DEEPEST = 20  # levels of nesting; a layout has six
LONGEST_LINE = 200  # signs of a line that are looked at for what is wrong with it
MOST_FAULTS = 50  # told in one run; more would bury the first

PARSER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # the one in C, where the package was built with it
KeyPath = tuple[str | int, ...]

_INT = re.compile(r"[-+]?\d{1,18}", re.ASCII)
_FLOAT = re.compile(r"[-+]?(\.\d+|\d+(\.\d*)?)([eE][-+]?\d{1,4})?", re.ASCII)
_SPECIAL = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_BOOLEANS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_NULLS = {"", "~", "null", "Null", "NULL"}
_TAG = "tag:yaml.org,2002:"


class WrittenInt(int):
    """A whole number that remembers how it was written: ``007``."""

    written: str

    def __repr__(self) -> str:
        return self.written


class WrittenFloat(float):
    """A number that remembers how it was written: ``1.10``, ``1e3``."""

    written: str

    def __repr__(self) -> str:
        return self.written


@dataclass(frozen=True)
class LineMap:
    """The line, from 1, of every key and list item of a file; of what is taken over from elsewhere, where it stands."""

    lines: Mapping[KeyPath, int]
    origins: Mapping[KeyPath, KeyPath] = field(default_factory=dict)  # of what is taken over

    def origin(self, path: KeyPath) -> KeyPath:
        """Return where in the file something was written."""
        return self.origins.get(path, path)

    def line(self, path: KeyPath) -> int:
        """Return the line of a key, or of the nearest thing around it that is in the file."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def load(file: str, text: str) -> tuple[dict[str, Any], LineMap]:
    """Return text as plain data, with the line of every key.

    Raises:
        InputError: where it is no YAML, or uses what is not allowed.
    """
    try:
        loader = _Loader(file, text)
        data = loader.document()
    except MarkedYAMLError as error:
        raise InputError([_unreadable(file, text, error)]) from None
    except ReaderError as error:
        line = text.encode()[: error.position].count(b"\n") + 1
        raise InputError([Fault(file, line, f"is not YAML: {error.reason}", "printable text")]) from None
    if loader.faults:
        raise InputError(loader.faults[:MOST_FAULTS])
    if not isinstance(data, dict):
        raise InputError([Fault(file, 1, "is empty or has no keys", "keys and values, such as `title: My panel`")])
    return data, LineMap(loader.lines)


@dataclass(frozen=True)
class _Slip:
    """What people write that is no YAML: what a line then looks like, what is wrong and what would be right."""

    pattern: str
    what: str
    expected: str


def _unreadable(file: str, text: str, error: MarkedYAMLError) -> Fault:
    """Return what is wrong where the parser stopped, by what its line or the one above looks like."""
    mark = error.problem_mark or error.context_mark
    lines = text.splitlines()
    at = min(mark.line, len(lines) - 1) if mark is not None else 0
    begun = error.context_mark.line if error.context_mark is not None else at
    for number in dict.fromkeys((at, max(at - 1, 0), min(begun, at))):
        for slip in read_table("yaml_slips", _Slip):
            if re.search(slip.pattern, lines[number][:LONGEST_LINE]):
                return Fault(file, number + 1, f"is not YAML: {slip.what}", slip.expected)
    what = "is not YAML: this line does not go on from those above"
    return Fault(file, at + 1, what, "keys indented alike, and every bracket closed")


class _Loader:
    """Turns the parser's events into plain data, noting lines and faults on the way."""

    def __init__(self, file: str, text: str):
        self.file = file
        self.next: Callable[[], Any] = PARSER(text).get_event
        self.lines: dict[KeyPath, int] = {}
        self.faults: list[Fault] = []
        self.values = 0

    def document(self) -> object:
        """Return the plain data of the one document there is."""
        self.next()  # the stream's start
        event = self.next()
        if isinstance(event, StreamEndEvent):
            return None
        data = self.value(self.next(), ())
        self.next()  # the document's end
        event = self.next()
        if not isinstance(event, StreamEndEvent):
            self.refuse(event, "holds a second document", "one document in a file")
        return data

    def value(self, event: Any, path: KeyPath) -> object:
        """Return the plain data that begins with an event."""
        self.values += 1
        if self.values > MOST_VALUES or len(path) > DEEPEST:
            self.refuse(event, "holds too much", f"YAML of at most {MOST_VALUES} values, {DEEPEST} levels deep")
            raise InputError(self.faults[-1:])  # here and now: what follows may be endless
        if event.anchor is not None:
            self.refuse(event, "uses an anchor or alias", "every value written out")
        if type(event) is ScalarEvent:
            if event.tag is not None and event.tag != f"{_TAG}str":
                self.refuse(event, f"uses the tag {quote(event.tag)}", "plain values")
            return event.value if event.style or event.tag is not None else plain_value(event.value)
        if type(event) is AliasEvent:
            return None
        mapping = type(event) is MappingStartEvent
        if event.tag not in (None, f"{_TAG}{'map' if mapping else 'seq'}"):
            self.refuse(event, f"uses the tag {quote(event.tag)}", "plain values")
        return dict(self.pairs(path)) if mapping else list(self.items(path))

    def items(self, path: KeyPath) -> Iterator[object]:
        """Yield the items of a list."""
        event, number = self.next(), 0
        while type(event) is not SequenceEndEvent:
            key = (*path, number)
            self.lines[key] = event.start_mark.line + 1
            yield self.value(event, key)
            event, number = self.next(), number + 1

    def pairs(self, path: KeyPath) -> Iterator[tuple[str, object]]:
        """Yield the keys of a mapping with their values."""
        event = self.next()
        while type(event) is not MappingEndEvent:
            name = event.value if type(event) is ScalarEvent else ""
            key = (*path, name)
            if type(event) is not ScalarEvent or not name or not name.isprintable():
                self.refuse(event, "has a key that is not a word", "a key such as `title`")
                self.value(event, key)
            elif event.anchor is not None or event.tag is not None:
                self.refuse(event, f"has an anchor or a tag on the key {quote(name)}", "a plain key")
            elif key in self.lines:
                self.refuse(event, f"has the key {quote(name)} twice", "every key once")
            self.lines[key] = event.start_mark.line + 1
            yield name, self.value(self.next(), key)
            event = self.next()

    def refuse(self, event: Any, what: str, expected: str) -> None:
        """Note a fault."""
        self.faults.append(Fault(self.file, event.start_mark.line + 1, what, expected))


def plain_value(text: str) -> object:
    """Return an unquoted scalar by the core schema of YAML 1.2, less its octal and hexadecimal numbers."""
    if text in _NULLS:
        return None
    if text in _BOOLEANS:
        return _BOOLEANS[text]
    if _INT.fullmatch(text):
        whole = WrittenInt(text)
        whole.written = text
        return whole
    if _FLOAT.fullmatch(text) or _SPECIAL.fullmatch(text):
        number = WrittenFloat(text if text[-1].isdigit() or text[-1] == "." else text.replace(".", ""))
        number.written = text
        return number
    return text
