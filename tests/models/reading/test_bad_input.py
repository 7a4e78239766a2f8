"""What is wrong with a stranger's file is told in one line a fault, with file and line; nothing else ever happens."""

from __future__ import annotations

import os
import re
import socket
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dryfit.models.drawer import read_drawer
from dryfit.models.prices import read_prices
from dryfit.models.printer import read_printer
from dryfit.models.reading import yamlfile
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from tests.models.reading.bad_inputs import BAD_INPUTS, GOOD, BadInput

OF_PROGRAMS = (
    "tuple", "Tuple", "None", "dict", "Record", "mapping", "integer", "float", "str ", "valid", "Input", "input",
    "function", "type=", "token", "scalar", "parsing", "pydantic", "literal", "()", "inf,", "True", "False",
)  # fmt: skip
"""Words of programs and their libraries, which no message has."""
SHARED_FOLDER = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def test_the_good_layout_is_good(tmp_path: Path) -> None:
    path = tmp_path / "layout.yaml"
    path.write_text(GOOD, encoding="utf-8")
    assert [place.name for place in read_job(path).places] == ["MIC 1", "MIC 2"]


def test_there_are_many() -> None:
    assert len(BAD_INPUTS) >= 40
    assert len({bad.name for bad in BAD_INPUTS}) == len(BAD_INPUTS)


