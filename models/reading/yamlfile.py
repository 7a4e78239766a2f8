"""YAML files from people: read whole, bounded, and every fault told with its line.

The text is composed into nodes once; plain data and the line of every key are taken from the same nodes. YAML 1.2
rules: ``no`` and ``12:30`` are text. Tags, anchors and aliases have no place in these files and are refused, because
a stranger's file may use them to grow or to build objects.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from dryfit.models.reading.errors import Fault, InputError, display_path, nearest_name, quote

LARGEST_FILE = 1_000_000  # bytes; a panel of 500 places written out is a tenth of it
MOST_NODES = 100_000  # values in one file
DEEPEST = 20  # levels of nesting; a layout has six
MOST_FAULTS = 50  # told in one run; more would bury the first

M = TypeVar("M", bound=BaseModel)
KeyPath = tuple[str | int, ...]

_INT = re.compile(r"[-+]?\d{1,18}", re.ASCII)
_FLOAT = re.compile(r"[-+]?(\.\d+|\d+(\.\d*)?)([eE][-+]?\d{1,4})?", re.ASCII)
_BOOLEANS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_NULLS = {"", "~", "null", "Null", "NULL"}
_PLAIN_TAGS = {"map", "seq", "str", "int", "float", "bool", "null", "timestamp", "merge", "value"}
_SPECIAL = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")


@dataclass(frozen=True)
class LineMap:
    """The line, from 1, of every key and list item of a file."""

    lines: Mapping[KeyPath, int]

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
    return parse_record(display_path(path), _text(path), model)


def parse_record(file: str, text: str, model: type[M]) -> tuple[M, LineMap]:
    """Return text as a validated record; ``file`` names it in faults."""
    data, lines = _load(file, text)
    try:
        return model.model_validate(data), lines
    except ValidationError as error:
        found = (_fault(file, lines, model, e) for e in _told(error.errors(include_url=False)))
        raise InputError(list(dict.fromkeys(found))[:MOST_FAULTS]) from None


def _text(path: Path) -> str:
    file = display_path(path)
    try:
        if path.is_dir():
            raise InputError([Fault(file, None, "is a folder", "a YAML file")])
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise InputError([Fault(file, None, "there is no such file", "an existing YAML file")]) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "its name is not a path"
        raise InputError([Fault(file, None, f"cannot be read: {reason}", "a readable YAML file")]) from None
    if len(raw) > LARGEST_FILE:
        raise InputError([Fault(file, None, "is too large", f"at most {LARGEST_FILE} bytes")])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError([Fault(file, line, "is not text", "UTF-8 text")]) from None


# --- text to data --------------------------------------------------------------------------------------------------


def _load(file: str, text: str) -> tuple[dict[str, Any], LineMap]:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError
    from ruamel.yaml.nodes import MappingNode

    try:
        reader = YAML(typ="rt", pure=True)
        reader.max_depth = DEEPEST + 1
        node = reader.compose(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark is not None else None
        raise InputError([Fault(file, line, f"is not YAML: {error.problem or error.context}")]) from None
    except (YAMLError, ValueError, RecursionError, KeyError, IndexError, AttributeError, TypeError) as error:
        # the reader fails in all these ways on text that is not YAML
        first = next(iter(str(error).splitlines()), type(error).__name__)
        raise InputError([Fault(file, None, f"is not YAML: {quote(first)}", "a YAML mapping")]) from None
    if not isinstance(node, MappingNode):
        raise InputError([Fault(file, 1, "is empty or not a mapping", "keys and values, such as `title: My panel`")])
    builder = _Builder(file)
    data = builder.build(node, ())
    if builder.faults:
        raise InputError(builder.faults[:MOST_FAULTS])
    assert isinstance(data, dict)  # the root is a mapping
    return data, LineMap(builder.lines)


class _Builder:
    """Turns nodes into plain data, noting lines and faults on the way."""

    def __init__(self, file: str):
        self.file = file
        self.lines: dict[KeyPath, int] = {}
        self.faults: list[Fault] = []
        self.seen: set[int] = set()

    def build(self, node: Any, path: KeyPath) -> object:
        """Return the plain data of a node."""
        from ruamel.yaml.nodes import MappingNode, ScalarNode

        line = node.start_mark.line + 1
        self.lines.setdefault(path, line)
        if id(node) in self.seen or getattr(node, "anchor", None):
            return self._refuse(line, "uses an anchor or alias", "every value written out")
        self.seen.add(id(node))
        if len(self.seen) > MOST_NODES or len(path) > DEEPEST:
            return self._refuse(line, "holds too much", f"at most {MOST_NODES} values, {DEEPEST} levels deep")
        tag = str(node.tag or "")
        if tag and tag.removeprefix("tag:yaml.org,2002:") not in _PLAIN_TAGS:
            return self._refuse(line, f"uses the tag {quote(tag)}", "plain values")
        if isinstance(node, ScalarNode):
            return _scalar(node.value, plain=node.style is None)
        if isinstance(node, MappingNode):
            return dict(self._pairs(node, path))
        return [self.build(item, (*path, number)) for number, item in enumerate(node.value)]

    def _pairs(self, node: Any, path: KeyPath) -> Iterator[tuple[str, object]]:
        from ruamel.yaml.nodes import ScalarNode

        keys: set[str] = set()
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + 1
            key = key_node.value if isinstance(key_node, ScalarNode) else None
            if not isinstance(key, str) or not key or not key.isprintable():
                self._refuse(line, "has a key that is not a word", "a key such as `title`")
            elif key in keys:
                self._refuse(line, f"has the key {quote(key)} twice", "every key once")
            else:
                keys.add(key)
                self.lines[(*path, key)] = line
                yield key, self.build(value_node, (*path, key))

    def _refuse(self, line: int, what: str, expected: str) -> object:
        """Note a fault; the value in its place is None."""
        self.faults.append(Fault(self.file, line, what, expected))
        return None


def _scalar(text: str, plain: bool) -> object:
    """Return a scalar by the core schema of YAML 1.2; quoted ones are text."""
    if not plain:
        return text
    if text in _NULLS:
        return None
    if text in _BOOLEANS:
        return _BOOLEANS[text]
    if _INT.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text) or _SPECIAL.fullmatch(text):
        return float(text.replace(".inf", "inf").replace(".Inf", "inf").replace(".INF", "inf").replace(".nan", "nan")
                     .replace(".NaN", "nan").replace(".NAN", "nan"))  # fmt: skip
    return text


# --- what the schema says ------------------------------------------------------------------------------------------


def _fault(file: str, lines: LineMap, model: type[BaseModel], error: Any) -> Fault:
    """Return one complaint of the schema as a fault with its line."""
    path = tuple(part for part in error["loc"] if not isinstance(part, str) or not part.startswith("function-"))
    where, kind, line = _words(path), error["type"], lines.line(path)
    if kind == "extra_forbidden":
        keys = _keys_at(model, path[:-1])
        nearest = nearest_name(str(path[-1]), keys)
        return Fault(file, line, f"unknown key {quote(path[-1])}", f"one of {', '.join(keys)}", nearest)
    if kind == "missing":
        return Fault(file, lines.line(path[:-1]), f"the key {quote(path[-1])} is missing", f"{where}: ...")
    if kind == "literal_error":
        names = [str(name) for name in _choices(error["ctx"]["expected"])]
        nearest = nearest_name(str(error["input"]), names)
        return Fault(file, line, f"{where} is {quote(error['input'])}", " or ".join(names), nearest)
    message = error["msg"].removeprefix("Value error, ").removeprefix("Assertion failed, ")
    if kind == "value_error":
        return Fault(file, line, f"{where}: {message}")
    return Fault(file, line, f"{where} is {quote(error['input'])}", message[0].lower() + message[1:])


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
