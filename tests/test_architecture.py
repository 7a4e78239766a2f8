"""The shape of the code: one direction of imports, every package in the wheel, no kernel where none is needed."""

from __future__ import annotations

import ast
import graphlib
import re
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


STAGES = (
    "lettering", "joints", "bodies", "clearance", "checks", "hardware", "report", "remedies", "pipeline",
    "tolerances", "lists", "drawing", "testplate", "looks", "page", "writers", "intake", "matching",
    "manifest", "folder", "build", "batch", "batch_table", "live",
)  # fmt: skip
"""The stages of the generators, each built on those before it only; DEVELOPERS.md lists them in the same order."""


def test_every_stage_is_built_on_those_before_it() -> None:
    for path in (ROOT / "generators").rglob("*.py"):
        own = path.relative_to(ROOT / "generators").parts[0].removesuffix(".py")
        if own == "__init__":
            continue
        for name in _imports(path):
            parts = name.split(".")
            if parts[:2] == ["dryfit", "generators"] and len(parts) > 2:
                assert STAGES.index(parts[2]) <= STAGES.index(own), f"{path} imports {name}"


def _modules() -> dict[str, Path]:
    found = (path for folder in ("models", "generators") for path in (ROOT / folder).rglob("*.py"))
    return {".".join(["dryfit", *path.relative_to(ROOT).with_suffix("").parts]): path for path in found}


def test_no_modules_run_in_a_circle() -> None:
    modules = _modules()
    graph = {name: {n for n in _imported_modules(path, modules) if n != name} for name, path in modules.items()}
    order = list(graphlib.TopologicalSorter(graph).static_order())  # raises CycleError, which names the circle
    assert set(order) >= set(modules)


def _imported_modules(path: Path, modules: dict[str, Path]) -> set[str]:
    """Return the modules of ours that a module imports, names that it takes out of a package included."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found & set(modules)


def test_no_import_of_ours_hides_inside_a_function() -> None:
    for name, path in _modules().items():
        for function in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(function, ast.FunctionDef):
                hidden = [n for n in ast.walk(function) if isinstance(n, ast.ImportFrom) and n.module]
                assert not [n.module for n in hidden if n.module and n.module.startswith("dryfit")], f"{name}: {hidden}"


def test_every_folder_says_what_comes_in_and_what_goes_out() -> None:
    for folder in BELOW:
        for init in (ROOT / folder).rglob("__init__.py"):
            assert len(ast.get_docstring(ast.parse(init.read_text(encoding="utf-8"))) or "") > 60, init


def test_every_strategy_that_a_check_names_is_there_and_every_one_is_named() -> None:
    from dryfit.generators.checks.registry import names
    from dryfit.generators.checks.registry import strategies as of_check
    from dryfit.generators.remedies.register import strategies

    assert {strategy for name in names() for strategy in of_check(name)} == set(strategies())


def test_the_readme_lists_every_check_in_the_order_of_telling() -> None:
    from dryfit.generators.checks.registry import names

    table = (ROOT / "README.md").read_text(encoding="utf-8").split("| check | asks |")[1].split("\n\n")[0]
    assert re.findall(r"^\| `([a-z-]+)` \|", table, re.MULTILINE) == list(names())


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
