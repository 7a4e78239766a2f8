"""CAD solids from slices, by hand: volume and box of each kind of slice, where it stands, and what cannot be made."""

from __future__ import annotations

import math
from dataclasses import replace

import cadquery as cq
import pytest

from dryfit.generators.bodies import solids
from dryfit.generators.bodies.crossings import refuse_crossings
from dryfit.models.geometry.bodies import Bent, Body, Slice, Straight, Taper, prism
from dryfit.models.geometry.folds import Fold
from dryfit.models.geometry.outlines import Outline, box, d_shape, hexagon, polygon, round_, slot
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.panels import materials
from tests.plain import about

TRIANGLE = polygon(((0, 0), (6, 0), (0, 3)))


def _solid(*slices: Slice) -> cq.Shape:
    return cq.Shape.cast(solids.solid(Body("", slices)))


def _bounds(of: cq.Shape) -> list[float]:
    b = of.BoundingBox(1e-3)
    return [b.xmin, b.ymin, b.zmin, b.xmax, b.ymax, b.zmax]


CONE = math.pi / 12 * (64 + 32 + 16)


@pytest.mark.parametrize(
    ("piece", "volume", "faces"),
    [
        (prism(TRIANGLE.moved(10, 20), 2, 5), 27, 5),
        (prism(round_(8).moved(1, 2), -3, 4), math.pi * 16 * 7, 3),
        (prism(slot(10, 4), 0, 2), (24 + 4 * math.pi) * 2, 6),
        (prism(box(10, 8, 2).moved(3, 1), 0, 2), (80 - 4 * (4 - math.pi)) * 2, 10),
        (prism(box(4, 8, 2), 0, 2), (32 - 4 * (4 - math.pi)) * 2, None),  # its short sides have no length left
        (prism(d_shape(10, 8), 0, 2), d_shape(10, 8).area * 2, 4),
        (prism(hexagon(6), 0, 2, (round_(2).moved(0.5, 0),)), (36 * math.sqrt(3) / 2 - math.pi) * 2, 9),
        (Slice(Taper(8, 4, 10, 20), 3, 9), CONE * 6, 3),
        (Slice(Taper(4, 8, 10, 20), 3, 9), CONE * 6, 3),
        (Slice(Taper(4, 4, 10, 20), 3, 9), math.pi * 4 * 6, 3),
        (Slice(Taper(6, 0, 10, 20), 3, 9), math.pi * 9 * 2, 2),
        (Slice(Taper(8, 4), 0, 6, (Straight(round_(2)),)), (CONE - math.pi) * 6, 4),
        (Slice(Straight(box(30, 20)), 1, 5, (Taper(4, 8, 9, 3), Straight(round_(4).moved(-8, -2)))),
         2400 - math.pi / 12 * (16 + 32 + 64) * 4 - 16 * math.pi, 8),
    ],
)  # fmt: skip
def test_a_slice_is_a_valid_solid_of_its_volume_where_it_stands(piece: Slice, volume: float, faces: int | None) -> None:
    made = _solid(piece)
    assert made.isValid()
    assert made.Volume() == pytest.approx(volume, rel=1e-6)
    assert _bounds(made) == pytest.approx(list(piece.box), abs=1e-2)
    if faces is not None:
        assert len(made.Faces()) == faces


@pytest.mark.parametrize(("low", "high"), [(8.0, 4.0), (4.0, 8.0)])
def test_a_cone_is_wide_at_the_end_it_should_be(low: float, high: float) -> None:
    centre = _solid(Slice(Taper(low, high), 3, 9)).Center()
    # of a cone from r to R over h, from the wide end: h / 4 (R^2 + 2 R r + 3 r^2) / (R^2 + R r + r^2)
    up = 6 / 4 * (16 + 16 + 12) / (16 + 8 + 4)
    assert centre.z == pytest.approx(3 + up if low > high else 9 - up)


