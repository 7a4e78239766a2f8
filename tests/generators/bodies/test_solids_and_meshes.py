"""Volume of every body of the demo in kernel and mesh against the closed form; the bare panel; shared bodies."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import cadquery as cq
import pytest

from dryfit.generators.bodies import solids
from dryfit.generators.bodies.lips import RELIEF_PAST
from dryfit.generators.bodies.meshes import FACETS, mesh
from dryfit.generators.bodies.panel import panel_body
from dryfit.generators.report import Report
from dryfit.models.geometry.bodies import Body
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.fields import Countersink
from tests.helpers import demo, job, place

REPORT = demo("foyer")
BODIES = REPORT.assembly.bodies()


def solid(body: Body) -> cq.Shape:
    """Return a body's solid, so that it can be measured."""
    return cq.Shape.cast(solids.solid(body))


def panel_solid(panel: Panel, holes: tuple[Hole, ...]) -> cq.Shape:
    """Return a bare panel's solid, so that it can be measured."""
    return cq.Shape.cast(solids.panel_solid(panel, holes))


@pytest.fixture(scope="module")
def report() -> Report:
    return REPORT


def _surface(body: Body) -> float:
    return sum(
        2 * s.profile.widest.area + s.profile.widest.perimeter * (s.z1 - s.z0)
        + sum(h.widest.perimeter for h in s.holes) * (s.z1 - s.z0)
        for s in body.slices
    )  # fmt: skip


def test_each_distinct_body_is_there_once(report: Report) -> None:
    assert len(set(BODIES)) == len(BODIES)
    assert len(BODIES) < len(report.assembly.instances) / 3


@pytest.mark.parametrize("body", BODIES, ids=lambda b: b.name)
def test_solid_has_the_closed_form_volume(body: Body) -> None:
    made = solid(body)
    assert made.isValid()
    assert made.Volume() == pytest.approx(body.volume, rel=1e-6)


@pytest.mark.parametrize("quality", ["check", "show"])
@pytest.mark.parametrize("body", BODIES, ids=lambda b: b.name)
def test_mesh_is_closed_and_within_its_facets(body: Body, quality: str) -> None:
    made = mesh(body, quality)  # type: ignore[arg-type]
    assert made.is_watertight
    assert made.volume == pytest.approx(body.volume, abs=_surface(body) * FACETS[quality] + 1e-3)  # type: ignore[index]
    if quality == "check":
        assert made.volume >= body.volume - 1e-3  # single precision; it holds the body


def _panel(tmp_path: Path, **changes: object) -> tuple[Panel, tuple[object, ...]]:
    made = job(tmp_path, place("xlr3-socket"), "{rack_units: 2, thickness: 3, lip: 12, bend_radius: 2}")
    return replace(made.panel, **changes), made.holes()  # type: ignore[arg-type]


def test_flat_panel_is_one_solid_of_known_volume(tmp_path: Path) -> None:
    panel, holes = _panel(tmp_path, lip=0.0)
    made = panel_solid(panel, holes)  # type: ignore[arg-type]
    area = panel.width * panel.height - sum(h.outline.area for h in holes)  # type: ignore[attr-defined]
    assert made.isValid()
    assert made.Volume() == pytest.approx(area * 3, rel=1e-9)


def test_lips_are_folded_with_true_bends(tmp_path: Path) -> None:
    panel, holes = _panel(tmp_path)
    made = panel_solid(panel, holes)  # type: ignore[arg-type]
    lip = 450 - 2 * 3  # what the rack rails leave, less a relief of one thickness at each end
    cut_back = 2 * (5 * lip + 2 * 3 * (5 + RELIEF_PAST))  # to where the folds begin, and reliefs past that
    flat = (panel.width * panel.height - cut_back - sum(h.outline.area for h in holes)) * 3  # type: ignore[attr-defined]
    bend = math.pi / 4 * (5**2 - 2**2) * lip
    wall = 3 * (12 - 2) * lip
    assert made.isValid()
    assert made.Volume() == pytest.approx(flat + 2 * (bend + wall), rel=1e-9)
    assert made.BoundingBox().zmin == pytest.approx(-15)


def test_countersinks_are_cut_as_the_body_says(tmp_path: Path) -> None:
    panel, holes = _panel(tmp_path, lip=0.0)
    for side in ("front", "rear"):
        sunk = tuple(
            replace(h, countersink=Countersink(diameter=6.3), sunk_from=side) if h.purpose == "fixing" else h  # type: ignore[attr-defined,type-var]
            for h in holes
        )
        made = panel_solid(panel, sunk)  # type: ignore[arg-type]
        assert made.Volume() == pytest.approx(panel_body(panel, sunk).volume, rel=1e-9)  # type: ignore[arg-type]
        assert made.Volume() < panel_solid(panel, holes).Volume()  # type: ignore[arg-type]


def test_holes_that_run_into_each_other_are_refused(tmp_path: Path) -> None:
    two = place("xlr3-socket") + "\n" + place("xlr3-pins", label="B", at="[20, 0]")
    made = job(tmp_path, two)
    with pytest.raises(DryfitError, match="main hole of A and main hole of B run into each other"):
        panel_solid(made.panel, made.holes())


def test_coating_takes_from_holes_and_adds_to_faces(tmp_path: Path) -> None:
    panel, holes = _panel(tmp_path, lip=0.0, coating=0.1)
    body = panel_body(panel, holes)  # type: ignore[arg-type]
    assert body.box.z0 == pytest.approx(-3.2)
    main = min(body.slices[0].holes, key=lambda h: abs(h.widest.size.width - 24))
    assert main.widest.size.width == pytest.approx(24 - 0.2)


def test_countersinks_of_one_size_end_at_one_level(tmp_path: Path) -> None:
    # depths of holes at different places differ by rounding; each level more would be a slice without thickness
    row = {"count": "5", "pitch": "30.1 mm", "at": "[-60.3, 0.7]", "label": '"A {n}"'}
    made = job(tmp_path, place("xlr3-socket", cutout="{countersink: {diameter: 6.3, angle: 90}}", **row))
    body = panel_body(made.panel, made.holes())
    assert len(body.slices) == 2
    assert solid(body).isValid()
    assert solid(body).Volume() == pytest.approx(body.volume, rel=1e-6)
