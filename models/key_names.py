"""The names that may be written for a key, where it takes one of a list: of the schema, or of a table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.patterns import TO_SUIT
from dryfit.models.layout import Layout
from dryfit.models.tables import fasteners
from dryfit.models.tables.finishes import colours
from dryfit.models.tables.panels import materials, tie_holes, wall_plates


def _threads() -> Iterator[str]:
    forming = {row.name for row in fasteners.forming_screws()}
    yield from (row.name for row in fasteners.threads() if row.name not in forming)
    yield from (f"{fasteners.RIVET}{row.name}" for row in fasteners.rivets())


IN_TABLES: dict[str, Callable[[], Iterable[str]]] = {
    "panel.material": materials, "panel.plate": wall_plates, "panel.box": wall_plates, "panel.colour": colours,
    "panel.holes": lambda: (TO_SUIT, *load_catalogue().patterns), "cut.tie": tie_holes,
    "hardware.threads": _threads, "places.hardware.screw": _threads,
}  # fmt: skip
"""Keys whose names stand in a table."""


@cache
def names_of(key: str) -> tuple[str, ...]:
    """Return the names that a key takes, by the way to it (``panel.material``); none where it takes none."""
    if key in IN_TABLES:
        return tuple(dict.fromkeys(IN_TABLES[key]()))
    hint: Any = Layout
    for name in key.split("."):
        hint = next((inner for record in _inside(hint) for inner in _field(record, name)), None)
    return tuple(str(name) for literal in _literals(hint) for name in get_args(literal))


def _field(record: Any, name: str) -> Iterator[Any]:
    if isinstance(record, type) and issubclass(record, BaseModel):
        yield from (field.annotation for key, field in record.model_fields.items() if name == (field.alias or key))


def _inside(hint: Any) -> Iterator[Any]:
    """Yield a type and all types within it."""
    yield hint
    for inner in get_args(hint):
        yield from _inside(inner)


def _literals(hint: Any) -> Iterator[Any]:
    return (inner for inner in _inside(hint) if get_origin(inner) is Literal)
