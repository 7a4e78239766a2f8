"""Parts at the worse end of their dimensions: arithmetic beside each."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.catalogue.dimensions import origin_of
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.catalogue.worst import extent, worst_part, worst_plug
from dryfit.models.geometry.outlines import box, clearance, hexagon, round_

CATALOGUE = load_catalogue()
OWN = """\
parts:
  mine:
    title: Mine
    family: test
    flange: {outline: {box: [26, 31], corner: 3}, thick: 2}
    cutout: {round: 24}
    fixings: {at: [[-9.5, 12], [9.5, -12]], hole: 3.3, panel: 3.4}
    front: [{outline: {round: 20}, from: 0, to: 2}]
    rear: [{outline: {round: 23.6}, from: 0, to: 12}]
    latch: {on: part, at: [0, 10], height: 2, finger: {round: 12}}
    seat: 2.2
    thickest: 3.4
    sources:
      flange.outline.width: {source: two drawings, greatest: 26.4}
      flange.thick: {source: two drawings, least: 1.8, greatest: 2.3}
      fixings.hole: {source: two drawings, least: 3.2, greatest: 3.5}
      front.0.depth: {source: two drawings, least: 1.5, greatest: 2.5}
      rear.0.width: {source: two drawings, greatest: 23.9}
      rear.0.depth: {source: two drawings, greatest: 14}
      seat: {of: front.0.depth, plus: 0.2}
      latch.height: {of: front.0.depth}
      thickest: {source: two drawings, least: 3}
"""


@pytest.fixture(scope="module")
def worst(tmp_path_factory: pytest.TempPathFactory) -> Part:
    path: Path = tmp_path_factory.mktemp("own") / "own.yaml"
    path.write_text(OWN)
    return worst_part(load_catalogue([path]).parts["mine"])


def test_bodies_are_at_their_greatest(worst: Part) -> None:
    barrel, ring = worst.rear[0], worst.front[0]
    assert barrel.outline is not None
    assert barrel.outline.size == pytest.approx((23.9, 23.9))  # 23.6 as meant
    assert (barrel.stop, ring.stop) == (14, 2.5)  # 12 and 2 as meant
    assert worst.flange.outline.size == pytest.approx((26.4, 31))  # wider by 0.4, no higher


def test_what_a_screw_passes_and_what_a_finger_reaches_are_at_their_least(worst: Part) -> None:
    assert worst.fixings is not None
    assert worst.fixings.hole == 3.2  # 3.3 as meant
    assert worst.latch is not None
    assert worst.latch.height == 1.5  # follows from the ring, 1.5 to 2.5
    assert worst.thickest == 3


def test_what_follows_from_a_dimension_goes_as_far_as_that(worst: Part) -> None:
    assert worst.seat == pytest.approx(2.5 + 0.2)  # the ring at its longest, and 0.2 mm of air


def test_the_flange_stays_as_thick_as_meant_and_tells_how_thick_it_may_be(worst: Part) -> None:
    assert worst.flange.thick == 2
    assert extent(worst, "flange.thick", 2) == (1.8, 2.3)


def test_what_is_cut_into_the_panel_stays_as_it_was(worst: Part) -> None:
    assert worst.cutout.size == pytest.approx((24, 24))
    assert worst.fixings is not None
    assert worst.fixings.panel == 3.4


def test_a_part_on_whose_dimensions_all_sources_agree_stays_itself() -> None:
    rocker = CATALOGUE.parts["rocker"]
    assert worst_part(rocker) is rocker


@pytest.mark.parametrize("name", CATALOGUE.parts)
def test_no_part_is_smaller_at_its_worst(name: str) -> None:
    part = CATALOGUE.parts[name]
    worst = worst_part(part)
    for one, other in zip((*part.front, *part.rear), (*worst.front, *worst.rear), strict=True):
        assert other.stop >= one.stop
        if one.outline is not None and other.outline is not None:
            assert other.outline.size.width >= one.outline.size.width
            assert other.outline.size.height >= one.outline.size.height
    assert (worst.thickest or 0) <= (part.thickest or 0)


@pytest.mark.parametrize("name", [name for name, part in CATALOGUE.parts.items() if part.bush is not None])
def test_the_nut_of_a_bush_goes_over_its_thread_however_wide_that_is(name: str) -> None:
    worst = worst_part(CATALOGUE.parts[name])
    assert worst.bush is not None
    side = "front" if worst.bush.nut_side == "front" else "rear"
    of_thread = [
        section
        for number, section in enumerate(getattr(worst, side))
        if origin_of(worst, f"{side}.{number}.width") == "bush.thread"
    ]
    for section in of_thread:
        assert section.outline is not None
        assert section.outline.size.width <= worst.bush.thread + 1e-9


@pytest.mark.parametrize("name", [name for name, part in CATALOGUE.parts.items() if "front" in part.mount])
def test_the_nose_of_a_plug_lies_within_the_part_where_the_panel_is(name: str) -> None:
    part = CATALOGUE.parts[name]
    for section in (s for plug in part.plugs for s in CATALOGUE.plugs[plug].nose):
        deep = section.stop - part.seat - part.flange.thick  # behind the flange's rear face, plug home
        for body in (b for b in part.rear if b.start < deep):
            if section.outline is not None and body.outline is not None:
                assert clearance(section.outline, body.outline) > -0.02, (body, section)


def test_a_plug_is_as_fat_as_its_sources_allow() -> None:
    nose = worst_plug(CATALOGUE.plugs["iec-c13-plug"]).nose[0]
    assert nose.outline is not None
    assert nose.outline.size == pytest.approx((24.54, 16.34))  # 24 x 15.8: both grow by the more, 0.54; a box would not
    assert nose.stop == 17


def test_a_box_is_drawn_apart_and_other_shapes_grow_all_about() -> None:
    assert box(10, 6, 1).moved(2, 3).stretched(1, 0.5).box == box(11, 6.5, 1).moved(2, 3).box
    assert round_(8).stretched(0.5, 0.5) == round_(8.5)
    assert hexagon(10).stretched(0.2, 0).size.width == pytest.approx(10.2)
