"""The shelf: parts and patterns that every layout finds, and what they must not change."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from dryfit.generators.lists.cautions import cautions
from dryfit.generators.pipeline import judged
from dryfit.generators.writers.report_json import report_json
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.shelf import MOST_FILES, SETTING, shelf_files, shelf_folders
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job

FIRM = """\
parts:
  house-socket: {like: xlr3-socket, title: House socket, plugs: [house-plug]}
  house-thick: {like: house-socket, flange: {thick: 4 mm}}
plugs:
  house-plug: {like: xlr-plug-pins, title: House plug}
patterns:
  house-holes: {hole: 24.4 mm, fixings: 3.4 mm, across: 19 mm, up: 24 mm}
"""
Layout = Callable[..., Job]


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shelf with one file on it."""
    folder = tmp_path / "shelf"
    folder.mkdir()
    (folder / "firm.yaml").write_text(FIRM, encoding="utf-8")
    monkeypatch.setenv(SETTING, str(folder))
    return folder


def layout(folder: Path, part: str, rest: str = "", holes: str = "to suit") -> Job:
    path = folder / "box.yaml"
    panel = f"{{size: [100, 60], thickness: 2 mm, holes: {holes}}}"
    path.write_text(f"title: T\npanel: {panel}\n{rest}\nplaces: [{{part: {part}, at: [50, 30]}}]\n", encoding="utf-8")
    return read_job(path)


def test_every_layout_finds_parts_plugs_and_patterns_of_the_shelf(tmp_path: Path, shelf: Path) -> None:
    job = layout(tmp_path, "house-socket", holes="house-holes")
    place = job.places[0]
    assert (place.part.title, place.plug and place.plug.title) == ("House socket", "House plug")
    assert max(place.cutout.main.size) == pytest.approx(24.4)
    assert {one.name for one in job.kept} == {"house-socket", "house-plug", "house-holes"}


def test_reports_say_what_is_from_the_shelf_and_by_which_file(tmp_path: Path, shelf: Path) -> None:
    report = judged(layout(tmp_path, "house-socket"))
    told = "From the shelf (firm.yaml), as its keeper measured it: house-socket, house-plug."
    assert told in cautions(report.job)
    kept = json.loads(report_json(report))["shelf"]
    assert kept[0] == {"kind": "parts", "name": "house-socket", "files": ["firm.yaml"], "instead": ""}
    assert str(tmp_path) not in report_json(report)


def test_what_lies_beside_the_layout_comes_before_the_shelf_and_is_told(tmp_path: Path, shelf: Path) -> None:
    own = "parts:\n  house-socket: {like: bnc-d, title: Own socket}\n"
    (tmp_path / "own.yaml").write_text(own, encoding="utf-8")
    job = layout(tmp_path, "house-socket", "parts: [own.yaml]")
    assert job.places[0].part.title == "Own socket"
    told = "From own.yaml beside the layout, though the shelf has another of that name: house-socket."
    assert told in cautions(job)
    catalogue = load_catalogue([tmp_path / "own.yaml"])
    assert list(catalogue.parts).count("house-socket") == 1
    assert len(catalogue.parts) == len([*catalogue.parts])
    assert catalogue.parts["house-thick"].title == "House socket"  # what the shelf is like stays as it is there


def test_what_is_like_a_part_of_the_shelf_hangs_on_its_file(tmp_path: Path, shelf: Path) -> None:
    own = "parts:\n  mine: {like: house-thick}\n"
    (tmp_path / "own.yaml").write_text(own, encoding="utf-8")
    job = layout(tmp_path, "mine", "parts: [own.yaml]")
    assert [(one.name, [path.name for path in one.files]) for one in job.kept if one.kind == "parts"] == [
        ("mine", ["firm.yaml"])
    ]
    before = job.digest
    (shelf / "firm.yaml").write_text(FIRM.replace("4 mm", "5 mm"), encoding="utf-8")
    assert layout(tmp_path, "mine", "parts: [own.yaml]").digest != before


