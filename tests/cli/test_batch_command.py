"""``dryfit batch`` as its user meets it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from dryfit.generators.manifest import torn
from tests.cli.test_commands import run
from tests.generators.test_batch import text


@pytest.fixture
def rooms(tmp_path: Path) -> Path:
    folder = tmp_path / "rooms"
    (folder / "below").mkdir(parents=True)
    (folder / "one.yaml").write_text(text("A"), encoding="utf-8")
    (folder / "below" / "two.yml").write_text(text("B"), encoding="utf-8")
    (folder / "wrong.yaml").write_text("title: T\nplaces: [", encoding="utf-8")
    (folder / "binary.yaml").write_bytes(b"\xff\xfe")
    (folder / "parts.yaml").write_text("parts: {}\n", encoding="utf-8")
    return folder


def rows(out: Path) -> dict[str, dict[str, object]]:
    lines = (out / "results.jsonl").read_text(encoding="utf-8").splitlines()
    return {row["name"]: row for row in map(json.loads, lines)}


def test_a_folder_is_checked_and_what_is_wrong_is_told_in_the_table(rooms: Path, tmp_path: Path) -> None:
    done = run("batch", rooms, "--out", tmp_path / "out", "--quick", "--processes", 2)
    assert (done.returncode, done.stderr) == (2, "")
    assert done.stdout.startswith("4 layouts: ")
    found = rows(tmp_path / "out")
    assert list(found) == ["below/two", "binary", "one", "wrong"]
    assert [name for name, row in found.items() if row["verdict"] == "wrong"] == ["binary", "wrong"]
    assert found["binary"]["says"] == "binary.yaml:1: is not text, expected UTF-8 text"
    assert str(tmp_path) not in "".join(path.read_text(encoding="utf-8") for path in (tmp_path / "out").iterdir())
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "index.html", "manifest.json", "results.csv", "results.jsonl",
    ]  # fmt: skip


def test_rows_of_a_table_are_built_each_into_a_folder_that_the_page_leads_to(tmp_path: Path) -> None:
    (tmp_path / "box.yaml").write_text(text('"{label}"').replace("3 mm", "{sheet}"), encoding="utf-8")
    (tmp_path / "t.csv").write_text("name,label,sheet\nfirst one,A,2 mm\nsecond,B,1/8 in\n", encoding="utf-8")
    words = ("batch", tmp_path / "box.yaml", "--fill", tmp_path / "t.csv", "--build", "--only", "holes")
    done = run(*words, "--out", tmp_path / "out")
    assert done.returncode in (0, 1), done.stderr
    page = (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    assert re.findall("href='([^']*)'", page) == ["first%20one/", "second/"]
    for name in ("first one", "second"):
        assert torn(tmp_path / "out" / name) == ()
        assert (tmp_path / "out" / name / "holes.csv").exists()


def test_the_users_files_in_the_folder_of_results_stay(rooms: Path, tmp_path: Path) -> None:
    (tmp_path / "results.csv").write_text("mine", encoding="utf-8")
    done = run("batch", rooms / "one.yaml", "--out", tmp_path, "--quick")
    assert done.returncode == 2
    assert "results.csv: not written by dryfit" in done.stderr
    assert (tmp_path / "results.csv").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("rooms/one.yaml", "rooms/one.yaml"), "have the same name"),
        (("rooms/none.yaml", "--fill", "t.csv"), "no such file"),
        (("rooms/one.yaml", "rooms/wrong.yaml", "--fill", "t.csv"), "expected one layout file to fill"),
        (("empty",), "no layouts found"),
        (("rooms/one.yaml", "--only", "hols"), "did you mean holes?"),
    ],
)
def test_what_cannot_be_done_is_one_line_and_leaves_nothing(
    words: tuple[str, ...], says: str, rooms: Path, tmp_path: Path
) -> None:
    (tmp_path / "empty").mkdir()
    done = run("batch", *words, "--out", "out", cwd=tmp_path)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()
