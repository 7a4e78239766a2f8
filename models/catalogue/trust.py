"""How far the catalogue can be trusted: every value once, and what is known of it.

A record that is like another shares its values, a dimension that follows from another has none of its own, and room
that is asked for is no dimension of the part: none of these is counted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from dryfit.models.catalogue.dimensions import Dimension, confidence_of, dimensions, origin_of
from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.sources import HOLES, Confidence

SAME = 0.001  # mm or degrees; nothing on a panel is made finer
NOT_COUNTED: tuple[Confidence, ...] = ("allowance", "reckoned")


def _records(catalogue: Catalogue) -> dict[str, Part | Plug]:
    return {**catalogue.parts, **catalogue.plugs}


def own_values(catalogue: Catalogue) -> Iterator[tuple[str, Dimension]]:
    """Yield every dimension that is not the same in the record that its record is like, with the record's name."""
    for name, record in _records(catalogue).items():
        like = catalogue.likeness.get(name)
        shared = {found.path: found for found in dimensions(_records(catalogue)[like])} if like is not None else {}
        for found in dimensions(record):
            if not _same(found, shared.get(found.path)):
                yield name, found


def _same(one: Dimension, other: Dimension | None) -> bool:
    return other is not None and abs(one.value - other.value) < SAME and one.source == other.source


def counted(catalogue: Catalogue) -> Counter[Confidence | None]:
    """Return how many values rest on what; None: nothing is said of them."""
    return Counter(found.confidence for _, found in own_values(catalogue))


def unconfirmed_holes(catalogue: Catalogue) -> dict[str, list[tuple[str, str, Confidence | None]]]:
    """Return the dimensions of holes to cut that no source confirms, by the name of the part.

    Each as its path, the path of what it follows from (itself where it follows from nothing), and how far that can be
    trusted: a hole that follows from a thread is as good as the thread.
    """
    found: dict[str, list[tuple[str, str, Confidence | None]]] = {}
    for name, one in own_values(catalogue):
        record = _records(catalogue)[name]
        grade = confidence_of(record, one.path)
        if one.path.startswith(HOLES) and grade != "confirmed":
            found.setdefault(name, []).append((one.path, origin_of(record, one.path), grade))
    return found
