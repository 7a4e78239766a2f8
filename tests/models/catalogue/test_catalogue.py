"""The catalogue: complete, sourced to the last dimension, and open to a user's own parts."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.reading.errors import InputError

CATALOGUE = load_catalogue()
NO_DIMENSION = {
    "title",
    "family",
    "mount",
    "plugs",
    "mains",
    "loudspeaker",
    "earth",
    "metal",
    "system",
    "sources",
    "motion",
}
ALLOWED = ("standard: ", "common practice", "from memory")
OWN = """\
parts:
  mine:
    title: Mine
    family: test
    flange: {outline: {box: [26, 31]}, thick: 2}
    cutout: {round: 24}
"""


def test_at_least_thirty_parts_of_every_family() -> None:
    assert len(CATALOGUE.parts) >= 30
    families = {part.family for part in CATALOGUE.parts.values()}
    assert families >= {"XLR", "jack", "phono", "BNC", "data", "loudspeaker", "mains", "D-sub", "DIN", "gland"}


def _dimensions(record: Part | Plug) -> list[str]:
    """Return the paths of what carries dimensions in a record: its keys, and the keys one level down."""
    paths = []
    for name, value in record.model_dump().items():
        default: Any = type(record).model_fields[name].default
        if name in NO_DIMENSION or value is None or value in ((), default):
            continue
        inner = value if isinstance(value, dict) and name in {"flange", "fixings"} else {}
        paths += [f"{name}.{key}" for key, v in inner.items() if v is not None] or [name]
    return paths


@pytest.mark.parametrize("name", [*CATALOGUE.parts, *CATALOGUE.plugs])
def test_every_dimension_names_its_source(name: str) -> None:
    record = CATALOGUE.parts.get(name) or CATALOGUE.plugs[name]
    for path in _dimensions(record):
        covered = [source for key, source in record.sources.items() if path == key or path.startswith(f"{key}.")]
        assert covered, f"{name}: {path} has no source"
        assert covered[0].startswith(ALLOWED), covered


@pytest.mark.parametrize("name", CATALOGUE.parts)
def test_plugs_exist_and_sections_do_not_overlap(name: str) -> None:
    part = CATALOGUE.parts[name]
    assert all(plug in CATALOGUE.plugs for plug in part.plugs)
    for sections in (part.front, part.rear):
        ordered = sorted(sections, key=lambda s: s.start)
        assert all(a.stop <= b.start for a, b in pairwise(ordered))


def test_mains_parts_are_marked() -> None:
    mains = {name for name, part in CATALOGUE.parts.items() if part.mains}
    assert mains == {"mains-quarter-turn-inlet", "mains-quarter-turn-outlet", "iec-c14-inlet", "iec-c20-inlet"}
    assert all(CATALOGUE.parts[name].earth for name in mains)


def test_own_parts_are_read_the_same_way(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(OWN)
    assert load_catalogue([path]).parts["mine"].title == "Mine"
    assert "mine" not in load_catalogue().parts


def test_a_name_may_be_taken_once_only(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(OWN.replace("mine:", "blank-d:"))
    with pytest.raises(InputError, match=r"own.yaml:2: the name 'blank-d' is taken"):
        load_catalogue([path])
