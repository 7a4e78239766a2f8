"""``dryfit measure`` as its user meets it: what it writes, what it says, what it asks, and what it leaves alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.cli.main import main
from dryfit.generators.intake.measuring import pictures
from dryfit.generators.intake.measuring.turned import Way
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.reading.errors import DryfitError
from tests.measuring import Variant, written


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a plate that has sunk fixing holes, and a lamp that has none."""
    folder = tmp_path_factory.mktemp("files")
    for name, file in (("blank-d", "My Plate"), ("indicator", "lamp")):
        part = load_catalogue().parts[name]
        written(name, part, Variant(Way("+y", "+z")), folder / f"{name}.step")
        (folder / f"{name}.step").rename(folder / f"{file}.step")
    return folder


def run(*arguments: object) -> int:
    with pytest.raises(SystemExit) as end:
        main(["measure", *map(str, arguments)])
    assert isinstance(end.value.code, int)
    return end.value.code


def test_a_solid_becomes_a_part_file_with_a_picture_and_is_never_written_over(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(files / "My Plate.step") == 0
    told = capsys.readouterr().out
    assert "front +y of the file (its fixing holes are sunk there), up +z" in told
    assert "2 holes of 3.5 mm, sunk 6.4 mm, 90 deg at (-9.5, 12) (9.5, -12)" in told
    part = load_catalogue([files / "my-plate.yaml"]).parts["my-plate"]
    assert part.flange.thick == 3.2
    picture = (files / "my-plate-picture.svg").read_text(encoding="utf-8")
    assert "26 × 31 R3.5" in picture
    assert "<image" in picture
    assert run(files / "My Plate.step") == 2
    assert "my-plate.yaml: exists already, expected a new file" in capsys.readouterr().err


def test_what_the_shape_does_not_tell_is_asked_with_a_picture_of_the_ways(
    files: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_graphics(scenes: object) -> None:
        raise DryfitError("this machine cannot draw")

    monkeypatch.setattr(pictures, "render", no_graphics)
    assert run(files / "lamp.step") == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "say which way its front looks: --front +y or -y; they are shown in" in line
    assert not (files / "lamp.yaml").exists()
    assert "--front -y" in (files / "lamp-picture.svg").read_text(encoding="utf-8")
    assert run(files / "lamp.step", "--front", "+y", "--name", "lamp 6", "--out", files / "mine.yaml") == 0
    assert load_catalogue([files / "mine.yaml"]).parts["lamp-6"].bush is not None


def test_a_layer_that_is_not_there_is_refused_in_one_line(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(files / "My Plate.step", "--flange", "9", "--out", files / "other.yaml") == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.endswith("--flange 9: the part has 1 layer, expected its number, counted from the front")
    assert not (files / "other.yaml").exists()


def test_a_folder_that_is_not_there_is_told_before_anything_is_measured(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = files / "nowhere" / "part.yaml"
    assert run(files / "none.step", "--out", out) == 2
    assert f"{out}: its folder does not exist" in capsys.readouterr().err
