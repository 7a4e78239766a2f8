"""The keys of a layout file, each with what it means and an example."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.tables import read_table


@dataclass(frozen=True)
class Key:
    """One key: where it stands (``places.cutout.hole``), what it means, and a value as it may be written."""

    key: str
    says: str
    example: str

    @property
    def name(self) -> str:
        """The key as it stands in the file."""
        return self.key.rsplit(".", 1)[-1]


@cache
def keys() -> tuple[Key, ...]:
    """Return every key of a layout, in the order of the table."""
    return read_table("keys", Key)


@cache
def examples() -> dict[str, str]:
    """Return the example of every key, by the way to it."""
    return {row.key: row.example for row in keys()}


def explained(wanted: str) -> tuple[Key, ...]:
    """Return the keys of a name, with all that stands below them; empty where there is none."""
    name = wanted.strip().strip(":").casefold()
    heads = [row.key for row in keys() if name == row.key or row.key.endswith(f".{name}")]
    return tuple(row for row in keys() if any(row.key == head or row.key.startswith(f"{head}.") for head in heads))