@pytest.mark.parametrize("side", [1, -1])
def test_holes_are_where_they_should_be(side: int) -> None:
    made = _solid(
        Slice(Straight(box(30, 20)), 0, 4, (Taper(4, 8, 9 * side, 3), Straight(round_(2).moved(-8, 5 * side))))
    )
    cone, bore = math.pi / 12 * (16 + 32 + 64) * 4, math.pi * 4
    centre = made.Center()
    whole = 2400 - cone - bore
    assert centre.x * whole == pytest.approx(-(cone * 9 * side) + bore * 8, rel=1e-6)
    assert centre.y * whole == pytest.approx(-(cone * 3) - bore * 5 * side, rel=1e-6)
    assert centre.z < 2  # more is taken out above


def test_slices_are_fused_to_one_solid_without_seams() -> None:
    made = _solid(prism(box(10, 10), 0, 2), prism(box(10, 10), 2, 5), prism(round_(4).moved(1, 0), 5, 7))
    assert len(made.Solids()) == 1
    assert len(made.Faces()) == 6 + 2
    assert made.Volume() == pytest.approx(500 + 8 * math.pi)


@pytest.mark.parametrize("turn", [0, 90, 180, -90])
@pytest.mark.parametrize(("inside", "outside"), [(2.0, 4.0), (0.0, 2.0)])
def test_folded_sheet_is_one_valid_solid_with_its_bend(turn: float, inside: float, outside: float) -> None:
    sheet = tuple(prism(box(100, 80).turned(turn), low, low + 1) for low in (-2, -1))
    start = 40 - outside
    strip = box(102, 41 - start).moved(0, (41 + start) / 2).turned(turn)
    relief = box(11, outside + 1.5).moved(45.5, 40.25 - outside / 2).turned(turn)
    fold = Fold(turn, -50, 40, 40, 2, inside, outside, -15)
    made = cq.Shape.cast(solids.solid(Body("", sheet, bent=Bent(sheet, (strip, relief), (fold,)))))
    assert made.isValid()
    assert len(made.Solids()) == 1
    flat = 100 * (40 + start) - 10 * 0.5
    assert made.Volume() == pytest.approx(flat * 2 + fold.volume, rel=1e-9)
    lying = turn in (90, -90)
    assert made.BoundingBox().xlen == pytest.approx(80 if lying else 100)
    assert made.BoundingBox().zmin == pytest.approx(-15)
    assert made.BoundingBox().zmax == pytest.approx(0)


# --- the bare panel -------------------------------------------------------------------------------------

PANEL = Panel(100.0, 60.0, 3.0, materials()["aluminium"])


def _hole(x: float, y: float, size: float = 10, *, sink: float = 0.0, side: str = "front", **more: str) -> Hole:
    cone = Countersink(diameter=sink) if sink else None
    return Hole(round_(size).moved(x, y), more.get("purpose", "main"), more.get("place", "A"), cone, side)  # type: ignore[arg-type]


def _made(panel: Panel, *holes: Hole) -> cq.Shape:
    return cq.Shape.cast(solids.panel_solid(panel, holes))


def test_a_bare_panel_fills_three_millimetres_behind_its_face_less_its_holes() -> None:
    made = _made(PANEL, _hole(20, 10), _hole(-20, -5, 6))
    assert made.isValid()
    assert made.Volume() == pytest.approx(3 * (6000 - math.pi * 25 - math.pi * 9))
    assert _bounds(made) == pytest.approx([-50, -30, -3, 50, 30, 0], abs=1e-2)
    assert made.Center().x * made.Volume() == pytest.approx(-3 * math.pi * (25 * 20 - 9 * 20))


@pytest.mark.parametrize("side", ["front", "rear"])
@pytest.mark.parametrize(("sink", "thick"), [(14.0, 3.0), (18.0, 3.0), (20.0, 3.0), (10.0, 3.0)])
def test_a_countersink_takes_its_cone_from_the_side_it_is_on(side: str, sink: float, thick: float) -> None:
    made = _made(PANEL, _hole(20, 10, sink=sink, side=side))
    depth = min((sink - 10) / 2, thick)
    end = sink - 2 * depth
    cone = math.pi / 12 * (sink**2 + sink * end + end**2) * depth
    bore = math.pi * 25 * (thick - depth)
    assert made.isValid()
    assert made.Volume() == pytest.approx(18000 - cone - bore)
    if sink > 10:
        assert (made.Center().z < -1.5) is (side == "front")


