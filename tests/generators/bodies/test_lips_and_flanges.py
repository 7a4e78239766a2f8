"""Lips along chosen edges of a panel, their bends, and flanges where they are mounted."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import cadquery as cq
import pytest

from dryfit.generators.bodies import solids
from dryfit.generators.bodies.blank import blank, silhouette
from dryfit.generators.bodies.lips import RELIEF_PAST, fold, lips
from dryfit.generators.bodies.mass import mass
from dryfit.generators.bodies.meshes import FACETS, mesh
from dryfit.generators.bodies.panel import STEP, lip_walls, panel_body
from dryfit.generators.pipeline import judged
from dryfit.models.findings import Verdict
from dryfit.models.geometry.contours import Contour, polygon_of
from dryfit.models.geometry.outlines import round_
from dryfit.models.panel import EDGES, Panel
from dryfit.models.reading.errors import InputError
from dryfit.models.tables.panels import materials
from tests.helpers import finding, job, place

LIPPED = "{rack_units: 2, thickness: 2 mm, lip: 15 mm, bend_radius: 1 mm}"
CHOICES = [c for n in range(1, 5) for c in itertools.combinations(EDGES, n)]


def _panel(**changes: object) -> Panel:
    values: dict[str, object] = {"lip": 15.0, "bend_radius": 2.0, **changes}
    return Panel(120.0, 80.0, 2.0, materials()["steel"], **values)  # type: ignore[arg-type]


def _area(shape: Contour) -> float:
    points = polygon_of(shape, 1e-4)
    return sum(a.x * b.y - b.x * a.y for a, b in itertools.pairwise((*points, points[0]))) / 2


# --- where they are -----------------------------------------------------------------------------------------------


def test_without_a_word_on_edges_lips_are_along_top_and_bottom(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket"), LIPPED).panel
    assert panel.folded == ("top", "bottom")
    assert [lip.reach for lip in lips(panel)] == [panel.height / 2] * 2
    assert [lip.length for lip in lips(panel)] == [panel.lip_length] * 2


def test_lips_stand_along_the_edges_that_are_named(tmp_path: Path) -> None:
    panel = job(
        tmp_path, place("xlr3-socket"),
        "{size: [120 mm, 80 mm], thickness: 2 mm, lip: 15 mm, bend_radius: 2 mm, lips: [left, top]}",
    ).panel  # fmt: skip
    assert panel.folded == ("top", "left")
    top, left = (walls[0].profile.widest.box for walls in lip_walls(panel))
    corner = 60 - 2 - 2 - RELIEF_PAST  # both end before the other's bend
    assert top == pytest.approx((-corner, 38, 60, 40))
    assert left == pytest.approx((-60, -40, -58, 40 - 2 - 2 - RELIEF_PAST))


def test_a_flat_panel_has_no_lip(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket")).panel
    assert lips(panel) == ()
    assert lip_walls(panel) == ()
    assert panel.flat == panel.outline


def test_the_flat_ends_one_thickness_and_the_inside_radius_from_the_outer_face() -> None:
    assert _panel(lips=("right",)).flat.box == pytest.approx((-60, -40, 56, 40))
    assert _panel(lips=EDGES).flat.box == pytest.approx((-56, -36, 56, 36))


def test_a_relief_is_one_thickness_wide_beside_a_lip_short_of_the_rails(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket"), LIPPED).panel
    assert panel.lip_length < panel.width
    for lip in lips(panel):
        assert [end.relief for end in (lip.left, lip.right)] == pytest.approx([2, 2])
        assert lip.floor == pytest.approx(panel.height / 2 - 3 - RELIEF_PAST)


def test_corners_are_round_where_no_lip_ends() -> None:
    rounded = [corner.is_round for corner in _panel(lips=("top",), corner=5.0).outline.corners]
    assert rounded == [False, False, True, True]  # from the upper right, anticlockwise


@pytest.mark.parametrize(
    ("panel", "told"),
    [
        ("lip: 15, bend_radius: 0.5", r"at least 1 mm for 2 mm steel"),
        ("lip: 15", r"at least 1 mm for 2 mm steel"),
        ("lip: 15, bend_radius: 2, lips: [top, top]", "named twice"),
        ("lip: 15, bend_radius: 2, lips: [side]", "top"),
        ("lips: [top]", "lips goes with lip"),
        ("bend: {k: 0.4}", "bend goes with lip"),
        ("lip: 15, bend_radius: 2, bend: {k: 0.4, deduction: 3}", "one of k, allowance and deduction"),
        ("lip: 15, bend_radius: 2, bend: {deduction: 7}", r"1\.72 mm to 4\.86 mm"),
        ("lip: 15, bend_radius: 2, corner: 5", "every corner is at the end of a lip"),
        ("lip: 1, bend_radius: 2", "no room for their bends"),
        ("lip: 15, bend_radius: 2, depth: 12", "lips of 15 mm reach deeper than the 12 mm behind the panel"),
    ],
)
def test_lips_that_nobody_can_fold_are_refused(tmp_path: Path, panel: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        job(tmp_path, place("xlr3-socket"), f"{{size: [120, 80], thickness: 2 mm, material: steel, {panel}}}")


def test_a_rack_panel_has_no_lip_in_its_rails(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="rack rails"):
        job(tmp_path, place("xlr3-socket"), LIPPED.replace("lip:", "lips: [left], lip:"))


# --- what they are made of ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("edges", CHOICES, ids="-".join)
def test_solid_mesh_mass_and_blank_of_every_choice_of_lips_agree(tmp_path: Path, edges: tuple[str, ...]) -> None:
    made = job(tmp_path, place("xlr3-socket"), "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 2}")
    panel = replace(made.panel, lips=edges, coating=0.1)  # type: ignore[arg-type]
    holes = sum(hole.outline.area for hole in made.holes())
    bare = cq.Shape.cast(solids.panel_solid(panel, made.holes()))
    assert bare.isValid()
    weighed = mass(replace(made, panel=panel)) / panel.material.density / 1e-9
    assert bare.Volume() == pytest.approx(weighed, rel=1e-9)
    # flat, without holes and bends, the blank is as large: only the allowance differs from the arc at mid thickness
    arc = (math.pi / 2) * (2 + 2 / 2) - blank(panel).allowance
    more = arc * sum(lip.length for lip in lips(panel))
    assert (_area(blank(panel).contour) + more - holes) * 2 == pytest.approx(bare.Volume(), rel=1e-9)
    box = bare.BoundingBox()
    assert (box.xlen, box.ylen, box.zlen) == pytest.approx((120, 80, 17))

    body = panel_body(panel, made.holes())
    finished, shown = cq.Shape.cast(solids.solid(body)), mesh(body)
    assert finished.isValid()
    assert len(finished.Solids()) == len(bare.Solids()) == shown.body_count == 1
    assert shown.is_watertight
    assert shown.volume == pytest.approx(finished.Volume(), abs=finished.Area() * FACETS["show"] / 2)
    held = mesh(body, "check")
    assert held.volume >= finished.Volume()  # slices hold the true bends
    box = finished.BoundingBox()
    assert (box.xlen, box.ylen, box.zlen) == pytest.approx((120.2, 80.2, 17.2))


@pytest.mark.parametrize("radius", [2.0, 0.05])
def test_a_finished_panel_with_a_lip_holds_its_sheet_and_its_fold(tmp_path: Path, radius: float) -> None:
    made = job(tmp_path, place("xlr3-socket"), "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 2, lips: [top]}")
    panel = replace(made.panel, coating=0.1, bend_radius=radius)
    (section,) = (fold(panel, lip, 0.1) for lip in lips(panel))
    inside, outside = max(0.0, radius - 0.1), radius + 2.1  # coating fills a bend of 0.05 mm to a sharp one
    start = 40.1 - max(outside, 2.2 + inside)
    assert section.start == pytest.approx(start)
    wall = 2.2 * 17.2 + (40.1 - 2.2 - start) * 2.2  # and the sheet up to it, less and plus the rounds of the bend
    wall += (1 - math.pi / 4) * (inside**2 - outside**2)
    sheet = 120.2 * (start + 40.1) - sum(hole.coated(0.1).outline.area for hole in made.holes())
    sheet -= 2 * (1 - math.pi / 4) * 0.1**2  # coating rounds the two lower corners
    finished = cq.Shape.cast(solids.solid(panel_body(panel, made.holes())))
    assert len(finished.Solids()) == 1
    assert finished.Volume() == pytest.approx(sheet * 2.2 + wall * 120.2, rel=1e-6)


def test_the_section_of_a_fold_is_its_wall_and_a_quarter_ring() -> None:
    (lip,) = lips(_panel(lips=("top",)))
    section = fold(_panel(lips=("top",)), lip)
    assert section.area == pytest.approx(math.pi / 4 * (4**2 - 2**2) + 2 * (15 - 2))
    ring = section.ring(1e-5)
    area = sum(a.x * b.y - b.x * a.y for a, b in itertools.pairwise((*ring, ring[0]))) / 2
    assert abs(area) == pytest.approx(section.area, rel=1e-4)


def test_coating_stands_outside_the_lips_and_narrows_the_inside_of_their_bends() -> None:
    panel = _panel(lips=("top",), coating=0.1)
    (lip,) = lips(panel)
    finished = fold(panel, lip, 0.1)
    assert (finished.edge, finished.wall) == pytest.approx((40.1, 37.9))
    assert (finished.inside, finished.outside) == pytest.approx((1.9, 4.1))
    assert finished.end == pytest.approx(-2.2 - 15)
    assert panel_body(panel, ()).box.y1 == pytest.approx(40.1)


def test_steps_hold_the_inside_of_a_bend_and_stand_little_off_it() -> None:
    (walls,) = lip_walls(_panel(lips=("top",)))
    steps = walls[1:]
    for step in steps:
        inner = step.profile.widest.box.bottom
        for z in (step.z0, step.z1):
            true = 38 - (2 - math.sqrt(max(0.0, 4 - (2 + (z + 2)) ** 2)))  # about (36, -4), radius 2
            assert inner <= true + 1e-9
        off = math.hypot(inner - 36, step.z0 + 4)
        assert 2 - off < STEP
    assert sum(step.z1 - step.z0 for step in steps) == pytest.approx(2)


def test_the_corner_between_two_lips_is_notched_past_both_bends() -> None:
    panel = _panel(lips=("top", "right"))
    points = {(round(x, 6), round(y, 6)) for x, y, _ in silhouette(panel).vertices}  # type: ignore[union-attr]
    inner = (60 - 4 - RELIEF_PAST, 40 - 4 - RELIEF_PAST)
    assert points == {(-60, -40), (60, -40), (60, inner[1]), inner, (inner[0], 40), (-60, 40)}


def test_a_shops_own_k_factor_allowance_or_deduction_is_used_and_named(tmp_path: Path) -> None:
    for own, allowance in (("k: 0.4", math.pi / 2 * 2.8), ("allowance: 4.5", 4.5), ("deduction: 3.5", 8 - 3.5)):
        panel = job(
            tmp_path, place("xlr3-socket"),
            f"{{size: [120, 80], thickness: 2, lip: 15, bend_radius: 2, lips: [top], bend: {{{own}}}}}",
        ).panel  # fmt: skip
        flat = blank(panel)
        assert flat.basis == "the shop's own"
        assert flat.allowance == pytest.approx(allowance)
        assert flat.height == pytest.approx(80 - 4 + allowance + 13)


# --- what is checked against them -----------------------------------------------------------------------------------


def test_a_body_in_a_lip_is_seen_on_the_side_that_has_one(tmp_path: Path) -> None:
    panel = "{size: [120, 80], thickness: 1.5 mm, lip: 20, bend_radius: 1, lips: [EDGE]}"
    part = place("combination-jack-forming", mount="rear", at="[0, -24.1]")
    for edge, verdict in (("bottom", Verdict.FAILS), ("top", Verdict.FITS)):
        found = finding(judged(job(tmp_path, part, panel.replace("EDGE", edge))), "body-room")
        assert found.verdict is verdict
    # 24.1 + 15.5 of body = 39.6; the lip's inner face is at 38.5


def test_a_body_in_the_inner_corner_of_a_bend_meets_its_fillet(tmp_path: Path) -> None:
    # the bend of 6 mm leaves 38 - 6 = 32 mm of flat behind; a flange reaching further lies on the fillet
    panel = "{size: [120, 80], thickness: 2 mm, lip: 20, bend_radius: BEND, lips: [bottom]}"
    part = place("xlr3-socket", mount="rear", at="[0, -19.5]")  # its flange ends at 19.5 + 15.5 = 35
    for radius, verdict in (("1 mm", Verdict.FITS), ("6 mm", Verdict.FAILS)):
        found = finding(judged(job(tmp_path, part, panel.replace("BEND", radius))), "body-room")
        assert found.verdict is verdict, radius


def test_the_corners_of_a_gland_nut_meet_the_inside_of_a_lip(tmp_path: Path) -> None:
    # 120 x 80, t 2: lip inside at 80 - 2 = 78; gland at y = 66, its nut 15 mm to a corner behind: 81
    panel = "{size: [120, 80], thickness: 2, lip: 15, bend_radius: 1, lips: [top]}"
    made = judged(job(tmp_path, place("gland-m20", at="[0, 26]"), panel))
    assert made.verdict is Verdict.FAILS
    told = [f for f in made.findings if f.verdict is Verdict.FAILS and "panel" in " ".join((*f.bodies, f.says))]
    assert told


def test_depth_counts_from_the_rear_face_of_the_sheet_not_from_the_ends_of_lips(tmp_path: Path) -> None:
    flat = "{size: [120, 80], thickness: 2, depth: 60}"
    lipped = flat.replace("depth", "lip: 20, bend_radius: 2, depth")
    part = place("xlr3-socket")
    measured = [finding(judged(job(tmp_path, part, panel)), "rear-room").says for panel in (flat, lipped)]
    assert measured[0] == measured[1]


def test_a_flange_turns_with_its_place_and_in_its_cut_out(tmp_path: Path) -> None:
    upright = job(tmp_path, place("xlr3-socket", at="[10, 5]")).places[0]
    assert upright.flange.size == pytest.approx((26, 31))
    for turns in ({"turn": "90"}, {"part_turn": "90"}):
        lying = job(tmp_path, place("xlr3-socket", at="[10, 5]", **turns)).places[0]
        assert lying.flange.size == pytest.approx((31, 26))
        assert lying.flange.centre == pytest.approx((10, 5))


def test_what_stands_to_the_right_of_a_part_stands_above_it_after_a_quarter_turn(tmp_path: Path) -> None:
    lying = job(tmp_path, place("xlr3-socket", at="[10, 5]", turn="90")).places[0]
    assert lying.mounted(round_(2).moved(7, 0)).centre == pytest.approx((10, 12))
