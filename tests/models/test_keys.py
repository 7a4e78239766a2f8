"""The keys of a layout: every one of the schema is explained, and every example can be written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from dryfit.models.keys import Key, explained, keys
from dryfit.models.layout import Layout
from dryfit.models.reading.records import parse_record


def _of(record: type[BaseModel], before: str = "") -> Iterator[str]:
    """Yield every key of a record and of the records below it."""
    for name, field in record.model_fields.items():
        key = f"{before}{field.alias or name}"
        yield key
        for inner in _records(field.annotation):
            yield from _of(inner, f"{key}.")


def _records(hint: Any) -> Iterator[type[BaseModel]]:
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        yield hint
    for inner in get_args(hint):
        yield from _records(inner)


def test_every_key_of_the_schema_is_explained_once_and_nothing_else() -> None:
    assert sorted(row.key for row in keys()) == sorted(_of(Layout))


REST = {"panel": {"size": "[200, 100]", "thickness": "3"}, "places": {"part": "xlr3-socket", "at": "[0, 0]"}}
INSTEAD = {
    "rack_units": "size",
    "half_width": "size",
    "ten_inch": "size",
    "plate": "size",
    "row": "at",
    "slot": "hole",
    "window": "hole",
    "outline": "hole",
    "tie": "hole",
}  # keys that stand in another's place
WITH = {
    "half_width": {"rack_units": "2"}, "ten_inch": {"rack_units": "2"}, "count": {"pitch": "30"},
    "cut.corner": {"window": "[9, 9]"}, "across": {"up": "24"}, "up": {"across": "19"},
    "angle": {"diameter": "6.3"}, "countersink.from": {"diameter": "6.3"},
    "lips": {"lip": "15"}, "bend": {"lip": "15"},
}  # fmt: skip
"""Keys that go with others."""


@pytest.mark.parametrize("row", keys(), ids=lambda row: row.key)
def test_every_example_can_be_written(row: Key, tmp_path: Path) -> None:
    top, *below = row.key.split(".")
    file = {"title": "T", "panel": dict(REST["panel"]), "places": dict(REST["places"])}
    if top == "cut":
        file[top] = {"at": "[0, 0]", "hole": "9"}
    if not below:
        file[top] = row.example
    else:
        record: Any = file.setdefault(top, {})
        for key in below[:-1]:
            record.update(WITH.get(key, {}))
            record = record.setdefault(key, {})
        record.update({below[-1]: row.example, **WITH.get(below[-1], WITH.get(".".join(row.key.split(".")[-2:]), {}))})
        whole: Any = file[top]
        for key in {*INSTEAD} & {*whole}:
            whole.pop(INSTEAD[key], None)
    parse_record("t.yaml", _written(file), Layout)


def _written(value: Any, key: str = "") -> str:
    if not isinstance(value, dict):
        return str(value)
    inside = "{" + ", ".join(f"{name}: {_written(inner, name)}" for name, inner in value.items()) + "}"
    if key:
        return f"[{inside}]" if key in ("places", "cut") else inside
    return "\n".join(f"{name}: {_written(inner, name)}" for name, inner in value.items())


def test_a_name_leads_to_its_key_and_all_below_it() -> None:
    assert [row.key for row in explained("part_turn")] == ["places.part_turn"]
    assert [row.key for row in explained("pitch")] == ["cut.pitch", "places.pitch", "places.row.pitch"]
    assert {row.key for row in explained("countersink:")} == {
        "places.cutout.countersink", "places.cutout.countersink.diameter", "places.cutout.countersink.angle",
        "places.cutout.countersink.from",
    }  # fmt: skip
    assert explained("sparkle") == ()
