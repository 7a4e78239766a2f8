"""The JSON Schema of a layout, for editors: every key with what it means, an example, and the names it takes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from dryfit.models.key_names import IN_TABLES, names_of
from dryfit.models.keys import Key, keys
from dryfit.models.layout import Layout

BESIDE = "layout.schema.json"  # what it is called beside layouts
PART = "places.part"
FIRST_LINE = f"# yaml-language-server: $schema={BESIDE}\n"
"""What tells editors of it, at the head of a layout; they look for it beside the layout."""
OURS = "written by dryfit"  # at its head, so that an older one is known again


def layout_schema(parts: Iterable[str] = ()) -> dict[str, Any]:
    """Return the JSON Schema of a layout file, of features common to draft-07 and 2020-12.

    ``parts`` are the names of parts that editors are to complete.
    """
    schema: dict[str, Any] = _plain(Layout.model_json_schema())
    for row in keys():
        names = names_of(row.key) if row.key in IN_TABLES else ()
        _tell(schema, row, tuple(parts) if row.key == PART else names)
    return {"$schema": "http://json-schema.org/draft-07/schema#", "$comment": OURS, "title": "dryfit layout", **schema}


def schema_text(parts: Iterable[str] = ()) -> str:
    """Return it as a file."""
    return json.dumps(layout_schema(parts), indent=1, ensure_ascii=False) + "\n"


def _plain(schema: Any) -> Any:
    """Return a schema without names and defaults of the program, and with fixed-length lists told by length alone.

    The drafts differ in how they list the items of these.
    """
    if isinstance(schema, list):
        return [_plain(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    plain = {key: _plain(value) for key, value in schema.items() if key not in ("prefixItems", "default")}
    if isinstance(plain.get("title"), str):
        del plain["title"]
    if "type" in plain or "properties" in plain:
        plain.pop("description", None)  # of the program's; those of keys are told below
    if "prefixItems" in schema:
        plain["items"] = _plain(schema["prefixItems"][0])
    return plain


def _tell(schema: dict[str, Any], row: Key, names: tuple[str, ...]) -> None:
    """Write at a key what it means, and names that it may have among others."""
    at: Any = schema
    *way, name = row.key.split(".")
    for part in way:
        at = _record(schema, at["properties"][part])
    found = at["properties"][name]
    if names:
        found = {"anyOf": [{"enum": list(names)}, found]}
    at["properties"][name] = {"description": f"{row.says} {row.name}: {row.example}", **found}


def _record(schema: dict[str, Any], found: Any) -> dict[str, Any]:
    """Return the record that a key holds, alone or in a list."""
    return next(_records(schema, found))


def _records(schema: dict[str, Any], found: Any) -> Iterator[dict[str, Any]]:
    if "$ref" in found:
        yield from _records(schema, schema["$defs"][found["$ref"].rsplit("/", 1)[-1]])
    if "properties" in found:
        yield found
    for inner in (*found.get("anyOf", ()), *([found["items"]] if "items" in found else ())):
        yield from _records(schema, inner)
