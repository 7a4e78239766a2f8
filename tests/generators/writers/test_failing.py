"""A panel that fails says so in every file that a shop may cut or assemble from; one that fits says nothing of it."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path

import pypdfium2
import pytest

from dryfit.generators.lists.failing import HEADLINE, NOT_FOR_MANUFACTURE, failing, reasons, sentences
from dryfit.generators.report import Report
from dryfit.generators.writers.dxf import FAILS_LAYER
from dryfit.generators.writers.register import Order, named
from dryfit.models.findings import Finding, Verdict
from dryfit.models.reading.errors import DryfitError
from tests.generators.writers.dxf_reader import read
from tests.helpers import demo, place, report

OVERLONG = place("xlr3-socket", hardware="{screw: M3, length: 6 mm}")
CROSSING = place("bnc-d") + "\n" + place("bnc-d", label="B", at="[24 mm, 0]")


@pytest.fixture(scope="module")
def fails(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """A panel whose screws are too short: all its contours can be cut."""
    found = report(tmp_path_factory.mktemp("fails"), OVERLONG)
    assert found.verdict is Verdict.FAILS
    return found


@pytest.fixture(scope="module")
def fits(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """The same panel with the screws that are chosen for it."""
    found = report(tmp_path_factory.mktemp("fits"), place("xlr3-socket"))
    assert found.verdict is not Verdict.FAILS
    return found


def _made(of: Report, name: str, folder: Path) -> bytes:
    path = folder / name
    named(name).make(Order(of), path)
    return (path / "bed-1.3mf" if path.is_dir() else path).read_bytes()


def _pages(data: bytes) -> list[str]:
    return [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(data)]


@pytest.mark.parametrize("name", ["drawing.pdf", "drill-template.pdf", "assembly.pdf"])
def test_every_page_says_so_and_what_fails(fails: Report, fits: Report, name: str, tmp_path: Path) -> None:
    for page in _pages(_made(fails, name, tmp_path)):
        assert HEADLINE in page
        assert "screw-length:" in page.replace("\u00a0", " ")
    assert not any(NOT_FOR_MANUFACTURE in page for page in _pages(_made(fits, name, tmp_path)))


def test_the_drawing_tells_what_fails_in_sentences(fails: Report, tmp_path: Path) -> None:
    told = " ".join(" ".join(_pages(_made(fails, "drawing.pdf", tmp_path))).split())
    (finding,) = (f for f in fails.findings if f.check == "screw-length")
    assert f"A (screw-length): {finding.says}" in told


def test_the_cut_file_says_so_on_a_layer_of_its_own_clear_of_the_part(
    fails: Report, fits: Report, tmp_path: Path
) -> None:
    file = read(_made(fails, "panel.dxf", tmp_path))
    told = file.on(FAILS_LAYER)
    texts = [value for e in told for code, value in e.pairs if code == 1]
    assert texts[0] == HEADLINE
    assert texts[1].startswith("screw-length: A")
    lowest = min(float(value) for e in told for code, value in e.pairs if code == 20)
    assert lowest > fails.job.panel.height
    assert read(_made(fits, "panel.dxf", tmp_path)).on(FAILS_LAYER) == ()


@pytest.mark.parametrize("name", ["panel.step", "assembly.step", "test-plate-beds/", "assembly.glb"])
def test_the_title_of_a_model_says_so(fails: Report, fits: Report, name: str, tmp_path: Path) -> None:
    wanted = f"{NOT_FOR_MANUFACTURE}: Test"
    assert wanted in _words(_made(fails, name, tmp_path))
    assert NOT_FOR_MANUFACTURE not in _words(_made(fits, name, tmp_path))


def _words(data: bytes) -> str:
    if data.startswith(b"PK"):
        return zipfile.ZipFile(io.BytesIO(data)).read("3D/3dmodel.model").decode()
    return data.decode("utf-8", "replace")


def test_the_header_of_an_stl_says_so(fails: Report, fits: Report, tmp_path: Path) -> None:
    for of, said in ((fails, True), (fits, False)):
        files = [_made(of, "assembly.stl", tmp_path), *_in_folder(of, "test-plate/", tmp_path)]
        assert len(files) > 2
        assert {HEADLINE.encode() in data[:80] for data in files} == {said}


def _in_folder(of: Report, name: str, folder: Path) -> list[bytes]:
    path = folder / name
    named(name).make(Order(of), path)
    return [file.read_bytes() for file in sorted(path.iterdir())]


def test_the_scene_of_the_glb_has_what_fails_in_its_extras(fails: Report, tmp_path: Path) -> None:
    data = _made(fails, "assembly.glb", tmp_path)
    length = int.from_bytes(data[12:16], "little")
    tree = json.loads(data[20 : 20 + length])
    assert tree["scenes"][0]["extras"]["not for manufacture"] == list(reasons(failing(fails.findings)))


def test_every_row_of_the_hole_chart_says_what_fails_at_its_place(fails: Report, fits: Report, tmp_path: Path) -> None:
    for of, wanted in ((fails, {"main": "fails: screw-length", "rack": "the panel fails"}), (fits, {})):
        text = _made(of, "holes.csv", tmp_path).decode("utf-8")
        for row in csv.DictReader(io.StringIO(text, newline="")):
            if row["purpose"] != "fixing":
                assert row["not for manufacture"] == wanted.get(row["purpose"], "")


@pytest.mark.parametrize("name", ["panel.dxf", "panel.step"])
def test_contours_that_cross_are_told_and_never_written(name: str, tmp_path: Path) -> None:
    crossing = report(tmp_path, CROSSING)
    with pytest.raises(DryfitError, match="main hole of A and main hole of B run into each other"):
        named(name).make(Order(crossing), tmp_path / name)
    assert not (tmp_path / name).exists()


def test_no_broken_solid_is_written(tmp_path: Path) -> None:
    trouble = demo("trouble")
    with pytest.raises(DryfitError, match="no sound solid can be made of panel"):
        named("assembly.step").make(Order(trouble), tmp_path / "assembly.step")


def test_a_check_that_fails_at_many_places_is_named_once() -> None:
    many = tuple(Finding("web", f"CH {n}", Verdict.FAILS, "No metal.") for n in range(1, 41))
    assert reasons(many) == ("web: CH 1 to CH 40",)
    assert sentences(many)[-1] == "and 16 more: `dryfit check` tells all."
