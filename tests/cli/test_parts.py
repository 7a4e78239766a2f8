"""``dryfit parts``: lists, words, one's own file and shelf, and the picture of one part."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from dryfit.cli.main import dryfit
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.shelf import SETTING

OWN = """\
parts:
  my-socket: {like: xlr3-socket, title: My socket, plugs: [my-plug], flange: {thick: 3 mm}}
plugs:
  my-plug: {like: xlr-plug-pins, title: My plug}
patterns:
  my-holes: {hole: 24.4 mm, fixings: 3.4 mm, across: 19 mm, up: 24 mm}
"""


def printed(*arguments: object) -> str:
    """Return what the command prints."""
    done = CliRunner().invoke(dryfit, ["parts", *map(str, arguments)], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def refused(*arguments: object) -> str:
    """Return the line that a command ends with."""
    done = CliRunner().invoke(dryfit, ["parts", *map(str, arguments)])
    assert done.exception is not None
    return str(done.exception)


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A part file of one's own."""
    path = tmp_path / "my-parts.yaml"
    path.write_text(OWN, encoding="utf-8")
    return path


def test_the_list_holds_every_name_of_parts_plugs_and_patterns() -> None:
    listed = {line.split()[0] for line in printed().splitlines() if line.startswith("  ")}
    catalogue = load_catalogue()
    assert listed == {*catalogue.parts, *catalogue.plugs, *catalogue.patterns}


def test_a_file_is_listed_alone_and_its_parts_are_shown(own: Path) -> None:
    listed = printed(own)
    assert [line.split()[0] for line in listed.splitlines() if line.startswith("  ")] == [
        "my-socket", "my-plug", "my-holes",
    ]  # fmt: skip
    shown = printed(own, "my-socket")
    assert "like        xlr3-socket" in shown
    assert "plug        my-plug: My plug" in shown
    assert "flange.thick           3 mm" in shown
    assert "as written in my-parts.yaml" in shown


@pytest.mark.parametrize("name", ["xlr3-socket", "gland-m20", "iec-c14-inlet-clip", "combination-jack-forming"])
def test_a_part_is_shown_with_all_its_sections_from_front_to_rear(name: str) -> None:
    part = load_catalogue().parts[name]
    lines = printed(name).split("from front to rear:")[1].split("dimension")[0].split("\n")
    rows = [line.split("  ")[1] for line in lines if line.strip()]
    front = [f"front {n + 1}" for n in range(len(part.front))]
    assert rows == [*reversed(front), "flange", *(f"rear {n + 1}" for n in range(len(part.rear)))]


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("xlr3-socket", "2 screws through 3.3 mm, countersunk"),
        ("combination-jack-threaded", "2 screws through 2.4 mm, into its own metal boss for M3"),
        ("gland-m20", "its own thread, 20 mm, with a nut from the rear"),
        ("iec-c14-inlet-clip", "spring tabs, on panels from "),
    ],
)
def test_what_holds_a_part_is_told_in_words(name: str, held: str) -> None:
    assert f"held by     {held}" in printed(name)


def test_a_boss_of_its_own_is_told() -> None:
    assert ", into its own metal boss for M3" in printed("combination-jack-threaded")


def test_a_plug_is_shown_with_what_it_goes_into_and_how() -> None:
    shown = printed("loudspeaker-plug-4")
    assert "goes into   loudspeaker-4" in shown
    assert "straight in, then" in shown
    assert "nose 1" in shown


def test_words_find_parts_and_plugs() -> None:
    found = printed("--find", "ethernet")
    assert [line.split()[0] for line in found.splitlines() if line.startswith("  ")] == [
        "8p8c-d", "8p8c-lead", "keystone-8p8c", "8p8c-plug",
    ]  # fmt: skip
    assert "usb-c-d " in printed("--find", "usb", "c")
    assert "nothing here is found by: furlong" in printed("--find", "ethernet furlong")


