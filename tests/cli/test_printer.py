"""``dryfit printer`` as a person uses it: a new profile, a coupon, readings, mistakes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.cli.main import main
from dryfit.models.printer import generic_printer, generic_text, read_printer

READINGS = ("3.2=3.05", "8=7.85", "16mm = 15.85 mm", "24=23.85")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Return exit status, standard output and standard error of a command."""
    with pytest.raises(SystemExit) as done:
        main(["printer", *arguments])
    out, err = capsys.readouterr()
    return int(done.value.code or 0), out, err


def _measured(*readings: str) -> list[str]:
    return [text for reading in readings for text in ("--measured", reading)]


def test_a_new_file_is_the_commented_generic_profile(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "p.yaml"
    status, out, _ = run(capsys, str(path))
    assert status == 0
    assert "wrote" in out
    assert path.read_text(encoding="utf-8") == generic_text()
    assert read_printer(path) == generic_printer()


def test_readings_go_into_the_file_and_the_rest_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "p.yaml"
    path.write_text("# mine\nbed: [150, 150, 150]  # small\ncompensation: 0\n", encoding="utf-8")
    status, out, _ = run(capsys, str(path), *_measured(*READINGS, "12=10.9"))
    assert status == 0
    assert "left out" in out
    assert read_printer(path).added(5) == pytest.approx(0.15)
    assert path.read_text(encoding="utf-8").startswith("# mine\nbed: [150, 150, 150]  # small\n")


def test_showing_changes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "p.yaml"
    path.write_text("bed: [150, 150, 150]\n", encoding="utf-8")
    status, out, _ = run(capsys, str(path))
    assert status == 0
    assert "wrote" not in out
    assert "150 mm x 150 mm" in out
    assert path.read_text(encoding="utf-8") == "bed: [150, 150, 150]\n"


def test_the_coupon_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import trimesh

    status, _, _ = run(capsys, str(tmp_path / "p.yaml"), "--coupon", str(tmp_path / "c.stl"))
    assert status == 0
    solid: Any = trimesh.load(tmp_path / "c.stl")
    assert solid.is_watertight


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (_measured("3.2"), "expected DRAWN=READING"),
        (_measured("3.2=wide"), "is not a length"),
        (_measured("24=3"), "expected within 1.5 mm"),
        (["--coupon", "c.obj"], "expected a name that ends with .stl"),
        (["--coupon", "no/such/c.stl"], "folder does not exist"),
    ],
)
def test_mistakes_are_one_line_and_write_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], told: str
) -> None:
    path = tmp_path / "p.yaml"
    status, _, err = run(capsys, str(path), *arguments)
    assert status == 2
    assert told in err
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_wrong_profile_is_told_and_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "p.yaml"
    path.write_text("bed: [150, 150, 150]\nnozzle: wide\n", encoding="utf-8")
    status, _, err = run(capsys, str(path), *_measured(*READINGS))
    assert status == 2
    assert "p.yaml:2: nozzle" in err
    assert path.read_text(encoding="utf-8") == "bed: [150, 150, 150]\nnozzle: wide\n"


def test_a_coupon_takes_the_place_of_an_older_one_but_of_no_other_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    profile, coupon = str(tmp_path / "p.yaml"), tmp_path / "c.stl"
    assert [run(capsys, profile, "--coupon", str(coupon))[0] for _ in range(2)] == [0, 0]
    coupon.write_text("solid mine", encoding="utf-8")
    status, _, told = run(capsys, profile, "--coupon", str(coupon))
    assert (status, coupon.read_text(encoding="utf-8")) == (2, "solid mine")
    assert "was not written by dryfit" in told
