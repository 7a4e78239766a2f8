"""The commands as their user meets them: output, exit status, and nothing left behind when the input is wrong."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from dryfit.cli.main import COMMANDS
from dryfit.generators.pipeline import check
from dryfit.generators.writers.register import Order, kinds, named
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS
from tests.models.reading.bad_inputs import BAD_INPUTS, BadInput


def run(*arguments: object, cwd: Path | None = None, libraries: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command line in a process of its own, which looks for shared libraries in a folder first."""
    code = "from dryfit.cli.main import main; main()"
    environment = {**os.environ, **({"LD_LIBRARY_PATH": str(libraries)} if libraries else {})}
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False, env=environment)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_an_example(command: str) -> None:
    done = run(command, "--help")
    assert done.returncode == 0
    assert f"dryfit {command}" in done.stdout.split("Example:")[1]


def test_help_names_every_kind_of_file() -> None:
    told = run("build", "--help").stdout.split("Kinds:")[1].split()
    for kind in kinds():
        assert kind.word in told
        assert {kind.name, f"{kind.name},"} & set(told)


def test_good_layout_ends_with_0_and_trouble_with_1() -> None:
    good, bad = (run("check", "--quick", LAYOUTS / f"{name}.yaml") for name in ("foyer", "trouble"))
    assert (good.returncode, bad.returncode) == (0, 1)
    assert "fits: of 22 places 22 fit, 0 are tight, 0 fail" in good.stdout
    assert "remedy: Turn the part 5.3 degrees" in bad.stdout
    assert "\x1b" not in good.stdout + bad.stdout
    assert good.stderr == bad.stderr == ""


def test_json_keeps_the_contract() -> None:
    done = run("check", "--json", LAYOUTS / "trouble.yaml")
    data = json.loads(done.stdout)
    assert (data["schema"], data["verdict"], done.returncode) == (3, "fails", 1)
    assert set(data["places"][0]) == {"place", "part", "mount", "x", "y", "hardware"}
    assert set(data["places"][0]["hardware"]) == {
        "screw", "length", "head", "head_standard", "nut", "nut_standard", "washers", "driver", "from", "nut_turns",
    }  # fmt: skip
    keys = {"check", "place", "bodies", "verdict", "margin", "unit", "measured", "limit", "says", "remedy", "source"}
    assert all(keys <= set(found) for found in data["findings"])
    assert {found["verdict"] for found in data["findings"]} <= {"fits", "tight", "fails"}


def test_the_json_of_a_build_is_what_a_quick_check_prints(tmp_path: Path) -> None:
    named("report.json").make(Order(check(read_job(LAYOUTS / "foyer.yaml"))), tmp_path / "report.json")
    printed = run("check", "--json", "--quick", LAYOUTS / "foyer.yaml").stdout
    assert (tmp_path / "report.json").read_text(encoding="utf-8") == printed


def test_cautions_are_told_with_every_check() -> None:
    told = run("check", "--quick", LAYOUTS / "foyer.yaml").stdout
    for word in ("measure the part in hand", "eye protection", "licensed person", "Loudspeaker level"):
        assert word in told


def test_start_writes_a_layout_that_checks_and_never_overwrites(tmp_path: Path) -> None:
    for like in ("blank", "foyer", "bench", "trouble"):
        assert run("start", tmp_path / f"{like}.yaml", "--like", like).returncode == 0
    assert run("check", "--quick", tmp_path / "blank.yaml").returncode == 0
    again = run("start", tmp_path / "blank.yaml")
    assert again.returncode == 2
    assert "exists already" in again.stderr


