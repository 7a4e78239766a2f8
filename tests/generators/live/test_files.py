"""A change of a file is seen whichever way it was saved, and nothing else is."""

from __future__ import annotations

import os
from pathlib import Path

from dryfit.generators.live.files import Files


def test_a_file_looks_the_same_until_what_is_in_it_changes(tmp_path: Path) -> None:
    path, files = tmp_path / "a", Files()
    path.write_text("one")
    first = files.look(path)
    os.utime(path, (1, 1))
    assert files.look(path) == first
    path.write_text("two")
    assert files.look(path) != first


def test_a_save_of_the_same_size_at_the_same_time_of_the_clock_is_seen(tmp_path: Path) -> None:
    path, files = tmp_path / "a", Files()
    path.write_text("one")
    first, stood = files.look(path), path.stat()
    path.write_text("two")
    os.utime(path, ns=(stood.st_atime_ns, stood.st_mtime_ns))
    assert files.look(path) != first


def test_a_file_that_is_replaced_by_renaming_is_seen(tmp_path: Path) -> None:
    path, new, files = tmp_path / "a", tmp_path / "b", Files()
    path.write_text("one")
    first = files.look(path)
    new.write_text("two")
    os.replace(new, path)
    assert files.look(path) != first


def test_what_is_not_there_or_no_file_looks_like_nothing_and_holds_nobody_up(tmp_path: Path) -> None:
    files = Files()
    assert files.look(tmp_path / "a") == files.look(tmp_path) == files.look(Path("a\0b")) == b""
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        assert files.look(tmp_path / "pipe") == b""
