"""The edge of the program: what a full disk, a closed pipe, an interrupt and a fault of ours look like."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest

from dryfit.cli import main as edge
from dryfit.generators.manifest import torn
from tests.cli.test_commands import run
from tests.helpers import LAYOUTS

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="shells and signals of POSIX")
ONLY_LINUX = pytest.mark.skipif(sys.platform != "linux", reason="a device that is always full")
FOYER = LAYOUTS / "foyer.yaml"


def shell(line: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run a line of shell in which ``$D`` is the command."""
    environment = {**os.environ, "D": f"{sys.executable} -m dryfit.cli.main"}
    command = ["bash", "-c", line]
    return subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, check=False)


@ONLY_LINUX
@pytest.mark.parametrize("arguments", ["hardware tables", "parts", "--help", f"check --quick --json {FOYER}"])
def test_a_full_disk_under_standard_output_is_one_line_and_status_2(arguments: str, tmp_path: Path) -> None:
    done = shell(f"$D {arguments} > /dev/full", tmp_path)
    assert (done.returncode, done.stderr) == (2, "standard output: No space left on device\n")


@POSIX
def test_a_reader_that_leaves_ends_the_program_quietly(tmp_path: Path) -> None:
    done = shell("$D hardware tables | true; exit ${PIPESTATUS[0]}", tmp_path)
    assert (done.returncode, done.stderr) == (edge.PIPE_CLOSED, "")


@POSIX
@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&- <&-"])
def test_closed_streams_change_nothing(closed: str, tmp_path: Path) -> None:
    done = shell(f"$D build {FOYER} --out out --only parts {closed}", tmp_path)
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
    assert torn(tmp_path / "out") == ()


LONG = "a" * 300


@POSIX
@pytest.mark.parametrize(
    "arguments",
    [
        f"start {LONG}.yaml",
        "start folder.yaml/missing/x.yaml",
        "printer folder.yaml",
        "printer new.yaml --coupon folder.stl",
        f"build {FOYER} --only holes --out /proc/nothing",
        f"build {FOYER} --only holes --out {LONG}",
        f"build {FOYER} --only holes --out file.txt",
        f"build {FOYER} --only holes --out file.txt/below",
        f"build {FOYER} --only holes --out taken",
    ],
)
def test_output_that_cannot_be_written_is_one_line_and_status_2(arguments: str, tmp_path: Path) -> None:
    (tmp_path / "folder.yaml").mkdir()
    (tmp_path / "folder.stl").mkdir()
    (tmp_path / "taken" / "holes.csv").mkdir(parents=True)
    (tmp_path / "file.txt").write_text("mine")
    done = shell(f"$D {arguments}", tmp_path)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert ".dryfit-" not in done.stderr
    assert not list(tmp_path.rglob(".dryfit-*"))


@POSIX
def test_an_interrupt_ends_with_130_and_leaves_the_last_build(tmp_path: Path) -> None:
    assert run("start", tmp_path / "box.yaml").returncode == 0
    assert run("build", tmp_path / "box.yaml", "--only", "holes").returncode == 0
    command = [sys.executable, "-m", "dryfit.cli.main", "build", str(tmp_path / "box.yaml")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        while not list((tmp_path / "box").glob(".dryfit-new-*")):
            time.sleep(0.01)
        process.send_signal(signal.SIGINT)
        _, told = process.communicate()
    assert (process.returncode, told) == (130, b"")
    assert sorted(path.name for path in (tmp_path / "box").iterdir()) == ["holes.csv", "manifest.json"]
    assert torn(tmp_path / "box") == ()


def test_an_interrupt_that_a_library_swallows_still_stops_the_build(tmp_path: Path) -> None:
    code = (
        "import os, signal, sys\nfrom dryfit.generators.writers import parts_csv\n"
        "def swallow(*_):\n try: os.kill(os.getpid(), signal.SIGINT)\n except KeyboardInterrupt: pass\n return 'x'\n"
        "parts_csv.parts_csv = swallow\nfrom dryfit.cli.main import main\nmain(sys.argv[1:])"
    )
    out = tmp_path / "out"
    command = [sys.executable, "-c", code, "build", str(FOYER), "--out", str(out), "--only", "parts"]
    assert subprocess.run(command, capture_output=True, check=False).returncode == 130
    assert not out.exists()


def test_a_fault_of_ours_is_one_line_that_asks_for_a_report_with_status_3(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(arguments: list[str]) -> None:
        raise ZeroDivisionError("division\nby zero")

    monkeypatch.setattr(edge, "_run", broken)
    assert edge._status(["check"]) == 3
    told = capsys.readouterr().err
    assert told.startswith("a fault of dryfit itself: ZeroDivisionError: division by zero (test_edges.py:")
    assert "Please report it" in told
    assert told.count("\n") == 1
    monkeypatch.setenv(edge.SHOW_TRACEBACK, "1")
    edge._status(["check"])
    assert "Traceback" in capsys.readouterr().err


def test_a_wrong_option_is_status_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert edge._status(["check", "--jsn", "x"]) == 2
    assert "No such option" in capsys.readouterr().err
    assert isinstance(edge.dryfit, click.Group)


@POSIX
def test_json_is_utf_8_under_any_locale(tmp_path: Path) -> None:
    text = FOYER.read_text(encoding="utf-8").replace("label:", "label: Ünïcode", 1)
    (tmp_path / "unicode.yaml").write_text(text, encoding="utf-8")
    line = "LC_ALL=C PYTHONUTF8=0 PYTHONCOERCECLOCALE=0 $D check unicode.yaml --quick --json"
    done = subprocess.run(
        ["bash", "-c", line], cwd=tmp_path, capture_output=True, check=False,
        env={**os.environ, "D": f"{sys.executable} -m dryfit.cli.main"},
    )  # fmt: skip
    assert "Ünïcode" in json.dumps(json.loads(done.stdout.decode("utf-8")), ensure_ascii=False)
