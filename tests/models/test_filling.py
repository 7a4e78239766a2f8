"""Values of a table filled into the fields of one layout."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.filling import filled, read_fillings
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import parse_job, read_job

TEMPLATE = """\
title: "Room {room}"
panel: {rack_units: {units}, thickness: {sheet}}
places:
  - {part: xlr3-socket, at: [99, 44], pitch: 26, count: 2, label: "{room}/{n}"}
"""


def fillings(folder: Path, table: str, template: str = TEMPLATE) -> dict[str, dict[str, str]]:
    path = folder / "t.csv"
    path.write_text(table, encoding="utf-8")
    return {row.name: dict(row.values) for row in read_fillings(path, folder / "box.yaml", template)}


def test_each_row_makes_a_panel(tmp_path: Path) -> None:
    rows = fillings(tmp_path, "name,room,units,sheet\nfirst,A,2,1/8 in\n,007,3,2 mm\n")
    assert list(rows) == ["first", "box-0002"]
    jobs = [parse_job(tmp_path / "box.yaml", TEMPLATE, values) for values in rows.values()]
    assert [(job.title, job.panel.rack_units, job.panel.thickness) for job in jobs] == [
        ("Room A", 2, 3.175), ("Room 007", 3, 2.0),
    ]  # fmt: skip
    assert [place.name for place in jobs[1].places] == ["007/1", "007/2"]
    assert jobs[0].digest != jobs[1].digest


@pytest.mark.parametrize("value", ["a: b", "x # y", "'", '"', "{units}", "\\", "- 1", "*a", "[1", "!!int 3"])
def test_no_value_changes_what_stands_around_it(value: str, tmp_path: Path) -> None:
    job = parse_job(tmp_path / "box.yaml", TEMPLATE, {"room": value, "units": "2", "sheet": "3 mm"})
    assert job.title == f"Room {value}"
    assert job.places[0].name == f"{value}/1"


def test_a_value_alone_is_read_as_if_it_were_written_there() -> None:
    assert filled({"a": {"b": None}}, {"b": "12"}) == {"a": 12}
    assert filled({"a": "{b}"}, {"b": "12"}) == {"a": "12"}
    assert filled({"a": {"b": None}}, {"c": "12"}) == {"a": {"b": None}}


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ("room,units\nA,2\n", "t.csv:1: no column fills {sheet}, expected a column sheet"),
        ("room,units,sheet,colour\nA,2,3,red\n", "t.csv:1: the column 'colour' fills nothing"),
        ("room,units,sheet,n\nA,2,3,1\n", "t.csv:1: the column 'n' cannot be used"),
        ("room,units,sheet\n", "t.csv: has no rows"),
        ("room,units,sheet\nA,2\n", "t.csv:2: column sheet is missing"),
        ("room,units,sheet\nA,2,3,4\n", "t.csv:2: there are more cells than columns"),
        ('room,units,sheet\n"A\nB",2,3\n', "t.csv:3: column room holds"),
        ("name,room,units,sheet\na,A,2,3\na,B,2,3\n", "t.csv:3: the name 'a' is used twice"),
        ("name,room,units,sheet\n../a,A,2,3\n", "t.csv:2: the name '../a' is no name for a folder"),
    ],
)
def test_a_wrong_table_is_told_with_its_line(table: str, says: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as error:
        fillings(tmp_path, table)
    assert any(line.split("/")[-1].startswith(says) or says in line for line in str(error.value).splitlines())


def test_a_layout_from_text_is_that_of_the_file(tmp_path: Path) -> None:
    text = TEMPLATE.replace("{units}", "2").replace("{sheet}", "3 mm").replace("{room}", "A")
    path = tmp_path / "box.yaml"
    assert parse_job(path, text) == (path.write_text(text, encoding="utf-8") and read_job(path))
