"""The sheet of one part: every dimension has a letter where it is taken, and the file beside it the same letters."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import pytest

from dryfit.generators.drawing.marks import Block, Text
from dryfit.generators.drawing.part_dimensions import taken
from dryfit.generators.drawing.part_sheet import in_one, key_in_file, part_sheet
from dryfit.generators.drawing.part_views import front_view, side_view
from dryfit.generators.pipeline import judged
from dryfit.generators.writers.pdf import pdf_bytes
from dryfit.models.catalogue.dimensions import dimensions
from dryfit.models.catalogue.letters import how_taken, lettered, measuring
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.templates import KINDS, part_file, part_name
from dryfit.models.findings import Verdict
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.datafiles import DATA, data_text
from dryfit.models.reading.yamlfile import load
from dryfit.models.resolve import read_job

CATALOGUE = load_catalogue()
RECORDS: dict[str, Part | Plug] = {**CATALOGUE.parts, **CATALOGUE.plugs}
NOT_THE_SAME = ("wiring", "latch.deep", "fixings.panel", "fixings.seat.angle", "turn")
"""Room is drawn short, the panel's hole is not on the part, and angles are no lengths."""


SAME = 0.001  # mm


def letters(view: Block) -> list[str]:
    """Return the letters of a view, those that share a line apart."""
    told = [mark.text for mark in view.marks if isinstance(mark, Text) and not mark.text.startswith("FROM")]
    return [letter for text in told for letter in text.split(", ")]


@pytest.mark.parametrize("name", RECORDS)
def test_every_dimension_has_its_letter_in_one_view_clear_of_all_others(name: str) -> None:
    record = RECORDS[name]
    views = [view for scale in (1.0, 2.0) for view in (front_view(record, scale), side_view(record, scale))]
    told = sorted(i.letter for i in lettered(record))
    assert sorted(letter for view in views[:2] for letter in letters(view)) == told
    assert sorted(letter for view in views[2:] for letter in letters(view)) == told
    for view in views:
        boxes = [mark.box for mark in view.marks if isinstance(mark, Text)]
        assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))


def test_every_dimension_is_as_long_where_it_is_taken_as_it_is_written() -> None:
    for name, record in RECORDS.items():
        for where, item in zip(taken(record), lettered(record), strict=True):
            if where.path not in NOT_THE_SAME:
                assert abs(where.high - where.low - item.value) < SAME, (name, where.path)


def test_every_dimension_of_the_catalogue_has_words_and_every_words_a_dimension() -> None:
    said = {how_taken(item.path).path for record in RECORDS.values() for item in lettered(record)}
    assert said | {"grip.height", "nose.*.height", "body.*.height"} >= {row.path for row in measuring()}


@pytest.mark.parametrize(
    ("name", "path", "key"),
    [
        ("xlr3-socket", "flange.outline.height", "flange.outline box: 2nd"),
        ("xlr3-socket", "rear.0.width", "rear 1 round"),
        ("xlr3-socket", "rear.2.depth", "rear 3 to"),
        ("xlr3-socket", "fixings.at.up", "fixings.at"),
        ("xlr3-socket", "latch.height", "latch.height"),
        ("gland-m20", "front.0.width", "front 1 hexagon"),
        ("rocker", "snap.thinnest", "snap.from"),
        ("iec-c14-inlet", "cutout.width", "cutout polygon: width"),
    ],
)
def test_a_dimension_is_called_by_its_key_in_the_file(name: str, path: str, key: str) -> None:
    assert key_in_file(RECORDS[name], path) == key


# --- files to begin with ---------------------------------------------------------------------------------------------


