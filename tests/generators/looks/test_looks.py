"""What the eye is shown: never more than was checked, nothing that a check sees, and the things one knows parts by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.meshes import solid_mesh
from dryfit.generators.looks.details import PLAIN, drawn_out
from dryfit.generators.looks.looks import drawn, ink, main_finish, panel_finish
from dryfit.generators.looks.shapes import Drawn, Layer, Turning
from dryfit.generators.looks.triangles import surfaces
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.catalogue.looks import envelope
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.geometry.bodies import Body
from dryfit.models.job import Job
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, job, place

DEMOS = ("foyer", "trouble")
LEFT_OUT = 1.0  # mm3 of a piece that is written to a hundredth of a mm: it may stand out by that
CATALOGUE = load_catalogue()
ALL: dict[str, Part | Plug] = {**CATALOGUE.parts, **CATALOGUE.plugs}
FACETS = 0.08  # mm that facets of body and look may lie apart: 0.02 and 0.05 off the true surface


@cache
def _report(name: str) -> Report:
    return judged(read_job(LAYOUTS / f"{name}.yaml"))


def _plain(job: Job) -> Job:
    """Return a job none of whose parts and plugs has a look."""
    places = []
    for one in job.places:
        plug = one.plug.model_copy(update={"look": ""}) if one.plug is not None else None
        part = one.part.model_copy(update={"look": ""})
        places.append(replace(one, mounting=replace(one.mounting, part=part, plug=plug)))
    panel = replace(job.panel, finish=None, colour=None)
    return replace(job, places=tuple(places), panel=panel, looks={})


@pytest.mark.parametrize("name", DEMOS)
def test_every_finding_is_the_same_with_looks_and_without(name: str) -> None:
    seen, plain = _report(name), judged(_plain(read_job(LAYOUTS / f"{name}.yaml")))
    assert seen.job.looks
    assert seen.findings == plain.findings
    assert [(i.body, i.placement, i.name) for i in seen.assembly.instances] == [
        (i.body, i.placement, i.name) for i in plain.assembly.instances
    ]


def _distinct(report: Report) -> Iterator[tuple[Instance, Drawn]]:
    for instance in {i.body: i for i in report.assembly.instances}.values():
        found = drawn(report, instance)
        if found is not None:
            yield instance, found


@pytest.mark.parametrize("name", DEMOS)
def test_nothing_is_drawn_outside_of_the_bodies_that_are_checked(name: str) -> None:
    for instance, found in _distinct(_report(name)):
        low, high = np.array(instance.body.box[:3]) - FACETS, np.array(instance.body.box[3:]) + FACETS
        for surface in surfaces(found):
            assert (surface.points >= low).all(), instance.name
            assert (surface.points <= high).all(), instance.name
            assert surface.faces.max() < len(surface.points)


def _solid(piece: Layer | Turning) -> manifold3d.Manifold:
    if isinstance(piece, Layer):
        area = manifold3d.CrossSection([np.array(ring) for ring in piece.rings], manifold3d.FillRule.EvenOdd)
        once = area.extrude(piece.z1 - piece.z0).translate((0, 0, piece.z0))
    else:
        profile = manifold3d.CrossSection([np.array(piece.profile)], manifold3d.FillRule.NonZero)
        once = manifold3d.Manifold.revolve(profile)
    spots = (once.rotate((0, 0, spot.turn)).translate((spot.x, spot.y, 0)) for spot in piece.spots)
    return manifold3d.Manifold.batch_boolean([*spots], manifold3d.OpType.Add)


@pytest.mark.parametrize("name", ALL)
def test_what_is_drawn_of_the_catalogue_lies_within_its_envelopes_as_solids(name: str) -> None:
    one = ALL[name]
    slices = envelope(one)
    room = solid_mesh(Body(name, slices), "check")
    pieces = [*drawn_out(one, CATALOGUE.looks[one.look] if one.look else PLAIN, slices, "plastic")]
    assert sum(_solid(piece).volume() for piece in pieces) > 0.2 * room.volume()
    out = [(piece.finish, (_solid(piece) - room).volume()) for piece in pieces]
    assert max(volume for _, volume in out) < LEFT_OUT, out


def _volume(points: np.ndarray, faces: np.ndarray) -> float:
    a, b, c = (points[faces[:, n]] for n in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def test_triangles_close_around_the_volume_of_their_pieces() -> None:
    ring = tuple((math.cos(a), math.sin(a)) for a in np.linspace(0, 2 * math.pi, 24, endpoint=False))
    hole = tuple((x / 2, y / 2) for x, y in ring[::-1])
    area = 24 / 2 * math.sin(2 * math.pi / 24)
    (layer,) = surfaces((Layer("gold", 1.0, 4.0, (ring, hole)),))
    assert _volume(layer.points, layer.faces) == pytest.approx(3 * area * 0.75)
    (cone,) = surfaces((Turning("gold", ((0.0, 0.0), (3.0, 0.0), (0.0, 3.0))),))
    assert _volume(cone.points, cone.faces) == pytest.approx(9 * math.pi, rel=0.03)


def _areas_at(found: Drawn, z: float) -> float:
    return sum(_area(ring) for p in found if isinstance(p, Layer) and p.z0 < z < p.z1 for ring in p.rings)


def _area(ring: tuple[tuple[float, float], ...]) -> float:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True)) / 2


@pytest.mark.parametrize("drive", ["cross recess", "slot", "hexagon socket"])
def test_the_recess_of_a_screw_is_that_of_its_drive(tmp_path: Path, drive: str) -> None:
    head = "button" if drive == "hexagon socket" else "pan"
    rest = f"hardware: {{threads: [M3], drives: [{drive}], heads: [{head}]}}"
    report = judged(job(tmp_path, place("blank-d"), rest=rest))
    screw = next(iter(report.assembly.of("screw")))
    assert report.stacks["A"].screw.head.drive_kind == drive
    top = screw.body.slices[-1].z1
    highest = [p for p in drawn(report, screw) or () if isinstance(p, Layer) and p.z1 > top - 0.1]
    told = {"cross recess": (1, 16), "slot": (2, None), "hexagon socket": (1, 6)}  # parts at the top, corners within
    assert (len(highest), len(highest[0].rings[1]) if len(highest[0].rings) > 1 else None) == told[drive]


def test_a_socket_is_open_where_its_plug_goes_and_a_nut_has_its_corners_turned_off() -> None:
    report = _report("foyer")
    mic = next(i for i in report.assembly.of("part") if i.body.name == "xlr3-socket")
    found = drawn(report, mic) or ()
    gold = [p for p in found if p.finish == "gold"]
    assert {len(p.spots) for p in gold} == {3}
    assert _areas_at(tuple(p for p in found if p.finish == "plated zinc"), 4.2) < math.pi / 4 * (21.6**2 - 18.9**2)
    nut = next(i for i in report.assembly.of("nut") if i.body.name != "bush nut with washer")
    pieces = [p for p in drawn(report, nut) or () if isinstance(p, Layer)]
    assert _area(pieces[0].rings[0]) < _area(pieces[1].rings[0]) > _area(pieces[2].rings[0])


def test_a_look_that_does_not_suit_the_size_of_a_part_is_not_drawn(tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(
        "parts:\n  small:\n    like: xlr3-socket\n    title: Small\n    rear: [{outline: {round: 9}, to: 4}]\n",
        encoding="utf-8",
    )
    report = judged(job(tmp_path, place("small", plug="none"), rest="parts: [own.yaml]"))
    part = next(iter(report.assembly.of("part")))
    assert {piece.finish for piece in drawn(report, part) or ()} == {"plated zinc"}


@pytest.mark.parametrize(
    ("keys", "colour", "letters"),
    [
        ("", "#c7c9cb", "#16181a"),
        (", coating: 0.06", "#cbd0cc", "#16181a"),
        (", coating: 0.01, finish: anodised, colour: black", "#1b1c1e", "#f4f4f1"),
        (", coating: 0.08, finish: powder coat, colour: RAL 9005", "#0e0e10", "#f4f4f1"),
        (", material: brass, finish: brushed", "#c9a759", "#16181a"),
    ],
)
def test_a_panel_has_its_finish_and_letters_that_stand_out(
    tmp_path: Path, keys: str, colour: str, letters: str
) -> None:
    report = judged(job(tmp_path, place("blank-d"), panel=f"{{rack_units: 1, thickness: 2{keys}}}"))
    assert report.assembly.panel is not None
    assert main_finish(report, report.assembly.panel) == panel_finish(report.job.panel)
    assert (panel_finish(report.job.panel).colour, ink(report.job.panel)) == (colour, letters)
