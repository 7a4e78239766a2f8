"""GLB files before the reference validator of glTF 2.0 (npm package gltf-validator, by the standard's own publisher).

Without npm, or without its registry, the validator's questions are left out; what it once found is asked by hand.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.generators.writers.glb import write_glb
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, place, report

VALIDATOR = "gltf-validator@2.0.0-dev.3.10"
PATIENCE = 120  # seconds for the package to come
VALIDATE = """
const validator = require("gltf-validator");
const bytes = new Uint8Array(require("fs").readFileSync(process.argv[2]));
validator.validateBytes(bytes, {maxIssues: 100}).then((told) => console.log(JSON.stringify(told.issues)));
"""
LIPS = "{size: [120, 80], thickness: 1.5, material: steel, coating: 0.08, lip: 15, lips: [top, left], bend_radius: 2}"


@pytest.fixture(scope="module", params=["foyer", "lips"])
def written(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the file of the demo, and of a bent panel."""
    folder = tmp_path_factory.mktemp(request.param)
    made: Report = (
        judged(read_job(LAYOUTS / "foyer.yaml")) if request.param == "foyer" else report(folder, place("bnc-d"), LIPS)
    )
    write_glb(made, folder / "a.glb", "A <panel>")
    return folder / "a.glb"


@pytest.fixture(scope="module")
def validator(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which the validator can be run."""
    folder = tmp_path_factory.mktemp("validator")
    if shutil.which("npm") is None or shutil.which("node") is None:
        pytest.skip("npm is not there")
    install = ["npm", "install", "--no-audit", "--no-fund", "--prefer-offline", "--no-package-lock", VALIDATOR]
    try:
        subprocess.run(install, cwd=folder, capture_output=True, check=True, timeout=PATIENCE)
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as error:
        pytest.skip(f"the validator did not come: {error}")
    (folder / "validate.js").write_text(VALIDATE, encoding="utf-8")
    return folder


def test_the_reference_validator_has_nothing_to_say(validator: Path, written: Path) -> None:
    run = ["node", "validate.js", str(written)]
    told = json.loads(subprocess.run(run, cwd=validator, capture_output=True, check=True, text=True).stdout)
    assert told["messages"] == []
    assert {told[name] for name in ("numErrors", "numWarnings", "numInfos", "numHints")} == {0}


def _tree(path: Path) -> tuple[dict[str, Any], bytes]:
    data = path.read_bytes()
    length = int.from_bytes(data[12:16], "little")
    return json.loads(data[20 : 20 + length]), data[28 + length :]


def test_every_normal_is_of_unit_length(written: Path) -> None:
    """glTF 2.0, 3.7.2.1: NORMAL is unit length."""
    tree, data = _tree(written)
    numbers = {mesh["primitives"][0]["attributes"]["NORMAL"] for mesh in tree["meshes"]}
    for view in (tree["bufferViews"][tree["accessors"][number]["bufferView"]] for number in numbers):
        normals = np.frombuffer(data, "<f4", view["byteLength"] // 4, view["byteOffset"]).reshape(-1, 3)
        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-5)


def test_materials_have_names_and_reflect_as_what_they_are(written: Path) -> None:
    looks = {look["name"]: look["pbrMetallicRoughness"] for look in _tree(written)[0]["materials"]}
    assert looks["powder coat"]["metallicFactor"] == 0
    metals = [look for name, look in looks.items() if name in {"stainless", "zinc", "steel", "nickel"}]
    assert metals
    assert all(look["metallicFactor"] == 1 for look in metals)


def test_the_barrel_of_a_part_is_smooth(written: Path) -> None:
    """Neighbouring facets of a round face share normals: fewer of these than of corners of facets."""
    tree, _ = _tree(written)
    barrel = next(mesh for mesh in tree["meshes"] if "bnc" in mesh["name"])["primitives"][0]
    points, corners = (tree["accessors"][n]["count"] for n in (barrel["attributes"]["NORMAL"], barrel["indices"]))
    assert points < corners / 2
