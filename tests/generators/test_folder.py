"""A build is one thing: the whole new one or the whole old one, whatever interrupts it; and the user's files stay."""

from __future__ import annotations

import json
import os
import random
import shutil
import stat
import sys
import tempfile
from pathlib import Path

import pytest

from dryfit.generators.build import build
from dryfit.generators.folder import commit, rebuilding
from dryfit.generators.manifest import MANIFEST, Made, Manifest, digest, read_manifest, torn
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, chosen
from dryfit.models.reading.errors import DryfitError
from tests.helpers import place, report
from tests.kills import SEED, at, give_user_files, in_the_change, killed, state, visible

A = {"a.txt": "A", "both.txt": "A", "test-plate/one.stl": "A"}
B = {"b.txt": "B", "both.txt": "B", "test-plate/two.stl": "B"}


def fill(staging: Path, files: dict[str, str], layout: str = "") -> None:
    """Put a small build with its manifest into a folder."""
    made = []
    for name, text in files.items():
        path = staging / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)
        made.append(Made(file=name, kind="report", sha256=digest(path), layout=layout, dryfit="1"))
    manifest = Manifest(dryfit="1", name="x", layout=layout, verdict="fits", files=tuple(made))
    (staging / MANIFEST).write_text(manifest.text())


def make(folder: Path, files: dict[str, str], force: bool = False) -> None:
    with rebuilding(folder, force) as staging:
        fill(staging, files)
        commit(folder, staging, force)


def built(folder: Path, files: dict[str, str]) -> dict[str, str]:
    """Return the digests of a build made in a folder."""
    make(folder, files)
    return visible(folder)


def names(folder: Path) -> list[str]:
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


def test_a_build_takes_the_place_of_the_last_one_and_nothing_of_that_is_left(tmp_path: Path) -> None:
    make(tmp_path / "out", A)
    assert names(tmp_path / "out") == sorted([*A, MANIFEST])
    make(tmp_path / "out", B)
    assert names(tmp_path / "out") == sorted([*B, MANIFEST])
    make(tmp_path / "out", {"b.txt": "C"})
    assert [p.name for p in sorted((tmp_path / "out").iterdir())] == ["b.txt", MANIFEST]
    assert torn(tmp_path / "out") == ()


