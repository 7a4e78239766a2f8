"""Drawings of others taken in: every way of drawing a hole gives that hole, and a stranger's file does no harm."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.intake.plates.figures import hull
from dryfit.generators.intake.plates.plate import Plate, Sink, plate_of
from dryfit.generators.intake.reading import dxf as reader
from dryfit.generators.intake.reading.dxf import RefusedError, drawing, read_dxf
from dryfit.models.geometry.contours import describe
from dryfit.models.reading.errors import InputError
from tests.generators.intake.drawings import dxf, plate

CLOSE = 0.002  # mm


def taken(draw: Callable[[Any], None], units: int = 4, unit: str | None = None) -> Plate:
    """Return the plate of a drawing, its lower left corner told by `corner`."""
    return plate_of(drawing(dxf(draw, units)), "x.dxf", unit)


def _with(hole: Callable[[Any], None]) -> Callable[[Any], None]:
    def draw(document: Any) -> None:
        plate(document.modelspace())
        hole(document)

    return draw


def _slot_in_pieces(document: Any) -> None:
    """Draw a slot as lines and arcs in no order, one line drawn twice, one cut in two, ends off by a thousandth."""
    space = document.modelspace()
    space.add_arc((60, 50), 5, -90, 90)
    space.add_line((40, 45.001), (60, 45))
    space.add_line((55, 55), (60, 55))
    space.add_line((55, 55), (40, 55))
    space.add_line((60, 45), (40, 45.001))
    space.add_arc((40, 50), 5, 90, 270)


def _circle_in_halves(document: Any) -> None:
    document.modelspace().add_lwpolyline([(40, 50, 1), (60, 50, 1)], format="xyb", close=True)


def _circle_of_chords(document: Any) -> None:
    spots = [(50 + 10 * math.cos(a), 50 + 10 * math.sin(a)) for a in (math.radians(6 * n) for n in range(60))]
    document.modelspace().add_lwpolyline(spots, close=True)


def _circle_as_ellipse(document: Any) -> None:
    document.modelspace().add_ellipse((50, 50), (10, 0), 1.0)


def _circle_as_spline(document: Any) -> None:
    from ezdxf.math import ConstructionEllipse, rational_bspline_from_ellipse

    spline = rational_bspline_from_ellipse(ConstructionEllipse((50, 50), (10, 0), ratio=1.0))
    document.modelspace().add_spline().apply_construction_tool(spline)


def _circle_from_below(document: Any) -> None:
    document.modelspace().add_circle((-50, 50), 10, dxfattribs={"extrusion": (0, 0, -1)})


def _old_polyline(document: Any) -> None:
    document.modelspace().add_polyline2d([(40, 50, 1), (60, 50, 1)], format="xyb", close=True)


def _circle_in_blocks(document: Any) -> None:
    inner, outer = document.blocks.new("inner"), document.blocks.new("outer")
    inner.add_circle((1, 0), 2.5)
    outer.add_blockref("inner", (3, 0), dxfattribs={"xscale": 2, "yscale": 2})
    document.modelspace().add_blockref("outer", (45, 40), dxfattribs={"rotation": 90, "xscale": 2, "yscale": 2})


@pytest.mark.parametrize(
    "hole",
    [
        _circle_in_halves, _circle_of_chords, _circle_as_ellipse, _circle_as_spline, _circle_from_below,
        _old_polyline,
    ],
)  # fmt: skip
def test_a_circle_is_a_circle_however_it_is_drawn(hole: Callable[[Any], None]) -> None:
    (found,) = taken(_with(hole)).openings
    assert found.outline is not None
    assert found.outline.is_circle
    assert found.outline.size.width == pytest.approx(20, abs=CLOSE)
    assert tuple(found.centre) == pytest.approx((-50, 0), abs=CLOSE)


def test_a_block_in_a_block_is_turned_and_scaled_with_its_inserts() -> None:
    (found,) = taken(_with(_circle_in_blocks)).openings
    assert found.box.width == pytest.approx(2 * 2.5 * 4)
    assert tuple(found.centre - (-100.0, -50.0)) == pytest.approx((45, 40 + 2 * (3 + 2)))


def test_lines_and_arcs_in_any_order_join_to_one_slot() -> None:
    made = taken(_with(_slot_in_pieces))
    (found,) = made.openings
    assert found.outline is not None
    assert describe(found.outline) == "30 × 10 slot"
    assert made.said == ()


def test_inches_are_turned_into_millimetres_and_an_unnamed_unit_is_told() -> None:
    inches = taken(lambda d: plate(d.modelspace(), 19.0, 3.469), units=1)
    assert tuple(inches.box.size) == pytest.approx((482.6, 88.1126))
    unnamed = taken(lambda d: plate(d.modelspace(), 19.0, 3.469), units=0, unit="in")
    assert unnamed.box == inches.box
    assert "names no unit" in taken(lambda d: plate(d.modelspace()), units=0).said[0]


def test_layers_and_line_types_that_are_no_metal_are_left_out_and_told() -> None:
    def draw(document: Any) -> None:
        space = document.modelspace()
        plate(space)
        document.linetypes.add("CENTER2", [1.0, 0.5, -0.5])
        document.layers.add("hidden away").off()
        space.add_circle((50, 50), 5, dxfattribs={"layer": "DIMENSIONS"})
        space.add_circle((50, 20), 5, dxfattribs={"linetype": "CENTER2"})
        space.add_circle((90, 20), 5, dxfattribs={"layer": "hidden away"})
        space.add_text("24", dxfattribs={"layer": "0"})
        space.add_circle((150, 50), 5)

    made = taken(draw)
    assert [tuple(o.centre) for o in made.openings] == [(50, 0)]
    (told,) = made.said
    assert all(word in told for word in ("layer DIMENSIONS", "line type CENTER2", "hidden layer", "text (1)"))


def test_a_ring_about_a_hole_is_its_countersink_and_lines_that_close_nothing_are_told() -> None:
    def draw(document: Any) -> None:
        space = document.modelspace()
        plate(space)
        document.layers.add("countersink rear")
        space.add_circle((50, 50), 1.6)
        space.add_circle((50, 50), 3.2)
        space.add_circle((90, 50), 1.6)
        space.add_circle((90, 50), 3.0, dxfattribs={"layer": "countersink rear"})
        space.add_line((150, 50), (160, 50))

    made = taken(draw)
    assert {(round(o.box.width, 6), o.sink) for o in made.openings} == {(3.2, Sink(6.4)), (3.2, Sink(6.0, "rear"))}
    assert any("close nothing, at (150.00, 50.00)" in told for told in made.said)


def test_a_hole_in_the_corner_of_another_ones_box_is_a_hole_of_its_own() -> None:
    def fan(document: Any) -> None:
        document.modelspace().add_circle((50, 50), 18.5)
        document.modelspace().add_circle((66, 66), 1.7)

    assert sorted(round(o.box.width, 3) for o in taken(_with(fan)).openings) == [3.4, 37]


def test_a_hole_of_no_plain_shape_is_kept_as_a_contour() -> None:
    def notched(document: Any) -> None:
        spots = [(40, 40), (60, 40), (60, 60), (52, 60), (52, 55), (48, 55), (48, 60), (40, 60)]
        document.modelspace().add_lwpolyline(spots, close=True)

    (found,) = taken(_with(notched)).openings
    assert found.outline is None
    assert tuple(found.box.size) == (20, 20)
    assert hull(found.contour).area == pytest.approx(400)


# --- strangers' files ------------------------------------------------------------------------------------------------


def _cyclic(document: Any) -> None:
    for name, other in (("A", "B"), ("B", "A")):
        document.blocks.new(name).add_blockref(other, (0, 0))
    document.modelspace().add_blockref("A", (0, 0))


def _doubling(document: Any) -> None:
    """Draw a circle in blocks that insert the one before it forty times each."""
    document.blocks.new("b0").add_circle((0, 0), 1)
    for n in range(1, 8):
        block = document.blocks.new(f"b{n}")
        for k in range(40):
            block.add_blockref(f"b{n - 1}", (k, 0))
    document.modelspace().add_blockref("b7", (0, 0))


def _in_rows(document: Any) -> None:
    document.blocks.new("b").add_circle((0, 0), 1)
    rows = {"row_count": 30000, "column_count": 30000, "row_spacing": 1, "column_spacing": 1}
    document.modelspace().add_blockref("b", (0, 0), dxfattribs=rows)


def _far(document: Any) -> None:
    document.modelspace().add_circle((1e9, 0), 5)


@pytest.mark.parametrize(
    ("draw", "says"),
    [
        (_cyclic, "blocks nested more than 8 deep, or within themselves"),
        (_doubling, "draws more than 3000 entities"),
        (_in_rows, "inserts a block more than 3000 times"),
        (_far, "too far off"),
    ],
)
def test_what_grows_without_end_is_refused_by_what_it_is(
    draw: Callable[[Any], None], says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reader, "MOST_ENTITIES", 3000)
    with pytest.raises(RefusedError, match=says):
        drawing(dxf(_with(draw)))


@pytest.mark.parametrize(
    ("entity", "says"),
    [
        ("  0\nLINE\n  8\n0\n 10\n0\n 20\n0\n 11\n1\n 21\n1\n", "holds more than 200 records"),
        ("  0\nLWPOLYLINE\n  8\n0\n 70\n1\n" + " 10\n1\n 20\n0\n" * 20, "draws with more than 300 points"),
    ],
)
def test_a_file_of_too_much_is_refused_before_it_is_parsed(
    entity: str, says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def parsed(_: bytes) -> None:
        raise AssertionError("the file was parsed")

    monkeypatch.setattr(reader, "MOST_RECORDS", 200)
    monkeypatch.setattr(reader, "MOST_VERTICES", 300)
    monkeypatch.setattr(reader, "_text", parsed)
    many = entity * (250 if "LINE\n  8\n0\n 10" in entity else 50)
    for newline in ("\n", "\r\n"):
        data = f"  0\nSECTION\n  2\nENTITIES\n{many}  0\nENDSEC\n  0\nEOF\n".replace("\n", newline).encode()
        with pytest.raises(RefusedError, match=says):
            drawing(data)


def test_a_coordinate_that_is_no_number_is_refused() -> None:
    whole = dxf(_with(_circle_from_below))
    with pytest.raises(RefusedError):
        drawing(whole.replace(b"\n-50.0\n", b"\nnan\n"))


def test_a_file_cut_off_anywhere_or_of_random_bytes_is_refused() -> None:
    whole, dice = dxf(_with(_circle_from_below)), random.Random(7)
    for n in range(12):
        with pytest.raises(RefusedError, match=r"no end|cannot be read"):
            drawing(whole[: len(whole) * n // 12])
    for n in (0, 20, 3000):
        with pytest.raises(RefusedError):
            drawing(dice.randbytes(n))
        with pytest.raises(RefusedError):
            drawing(dice.randbytes(n) + b"\n  0\nEOF\n")


def test_what_the_child_cannot_take_is_told_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "panel.dxf"
    path.write_bytes(dxf(_with(_cyclic)))
    with pytest.raises(InputError, match=r"panel\.dxf: has blocks nested") as told:
        read_dxf(path)
    assert "\n" not in str(told.value)
