"""The catalogue: complete, sourced to the last dimension, and open to a user's own parts."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from dryfit.models.catalogue.dimensions import confidence_of, dimensions, source_of
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.sources import known_sources
from dryfit.models.catalogue.trust import NOT_COUNTED, own_values, unconfirmed_holes
from dryfit.models.reading.datafiles import DATA
from dryfit.models.reading.errors import InputError
from dryfit.models.reading.yamlfile import load

CATALOGUE = load_catalogue()
RECORDS: dict[str, Part | Plug] = {**CATALOGUE.parts, **CATALOGUE.plugs}
FILES = [load(path.name, path.read_text(encoding="utf-8"))[0] for path in sorted((DATA / "parts").iterdir())]
WRITTEN: dict[str, Any] = {
    name: raw for data in FILES for kind in ("parts", "plugs") for name, raw in data.get(kind, {}).items()
}
LIKE = [name for name, raw in WRITTEN.items() if "like" in raw]
ROUNDING = 0.001  # mm; polygons are written to a thousandth
OWN = """\
parts:
  mine:
    title: Mine
    family: test
    flange: {outline: {box: [26, 31]}, thick: 2}
    cutout: {round: 24}
"""


def test_at_least_seventy_parts_of_every_family() -> None:
    assert len(CATALOGUE.parts) >= 70
    families = {part.family for part in CATALOGUE.parts.values()}
    assert families >= {"XLR", "jack", "phono", "BNC", "data", "loudspeaker", "mains", "D-sub", "DIN", "gland"}
    assert families >= {"keystone", "4 mm", "control", "fan", "coaxial", "round"}


@pytest.mark.parametrize("name", RECORDS)
def test_every_dimension_names_its_source(name: str) -> None:
    assert [found.path for found in dimensions(RECORDS[name]) if found.source is None] == []


@pytest.mark.parametrize("name", RECORDS)
def test_no_source_is_left_for_a_dimension_that_is_not_there(name: str) -> None:
    record = RECORDS[name]
    paths = [found.path for found in dimensions(record)]
    stale = [key for key in record.sources if not any(p == key or p.startswith(f"{key}.") for p in paths)]
    assert stale == []


@pytest.mark.parametrize("name", RECORDS)
def test_a_dimension_lies_in_the_range_of_its_source(name: str) -> None:
    for found in dimensions(RECORDS[name]):
        assert found.source is not None
        assert found.value >= (found.source.least or 0.0) - ROUNDING, found
        assert found.value <= (found.source.greatest or found.value) + ROUNDING, found


@pytest.mark.parametrize("name", LIKE)
def test_what_differs_from_the_part_it_is_like_names_its_own_source(name: str) -> None:
    own = WRITTEN[name].get("sources", {})
    before = {found.path: found.value for found in dimensions(RECORDS[WRITTEN[name]["like"]])}
    for found in dimensions(RECORDS[name]):
        holds_for_any_value = found.confidence in NOT_COUNTED
        if not holds_for_any_value and abs(before.get(found.path, 0.0) - found.value) > ROUNDING:
            assert any(found.path == key or found.path.startswith(f"{key}.") for key in own), found.path


def test_every_known_source_is_named_by_some_part() -> None:
    named = {
        source.get("source") if isinstance(source, dict) else source
        for raw in WRITTEN.values()
        for source in raw.get("sources", {}).values()
    }
    assert set(known_sources()) <= named


@pytest.mark.parametrize("name", RECORDS)
def test_what_follows_from_another_dimension_agrees_with_it(name: str) -> None:
    record = RECORDS[name]
    values = {found.path: found.value for found in dimensions(record)}
    for key, source in record.sources.items():
        for path in [path for path in values if source_of(record, path) is source and source.of is not None]:
            other = f"{source.of}{path.removeprefix(key)}"
            assert values[path] == pytest.approx(values[other] + source.plus, abs=ROUNDING)


def test_a_value_counts_once_and_what_follows_from_others_or_is_room_does_not() -> None:
    own = [(name, found.path) for name, found in own_values(CATALOGUE)]
    assert ("gland-m20", "bush.thread") in own
    assert ("gland-m20-metal", "bush.thread") not in own  # like gland-m20
    assert source_of(CATALOGUE.parts["gland-m20"], "rear.0.width") is not None
    assert confidence_of(CATALOGUE.parts["gland-m20"], "rear.0.width") == "confirmed"  # as the thread is
    assert confidence_of(CATALOGUE.parts["gland-pg9"], "thickest") == "from memory"  # as the length of its thread is


def test_holes_that_no_source_confirms_are_listed() -> None:
    assert "multipin-round" in unconfirmed_holes(CATALOGUE)
    assert ("cutout.width", "bush.thread", "from memory") in unconfirmed_holes(CATALOGUE)["indicator"]
    assert "gland-m20" not in unconfirmed_holes(CATALOGUE)


def test_a_source_covers_most_of_a_path_first() -> None:
    part = CATALOGUE.parts["8p8c-d"]
    depth, width = source_of(part, "rear.1.depth"), source_of(part, "rear.0.width")
    assert depth is not None
    assert width is not None
    assert (depth.confidence, width.confidence) == ("common practice", "common practice")
    assert (depth.least, depth.greatest) == (32.55, 34.3)


@pytest.mark.parametrize("name", CATALOGUE.parts)
def test_plugs_exist_and_sections_do_not_overlap(name: str) -> None:
    part = CATALOGUE.parts[name]
    assert all(plug in CATALOGUE.plugs for plug in part.plugs)
    for sections in (part.front, part.rear):
        ordered = sorted(sections, key=lambda s: s.start)
        assert all(a.stop <= b.start for a, b in pairwise(ordered))


@pytest.mark.parametrize("name", [n for n, p in CATALOGUE.parts.items() if p.family != "blank"])
def test_something_holds_every_part(name: str) -> None:
    part = CATALOGUE.parts[name]
    assert sum(held is not None for held in (part.fixings, part.bush, part.snap)) == 1


def test_mains_parts_are_marked() -> None:
    mains = {name for name, part in CATALOGUE.parts.items() if part.mains}
    assert mains == {name for name, part in CATALOGUE.parts.items() if part.family == "mains"}
    unearthed = {name for name in mains if not CATALOGUE.parts[name].earth}
    assert unearthed == {"iec-c8-inlet", "fuse-holder"}


def test_own_parts_are_read_the_same_way(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(OWN)
    assert load_catalogue([path]).parts["mine"].title == "Mine"
    assert "mine" not in load_catalogue().parts


def test_sources_of_own_parts_are_in_words_or_with_a_range(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    cutout = "{source: my drawing, least: 23.9 mm, greatest: 24.2}"
    path.write_text(f"{OWN}    sources: {{cutout: {cutout}, flange: nop-iec}}\n")
    sources = load_catalogue([path]).parts["mine"].sources
    assert (sources["cutout"].confidence, sources["cutout"].greatest) == ("as stated", 24.2)
    assert sources["flange"].confidence == "confirmed"


@pytest.mark.parametrize(
    ("written", "what"),
    [
        ("{least: 3}", "names no source"),
        ("[1]", "names no source"),
        ("{source: a, least: 3, greatest: 2}", "the least, 3 mm, is more than the greatest, 2 mm"),
        ("{source: a, lest: 3}", "unknown key 'lest'"),
        ("{source: a, of: seat}", "names no source"),
        ("{of: set}", "cutout follows from 'set', expected a dimension that this record has, not itself"),
        ("{of: cutout}", "cutout follows from 'cutout', expected a dimension that this record has, not itself"),
    ],
)
def test_a_source_that_is_none_is_told_with_its_line(tmp_path: Path, written: str, what: str) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(f"{OWN}    sources:\n      cutout: {written}\n")
    with pytest.raises(InputError, match=rf"own.yaml:8: .*{what}"):
        load_catalogue([path])


@pytest.mark.parametrize("tabs", ["{from: 3, to: 1}", "{from: 3}"])
def test_tabs_hold_from_a_thinner_to_a_thicker_panel(tmp_path: Path, tabs: str) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(f"{OWN}    snap: {tabs}\n")
    with pytest.raises(InputError, match=r"own.yaml:7"):
        load_catalogue([path])


def test_a_name_may_be_taken_once_only(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(OWN.replace("mine:", "blank-d:"))
    with pytest.raises(InputError, match=r"own.yaml:2: the name 'blank-d' is taken"):
        load_catalogue([path])
