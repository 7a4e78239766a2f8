"""Details, sections and profile: what they show is what the model holds, with every dimension it takes to make it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.generators.bodies.mass import mass
from dryfit.generators.drawing.arrangement import assembly_drawing, stacks
from dryfit.generators.drawing.flat_pattern import flat_pattern
from dryfit.generators.drawing.marks import Block, Drawing, Stroke, Text
from dryfit.generators.drawing.patterns import Pattern, detail, detail_scale, patterns, runs, sharp_corners
from dryfit.generators.drawing.profile import cuts, metal, profile
from dryfit.generators.drawing.section import Piece, Plane, cut, in_place_frame, planes, section
from dryfit.generators.lists.holes import hole_chart
from dryfit.models.geometry.bodies import Slice, Taper, prism
from dryfit.models.geometry.contours import Circle, dimension, number, polygon_of, shape_kind
from dryfit.models.geometry.outlines import box, round_
from dryfit.models.geometry.rectangles import Size
from dryfit.models.measures import MM
from tests.generators.drawing.jobs import EVERY, JOBS, MAINS, STEEL, eight, lone_hole, ninety_six, portrait, rack_panel
from tests.generators.drawing.stacks_for import assembly_of

ROOM = 60.0


def _texts(block: Block) -> list[str]:
    return [mark.text for mark in block.marks if isinstance(mark, Text)]


# --- cut-outs --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EVERY)
def test_each_place_has_one_pattern_and_each_kind_is_in_one(name: str) -> None:
    job = EVERY[name]()
    found = patterns(job)
    assert sorted(n for p in found for n in p.numbers) == list(range(1, len(job.places) + 1))
    assert {kind for p in found for kind, _ in p.holes} == set(hole_chart(job))


def _fixed_by(pattern: Pattern) -> set[tuple[float, float]]:
    """Return the points that must be dimensioned: every fixing hole and the corners of a main hole with corners."""
    main, *others = (outline for _, outline in pattern.holes)
    return {outline.centre for outline in others} | (
        set(sharp_corners(main)) if shape_kind(main) == "polygon" else set()
    )


@pytest.mark.parametrize("name", JOBS)
def test_a_detail_dimensions_all_that_fixes_the_pattern(name: str) -> None:
    for pattern in patterns(JOBS[name]()):
        told = set(_texts(detail(pattern, ROOM)))
        for x, y in _fixed_by(pattern):
            assert {dimension(x), dimension(y)} <= told
        for kind in {kind for kind, _ in pattern.holes}:
            assert any(t.startswith(f"{kind.letter}: ") for t in told)
            assert kind.countersink is None or f"countersink {kind.sink(MM)}" in told


def test_a_detail_is_drawn_to_its_scale() -> None:
    (pattern,) = patterns(lone_hole(round_(5)))
    block = detail(pattern, ROOM)
    assert any("5:1" in text for text in _texts(block))
    circles = [m.shape.radius for m in block.marks if isinstance(m, Stroke) and isinstance(m.shape, Circle)]
    assert circles == [12.5]


@given(st.floats(1, 900), st.floats(1, 900))
def test_a_detail_has_room_and_can_be_read(width: float, height: float) -> None:
    scale = detail_scale(Size(width, height), ROOM)
    assert max(width, height) * scale <= ROOM
    assert max(width, height) * scale >= 20 or scale == 5


def test_numbers_are_listed_as_a_drawing_lists_them() -> None:
    assert runs((1, 2, 3, 5, 6, 9)) == "1 to 3, 5, 6, 9"


# --- sections ---------------------------------------------------------------------------------------------------------


@given(st.floats(2, 30), st.floats(-0.95, 0.95), st.floats(0.1, 20))
def test_a_cylinder_is_cut_along_its_chord(diameter: float, share: float, height: float) -> None:
    x = share * diameter / 2
    (piece,) = cut(prism(round_(diameter), 0.0, height), x)
    half = math.sqrt((diameter / 2) ** 2 - x**2)
    assert (piece.low0, piece.high0) == pytest.approx((-half, half))
    assert (piece.z0, piece.z1) == (0.0, height)


def test_a_cone_through_its_axis_is_a_trapezium() -> None:
    (piece,) = cut(Slice(Taper(3.0, 6.0), -1.5, 0.0), 0.0)
    assert piece == Piece(-1.5, 0.0, -1.5, 1.5, -3.0, 3.0)


def test_a_hole_parts_the_metal() -> None:
    low, high = cut(prism(box(40, 30), 0, 2, (round_(10),)), 3.0)
    assert (low.low0, low.high0, high.low0, high.high0) == pytest.approx((-15, -4, 4, 15))
    assert len(cut(prism(box(40, 30), 0, 2, (round_(10),)), 6.0)) == 1


def test_a_section_goes_through_a_fixing_axis_and_shows_screw_and_nut() -> None:
    job = eight()
    assembly = assembly_of(job)
    for place in job.places:
        if not place.cutout.fixings:
            continue
        at = planes(place, iter("ZY"))[0].x
        ours = [i for i in assembly.of("screw", "nut") if i.place == place.name]
        shown = {i.role for i in ours for s in in_place_frame(i.slices, place) if cut(s, at)}
        assert shown == {"screw", "nut"}, place.name


def _of_block(drawing: Drawing, name: str) -> list[str]:
    return [text for sheet in drawing.sheets for b in sheet.blocks if b.name == name for text in _texts(b)]


def test_a_designation_is_never_broken() -> None:
    job = eight()
    assembly = assembly_of(job)
    drawing = assembly_drawing(job, assembly, "A3")
    for stack in stacks(job, assembly):
        told = [text.replace("\u00a0", " ") for text in _of_block(drawing, f"place {stack.numbers[0]}")]
        names = {i.body.name for i in assembly.of("screw", "nut") if i.place == stack.place.name}
        for name in names:
            standard = next((word for word in ("ISO", "DIN") if word in name), "")
            assert any(name[name.index(standard) :] in text for text in told) or not standard, name


def test_like_places_share_their_sections_and_every_letter_stands_for_one_section() -> None:
    job = eight()
    shown = stacks(job, assembly_of(job))
    assert [stack.numbers for stack in shown] == [(1, 2), (3,), (4,), (5, 7), (6,), (8,)]
    letters = [plane.letter for stack in shown for plane in stack.planes]
    assert len(set(letters)) == len(letters)
    assert not set(letters) & {kind.letter for kind in hole_chart(job)}
    job = ninety_six()
    assert [stack.numbers for stack in stacks(job, assembly_of(job))] == [tuple(range(1, 97))]


def test_a_part_is_cut_through_a_fixing_and_through_its_axis() -> None:
    screwed, bushed = (next(p for p in eight().places if p.name == name) for name in ("MIC 1", "WORD CLOCK"))
    assert [(plane.x, plane.letter) for plane in planes(screwed, iter("ZY"))] == [(9.5, "Z"), (0.0, "Y")]
    assert [(plane.x, plane.letter) for plane in planes(bushed, iter("ZY"))] == [(0.0, "Z")]


def test_a_section_through_the_axis_tells_how_deep_the_part_is_behind_the_panel() -> None:
    job = eight()
    place = job.places[0]
    block = section(job, assembly_of(job), place, Plane(0.0, "Y", "its axis"), room=Size(120.0, 90.0), where="place 1")
    deepest = next(i for i in assembly_of(job).of("part") if i.place == place.name)
    assert number(-deepest.box.z0 - job.panel.finished) in _texts(block)


# --- the profile of lips and the mass -----------------------------------------------------------------------------


def _area(points: tuple[tuple[float, float], ...]) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True))) / 2


@pytest.mark.parametrize(("thick", "radius", "lip"), [(2.0, 0.0, 10.0), (2.0, 2.0, 15.0), (3.0, 3.0, 12.0)])
def test_the_profile_holds_the_metal_that_the_mass_counts(thick: float, radius: float, lip: float) -> None:
    panel = replace(portrait().panel, thickness=thick, bend_radius=radius, lip=lip)
    job = replace(portrait(), panel=panel, places=())
    cross = _area(polygon_of(metal(panel, cuts(panel)[0], panel.height), 1e-4))
    assert mass(job) == pytest.approx(cross * panel.width * STEEL.density * 1e-9, rel=1e-4)


def test_the_mass_of_a_flat_panel_is_its_volume_less_its_holes() -> None:
    """482.6 x 43.66 x 3 mm with nothing but a 20 x 10 mm hole: (21070.3 - 200) x 3 x 2680e-9 = 0.1678 kg."""
    panel = replace(rack_panel(1), rack_holes=())
    part = replace(lone_hole(box(20, 10)).places[0], x=0.0, y=0.0)
    assert mass(replace(lone_hole(box(20, 10)), panel=panel, places=(part,))) == pytest.approx(0.16780, abs=5e-5)


def test_the_profile_tells_what_a_bender_sets() -> None:
    told = _texts(profile(portrait().panel, cuts(portrait().panel)[0], 100.0))
    assert {"0", "2", "17", "700", "2 × 90°, inside R2", "PROFILE  1:1"} <= set(told)


def test_every_lip_is_in_a_profile_and_in_the_flat_pattern() -> None:
    made = portrait()  # 2 mm thick, 15 mm deep, inside radius 2: bends begin 4 mm in
    panel = replace(made.panel, height=120.0, lips=("top", "left"), k_factor=0.5)
    shown = cuts(panel)
    assert [(one.upright, one.lipped) for one in shown] == [(True, ("top",)), (False, ("left",))]
    for one, whole in zip(shown, (panel.height, panel.width), strict=True):
        lipped, straight = 13 * 2 + math.pi / 4 * (4**2 - 2**2), (whole - 4) * 2
        assert _area(polygon_of(metal(panel, one, whole), 1e-4)) == pytest.approx(lipped + straight, rel=1e-4)
    drawn = flat_pattern(replace(made, panel=panel, places=()), Size(200.0, 200.0))
    bend = math.pi / 2 * 3  # what a bend takes at K = 0.5: 4.712
    told = _texts(drawn)
    assert {"0", f"{90 - 4 + bend + 13:.2f}", f"{120 - 4 + bend + 13:.2f}"} <= set(told)  # the sizes of the blank
    assert {f"{13 + bend / 2:.2f}", f"{120 - 4 + bend / 2:.2f}"} <= set(told)  # its bend lines
    assert "2 × 90° to the rear at the lines, inside R2; allowance 4.71 each" in told


def test_a_high_profile_is_broken_so_that_its_bends_can_be_seen() -> None:
    high, low = (
        profile(replace(portrait().panel, height=height), cuts(portrait().panel)[0], 100.0) for height in (700.0, 90.0)
    )
    gaps = [[m.box for m in made.marks if isinstance(m, Stroke) and m.fill == "white"] for made in (high, low)]
    assert [len(found) for found in gaps] == [1, 0]
    assert "90" in _texts(low)


def test_a_turned_polygon_keeps_its_letter() -> None:
    letters = [p for p in patterns(EVERY["large"]()) if any(o is MAINS.cutout for _, o in p.holes)]
    assert len(letters) == 1
