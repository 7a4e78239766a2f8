"""Files read back: STEP, STL and GLB by other readers than wrote them; pictures; whole or not at all; same bytes."""

from __future__ import annotations

import errno
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.build import build
from dryfit.generators.pipeline import check
from dryfit.generators.report import Report
from dryfit.generators.writers.glb import write_glb
from dryfit.generators.writers.part21 import canonical
from dryfit.generators.writers.register import Order, chosen
from dryfit.generators.writers.step import _reason, write_assembly_step, write_panel_step
from dryfit.generators.writers.stl import write_assembly_stl
from dryfit.generators.writers.whole import whole_file, write_whole
from tests.helpers import place, report

TWO = place("xlr3-socket") + "\n" + place("8p8c-d", label='"Ünïx <b>"', at="[60, 0]")


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report(tmp_path_factory.mktemp("small"), TWO)


def _kernel_volume(path: Path) -> float:
    import cadquery as cq

    shapes: list[Any] = cq.importers.importStep(str(path)).solids().vals()
    return float(sum(shape.Volume() for shape in shapes))


def _load(path: Path) -> Any:
    import trimesh

    return trimesh.load(path)


def test_step_holds_each_body_once_with_names_and_volume(small: Report, tmp_path: Path) -> None:
    path = tmp_path / "a.step"
    write_assembly_step(small.assembly, small.job.panel, path)
    text = path.read_text("ascii")
    assert text.count("MANIFOLD_SOLID_BREP(") == len(small.assembly.bodies())
    assert text.count("NEXT_ASSEMBLY_USAGE_OCCURRENCE(") == len(small.assembly.instances) + 2  # and two places
    assert "'A: xlr3-socket'" in text
    assert "\\X2\\00DC\\X0\\n\\X2\\00EF\\X0\\x <b>" in text
    assert _kernel_volume(path) == pytest.approx(sum(i.body.volume for i in small.assembly.instances), rel=1e-6)


def test_panel_step_is_the_bare_metal(small: Report, tmp_path: Path) -> None:
    path, job = tmp_path / "p.step", small.job
    write_panel_step(job.panel, job.holes(), path, job.title)
    area = job.panel.width * job.panel.height - sum(h.outline.area for h in job.holes())
    assert _kernel_volume(path) == pytest.approx(area * job.panel.thickness, rel=1e-6)
    assert "aluminium" in path.read_text("ascii")


_WRITE = """
from pathlib import Path
import sys
from dryfit.generators.build import build
from dryfit.generators.pipeline import check
from dryfit.generators.writers.step import write_assembly_step
from dryfit.models.resolve import read_job
made = check(read_job(Path(sys.argv[1])))
write_assembly_step(made.assembly, made.job.panel, Path(sys.argv[2]))
"""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no file that is always full")
def test_a_disk_that_is_full_is_told_in_the_system_s_own_words_and_a_kernel_s_failure_in_ours(tmp_path: Path) -> None:
    full = _reason(Path("/dev/full"), tmp_path / "p.step")
    assert (full.errno, full.filename) == (errno.ENOSPC, str(tmp_path / "p.step"))
    assert _reason(tmp_path / "begun", tmp_path / "p.step").errno == errno.EIO


def test_step_bytes_are_the_same_in_every_process(small: Report, tmp_path: Path) -> None:
    (tmp_path / "1").mkdir()
    (tmp_path / "2").mkdir()
    for folder in ("1", "2"):
        out = tmp_path / folder / "a.step"
        subprocess.run([sys.executable, "-c", _WRITE, small.job.source, str(out)], check=True)
    assert (tmp_path / "1" / "a.step").read_bytes() == (tmp_path / "2" / "a.step").read_bytes()


def test_canonical_text_tells_like_bodies_apart_by_who_uses_them() -> None:
    names = {1: "LEFT", 2: "RIGHT"}
    users = [f"#{n}=PRODUCT('{names[n]}',#{n + 10});" for n in (1, 2)]
    shapes = [f"#{n + 10}=SHAPE('',#{n + 20});\n#{n + 20}=SOLID('');" for n in (1, 2)]
    colours = [f"#{n + 30}=STYLED_ITEM('',#{n + 20});" for n in (1, 2)]
    texts = {
        canonical("\n".join(["FILE_SCHEMA(('X'));", "DATA;", *users, *shapes, *order, "ENDSEC;"]), "")
        for order in (colours, colours[::-1])
    }
    assert len(texts) == 1


def test_canonical_text_does_not_depend_on_numbers_or_order() -> None:
    head = "ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('X'));\nENDSEC;\nDATA;\n"
    one = head + "#1=A('it''s #2',#2);\n#2=B(1.);\n#3=C(#1,#2);\nENDSEC;\nEND-ISO-10303-21;\n"
    two = head + "#7=C(#9,#4);\n#4 = B( 1. );\n#9=A('it''s #2',\n #4);\nENDSEC;\nEND-ISO-10303-21;\n"
    assert canonical(one, "") == canonical(two, "")
    assert "'it''s #2'" in canonical(one, "")


def test_the_stl_of_an_assembly_is_one_closed_mesh_without_facets_that_have_no_area(
    small: Report, tmp_path: Path
) -> None:
    write_assembly_stl(small.assembly, tmp_path / "a.stl")
    whole = _load(tmp_path / "a.stl")  # single precision, corners joined where they are the same to the last bit
    there = Counter(map(tuple, whole.edges.tolist()))  # two bodies may touch along an edge, which has four facets then
    assert all(count == there[(b, a)] for (a, b), count in there.items())
    assert whole.area_faces.min() > 0
    together = sum(i.body.volume for i in small.assembly.instances)
    assert 0.95 * together < whole.volume < together  # threads stand in their nuts


def test_glb_is_in_metres_with_shared_meshes_and_names(small: Report, tmp_path: Path) -> None:
    write_glb(small, tmp_path / "a.glb", "Test")
    scene = _load(tmp_path / "a.glb")
    assert len(scene.geometry) == len(small.assembly.bodies())
    assert scene.extents[0] == pytest.approx(0.4826, abs=1e-6)
    assert "A: xlr3-socket" in scene.graph.nodes


def test_files_are_written_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "f.txt"
    write_whole(path, b"old")

    def fail() -> None:
        with whole_file(path) as temporary:
            temporary.write_bytes(b"half")
            raise OSError("disk full")

    with pytest.raises(OSError, match="disk full"):
        fail()
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_the_page_lists_the_files_that_were_made_with_it(small: Report, tmp_path: Path) -> None:
    list(build(Order(small), tmp_path / "out", chosen(small, ["report", "parts", "page"])))
    page = (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    assert 'href="report.json"' in page
    assert 'href="parts-list.csv"' in page
    assert "holes.csv" not in page


def test_every_kind_of_file_is_made_for_a_panel_that_fits(tmp_path: Path, small: Report) -> None:
    results = list(build(Order(small, "A4"), tmp_path, chosen(small)))
    assert [kind.name for kind, why in results if why] == []
    for kind, _ in results:
        assert (tmp_path / kind.name).stat().st_size > 100, kind.name


def test_report_is_the_same_for_the_same_layout(small: Report) -> None:
    assert check(small.job) == small