def test_a_layout_that_uses_nothing_of_the_shelf_is_the_same_with_and_without_it(tmp_path: Path, shelf: Path) -> None:
    job = layout(tmp_path, "xlr3-socket")
    assert job.kept == ()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(SETTING, "")
        assert layout(tmp_path, "xlr3-socket").digest == job.digest


def test_the_shelf_may_not_change_what_a_name_of_the_catalogue_means(tmp_path: Path, shelf: Path) -> None:
    (shelf / "more.yaml").write_text("parts:\n  xlr3-socket: {like: bnc-d}\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"more.yaml:2: the name 'xlr3-socket' is taken by the catalogue, expected"):
        layout(tmp_path, "bnc-d")


def test_two_files_of_the_shelf_may_not_share_a_name(tmp_path: Path, shelf: Path) -> None:
    (shelf / "more.yaml").write_text("patterns:\n  house-holes: {like: d-hole}\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"more.yaml:2: the name 'house-holes' is taken by .*firm.yaml"):
        layout(tmp_path, "bnc-d")


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("parts:\n  x: {like: xlr3-soket}\n", "more.yaml:2: is like an unknown part 'xlr3-soket'"),
        ("patterns:\n  x: {hole: 24}\n", "more.yaml:2: the key 'fixings' is missing"),
        ("title: A layout\n", "more.yaml:1: unknown key 'title', expected one of parts, plugs, looks, patterns"),
        ("a: [", "more.yaml:1: is not YAML"),
    ],
)
def test_what_is_wrong_on_the_shelf_is_told_with_its_line(tmp_path: Path, shelf: Path, text: str, what: str) -> None:
    (shelf / "more.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        layout(tmp_path, "bnc-d")
    assert what in str(caught.value)


def test_a_shelf_may_lie_in_several_folders(tmp_path: Path, shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "b.yml").write_text("parts: {b: {like: bnc-d}}\n", encoding="utf-8")
    (own / "a.YAML").write_text("parts: {a: {like: b}}\n", encoding="utf-8")
    (own / "notes.txt").write_text("not read", encoding="utf-8")
    monkeypatch.setenv(SETTING, os.pathsep.join((str(shelf), str(own))))
    assert [path.name for path in shelf_files()] == ["firm.yaml", "a.YAML", "b.yml"]
    assert {"house-socket", "a", "b"} <= set(load_catalogue().parts)


def test_a_shelf_that_was_asked_for_and_is_not_there_is_no_empty_one(tmp_path: Path, shelf: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(SETTING, str(tmp_path / "gone"))
        with pytest.raises(InputError, match=r"the shelf .*gone, from DRYFIT_SHELF: there is no such folder"):
            layout(tmp_path, "bnc-d")
        patch.setenv(SETTING, str(shelf / "firm.yaml"))
        with pytest.raises(InputError, match=r"from DRYFIT_SHELF: cannot be read"):
            layout(tmp_path, "bnc-d")


def test_a_shelf_has_no_more_files_than_can_be_read_each_time(shelf: Path) -> None:
    for number in range(MOST_FILES):
        (shelf / f"{number}.yaml").touch()
    with pytest.raises(InputError, match="holds 201 part files, expected at most 200"):
        shelf_files()


def test_without_a_word_the_shelf_is_where_the_platform_keeps_settings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(SETTING)
    for name in ("XDG_CONFIG_HOME", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")
    assert shelf_folders() == (tmp_path / "dryfit" / "shelf",)
    assert shelf_files() == ()  # nobody has put anything there
    monkeypatch.delenv("XDG_CONFIG_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert shelf_folders() == (tmp_path / ".config" / "dryfit" / "shelf",)
    monkeypatch.setattr("sys.platform", "darwin")
    assert shelf_folders() == (tmp_path / "Library" / "Application Support" / "dryfit" / "shelf",)
