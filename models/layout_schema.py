"""The JSON Schema of a layout, for editors: every key with what it means, an example, and the names it takes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.patterns import TO_SUIT
from dryfit.models.key_names import IN_TABLES, names_of
from dryfit.models.keys import Key, keys
from dryfit.models.layout import Layout

BESIDE = "layout.schema.json"  # what it is called beside layouts
PART, PATTERN = "places.part", "panel.holes"  # keys that take names of the catalogue
FIRST_LINE = f"# yaml-language-server: $schema={BESIDE}\n"
"""What tells editors of it, at the head of a layout; they look for it beside the layout."""
OURS = "written by dryfit"  # at its head, so that an older one is known again


def layout_schema(catalogue: Catalogue | None = None) -> dict[str, Any]:
    """Return the JSON Schema of a layout file, of features common to draft-07 and 2020-12.

    Editors complete the parts and patterns of a catalogue; without one, the patterns that come with dryfit.
    """
    schema: dict[str, Any] = plain_schema(Layout.model_json_schema())
    listed = {PATTERN: (TO_SUIT, *(catalogue or load_catalogue(shelf=())).patterns)}
    listed |= {PART: tuple(catalogue.parts)} if catalogue is not None else {}
    for row in keys():
        _tell(schema, row, listed.get(row.key) or (names_of(row.key) if row.key in IN_TABLES else ()))
    return {"$schema": "http://json-schema.org/draft-07/schema#", "$comment": OURS, "title": "dryfit layout", **schema}


def schema_text(catalogue: Catalogue | None = None) -> str:
    """Return it as a file."""
    return json.dumps(layout_schema(catalogue), indent=1, ensure_ascii=False) + "\n"


def plain_schema(schema: Any) -> Any:
    """Return a schema without names and defaults of the program, and with fixed-length lists told by length alone.

    The drafts differ in how they list the items of these.
    """
    if isinstance(schema, list):
        return [plain_schema(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    plain = {key: plain_schema(value) for key, value in schema.items() if key not in ("prefixItems", "default")}
    if isinstance(plain.get("title"), str):
        del plain["title"]
    if "type" in plain or "properties" in plain:
        plain.pop("description", None)  # of the program's; those of keys are told below
    if "prefixItems" in schema:
        plain["items"] = plain_schema(schema["prefixItems"][0])
    return plain


def _tell(schema: dict[str, Any], row: Key, names: tuple[str, ...]) -> None:
    """Write at a key what it means, and names that it may have among others."""
    at: Any = schema
    *way, name = row.key.split(".")
    for part in way:
        at = record_held(schema, at["properties"][part])
    found = at["properties"][name]
    if names:
        found = {"anyOf": [{"enum": list(names)}, found]}
    at["properties"][name] = {"description": f"{row.says} {row.name}: {row.example}", **found}


def record_held(schema: dict[str, Any], found: Any) -> dict[str, Any]:
    """Return the record that a key holds, alone or in a list."""
    return next(_records(schema, found))


def _records(schema: dict[str, Any], found: Any) -> Iterator[dict[str, Any]]:
    if "$ref" in found:
        yield from _records(schema, schema["$defs"][found["$ref"].rsplit("/", 1)[-1]])
    if "properties" in found:
        yield found
    for inner in (*found.get("anyOf", ()), *([found["items"]] if "items" in found else ())):
        yield from _records(schema, inner)