def test_every_file_to_begin_with_is_of_a_kind_that_is_told() -> None:
    assert sorted(path.stem for path in (DATA / "start").iterdir()) == sorted(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_to_begin_with_names_every_dimension_by_the_letter_of_its_sheet(kind: str) -> None:
    text, catalogue = part_file(kind, Path("my-own.yaml"))
    asked = re.findall(r"<([^>]+)>", data_text(f"start/{kind}.yaml"))
    part = [item.path for item in lettered(catalogue.parts["my-own"])]
    plug = [f"plug: {item.path}" for item in lettered(catalogue.plugs["my-own-plug"])]
    assert sorted(asked) == sorted(part + plug)
    assert "<" not in text
    assert "NAME" not in text
    assert "FILE" not in text


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_to_begin_with_goes_through_the_checks_as_written(kind: str, tmp_path: Path) -> None:
    text, _ = part_file(kind, tmp_path / "mine.yaml")
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    mount = "rear" if kind == "bush" else "front"
    layout = tmp_path / "box.yaml"
    panel = "{size: [120, 80], thickness: 2 mm, coating: 0.06 mm}"
    place = f"{{part: mine, at: [60, 40], mount: {mount}}}"
    layout.write_text(f"title: T\npanel: {panel}\nparts: [mine.yaml]\nplaces: [{place}]\n", encoding="utf-8")
    report = judged(read_job(layout))
    assert [f.says for f in report.findings if f.verdict is not Verdict.FITS] == []
    assert {f.place for f in report.findings} == {"mine"}


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_in_a_file_to_begin_with_passes_for_measured(kind: str) -> None:
    _, catalogue = part_file(kind, Path("mine.yaml"))
    records: tuple[Part | Plug, ...] = (catalogue.parts["mine"], catalogue.plugs["mine-plug"])
    for record in records:
        grades = {found.path: found.confidence for found in dimensions(record)}
        assert set(grades.values()) == {"from memory"}, grades


@pytest.mark.parametrize("kind", KINDS)
def test_the_five_lines_that_a_file_shows_load(kind: str, tmp_path: Path) -> None:
    text, _ = part_file(kind, tmp_path / "mine.yaml")
    shown = [line[2:] for line in text.splitlines() if line.startswith("#   ")]
    (tmp_path / "short.yaml").write_text("\n".join(shown), encoding="utf-8")
    assert len(shown) == 5
    assert "mine" in load_catalogue([tmp_path / "short.yaml"]).parts
    assert list(load("short", "\n".join(shown))[0]) == ["parts"]


@pytest.mark.parametrize(
    ("file", "name"),
    [
        ("my-socket.yaml", "my-socket"),
        ("xlr3-socket.yaml", "my-xlr3-socket"),
        ("My socket (2).yaml", "My-socket-2"),
        ("007.yaml", "my-007"),
        ("....yaml", "part"),
        ("null.yaml", "my-null"),
    ],
)
def test_a_part_has_the_name_of_its_file_where_it_can(file: str, name: str) -> None:
    assert part_name(Path(file)) == name
    assert part_file("flange", Path(file))[1].parts[name].title == "My socket"


# --- as a drawing ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_a_sheet_keeps_to_its_page_and_is_the_same_each_time(kind: str) -> None:
    _, catalogue = part_file(kind, Path("mine.yaml"))
    sheets = [part_sheet("mine", catalogue.parts["mine"], "mine-plug", catalogue.plugs["mine-plug"]) for _ in range(2)]
    for sheet in sheets[0].sheets:
        page = Rectangle(0.0, 0.0, sheet.width, sheet.height)
        assert all(page.holds(mark.box) for mark in sheet.marks)
    told = {mark.text for sheet in sheets[0].sheets for mark in sheet.marks if isinstance(mark, Text)}
    keys = {key_in_file(catalogue.parts["mine"], item.path) for item in lettered(catalogue.parts["mine"])}
    assert keys <= told
    assert pdf_bytes(sheets[0]) == pdf_bytes(sheets[1])


def test_all_pages_on_one_sheet_stand_below_each_other() -> None:
    drawing = part_sheet(
        "xlr3-socket", CATALOGUE.parts["xlr3-socket"], "xlr-plug-pins", CATALOGUE.plugs["xlr-plug-pins"]
    )
    whole = in_one(drawing)
    assert whole.height == len(drawing.sheets) * drawing.sheets[0].height
    assert len(whole.marks) == sum(len(sheet.marks) for sheet in drawing.sheets)
    page = Rectangle(0.0, 0.0, whole.width, whole.height)
    assert all(page.holds(mark.box) for mark in whole.marks)
