"""The program of the page: made again from its sources, its types checked; and what a screen reader would trip over."""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.live.bench import LIST, Bench
from dryfit.generators.page.page import page
from dryfit.generators.pipeline import judged
from dryfit.models.resolve import read_job
from tests.generators.live.layouts import save, settle, text_of
from tests.generators.page.browser import Seen, chromium, lacking
from tests.helpers import LAYOUTS, ROOT

HERE = ROOT / "generators" / "page"
PINNED = json.loads((HERE / "package.json").read_text(encoding="utf-8"))["devDependencies"]

PATIENCE = 120  # seconds for the packages to come


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the sources with the packages that package.json names, at just those versions."""
    if shutil.which("npm") is None:
        lacking("npm")
    folder = tmp_path_factory.mktemp("workshop")
    for name in ("package.json", "tsconfig.json", ".npmrc"):
        shutil.copy(HERE / name, folder)
    shutil.copytree(HERE / "source", folder / "source")
    install = ["npm", "install", "--no-audit", "--no-fund", "--prefer-offline"]
    try:
        subprocess.run(install, cwd=folder, capture_output=True, check=True, timeout=PATIENCE)
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as error:
        pytest.skip(f"the packages of the program did not come: {error}")
    return folder


def test_every_package_is_pinned_and_no_lock_file_is_kept() -> None:
    assert all(version.replace(".", "").isdigit() for version in PINNED.values())
    assert not list(HERE.glob("*lock*"))


def test_the_bundle_has_the_checksum_that_was_written_with_it() -> None:
    data = (HERE / "bundle" / "program.js").read_bytes()
    told = (HERE / "bundle" / "program.sha256").read_text(encoding="ascii")
    assert told.split() == [hashlib.sha256(data).hexdigest(), "program.js"]


def test_the_bundle_is_what_its_sources_make(workshop: Path) -> None:
    (workshop / "bundle").mkdir()
    subprocess.run(["npm", "run", "--silent", "bundle"], cwd=workshop, check=True, capture_output=True)
    made = (workshop / "bundle" / "program.js").read_bytes()
    assert made == (HERE / "bundle" / "program.js").read_bytes(), (
        "run `npm install && npm run bundle` in generators/page"
    )


def test_the_types_of_the_program_are_right(workshop: Path) -> None:
    done = subprocess.run(
        ["npm", "run", "--silent", "check"], cwd=workshop, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout) == (0, "")


def test_licences_of_what_is_bundled_are_told(workshop: Path) -> None:
    told = (HERE / "bundle" / "licences.txt").read_text(encoding="utf-8")
    assert f"three.js {PINNED['three']}" in told
    assert (workshop / "node_modules" / "three" / "LICENSE").read_text(encoding="utf-8") in told


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as launch:
        yield launch()


def _reported(seen: Seen, workshop: Path) -> list[Any]:
    """Return what the tester of pages has to report of one, after it has looked at it."""
    seen.page.add_script_tag(path=str(workshop / "node_modules" / "axe-core" / "axe.min.js"))
    found = seen.page.evaluate("axe.run()")
    assert len(found["passes"]) > 10
    seen.close()
    return [(v["id"], [node["html"][:120] for node in v["nodes"][:3]]) for v in found["violations"]]


def _open_to_the_tester(text: str, path: Path) -> Path:
    """Write a page without its policy, which would not let the tester in, and without its server."""
    path.write_text(text.replace("Content-Security-Policy", "X-Left-Out").replace("data-live", "data-left-out"))
    return path


@pytest.mark.parametrize(("size", "scheme"), [((1280, 800), "light"), ((390, 844), "dark")], ids=str)
def test_axe_finds_nothing_to_report(
    browser: Any, workshop: Path, tmp_path: Path, scheme: str, size: tuple[int, int]
) -> None:
    path = _open_to_the_tester(page(judged(read_job(LAYOUTS / "trouble.yaml")), ()), tmp_path / "index.html")
    seen = Seen(browser, path, color_scheme=scheme, viewport={"width": size[0], "height": size[1]})
    seen.find("kept 0.25 mm from home")
    assert _reported(seen, workshop) == []


def test_axe_finds_nothing_to_report_of_live_pages(browser: Any, workshop: Path, tmp_path: Path) -> None:
    layout = save(tmp_path / "a.yaml")
    bench = Bench(tmp_path)
    settle(bench)
    save(layout, part="nothing")
    settle(bench)
    for name, shows in ((LIST, False), ("a.yaml", True)):
        path = _open_to_the_tester(text_of(bench, name), tmp_path / "index.html")
        assert _reported(Seen(browser, path, shows=shows, color_scheme="dark"), workshop) == []
