"""STEP files read by a library that is not the kernel's: steputils, a plain Part 21 reader (ISO 10303-21)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from steputils import p21

from dryfit.generators.lettering.legends import clear_legends
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, named
from dryfit.generators.writers.step import write_assembly_step, write_panel_step
from tests.helpers import place, report

SAME = 1e-6  # mm: sixteen digits are written; half a dozen roundings lie between
PANEL = "{size: [120 mm, 60 mm], thickness: 2 mm, corner: 4 mm}"
TWO = place("xlr3-socket", at="[-20, 3]") + "\n" + place("8p8c-d", label="B", at="[25, -2]", turn="180")


class Step:
    """The data section of a Part 21 file."""

    def __init__(self, path: Path):
        self.data = p21.readfile(str(path)).data[0]

    def of(self, keyword: str) -> Iterator[Any]:
        """Yield the parameters of every entity of a keyword."""
        for instance in self.data.instances.values():
            if p21.is_simple_entity_instance(instance) and instance.entity.name == keyword:
                yield instance.entity.params

    def at(self, reference: str) -> Any:
        """Return the parameters of an entity by its number."""
        return self.data.instances[reference].entity.params

    def point(self, reference: str) -> tuple[float, float, float]:
        """Return the coordinates of a CARTESIAN_POINT."""
        x, y, z = self.at(reference)[1]
        return (float(x), float(y), float(z))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report(tmp_path_factory.mktemp("step"), TWO, PANEL)


@pytest.fixture(scope="module")
def panel(made: Report, tmp_path_factory: pytest.TempPathFactory) -> Step:
    path = tmp_path_factory.mktemp("panel") / "p.step"
    write_panel_step(made.job.panel, made.job.holes(), path, made.job.title)
    return Step(path)


@pytest.fixture(scope="module")
def assembly(made: Report, tmp_path_factory: pytest.TempPathFactory) -> Step:
    path = tmp_path_factory.mktemp("assembly") / "a.step"
    write_assembly_step(made.assembly, made.job.panel, path)
    return Step(path)


def test_every_hole_is_a_cylinder_where_it_belongs(made: Report, panel: Step) -> None:
    found = set()
    for _, placement, radius in panel.of("CYLINDRICAL_SURFACE"):
        x, y, _ = panel.point(panel.at(placement)[1])
        found.add((round(x, 5), round(y, 5), round(float(radius), 5)))
    holes = {
        (round(h.outline.centre.x + 60, 5), round(h.outline.centre.y + 30, 5), round(h.outline.size.width / 2, 5))
        for h in made.job.holes()
        if h.outline.is_circle
    }
    corners = {(x, y, 4.0) for x in (4.0, 116.0) for y in (4.0, 56.0)}
    assert len(holes) == 6
    assert holes | corners <= found


def test_the_panel_is_as_large_as_ordered_and_bare(panel: Step) -> None:
    spots = [panel.point(vertex[1]) for vertex in panel.of("VERTEX_POINT")]
    for axis, (low, high) in enumerate(((0.0, 120.0), (0.0, 60.0), (-2.0, 0.0))):
        assert min(spot[axis] for spot in spots) == pytest.approx(low, abs=SAME)
        assert max(spot[axis] for spot in spots) == pytest.approx(high, abs=SAME)


def test_the_panel_is_one_named_coloured_solid_in_millimetres(panel: Step) -> None:
    (product,) = panel.of("PRODUCT")
    assert "aluminium 2 mm" in product[0]
    assert len(list(panel.of("MANIFOLD_SOLID_BREP"))) == 1
    assert list(panel.of("COLOUR_RGB"))
    complexes = (i for i in panel.data.instances.values() if p21.is_complex_entity_instance(i))
    units = [entity.name + str(entity.params) for instance in complexes for entity in instance.entities]
    assert any("SI_UNIT" in unit and ".MILLI." in unit and ".METRE." in unit for unit in units)


def test_the_assembly_shares_each_body_and_names_each_use(made: Report, assembly: Step) -> None:
    assert len(list(assembly.of("MANIFOLD_SOLID_BREP"))) == len(made.assembly.bodies())
    places = [place.name for place in made.job.places]
    assert len(list(assembly.of("PRODUCT"))) == len(made.assembly.bodies()) + 1 + len(places)
    names = sorted(str(use[1]) for use in assembly.of("NEXT_ASSEMBLY_USAGE_OCCURRENCE"))
    assert names == sorted([*(instance.name for instance in made.assembly.instances), *places])


def test_a_product_says_what_it_is_of_and_that_its_thread_is_plain(assembly: Step) -> None:
    names = [str(product[0]) for product in assembly.of("PRODUCT")]
    screws = [name for name in names if "screw" in name]
    assert screws
    assert all(name.endswith(", thread drawn as a plain cylinder of its major diameter") for name in screws)


def test_the_date_of_the_layout_is_that_of_the_file(made: Report, tmp_path: Path) -> None:
    write_panel_step(made.job.panel, made.job.holes(), tmp_path / "p.step", "t", "2024-05-31")
    assert "'2024-05-31T00:00:00'" in (tmp_path / "p.step").read_text("ascii")


def test_legends_are_faces_on_the_front_where_they_are_asked_for(made: Report, tmp_path: Path) -> None:
    named("panel.step").make(Order(made, step_legends=True), tmp_path / "panel.step")
    step = Step(tmp_path / "panel.step")
    assert sorted(str(product[0]).split(",")[0] for product in step.of("PRODUCT"))[-1] == "legends"
    import cadquery as cq

    shapes: list[Any] = cq.importers.importStep(str(tmp_path / "panel.step")).vals()
    faces = [face for shape in shapes if not shape.Solids() for face in shape.Faces()]
    inked = sum(_area(loop) for legend in clear_legends(made.job) for loop in legend.loops)
    assert sum(face.Area() for face in faces) == pytest.approx(abs(inked), rel=1e-3)
    assert all(abs(face.Center().z) < SAME and 0 < face.Center().x < 120 for face in faces)


def _area(loop: tuple[tuple[float, float], ...]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, loop[1:] + loop[:1], strict=True)) / 2


def test_no_reference_leads_nowhere(assembly: Step) -> None:
    known = set(assembly.data.instances)
    for instance in assembly.data.instances.values():
        entities = [instance.entity] if p21.is_simple_entity_instance(instance) else instance.entities
        for entity in entities:
            assert set(_references(entity.params)) <= known


def _references(value: Any) -> Iterator[str]:
    if isinstance(value, p21.Reference):
        yield value
    elif isinstance(value, p21.ParameterList | tuple | list):
        for item in value:
            yield from _references(item)


ODD = "L'R [1] \\ (2) \\S\\ \\X2\\0041\\X0\\ ''"


def test_names_with_quotes_brackets_and_backslashes_read_back_as_written(tmp_path: Path) -> None:
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDF import TDF_LabelSequence
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    label = "'" + ODD.replace("'", "''") + "'"
    made = report(tmp_path, place("xlr3-socket", label=label), PANEL)
    write_assembly_step(made.assembly, made.job.panel, tmp_path / "a.step")
    document, reader = TDocStd_Document(TCollection_ExtendedString("read")), STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.ReadFile(str(tmp_path / "a.step"))
    reader.Transfer(document)
    tool, roots, parts = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()), TDF_LabelSequence(), TDF_LabelSequence()
    tool.GetFreeShapes(roots)
    tool.GetComponents_s(roots.Value(1), parts, True)  # those of the places too
    names = []
    for number in range(1, parts.Length() + 1):
        name = TDataStd_Name()
        assert parts.Value(number).FindAttribute(TDataStd_Name.GetID_s(), name)
        names.append(name.Get().ToExtString())
    assert f"{ODD}: xlr3-socket" in names
