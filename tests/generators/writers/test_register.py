"""Every row of the register: named once, told in README, made, the same bytes twice."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from dryfit.generators.report import Report
from dryfit.generators.writers.register import FileKind, Order, chosen, file_kind, kinds, words
from dryfit.models.reading.errors import DryfitError, UnknownName
from tests.helpers import ROOT, demo

FOYER = demo("foyer")
TROUBLE = demo("trouble")


SMALL = (320, 180)  # of pictures, which take their time by their size


@pytest.fixture(scope="module")
def orders() -> tuple[Order, Order]:
    """Return two orders of the same files, of the one demo where all files can be made."""
    return Order(FOYER, size=SMALL), Order(FOYER, size=SMALL)


def test_every_row_says_what_it_is() -> None:
    for kind in kinds():
        assert kind.word
        assert kind.purpose.endswith(".")
        assert Path(kind.name).name


def test_no_two_rows_write_the_same_file() -> None:
    names = [kind.name.rstrip("/").casefold() for kind in kinds()]
    assert len(set(names)) == len(names)


def test_files_of_one_word_are_told_together() -> None:
    told = [kind.word for kind in kinds()]
    assert [word for word, before in zip(told, ["", *told], strict=False) if word != before] == list(words())


def test_the_readme_has_every_row_in_the_order_of_telling() -> None:
    rows = [line for line in (ROOT / "README.md").read_text(encoding="utf-8").splitlines() if line.startswith("| ")]
    start = rows.index("| `--only` | file | what it is for |") + 2
    wanted = [f"| {kind.word} | `{kind.name}` | {kind.purpose} |" for kind in kinds()]
    assert rows[start : start + len(wanted)] == wanted


def test_an_unknown_word_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match="did you mean pictures"):
        chosen(FOYER, ["picturs"])


def test_words_choose_their_files_and_none_chooses_all() -> None:
    assert [kind.name for kind in chosen(FOYER, ["step", "dxf"])] == ["panel.dxf", "panel.step", "assembly.step"]
    assert {kind.name for kind in kinds()} - {kind.name for kind in chosen(FOYER)} == {"close-ups/"}
    assert chosen(TROUBLE) == kinds()


def test_what_files_share_is_made_once_even_where_it_fails() -> None:
    calls: list[Order] = []

    def fail(order: Order) -> None:
        calls.append(order)
        raise DryfitError("no")

    order = Order(FOYER)
    for _ in range(2):
        with pytest.raises(DryfitError, match="no"):
            order.once(fail)
    assert calls == [order]


def _mesh(suffix: str) -> Callable[[bytes], object]:
    def read(data: bytes) -> object:
        import trimesh

        made: Any = trimesh.load(io.BytesIO(data), file_type=suffix)
        return len(made.triangles) if suffix == "stl" else len(made.geometry)

    return read


def _picture(data: bytes) -> object:
    from PIL import Image

    with Image.open(io.BytesIO(data)) as image:
        image.load()
        return image.format == "PNG" and len(image.convert("L").getcolors(65536) or ()) > 16


def _pages(data: bytes) -> object:
    import pypdfium2

    return len(pypdfium2.PdfDocument(data))


def _step(data: bytes) -> object:
    from steputils import p21

    return len(p21.loads(data.decode("ascii")).data[0].instances)


def _dxf(data: bytes) -> object:
    from pyogrio.raw import read  # type: ignore[import-untyped]

    return len(read(data)[2])


READERS: dict[str, Callable[[bytes], object]] = {
    ".json": json.loads,
    ".csv": lambda data: data.decode("utf-8").count("\r\n") > 2,
    ".svg": lambda data: ElementTree.fromstring(data).tag == "{http://www.w3.org/2000/svg}svg",
    ".3mf": lambda data: zipfile.ZipFile(io.BytesIO(data)).testzip() is None,
    ".stl": _mesh("stl"),
    ".glb": _mesh("glb"),
    ".png": _picture,
    ".pdf": _pages,
    ".step": _step,
    ".html": lambda data: data.startswith(b"<!doctype html>") and data.endswith(b"</html>\n"),
    ".dxf": _dxf,
}
"""A reader for every suffix, not the library that wrote it; true if it finds something. What is in the files the
tests of each format look at."""


def _contents(path: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in ([path] if path.is_file() else sorted(path.iterdir()))}


@pytest.mark.parametrize("kind", chosen(FOYER), ids=lambda kind: kind.name)
def test_each_file_is_made_reads_back_and_is_the_same_twice(
    kind: FileKind, orders: tuple[Order, Order], tmp_path: Path
) -> None:
    made = []
    for number, order in enumerate(orders):
        (tmp_path / str(number)).mkdir()
        kind.make(order, tmp_path / str(number) / kind.name)
        made.append(_contents(tmp_path / str(number) / kind.name))
    assert made[0] == made[1]
    assert made[0]
    for name, data in made[0].items():
        assert READERS[Path(name).suffix](data), name


def test_a_format_registers_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    rows: list[FileKind] = []
    monkeypatch.setattr("dryfit.generators.writers.register._KINDS", rows)

    def never(report: Report) -> bool:
        return False

    @file_kind("note", "note.txt", "A note.", when=never)
    def make(order: Order, path: Path) -> None:
        path.write_text("note", encoding="utf-8")

    assert rows == [FileKind("note", "note.txt", "A note.", make, never)]