def test_a_build_that_fails_leaves_the_last_one_and_no_folder_that_was_not_there(tmp_path: Path) -> None:
    make(tmp_path / "out", A)
    for folder in (tmp_path / "out", tmp_path / "far" / "away"):
        with pytest.raises(ValueError, match="null"), rebuilding(folder) as staging:
            fill(staging, {**B, "\0": ""})
    assert names(tmp_path) == sorted(f"out/{name}" for name in (*A, MANIFEST))
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("step", range(30))
def test_whatever_step_a_kill_falls_on_the_next_start_completes_it(
    step: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, done = tmp_path / "out", iter(range(step))
    builds = {"A": built(tmp_path / "A", A), "B": built(tmp_path / "B", B), "out": built(out, A)}
    give_user_files(out)

    class KillError(BaseException):
        pass

    def maybe(work: object) -> object:
        def run(*arguments: object, **more: object) -> object:
            if next(done, None) is None:
                raise KillError
            return work(*arguments, **more)  # type: ignore[operator]

        return run

    with monkeypatch.context() as patch:
        for name in ("replace", "rename"):
            patch.setattr(os, name, maybe(getattr(os, name)))
        patch.setattr(shutil, "rmtree", maybe(shutil.rmtree))
        try:
            make(out, B)
        except KillError:
            pass
        else:
            assert step > 10  # every step of the change was killed before
    assert state(out, builds) in {"A", "B", "in the change"}
    make(out, B)
    assert visible(out) == builds["B"]
    assert not [path for path in out.iterdir() if path.name.startswith(".")]


def test_files_of_the_user_are_refused_named_and_left(tmp_path: Path) -> None:
    (tmp_path / "both.txt").write_text("mine")
    with pytest.raises(DryfitError, match=r"both\.txt: not written by dryfit, or changed since; .*--force"):
        make(tmp_path, A)
    assert names(tmp_path) == ["both.txt"]
    assert (tmp_path / "both.txt").read_text() == "mine"
    make(tmp_path, A, force=True)
    assert (tmp_path / "both.txt").read_text() == "A"


def test_a_file_that_was_changed_since_is_the_users(tmp_path: Path) -> None:
    make(tmp_path, A)
    (tmp_path / "both.txt").write_text("with my prices")
    with pytest.raises(DryfitError, match=r"both\.txt"):
        make(tmp_path, B)
    (tmp_path / "both.txt").write_text("A")
    (tmp_path / "a.txt").write_text("my notes")
    make(tmp_path, B)  # which does not make a.txt
    assert (tmp_path / "a.txt").read_text() == "my notes"
    assert names(tmp_path) == sorted([*B, MANIFEST, "a.txt"])


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_is_the_users_and_nothing_is_written_through_it(tmp_path: Path) -> None:
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere"
    elsewhere.mkdir()
    out.mkdir()
    (elsewhere / "both.txt").write_text("mine")
    (out / "both.txt").symlink_to(elsewhere / "both.txt")
    with pytest.raises(DryfitError, match="both"):
        make(out, A)
    (out / "both.txt").unlink()
    (out / "test-plate").symlink_to(elsewhere)
    for force in (False, True):
        with pytest.raises(DryfitError, match=r"test-plate: is a link or a file, expected a folder"):
            make(out, A, force=force)
    assert names(elsewhere) == ["both.txt"]
    assert [path.name for path in out.iterdir()] == ["test-plate"]


def test_even_force_replaces_no_folder_of_the_user(tmp_path: Path) -> None:
    (tmp_path / "both.txt").mkdir()
    (tmp_path / "both.txt" / "years of work").write_text("mine")
    with pytest.raises(DryfitError, match=r"both\.txt: is a folder, expected a file"):
        make(tmp_path, A, force=True)
    assert names(tmp_path) == ["both.txt/years of work"]


@pytest.mark.parametrize("name", ["../victim.txt", "/tmp/victim.txt", "a/b/c.txt", ".hidden", "..", "a\\b", ""])
def test_a_manifest_that_leads_out_of_its_folder_is_none_of_ours(name: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    make(out, A)
    data = json.loads((out / MANIFEST).read_text())
    data["files"][0]["file"] = name
    (out / MANIFEST).write_text(json.dumps(data))
    (tmp_path / "victim.txt").write_text("A")
    assert read_manifest(out) is None
    with pytest.raises(DryfitError, match=MANIFEST):
        make(out, B)
    assert (tmp_path / "victim.txt").read_text() == "A"


def test_where_a_file_cannot_move_all_move_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make(tmp_path, A)
    whole, move = visible(tmp_path), os.replace

    def in_use(source: Path, target: Path) -> None:
        if Path(source) == tmp_path / "both.txt":
            raise PermissionError(13, "The file is in use", str(source))
        move(source, target)

    monkeypatch.setattr(os, "replace", in_use)
    with pytest.raises(PermissionError):
        make(tmp_path, B)
    assert visible(tmp_path) == whole
    assert torn(tmp_path) == ()
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def test_a_folder_that_cannot_be_written_into_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def read_only(prefix: str, dir: Path) -> str:
        raise PermissionError(13, "Permission denied", str(dir / prefix))

    monkeypatch.setattr(tempfile, "mkdtemp", read_only)
    with pytest.raises(DryfitError) as error:
        make(tmp_path, A)
    assert str(error.value) == f"{tmp_path}: cannot be written into: Permission denied"


def test_one_build_at_a_time_works_in_a_folder(tmp_path: Path) -> None:
    with rebuilding(tmp_path), pytest.raises(DryfitError, match="another build is at work there"), rebuilding(tmp_path):
        pytest.fail("two builds in one folder")


def test_what_a_killed_build_left_is_cleaned_up_by_the_next(tmp_path: Path) -> None:
    left = tmp_path / ".dryfit-new-abc"
    left.mkdir()
    (left / "half.step").write_text("half")
    make(tmp_path, A)
    assert names(tmp_path) == sorted([*A, MANIFEST])
    assert not left.exists()


_CHANGES = """
import sys
from pathlib import Path
from tests.generators.test_folder import A, B, make
while True:
    for files in (A, B):
        make(Path(sys.argv[1]), files)
"""


def test_ten_kills_leave_the_folder_whole_each_time(tmp_path: Path) -> None:
    chance, builds = random.Random(SEED), {name: built(tmp_path / name, of) for name, of in (("A", A), ("B", B))}
    folder = tmp_path / "out"
    make(folder, A)
    give_user_files(folder)
    for number in range(10):
        wait = at(0.1 + chance.uniform(0, 0.3)) if number % 2 else in_the_change(folder, chance.uniform(0, 0.002))
        assert killed([sys.executable, "-c", _CHANGES, str(folder)], wait)
        assert state(folder, builds) in {"A", "B", "in the change"}


# --- builds of panels ------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report(tmp_path_factory.mktemp("small"), place("xlr3-socket"))


LIGHT = ("report", "holes", "parts", "dxf", "page")


def test_the_manifest_names_every_file_with_its_digest_layout_and_version(small: Report, tmp_path: Path) -> None:
    list(build(Order(small), tmp_path, chosen(small, LIGHT)))
    manifest = read_manifest(tmp_path)
    assert manifest is not None
    assert sorted({made.file for made in manifest.files} | {MANIFEST}) == names(tmp_path)
    assert {made.layout for made in manifest.files} == {small.job.digest} == {digest(Path(small.job.source))}
    assert torn(tmp_path) == ()
    (tmp_path / "panel.dxf").write_text("other")
    assert torn(tmp_path) == ("panel.dxf",)


def test_only_refreshes_its_files_and_tells_what_the_rest_was_made_from(small: Report, tmp_path: Path) -> None:
    list(build(Order(small), tmp_path / "out", chosen(small, LIGHT)))
    later = report(tmp_path, place("8p8c-d"))
    kept = (tmp_path / "out" / "panel.dxf").read_bytes()
    list(build(Order(later), tmp_path / "out", chosen(later, ["holes"]), ["holes"]))
    assert {"holes.csv", "panel.dxf", "parts-list.csv", "report.json"} <= {*names(tmp_path / "out")}
    assert (tmp_path / "out" / "panel.dxf").read_bytes() == kept
    manifest, page = read_manifest(tmp_path / "out"), (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    assert manifest is not None
    assert {m.file for m in manifest.files if m.layout == later.job.digest} == {"holes.csv", "index.html"}
    assert page.count("Made from an earlier state of the layout.") == len(manifest.files) - 2
    assert torn(tmp_path / "out") == ()


def test_a_file_that_cannot_be_written_ends_the_build_and_leaves_the_last_one(
    small: Report, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    list(build(Order(small), tmp_path, chosen(small, LIGHT)))
    before = visible(tmp_path)

    def full(path: Path, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(DryfitError, match="cannot be written: No space left on device; the folder is as it was"):
        list(build(Order(small), tmp_path, chosen(small, LIGHT)))
    assert visible(tmp_path) == before


def test_no_file_names_a_folder_of_the_machine(tmp_path: Path) -> None:
    of = report(tmp_path, place("xlr3-socket"))
    out = tmp_path / "out"
    list(build(Order(of), out, chosen(of)))
    for path in out.rglob("*"):
        assert path.is_dir() or str(tmp_path).encode() not in path.read_bytes(), path.name


@pytest.mark.skipif(sys.platform == "win32", reason="files have no such rights there")
def test_files_have_the_rights_that_the_umask_gives(small: Report, tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        list(build(Order(small), tmp_path / "out", chosen(small, LIGHT)))
    finally:
        os.umask(before)
    assert {stat.S_IMODE(path.stat().st_mode) for path in (tmp_path / "out").iterdir()} == {0o640}
