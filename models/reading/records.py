"""Records from files: plain data held against a schema, and every complaint of it told as a fault with its line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import islice, takewhile
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from dryfit.models.reading.errors import Fault, InputError, Misplaced, display_path, nearest_name, quote, said
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.yamlfile import LARGEST_FILE, MOST_FAULTS, KeyPath, LineMap, load

M = TypeVar("M", bound=BaseModel)


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
    ``examples`` are what may be written for keys, by the way to them: ``panel.bend``.
    """

    file: str
    lines: LineMap
    at: KeyPath = ()
    other_keys: tuple[str, ...] = ()
    examples: Mapping[str, str] = field(default_factory=dict)


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


# --- what the schema says ------------------------------------------------------------------------------------------

_EXPECTED = {
    "model_type": "keys and values",
    "dict_type": "keys and values",
    "tuple_type": "a list",
    "string_type": "text",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "int_parsing": "a whole number",
    "float_type": "a number",
    "float_parsing": "a number",
    "finite_number": "a number that is finite",
    "greater_than": "more than {gt:g}",
    "greater_than_equal": "at least {ge:g}",
    "less_than": "less than {lt:g}",
    "less_than_equal": "at most {le:g}",
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
    path, file, lines = origin.lines.origin((*origin.at, *inside)), origin.file, origin.lines
    found = "empty" if error["input"] is None else said(error["input"])
    where, line = _words(path), lines.line(path)
    if kind == "extra_forbidden":
        keys = (*_keys_at(model, inside[:-1]), *(origin.other_keys if len(inside) == 1 else ()))
        return Fault(file, line, *_unknown_key(origin, path, keys))
    if kind == "missing":
        around = _words(path[:-1])
        if isinstance(path[-1], int):
            return Fault(file, line, f"{around} is too short", f"an item number {path[-1] + 1}")
        example = origin.examples.get(".".join(part for part in path if isinstance(part, str)), "...")
        return Fault(file, lines.line(path[:-1]), f"the key {quote(path[-1])} is missing", f"{where}: {example}")
    if kind == "literal_error":
        names = [str(name) for name in _choices(error["ctx"]["expected"])]
        nearest = nearest_name(str(error["input"]), names)
        return Fault(file, line, f"{where} is {found}", " or ".join(names), nearest)
    if kind == "value_error":
        return Fault(file, line, f"{where}: {reason}")
    wanted = _EXPECTED.get(kind, "something else").format(**error.get("ctx", {}))
    example = "" if kind.startswith("bool") else _such_as(origin, path)
    return Fault(file, line, f"{where} is {found}", wanted + example)


def _unknown_key(origin: Origin, path: KeyPath, keys: tuple[str, ...]) -> tuple[str, str, str]:
    """Return what is wrong with a key that does not stand there, what is expected, and the nearest of ``keys``."""
    *here, name = [part for part in path if isinstance(part, str)]
    homes = [way.split(".")[:-1] for way in origin.examples if way.rsplit(".", 1)[-1] == name]
    if homes:
        home = ".".join(max(homes, key=lambda way: _shared(way, here)))
        return f"the key {quote(name)} stands in the wrong place", f"it in {home or 'no other key'}", ""
    return f"unknown key {quote(name)}", f"one of {', '.join(keys)}", nearest_name(name, keys)


def _shared(one: Iterable[str], other: Iterable[str]) -> int:
    """Return how many keys two ways have in common from their beginning."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def _such_as(origin: Origin, path: KeyPath) -> str:
    """Return an example of what may be written there, if there is one; of an item of a list, that of the list."""
    example = origin.examples.get(".".join(part for part in path if isinstance(part, str)), "")
    item = example.removeprefix("[").removesuffix("]") if path and isinstance(path[-1], int) else example
    return f", such as {item}" if item else ""


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


def every_key(model: type[BaseModel]) -> Iterator[str]:
    """Yield the keys of a record and of all records in it."""
    for name, known in model.model_fields.items():
        yield known.alias or name
        for inner in _models(known.annotation):
            yield from every_key(inner)


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
