"""True solids among the meshes: told where a screw or a neighbour meets them and the sections would let it be."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from dryfit.generators.bodies.meshes import solid_mesh
from dryfit.generators.bodies.parts import part_body
from dryfit.generators.bodies.real import RealSolid, Skin
from dryfit.generators.pipeline import cross_check
from dryfit.generators.report import Report
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.bodies import Body, Straight, prism
from dryfit.models.geometry.outlines import box, round_
from tests.helpers import place, report

PLATE = load_catalogue().parts["blank-d"]
THREADED = load_catalogue().parts["combination-jack-threaded"]
TWO = f"{place('blank-d', at='[-13.07, 0]')}\n{place('blank-d', at='[13.07, 0]', label='B')}"


@pytest.fixture(scope="module")
def plates(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Two blanks side by side, all but touching."""
    return report(tmp_path_factory.mktemp("plates"), TWO)


def skin_of(body: Body) -> Skin:
    mesh = solid_mesh(body, "show").to_mesh64()
    return Skin(np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts).astype(np.int64))


def more(found: Report, kind: str, skin: Skin) -> list[Finding]:
    """Return what the meshes tell of a report whose parts truly look so."""
    whole = replace(found, reals={kind: RealSolid(f"{kind}.step", b"", skin, skin, True)})
    return [one for one in cross_check(whole).findings if one not in found.findings]


def test_a_solid_that_is_as_its_sections_is_not_told(plates: Report) -> None:
    assert more(plates, "blank-d", skin_of(part_body("blank-d", PLATE, "front"))) == []


def test_a_solid_without_the_holes_of_its_sections_fails_at_each_screw(plates: Report) -> None:
    whole = Body("blank-d", (prism(PLATE.flange.outline, 0, PLATE.flange.thick),))
    told = more(plates, "blank-d", skin_of(whole))
    assert [(one.check, one.place, one.verdict) for one in told] == [
        ("screw-passes", at, Verdict.FAILS) for at in ("A", "A", "B", "B")
    ]
    assert "A: screw 1" in told[0].says


def test_solids_that_meet_where_their_sections_clear_each_other_fail(plates: Report) -> None:
    holes = tuple(round_(3.5).moved(*at) for at in PLATE.fixings.at) if PLATE.fixings is not None else ()
    wider = Body("blank-d", (prism(box(28, 31), 0, 1.0, holes),))
    (told,) = (one for one in more(plates, "blank-d", skin_of(wider)) if one.check == "body-room")
    assert (told.place, told.verdict, told.bodies) == ("A", Verdict.FAILS, ("A: blank-d", "B: blank-d"))


def test_threads_that_a_solid_has_drawn_at_their_core_are_no_clash(tmp_path: Path) -> None:
    kind = "combination-jack-threaded"
    found = report(tmp_path, place(kind, mount="rear"))
    assert THREADED.fixings is not None
    body = part_body(kind, THREADED, "rear")
    narrower = tuple(
        replace(one, holes=tuple(Straight(round_(2.5).moved(*hole.widest.box.centre)) for hole in one.holes))
        for one in body.slices
    )
    assert any(one.holes for one in narrower)
    assert more(found, kind, skin_of(replace(body, slices=narrower))) == []
    solid = replace(body, slices=tuple(replace(one, holes=()) for one in body.slices))
    assert more(found, kind, skin_of(solid)) == []  # nor that it has none drawn: sections say how deep it is


def test_a_solid_whose_skin_is_open_is_told_as_not_known(plates: Report) -> None:
    skin = skin_of(part_body("blank-d", PLATE, "front"))
    told = more(plates, "blank-d", replace(skin, triangles=skin.triangles[1:]))
    assert [(one.place, one.verdict) for one in told] == [("A", Verdict.TIGHT), ("B", Verdict.TIGHT)]
    assert "is not closed" in told[0].says
