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
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from yaml import MarkedYAMLError
from yaml._yaml import CParser
from yaml.events import AliasEvent, MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, StreamEndEvent
from yaml.reader import ReaderError

from dryfit.models.reading.errors import Fault, InputError, Misplaced, display_path, nearest_name, quote
from dryfit.models.reading.textfile import read_text

LARGEST_FILE = 1_000_000  # bytes; a panel of 500 places written out is a tenth of it
MOST_VALUES = 100_000  # in one file; 500 parts written out have a good half of it
DEEPEST = 20  # levels of nesting; a layout has six
MOST_FAULTS = 50  # told in one run; more would bury the first

M = TypeVar("M", bound=BaseModel)
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
    """The line, from 1, of every key and list item of a file."""

    lines: Mapping[KeyPath, int]

    def __contains__(self, path: KeyPath) -> bool:
        """Whether the file itself has something at a path."""
        return path in self.lines

    def line(self, path: KeyPath) -> int:
        """Return the line of a key, or of the nearest thing around it that is in the file."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def read_record(path: Path, model: type[M]) -> tuple[M, LineMap]:
    """Return a file as a validated record, with the line of every key.

    Raises:
        InputError: with every fault, each naming file and line.
    """
    return parse_record(display_path(path), read_text(path, "YAML file", LARGEST_FILE), model)


def parse_record(file: str, text: str, model: type[M]) -> tuple[M, LineMap]:
    """Return text as a validated record; ``file`` names it in faults."""
    data, lines = load(file, text)
    return validated(data, model, Origin(file, lines)), lines


@dataclass(frozen=True)
class Origin:
    """Where plain data comes from: a file, and the path in it at which it was found.

    ``other_keys`` are those a person may write there besides the record's own; they are gone from the data.
    """

    file: str
    lines: LineMap
    at: KeyPath = ()
    other_keys: tuple[str, ...] = ()


def validated(data: object, model: type[M], origin: Origin) -> M:
    """Return plain data as a record.

    Raises:
        InputError: with what the schema has against it, each fault with its line.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        faults = (_fault(model, e, origin) for e in _told(error.errors(include_url=False)))
        raise InputError(islice(faults, MOST_FAULTS)) from None


# --- text to data --------------------------------------------------------------------------------------------------


def load(file: str, text: str) -> tuple[dict[str, Any], LineMap]:
    """Return text as plain data, with the line of every key.

    Raises:
        InputError: where it is no YAML, or uses what is not allowed.
    """
    loader = _Loader(file, text)
    try:
        data = loader.document()
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark is not None else None
        raise InputError([Fault(file, line, f"is not YAML: {error.problem or error.context}")]) from None
    except ReaderError as error:
        line = text.encode()[: error.position].count(b"\n") + 1
        raise InputError([Fault(file, line, f"is not YAML: {error.reason}", "printable text")]) from None
    if loader.faults:
        raise InputError(loader.faults[:MOST_FAULTS])
    if not isinstance(data, dict):
        raise InputError([Fault(file, 1, "is empty or not a mapping", "keys and values, such as `title: My panel`")])
    return data, LineMap(loader.lines)


class _Loader:
    """Turns the parser's events into plain data, noting lines and faults on the way."""

    def __init__(self, file: str, text: str):
        self.file = file
        self.next: Callable[[], Any] = CParser(text).get_event
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
            return event.value if event.style or event.tag is not None else _scalar(event.value)
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


def _scalar(text: str) -> object:
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


# --- what the schema says ------------------------------------------------------------------------------------------

_EXPECTED = {
    "model_type": "keys and values",
    "dict_type": "keys and values",
    "tuple_type": "a list",
    "string_type": "text",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number (an integer)",
    "int_from_float": "a whole number (an integer)",
    "int_parsing": "a whole number (an integer)",
    "float_type": "a valid number",
    "float_parsing": "a valid number",
    "finite_number": "a finite number",
    "greater_than_equal": "a number greater than or equal to {ge:g}",
    "less_than_equal": "a number less than or equal to {le:g}",
    "too_short": "at least {min_length} items",
    "too_long": "at most {max_length} items",
}
"""What each complaint of the schema wanted, in words of ours."""


def _fault(model: type[BaseModel], error: Any, origin: Origin) -> Fault:
    """Return one complaint of the schema as a fault with its line."""
    inside = tuple(part for part in error["loc"] if not isinstance(part, str) or not part.startswith("function-"))
    kind, reason = error["type"], error.get("ctx", {}).get("error")
    if isinstance(reason, Misplaced):
        inside = (*inside, *reason.key)
    path, file, lines = (*origin.at, *inside), origin.file, origin.lines
    found = "empty" if error["input"] is None else quote(error["input"])
    where, line = _words(path), lines.line(path)
    if kind == "extra_forbidden":
        keys = (*_keys_at(model, inside[:-1]), *(origin.other_keys if len(inside) == 1 else ()))
        nearest = nearest_name(str(path[-1]), keys)
        return Fault(file, line, f"unknown key {quote(path[-1])}", f"one of {', '.join(keys)}", nearest)
    if kind == "missing":
        around = _words(path[:-1])
        if isinstance(path[-1], int):
            return Fault(file, line, f"{around} is too short", f"an item number {path[-1] + 1}")
        return Fault(file, lines.line(path[:-1]), f"the key {quote(path[-1])} is missing", f"{where}: ...")
    if kind == "literal_error":
        names = [str(name) for name in _choices(error["ctx"]["expected"])]
        nearest = nearest_name(str(error["input"]), names)
        return Fault(file, line, f"{where} is {found}", " or ".join(names), nearest)
    if kind == "value_error":
        return Fault(file, line, f"{where}: {reason}")
    wanted = _EXPECTED.get(kind, error["msg"][:1].lower() + error["msg"][1:])
    return Fault(file, line, f"{where} is {found}", wanted.format(**error.get("ctx", {})))


def _told(errors: list[Any]) -> Iterator[Any]:
    """Yield the complaints, less those of a list being too short for want of the items complained of."""
    for error in errors:
        inside = (e["loc"][: len(error["loc"])] == error["loc"] for e in errors if e is not error)
        if error["type"] != "too_short" or not any(inside):
            yield error


def _words(path: KeyPath) -> str:
    return ".".join(str(part + 1) if isinstance(part, int) else quote(part)[1:-1] for part in path) or "the file"


def _choices(expected: str) -> list[str]:
    return re.findall(r"'([^']*)'", expected)


def _keys_at(model: type[BaseModel], path: KeyPath) -> tuple[str, ...]:
    """Return the keys the schema knows at a path."""
    current: Any = model
    for part in path:
        current = _inside(current, part)
    found = next(iter(_models(current)), None)
    if found is None:
        return ()
    return tuple(field.alias or name for name, field in found.model_fields.items())


def _inside(hint: Any, part: str | int) -> Any:
    """Return the type found inside a type under a key or an index."""
    if isinstance(part, str):
        for model in _models(hint):
            for name, field in model.model_fields.items():
                if part in (name, field.alias):
                    return field.annotation
    inner = [a for a in get_args(hint) if a not in (str, type(None), Ellipsis)]
    return inner[-1] if inner else hint


def _models(hint: Any) -> Iterator[type[BaseModel]]:
    """Yield the record types a type mentions, itself first."""
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        yield hint
        return
    for inner in get_args(hint):
        yield from _models(inner)
