"""Edits of a layout: what a remedy changes, carried out on the layout itself and read anew, as the user would."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from dryfit.models.geometry.points import Point
from dryfit.models.layout import Layout
from dryfit.models.reading.fields import Record


@dataclass(frozen=True)
class Edit:
    """``value`` at ``path`` of one entry of ``places``, or of the panel where ``entry`` is None.

    ``entry`` is the index in ``places``, ``path`` the keys below it; a value of None deletes.
    """

    entry: int | None
    path: tuple[str, ...]
    value: Any

    def __hash__(self) -> int:
        """Hash by what it says: values are lists and mappings as a file has them."""
        return hash((self.entry, self.path, repr(self.value)))


def edited(layout: Layout, edits: Iterable[Edit]) -> Layout:
    """Return the layout with the edits carried out.

    Raises:
        pydantic.ValidationError: if what comes out is no layout.
    """
    data = _as_data(layout)
    for edit in edits:
        record = data["panel"] if edit.entry is None else data["places"][edit.entry]
        for key in edit.path[:-1]:
            record = record.setdefault(key, {})
        if edit.value is None:
            record.pop(edit.path[-1], None)
        else:
            record[edit.path[-1]] = edit.value
    return Layout.model_validate(data)


def _as_data(record: Record) -> dict[str, Any]:
    """Return what is set in a record under the keys that a file has; outlines and lengths stay what they are."""
    keys = {name: field.alias or name for name, field in type(record).model_fields.items()}
    return {keys[name]: _plain(getattr(record, name)) for name in keys if name in record.model_fields_set}


def _plain(value: object) -> object:
    if isinstance(value, Record):
        return _as_data(value)
    if isinstance(value, tuple) and not isinstance(value, Point):
        return [_plain(item) for item in value]
    return value
