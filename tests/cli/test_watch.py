"""``dryfit watch`` as its user meets it: it starts, tells, and stops cleanly."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

import pytest

from tests.cli.test_commands import run
from tests.generators.live.layouts import save


@contextmanager
def _watching(source: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Yield a watch in a process of its own, and the address that it tells."""
    code = "from dryfit.cli.main import main; main()"
    command = [sys.executable, "-c", code, "watch", str(source), *options]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            yield process, re.findall(r"http://127\.0\.0\.1:\d+/", process.stdout.readline())[0]
        finally:
            process.kill()


@pytest.mark.skipif(sys.platform == "win32", reason="sends signals as only POSIX can")
@pytest.mark.parametrize(("number", "status"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_it_serves_until_it_is_asked_to_stop_and_says_nothing_of_it(
    tmp_path: Path, number: signal.Signals, status: int
) -> None:
    with _watching(save(tmp_path / "a.yaml"), "--no-browser") as (process, url):
        with urlopen(url) as answer:
            assert b"<h1>One</h1>" in answer.read()
        with urlopen(f"{url}panel/a.yaml?changes") as stream:
            assert stream.readline().startswith(b"data: ")
            process.send_signal(number)
            assert stream.read().endswith(b"event: end\ndata:\n\n")
        told, complaints = process.communicate(timeout=20)
    assert (process.returncode, complaints) == (status, "")
    assert "a.yaml: tight" in told


def test_the_browser_is_sent_to_the_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    note = tmp_path / "opened"
    monkeypatch.setenv("BROWSER", f"{sys.executable} -c \"import sys; open({str(note)!r}, 'w').write(sys.argv[1])\" %s")
    with _watching(save(tmp_path / "a.yaml")) as (process, url):
        assert process.stdout is not None
        while not note.exists() or not note.read_text():
            assert process.poll() is None
        assert note.read_text() == url


def test_what_cannot_be_watched_is_told_in_one_line(tmp_path: Path) -> None:
    done = run("watch", tmp_path / "nothing.yaml", "--no-browser")
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "there is no such file, expected a layout or a folder of layouts" in done.stderr
    with _watching(save(tmp_path / "a.yaml"), "--no-browser") as (_, url):
        port = url.rstrip("/").rpartition(":")[2]
        done = run("watch", tmp_path / "a.yaml", "--no-browser", "--port", port)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert f"port {port}: nothing can be served there" in done.stderr