@pytest.mark.parametrize(
    ("holes", "says"),
    [
        ((_hole(45, 0),), "the main hole of A crosses the edge of the panel"),  # it touches: no solid is left there
        ((_hole(0, 26, purpose="fixing", place="B"),), "the fixing hole of B crosses the edge of the panel"),
        ((_hole(0, 0), _hole(10, 0, place="B")), "the main hole of A and main hole of B run into each other"),
        ((_hole(0, 0), _hole(0, 9, place="", purpose="rack")),
         "the main hole of A and rack hole of the panel run into each other"),
        ((_hole(-20, 0), _hole(0, 0, place="C"), _hole(6, 6, place="B")),
         "the main hole of C and main hole of B run into each other"),
    ],
)  # fmt: skip
def test_holes_that_leave_no_solid_are_refused(holes: tuple[Hole, ...], says: str) -> None:
    with pytest.raises(DryfitError, match=says):
        _made(PANEL, *holes)


def test_holes_with_a_little_metal_between_them_are_cut() -> None:
    made = _made(PANEL, _hole(44.99, 0), _hole(34.98, 0, place="B"))
    assert made.isValid()
    assert made.Volume() == pytest.approx(3 * (6000 - 2 * math.pi * 25))


def test_a_slot_of_the_rack_may_be_open_to_the_edge() -> None:
    open_slot = Hole(box(10, 6).moved(48, 0), "rack")
    refuse_crossings(PANEL, (open_slot,))
    with pytest.raises(DryfitError, match="crosses the edge"):
        refuse_crossings(PANEL, (replace(open_slot, purpose="main", place="A"),))


@pytest.mark.parametrize(("y", "crosses"), [(20.9, False), (21.0, True), (23.0, True), (-23.0, False)])
def test_a_hole_in_the_bend_of_a_lip_is_refused(y: float, crosses: bool) -> None:
    folded = replace(PANEL, lip=15.0, bend_radius=1.0, lips=("top",))  # the bend begins at 30 - 4
    if crosses:
        with pytest.raises(DryfitError, match="the main hole of A crosses a fold of the panel"):
            _made(folded, _hole(0, y))
    else:
        assert _made(folded, _hole(0, y)).isValid()


def test_a_hole_in_a_relief_is_refused_by_the_name_of_the_panel() -> None:
    # two lips meet at the upper right: the notch begins 4.5 mm from both edges
    folded = replace(PANEL, lip=15.0, bend_radius=1.0, lips=("top", "right"))
    corner = Hole(round_(1).moved(45.3, 25.3), "rack")  # 0.2 and 0.2 before it: 0.28 less half a millimetre
    with pytest.raises(DryfitError, match="the rack hole of the panel crosses a fold of the panel"):
        _made(folded, corner)
    assert _made(folded, replace(corner, outline=round_(1).moved(45.1, 25.1))).isValid()  # 0.57


def test_wires_close_around_each_outline() -> None:
    for outline in (box(10, 4, 1), slot(10, 4), d_shape(10, 8), hexagon(6), TRIANGLE, round_(5)):
        made = cq.Wire(solids.wire(_shifted(outline), 2.5))
        assert made.IsClosed()
        assert made.Length() == pytest.approx(outline.perimeter)
        assert made.BoundingBox().zmin == pytest.approx(2.5)


def _shifted(outline: Outline) -> Outline:
    return outline.moved(3, -4)


def test_one_solid_is_a_solid_and_two_apart_are_both_kept() -> None:
    assert _solid(prism(box(2, 2), 0, 1)).ShapeType() == "Solid"
    assert _solid(prism(box(2, 2), 0, 1), prism(box(2, 2), 1, 2)).ShapeType() == "Solid"
    apart = _solid(prism(box(2, 2), 0, 1), prism(box(2, 2).moved(9, 0), 0, 1))
    assert (len(apart.Solids()), apart.Volume()) == (2, about(8))