def test_what_is_on_the_shelf_is_listed_with_its_file(own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(SETTING, str(own.parent))
    listed = printed()
    assert listed.count(f"({own})") == 3
    assert f"layout finds: {own.parent} (1 file)." in listed
    assert "My socket" in printed("my-socket")
    assert "none, for DRYFIT_SHELF is empty (0 files)" in printed_without_shelf()


def printed_without_shelf() -> str:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(SETTING, "")
        return printed()


def test_wrong_calls_are_answered_with_what_to_write(own: Path, tmp_path: Path) -> None:
    assert refused("ethernet") == "unknown part 'ethernet' (did you mean 8p8c-d, 8p8c-lead or keystone-8p8c?)"
    assert "--find 'usb c'" in refused("usb", "c")
    assert "expected the NAME of a part" in refused("--picture", tmp_path / "x.png")
    assert "expected a name that ends with .png" in refused("xlr3-socket", "--picture", tmp_path / "x.jpg")
    assert "its folder does not exist" in refused("xlr3-socket", "--picture", tmp_path / "no" / "x.png")
    assert refused("--find", "furlong").startswith("no part is found by 'furlong', expected a word such as")
    assert refused(tmp_path / "none.yaml").endswith("there is no such file, expected an existing YAML file")


def test_a_picture_shows_the_part_without_a_panel_and_its_plug_before_it(tmp_path: Path) -> None:
    from dryfit.generators.looks.alone import alone, portrait

    catalogue = load_catalogue()
    report = alone("xlr3-socket", catalogue, "xlr-plug-pins")
    assert [one.role for one in report.assembly.instances] == ["panel", "part", "plug"]
    scene = portrait("xlr3-socket", catalogue, "xlr-plug-pins")
    right, out = np.eye(3)[0], np.eye(3)[2]
    reach = max(piece.reach(out)[1] for piece in scene.pieces)
    across = max(piece.reach(right)[1] for piece in scene.pieces)
    assert reach > report.assembly.instances[2].box.z1 + catalogue.plugs["xlr-plug-pins"].travel
    assert across < 20  # the panel would be 250
    printed("xlr3-socket", "--picture", tmp_path / "x.png")
    assert (tmp_path / "x.png").read_bytes().startswith(b"\x89PNG")


def test_a_sheet_is_written_of_any_part_and_of_a_plug_with_its_part(tmp_path: Path) -> None:
    printed("jack-6-plug", "--sheet", tmp_path / "x.svg")
    drawn = (tmp_path / "x.svg").read_text(encoding="utf-8")
    assert "jack-6-d: 6.35 mm jack, D flange" in drawn
    assert "ITS PLUG: jack-6-plug" in drawn
    printed("fan-40", "--sheet", tmp_path / "x.pdf")
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")
    assert "ends with .pdf or .svg" in refused("fan-40", "--sheet", tmp_path / "x.png")
    assert "--sheet: expected the NAME" in refused("--sheet", tmp_path / "x.pdf")


def test_start_writes_a_part_with_its_sheet_and_never_overwrites(tmp_path: Path) -> None:
    def start(*arguments: object) -> tuple[int, str]:
        done = CliRunner().invoke(dryfit, ["start", *map(str, arguments)])
        return done.exit_code, str(done.exception) if done.exception is not None else done.output

    file = tmp_path / "my-socket.yaml"
    code, told = start(file, "--part", "flange")
    assert code == 0
    made = [f"my-socket.{end}" for end in ("pdf", "svg", "yaml")]
    assert sorted(path.name for path in tmp_path.iterdir()) == [*made, "parts.schema.json"]
    assert file.read_text(encoding="utf-8").startswith("# yaml-language-server: $schema=parts.schema.json\n")
    assert "places: [{part: my-socket, at: [40 mm, 40 mm]}]" in told
    assert "My plug" in printed(file, "my-socket-plug")
    assert (tmp_path / "my-socket.pdf").read_bytes().startswith(b"%PDF")
    assert "rear 2 box: 1st" in (tmp_path / "my-socket.svg").read_text(encoding="utf-8")
    file.unlink()
    assert start(file, "--part", "bush") == (1, f"{file.with_suffix('.pdf')}: exists already, expected a new file")
    assert not file.exists()
    assert "expected a name that ends with .yaml or .yml" in start(tmp_path / "x.txt", "--part", "bush")[1]
    assert start(tmp_path / "x.yaml", "--part", "square")[0] == 2
