"""The JSON Schema of a part file, for editors: the keys of parts, plugs, looks and patterns, and the names they take.

It helps to write; what may stand in a file is for dryfit to say. So it misses nothing that is left out: a record may be
like another, and any key of that may be taken away.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import models_json_schema

from dryfit.models.catalogue.layers import Kind
from dryfit.models.catalogue.letters import measuring
from dryfit.models.catalogue.likeness import LIKE
from dryfit.models.catalogue.looks import Look
from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.patterns import Pattern
from dryfit.models.catalogue.sources import SOURCES, Source
from dryfit.models.layout_schema import OURS, plain_schema, record_held
from dryfit.models.reading.fields import Record

BESIDE = "parts.schema.json"  # what it is called beside part files
FIRST_LINE = f"# yaml-language-server: $schema={BESIDE}\n"
OF_SOURCE: dict[str, Any] = {
    "type": ["string", "object", "null"],
    "description": "Where it comes from, in words; or source, least and greatest; or of and plus, where it follows.",
}
HOLDS: dict[Kind, type[Record]] = {"parts": Part, "plugs": Plug, "looks": Look, "patterns": Pattern}


def part_schema(catalogue: Catalogue) -> dict[str, Any]:
    """Return the JSON Schema of a part file, of features common to draft-07 and 2020-12."""
    _, found = models_json_schema([(model, "validation") for model in HOLDS.values()])
    schema = plain_schema(found)
    records = schema["$defs"]
    records.pop(Source.__name__)
    for kind, names in _names(catalogue).items():
        records[HOLDS[kind].__name__]["properties"][LIKE] = {"anyOf": [{"enum": [*names]}, {"type": "string"}]}
    for name in ("Part", "Plug"):
        _tell(schema, records[name]["properties"])
        records[name]["properties"][SOURCES] = {"type": "object", "additionalProperties": OF_SOURCE}
        records[name]["properties"]["look"] = {"anyOf": [{"enum": [*catalogue.looks]}, {"type": "string"}]}
    for record in (one for one in records.values() if "properties" in one):
        record.pop("required", None)
        record["properties"] = {key: _or_nothing(one) for key, one in record["properties"].items()}
    held = {"type": "object", "additionalProperties": False}
    kinds = {
        kind: {"type": "object", "additionalProperties": {"$ref": f"#/$defs/{model.__name__}"}}
        for kind, model in HOLDS.items()
    }
    head = {"$schema": "http://json-schema.org/draft-07/schema#", "$comment": OURS, "title": "dryfit parts"}
    return {**head, **held, "properties": kinds, **schema}


def part_schema_text(catalogue: Catalogue) -> str:
    """Return it as a file."""
    return json.dumps(part_schema(catalogue), indent=1, ensure_ascii=False) + "\n"


def _names(catalogue: Catalogue) -> dict[Kind, Mapping[str, object]]:
    return {
        "parts": catalogue.parts, "plugs": catalogue.plugs, "looks": catalogue.looks, "patterns": catalogue.patterns,
    }  # fmt: skip


def _or_nothing(schema: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of what may be taken away, as may each of the pieces that it names."""
    inner = schema.get("additionalProperties")
    loose = {**schema, "additionalProperties": _or_nothing(inner)} if isinstance(inner, dict) else schema
    return {"anyOf": [loose, {"type": "null"}]}


def _tell(schema: dict[str, Any], properties: dict[str, Any]) -> None:
    """Write at the keys of a record what their dimension is and how it is taken."""
    for row in measuring():
        *above, key = row.path.split(".")
        if len(above) > 1 or any(name not in properties for name in above):
            continue  # a side of an outline, or another record's
        here = record_held(schema, properties[above[0]])["properties"] if above else properties
        if key in here:
            here[key] = {"description": f"{row.says}: {row.how}", **here[key]}