def test_start_writes_the_schema_beside_and_names_it_in_the_first_line(tmp_path: Path) -> None:
    assert run("start", tmp_path / "box.yaml").returncode == 0
    first = (tmp_path / "box.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=layout.schema.json"
    schema = json.loads((tmp_path / "layout.schema.json").read_text(encoding="utf-8"))
    assert {"title", "panel", "places"} <= set(schema["required"])
    assert "xlr3-socket" in schema["$defs"]["PlaceWish"]["properties"]["part"]["anyOf"][0]["enum"]
    assert run("start", tmp_path / "second.yaml").stdout.count("wrote") == 1  # the schema is there


def test_start_leaves_what_it_did_not_write_alone(tmp_path: Path) -> None:
    (tmp_path / "layout.schema.json").write_text("{}", encoding="utf-8")
    refused = run("start", tmp_path / "box.yaml")
    assert (refused.returncode, (tmp_path / "box.yaml").exists()) == (2, False)
    assert "no schema that dryfit wrote" in refused.stderr
    assert run("start", tmp_path / "box.yaml", "--no-schema").returncode == 0
    assert "yaml-language-server" not in (tmp_path / "box.yaml").read_text(encoding="utf-8")
    assert (tmp_path / "layout.schema.json").read_text(encoding="utf-8") == "{}"


def test_parts_lists_and_shows() -> None:
    listed = run("parts").stdout
    assert "xlr3-socket" in listed
    shown = run("parts", "iec-c14-inlet").stdout
    assert "27 mm to 28.2 mm  confirmed" in shown
    assert "Holes that no source confirms" in run("parts", "--sources").stdout
    wrong = run("parts", "xlr3-soket")
    assert (wrong.returncode, wrong.stderr) == (2, "unknown part 'xlr3-soket' (did you mean xlr3-socket?)\n")


def test_hardware_answers_without_a_layout() -> None:
    table = run("hardware", "--panel-hole", "3.1mm", "--flange-hole", "3.4mm").stdout
    rows = {line[:10].strip(): line for line in table.splitlines()}
    assert " fits " in rows["No. 4-40"]
    assert " fails " in rows["No. 5-40"]
    assert "3/8 in" in run("hardware", "--stack", "6.2 mm", "--thread", "4-40").stdout
    wrong = run("hardware", "--stack", "6 furlongs")
    assert wrong.returncode == 2
    assert wrong.stderr.startswith("--stack: '6 furlongs' is not a length")


def test_build_makes_only_what_is_asked_and_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        done = run("build", LAYOUTS / "foyer.yaml", "--out", tmp_path / name, "--only", "parts", "--only", "dxf")
        assert done.returncode == 0, done.stderr
    made = sorted(path.name for path in (tmp_path / "one").iterdir())
    assert made == ["manifest.json", "panel.dxf", "parts-list.csv"]
    for name in made:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


ONLY_LINUX = pytest.mark.skipif(sys.platform != "linux", reason="hides libraries as only Linux can")


def broken(folder: Path, *libraries: str) -> Path:
    """Return a folder of shared libraries that cannot be loaded."""
    made = folder / "broken"
    made.mkdir()
    for name in libraries:
        (made / name).write_bytes(b"no library")
    return made


@pytest.mark.parametrize("size", ["2400", "2400x", "axb", "10x10", "99999x10", "1x2x3", "²00x300"])
def test_a_size_of_pictures_that_is_none_is_told_in_one_line(size: str, tmp_path: Path) -> None:
    done = run("build", LAYOUTS / "foyer.yaml", "--out", tmp_path / "out", "--size", size)
    assert (done.returncode, done.stdout) == (2, "")
    assert "WIDTHxHEIGHT" in done.stderr
    assert not (tmp_path / "out").exists()


@ONLY_LINUX
def test_without_graphics_the_rest_is_built_and_one_line_names_what_to_install(tmp_path: Path) -> None:
    bare, packages = broken(tmp_path, "libEGL.so", "libEGL.so.1"), "libgl1 libegl1 libglx-mesa0 libegl-mesa0"
    assert run("start", tmp_path / "box.yaml").returncode == 0
    whole = run("build", tmp_path / "box.yaml", libraries=bare)
    assert whole.returncode == 0, whole.stderr
    assert [line.count(packages) for line in whole.stdout.splitlines() if "not made" in line] == [1]
    made = {path.name for path in (tmp_path / "box").iterdir()}
    assert {"assembly.step", "assembly.glb"} <= made
    assert not any(name.endswith(".png") for name in made)
    asked = run("build", tmp_path / "box.yaml", "--only", "pictures", "--only", "holes", libraries=bare)
    assert asked.returncode == 2
    assert asked.stderr.startswith("no pictures made: ")
    assert packages in asked.stderr


@ONLY_LINUX
def test_a_kernel_that_does_not_load_is_told_in_one_line(tmp_path: Path) -> None:
    bare = broken(tmp_path, "libGL.so.1")
    done = run("build", LAYOUTS / "foyer.yaml", "--out", tmp_path, "--only", "step", libraries=bare)
    assert done.returncode == 2
    assert done.stderr.startswith("no step made: ")
    assert done.stderr.count("\n") == done.stderr.count("Debian's package: libgl1") == 1


@pytest.mark.parametrize("command", ["check", "build"])
@pytest.mark.parametrize("bad", BAD_INPUTS[::6], ids=lambda bad: bad.name)
def test_bad_input_ends_with_2_and_leaves_nothing(command: str, bad: BadInput, tmp_path: Path) -> None:
    bad.write(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    done = run(command, "layout.yaml", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert bad.says(done.stderr.splitlines())
    assert sorted(tmp_path.rglob("*")) == before


def test_unknown_command_and_kind_name_the_nearest(tmp_path: Path) -> None:
    assert "Did you mean check?" in run("chek").stderr
    done = run("build", LAYOUTS / "foyer.yaml", "--out", tmp_path / "out", "--only", "drawng")
    assert done.returncode == 2
    assert "did you mean drawing?" in done.stderr
    assert not (tmp_path / "out").exists()
