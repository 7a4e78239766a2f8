"""The shape of the code: one direction of imports, every package in the wheel, no kernel where none is needed."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.helpers import ROOT

BELOW = {"models": ("generators", "cli"), "generators": ("cli",), "cli": ()}
HEAVY = ("cadquery", "OCP", "vtkmodules", "trimesh", "manifold3d", "ezdxf", "reportlab", "matplotlib")


def _imports(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            names.add(node.module or "")
    return names


@pytest.mark.parametrize("folder", BELOW)
def test_no_arrow_points_back_up(folder: str) -> None:
    for path in (ROOT / folder).rglob("*.py"):
        for name in _imports(path):
            for above in BELOW[folder]:
                assert not name.startswith(f"dryfit.{above}"), f"{path} imports {name}"


def test_every_package_is_listed_for_the_wheel() -> None:
    listed = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]["packages"]
    found = [
        ".".join(["dryfit", *init.parent.relative_to(ROOT).parts])
        for folder in BELOW
        for init in (ROOT / folder).rglob("__init__.py")
    ]
    assert sorted(listed) == sorted(found)


def test_top_level_holds_what_was_agreed() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    top = {name.split("/")[0] for name in tracked.splitlines()}
    agreed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", *BELOW, "tests", "outputs"}
    assert {name for name in top if not name.startswith(".")} == agreed


def _loaded(code: str) -> set[str]:
    probe = f"{code}\nimport sys; print(*sorted({{name.split('.')[0] for name in sys.modules}}))"
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split())


@pytest.mark.parametrize(
    "code",
    [
        "import dryfit.models.resolve, dryfit.models.layout",
        "from dryfit.cli.main import dryfit\ntry: dryfit(['--help'])\nexcept SystemExit: pass",
        "from dryfit.cli.main import dryfit\ntry: dryfit(['build', '--help'])\nexcept SystemExit: pass",
        "from dryfit.cli.main import dryfit\ntry: dryfit(['parts'])\nexcept SystemExit: pass",
        "from dryfit.cli.main import dryfit\ntry: dryfit(['hardware', '--stack', '6'])\nexcept SystemExit: pass",
        f"from dryfit.cli.main import dryfit\n"
        f"try: dryfit(['check', '--quick', {str(ROOT / 'models/data/layouts/foyer.yaml')!r}])\nexcept SystemExit: pass",
    ],
    ids=["models", "help", "help of build", "parts", "hardware", "quick check"],
)
def test_light_work_loads_nothing_heavy(code: str) -> None:
    assert not _loaded(code) & set(HEAVY)


def test_solids_load_the_kernel_alone(tmp_path: Path) -> None:
    layout, out = str(ROOT / "models/data/layouts/foyer.yaml"), str(tmp_path)
    code = f"from dryfit.cli.main import dryfit\ntry: dryfit(['build', {layout!r}, '--out', {out!r}, '--only', 'step'])"
    assert _loaded(f"{code}\nexcept SystemExit: pass") & set(HEAVY) == {"OCP"}