@pytest.mark.parametrize("bad", BAD_INPUTS, ids=lambda bad: bad.name)
def test_each_is_told_in_one_line_with_its_place(bad: BadInput, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_job(bad.write(tmp_path))
    lines = str(caught.value).splitlines()
    assert len(lines) == len(caught.value.faults)
    assert bad.says(lines), lines


@pytest.mark.parametrize("bad", BAD_INPUTS, ids=lambda bad: bad.name)
def test_none_is_told_twice_nor_in_the_words_of_the_program(bad: BadInput, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_job(bad.write(tmp_path))
    lines = str(caught.value).splitlines()
    assert len(set(lines)) == len(lines)
    assert not any(word in line for line in lines for word in OF_PROGRAMS), lines


@pytest.mark.parametrize("bad", [bad for bad in BAD_INPUTS if bad.name.startswith("endless")], ids=lambda bad: bad.name)
def test_the_endless_is_refused_cheaply(bad: BadInput, tmp_path: Path) -> None:
    path = bad.write(tmp_path)
    tracemalloc.start()
    began = time.process_time()
    with pytest.raises(InputError):
        read_job(path)
    took, (_, most) = time.process_time() - began, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert took < 5  # s, with every allocation traced; a fifth of a second without
    assert most < 200e6  # bytes


@pytest.mark.parametrize("written", ["007", "1.10", "1e3", "0x1F", "12:30", "No", "+5", "1_000", "1.", ".5", '"true"'])
def test_text_is_text(written: str, tmp_path: Path) -> None:
    path = tmp_path / "layout.yaml"
    text = GOOD.replace("title: Test", f"title: {written}\nrevision: {written}\nnotes: [{written}]")
    path.write_text(text.replace("MIC {n}\n    count: 2", f"{written}\n    legend: {written}"), encoding="utf-8")
    job, plain = read_job(path), written.strip('"')
    assert (job.title, job.revision, *job.notes) == (plain, plain, plain)
    assert (job.places[0].name, job.places[0].legend) == (plain, plain)
    assert all(type(text) is str for text in (job.title, job.revision, job.places[0].name))


@pytest.mark.parametrize("bad", BAD_INPUTS, ids=lambda bad: bad.name)
def test_the_parser_in_python_finds_the_same(bad: BadInput, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yamlfile, "PARSER", yaml.BaseLoader)
    if not bad.name.startswith("endless"):  # it is slower
        with pytest.raises(InputError) as caught:
            read_job(bad.write(tmp_path))
        assert bad.says(str(caught.value).splitlines()), str(caught.value)


def test_the_parser_is_the_one_in_c() -> None:
    assert yamlfile.PARSER is yaml.CBaseLoader


def test_a_text_tag_makes_text(tmp_path: Path) -> None:
    path = tmp_path / "layout.yaml"
    path.write_text(GOOD.replace("title: Test", "title: !!str true"), encoding="utf-8")
    assert read_job(path).title == "true"


@pytest.mark.parametrize("kind", ["pipe", "socket", "device", "sparse file"])
@pytest.mark.parametrize("read", [read_job, read_prices, read_drawer, read_printer])
def test_what_is_no_plain_file_of_some_size_is_refused_at_once(
    kind: str, read: Callable[[Path], object], tmp_path: Path
) -> None:
    path, words = tmp_path / "it", "is no plain file"
    with socket.socket(socket.AF_UNIX) as made:
        if kind == "pipe":
            os.mkfifo(path)
        elif kind == "socket":
            made.bind(str(path))
        elif kind == "device":
            path.symlink_to("/dev/zero")
        else:
            words = "is too large"
            with path.open("wb") as stream:
                stream.truncate(3 << 30)
        began = time.perf_counter()
        with pytest.raises(InputError, match=words):
            read(path)
    assert time.perf_counter() - began < 1


def test_all_faults_of_a_file_are_told_in_one_run(tmp_path: Path) -> None:
    path = tmp_path / "layout.yaml"
    path.write_text(GOOD.replace("3 mm", "-3").replace("count: 2", "count: 0").replace("pitch", "pich"))
    with pytest.raises(InputError) as caught:
        read_job(path)
    assert [fault.line for fault in caught.value.faults] == [4, 8, 10]


def test_folders_and_missing_files_are_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"):
        read_job(tmp_path)
    with pytest.raises(InputError, match="no such file"):
        read_job(tmp_path / "none.yaml")


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "box").mkdir()
    (tmp_path / "own.yaml").write_text("parts: {}\n")
    (tmp_path / "box" / "own.yaml").symlink_to(tmp_path / "own.yaml")
    path = tmp_path / "box" / "layout.yaml"
    path.write_text(GOOD.replace("places:", "parts: [own.yaml]\nplaces:"))
    with pytest.raises(InputError, match="outside the layout's folder"):
        read_job(path)


def _is_read_or_told(path: Path) -> None:
    told = ""
    try:
        read_job(path)
    except InputError as error:
        told = str(error)
    for line in told.splitlines():
        assert re.match(r".*layout\.yaml(:\d+)?: \S", line), line


@SHARED_FOLDER
@given(st.binary(max_size=200))
def test_random_bytes_are_read_or_told(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "layout.yaml"
    path.write_bytes(data)
    _is_read_or_told(path)


@SHARED_FOLDER
@given(st.integers(0, len(GOOD) - 1), st.text("{}[]:-,'\"\n #&*!|>%@0x.", max_size=4), st.integers(0, 6))
def test_a_mutated_layout_is_read_or_told(tmp_path: Path, at: int, put: str, cut: int) -> None:
    path = tmp_path / "layout.yaml"
    path.write_text(GOOD[:at] + put + GOOD[at + cut :], encoding="utf-8")
    _is_read_or_told(path)


scalars = st.none() | st.booleans() | st.integers(-(10**6), 10**6) | st.floats() | st.text(max_size=8)
trees = st.recursive(scalars, lambda t: st.lists(t, max_size=3) | st.dictionaries(st.text(max_size=5), t, max_size=3))
KEYS = ("title", "panel", "hardware", "environment", "origin", "revision", "notes", "parts", "places")


@SHARED_FOLDER
@given(st.dictionaries(st.sampled_from(KEYS), trees, max_size=6))
def test_any_structure_is_read_or_told(tmp_path: Path, tree: dict[str, Any]) -> None:
    import io

    from ruamel.yaml import YAML

    out = io.StringIO()
    YAML(typ="safe", pure=True).dump(tree, out)
    path = tmp_path / "layout.yaml"
    path.write_text(out.getvalue(), encoding="utf-8", errors="ignore")
    _is_read_or_told(path)
