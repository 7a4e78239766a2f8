"""The test plate: tiles that fit the bed and make up the panel, keys clear of all, holes opened, files read back."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryfit.generators.build import build
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.generators.testplate.beds import bedfuls
from dryfit.generators.testplate.coupon import coupon
from dryfit.generators.testplate.filament import filament
from dryfit.generators.testplate.keys import HOLE_MARGIN, LAND_MARGIN, SUNK, key_height, skin
from dryfit.generators.testplate.pieces import FACET, Piece, Rear, tile_piece
from dryfit.generators.testplate.plate import Plate, plate_for, summary
from dryfit.generators.testplate.seams import BED_EDGE, SEAM_MARGIN
from dryfit.generators.writers.register import Order, chosen
from dryfit.generators.writers.threemf import threemf_bytes, write_3mf
from dryfit.models.geometry.outlines import clearance, gap
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.printer import COUPON_HOLES, Compensation, Printer, generic_printer
from dryfit.models.reading.errors import DryfitError
from tests.helpers import LAYOUTS, job, place, report

LIPPED = "{size: [300 mm, 260 mm], thickness: 1/16 in, lip: 14 mm, bend_radius: 2 mm}"
ROW = "\n".join(
    place("xlr3-socket", label=f"MIC {n}", at=f"[{x}, 0]", mount="rear" if n % 3 == 0 else "front")
    for n, x in enumerate(range(-192, 193, 32), start=1)
)
SUNK_HOLES = "{fixings: 3.2 mm, across: 19 mm, up: 28 mm, countersink: {diameter: 6 mm, from: SIDE}}"


def _plate(made: Report, **changes: Any) -> Plate:
    return plate_for(made.job, made.assembly, generic_printer().model_copy(update=changes))


@pytest.fixture(scope="module")
def row(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report(tmp_path_factory.mktemp("row"), ROW)


@pytest.fixture(scope="module")
def lipped(tmp_path_factory: pytest.TempPathFactory) -> Report:
    places = place("xlr3-socket", cutout=SUNK_HOLES.replace("SIDE", "rear")) + "\n"
    places += place("xlr3-socket", label="B", at="[-80, 60]", cutout=SUNK_HOLES.replace("SIDE", "front"))
    return report(tmp_path_factory.mktemp("lipped"), places, LIPPED)


@pytest.fixture(scope="module")
def plate(row: Report) -> Plate:
    return _plate(row)


@pytest.fixture(scope="module", params=["foyer", "trouble"])
def demo(request: pytest.FixtureRequest) -> Plate:
    from dryfit.generators.pipeline import check
    from dryfit.models.resolve import read_job

    made = check(read_job(LAYOUTS / f"{request.param}.yaml"))
    return _plate(made)


def _tiles(of: Plate) -> tuple[Piece, ...]:
    return tuple(piece for piece in of.pieces if piece.name.startswith("tile"))


# --- tiles ---------------------------------------------------------------------------------------------------------


def test_a_rack_panel_takes_three_tiles_of_a_small_bed(plate: Plate) -> None:
    assert [tile.name for tile in plate.cutting.tiles] == ["A1", "B1", "C1"]
    assert sum(t.outline.size.width for t in plate.cutting.tiles) == pytest.approx(482.6)


@pytest.mark.parametrize(
    ("panel", "bed", "tiles"),
    [
        ("{rack_units: 1, thickness: 2 mm}", (500.0, 100.0, 100.0), 1),
        ("{rack_units: 1, thickness: 2 mm}", (100.0, 500.0, 100.0), 1),  # lies a quarter turn round
        ("{rack_units: 2, half_width: true, thickness: 2 mm}", (220.0, 220.0, 250.0), 2),
        ("{rack_units: 2, thickness: 2 mm}", (110.0, 110.0, 250.0), 5),
        ("{size: [300 mm, 300 mm], thickness: 2 mm}", (220.0, 220.0, 250.0), 4),
        ("{size: [60 mm, 60 mm], thickness: 2 mm}", (64.0, 64.0, 10.0), 1),
    ],
)
def test_tiles_are_as_few_as_the_bed_allows_and_lie_within_it(
    tmp_path: Path, panel: str, bed: tuple[float, float, float], tiles: int
) -> None:
    made = _plate(report(tmp_path, place("xlr3-socket"), panel), bed=bed)
    assert len(made.cutting.tiles) == tiles
    for piece in made.pieces:
        width, depth, height = piece.size
        assert width <= bed[0] - 2 * BED_EDGE
        assert depth <= bed[1] - 2 * BED_EDGE
        assert height <= bed[2]


def test_seams_stay_out_of_holes_where_they_can(plate: Plate) -> None:
    for seam in plate.cutting.seams:
        for opening in plate.sheet.openings:
            assert gap(opening.rim, seam.outline) >= SEAM_MARGIN, opening.name
    assert not any("crosses" in note for note in plate.notes)


def test_a_seam_that_must_cross_a_hole_is_told_and_crosses_as_little_as_it_can(tmp_path: Path) -> None:
    wide = "{outline: {box: [250 mm, 40 mm]}, fixings: 3.2 mm, at: [[-135, 0], [135, 0]]}"
    made = _plate(report(tmp_path, place("xlr3-socket", cutout=wide)))
    assert [note for note in made.notes if "crosses" in note] == [
        "A seam crosses the cut-out of A: no cut that suits this bed misses every hole."
    ]
    assert all(
        gap(o.rim, s.outline) > 0 for o in made.sheet.openings for s in made.cutting.seams if o.purpose != "main"
    )


def test_a_lip_higher_than_the_printer_is_refused(lipped: Report) -> None:
    with pytest.raises(DryfitError, match="high with its lips"):
        _plate(lipped, bed=(220.0, 220.0, 15.0))


def test_a_bed_that_is_far_too_small_is_refused(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"), "{size: [2000 mm, 1500 mm], thickness: 3 mm}")
    with pytest.raises(DryfitError, match="more than 120 tiles"):
        _plate(made, bed=(60.0, 60.0, 60.0))


# --- solids --------------------------------------------------------------------------------------------------------


def _trimesh(piece: Piece) -> Any:
    import trimesh

    return trimesh.Trimesh(piece.points, piece.faces, process=False)


def _sound(of: Plate) -> None:
    for piece in of.pieces:
        solid = _trimesh(piece)
        assert solid.is_watertight, piece.name
        assert solid.is_winding_consistent
        assert solid.body_count == piece.bodies == 1
        assert solid.volume == pytest.approx(piece.volume, rel=1e-9)
        assert piece.volume > 0
        assert np.allclose(piece.points.min(axis=0), 0)
        assert piece.size[2] <= of.sheet.height or piece.name == "coupon"


def test_every_piece_is_one_closed_body_on_the_bed(demo: Plate) -> None:
    _sound(demo)


def test_lipped_pieces_too(lipped: Report) -> None:
    _sound(_plate(lipped))


def _plain_volume(of: Plate) -> float:
    """Return the volume of all tiles without letters, with pockets that leave no air."""
    rear = Rear(of.keys, 0.0, (), 0.4)
    return sum(tile_piece(of.sheet, tile, rear, False).volume for tile in of.cutting.tiles)


def _pockets(of: Plate) -> float:
    """Two trapezoids a key, as deep as pockets are."""
    area = sum((k.size.end + k.size.neck) / 2 * k.size.length / 2 * 2 for k in of.keys)
    return area * (of.sheet.thickness - skin(of.sheet.thickness))


def test_tiles_add_up_to_the_panel_less_holes_and_pockets(plate: Plate) -> None:
    width, height = plate.sheet.outline.size
    holes = sum(o.outline.area for o in plate.sheet.openings)
    assert width == pytest.approx(482.6)
    expected = (width * height - holes) * 3.175 - _pockets(plate)
    assert _plain_volume(plate) == pytest.approx(expected, abs=_chords(plate))


def test_lips_bends_and_countersinks_add_their_closed_forms(lipped: Report) -> None:
    plate = _plate(lipped)
    sheet = plate.sheet
    t, r, lip = 25.4 / 16, 2.0, 14.0
    flat = (sheet.outline.area - sum(o.outline.area for o in sheet.openings)) * t
    bends = 2 * 300 * (t * lip + (1 - math.pi / 4) * r * r)  # walls, and what fills the inside of the bend
    cones = 4 * _cone_ring(6.2, 3.4, 1.4)
    inside = 2 * 300 * math.pi / 2 * r  # of the bends
    expected = flat + bends - cones - _pockets(plate)
    assert cones > 2 * _chords(plate, inside)  # so that a countersink left out would show
    assert _plain_volume(plate) == pytest.approx(expected, abs=_chords(plate, inside))


@pytest.mark.parametrize("edge", ["left", "right", "top", "bottom"])
def test_a_lip_stands_on_its_edge_as_seen_from_the_rear(tmp_path: Path, edge: str) -> None:
    panel = f"{{size: [120, 80], thickness: 2, coating: 0.1, lip: 14, bend_radius: 2, lips: [{edge}]}}"
    made = judged(job(tmp_path, place("xlr3-socket"), panel))
    (piece,) = [p for p in _plate(made).pieces if p.name.startswith("tile")]
    assert piece.size == pytest.approx((120.2, 80.2, 2.2 + 14), abs=1e-3)
    x, y, _ = piece.points[piece.points[:, 2] > 2.2 + 2].T
    stands = {"left": x > 118 - 1e-3, "right": x < 2.2 + 1e-3, "top": y > 78 - 1e-3, "bottom": y < 2.2 + 1e-3}
    assert stands[edge].all()
    # a wall and what fills the inside of the bend, 1.9 mm under the coating, for the length of that edge
    length = 80.2 if edge in ("left", "right") else 120.2
    flat = made.job.panel.outline.grown(0.1).area - sum(h.coated(0.1).outline.area for h in made.job.holes())
    more = length * (2.2 * 14 + (1 - math.pi / 4) * 1.9**2)
    assert piece.volume == pytest.approx(flat * 2.2 + more, rel=3e-3)  # holes are opened for the printer, corners sunk


def test_seams_keep_off_lips_at_the_sides_too(tmp_path: Path) -> None:
    panel = "{size: [400, 80], thickness: 2, lip: 14, bend_radius: 2, lips: [left, top]}"
    plate = _plate(judged(job(tmp_path, place("xlr3-socket"), panel)))
    assert plate.cutting.seams
    for seam in plate.cutting.seams:
        for edge, stands in plate.sheet.lips:
            if seam.upright == (edge in ("left", "right")):
                assert gap(seam.outline, stands) > 0
    _sound(plate)


def _chords(of: Plate, more: float = 0.0) -> float:
    """Return what chords may add: two thirds of their height over walls of holes, and over more mm2 of round wall."""
    walls = sum(o.outline.perimeter for o in of.sheet.openings) * of.sheet.thickness
    return 2 / 3 * FACET * (walls + more) * 1.1


def _cone_ring(wide: float, narrow: float, depth: float) -> float:
    """Return a frustum less the hole through its middle."""
    return math.pi * depth / 12 * (wide**2 + wide * narrow + narrow**2 - 3 * narrow**2)


def test_countersinks_open_to_the_face_they_are_cut_from(lipped: Report) -> None:
    plate = _plate(lipped)
    for opening in plate.sheet.openings:
        if opening.sink is None:
            continue
        low, high = (_bore(plate, opening.outline.centre, face) for face in (0.0, plate.sheet.thickness))
        wide = (6.2, 3.4) if opening.sink.side == "front" else (3.4, 6.2)
        assert (low, high) == pytest.approx(wide, abs=2e-3)


def _bore(plate: Plate, centre: Point, z: float, most: float = 4.0) -> float:
    """Return the diameter of the hole about a centre at a level of its tile, from the corners of the mesh."""
    for tile, piece in zip(plate.cutting.tiles, _tiles(plate), strict=True):
        x, y = centre - tile.box.corner
        if tile.box.holds(Rectangle(*centre, *centre)):
            points = piece.points[np.abs(piece.points[:, 2] - z) < 1e-3]
            away = np.hypot(points[:, 0] - x, points[:, 1] - y)
            return 2 * float(away[away < away.min() + 0.01].mean()) if away.min() < most else 0.0
    raise AssertionError("no tile has this hole")


def test_every_round_hole_is_its_finished_size_plus_the_compensation(row: Report) -> None:
    points = (Compensation(hole=3.0, add=0.3), Compensation(hole=24.0, add=0.1))
    plate = _plate(row, compensation=points)
    checked = 0
    for opening, hole in zip(plate.sheet.openings, row.job.holes(), strict=True):
        if not opening.outline.is_circle:
            continue
        wanted = hole.outline.size.width - 2 * row.job.panel.coating
        expected = wanted + np.interp(wanted, [3.0, 24.0], [0.3, 0.1])
        assert _bore(plate, opening.outline.centre, 0.0, most=20.0) == pytest.approx(expected, abs=2e-3)
        checked += 1
    assert checked == 39


def test_slots_grow_on_every_side_and_the_outside_does_not(plate: Plate) -> None:
    slots = [o.outline.size for o in plate.sheet.openings if o.purpose == "rack"]
    assert slots == [pytest.approx((10.5, 7.0))] * 4
    assert plate.sheet.outline.size.width == pytest.approx(482.6)


def test_coated_panels_are_printed_as_they_are_finished(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"), "{rack_units: 2, thickness: 3 mm, coating: 0.1 mm}")
    plate = _plate(made, compensation=(Compensation(hole=1, add=0.0),))
    punched = next(h for h in made.job.holes() if h.purpose == "main").outline.size.width
    printed = next(o for o in plate.sheet.openings if o.purpose == "main").outline.size.width
    assert plate.sheet.thickness == pytest.approx(3.2)
    assert printed == pytest.approx(punched - 0.2)


# --- keys ----------------------------------------------------------------------------------------------------------


def _clear(of: Plate) -> None:
    joint = of.printer.joint
    for key in of.keys:
        for half in key.pocket(joint):
            assert clearance(half, of.sheet.outline) >= HOLE_MARGIN
            assert all(gap(half, o.rim) >= HOLE_MARGIN for o in of.sheet.openings)
            assert all(gap(half, d.outline) >= LAND_MARGIN for d in of.sheet.lands if d.side == "rear")
            assert all(gap(half, f) >= LAND_MARGIN for f in of.sheet.folds)
    for one, other in combinations(of.keys, 2):
        assert min(gap(a, b) for a in one.pocket(joint) for b in other.pocket(joint)) >= HOLE_MARGIN


def test_keys_are_clear_of_every_hole_nut_lip_and_edge(demo: Plate, lipped: Report) -> None:
    assert demo.keys
    _clear(demo)
    _clear(_plate(lipped))


def test_a_key_under_a_flange_in_front_is_told(demo: Plate) -> None:
    front = [d for d in demo.sheet.lands if d.side == "front"]
    for key in demo.keys:
        covered = any(gap(half, d.outline) < LAND_MARGIN for half in key.pocket(0.15) for d in front)
        assert covered == bool(key.under)
        assert not key.under or any(key.under in note for note in demo.notes)


def test_keys_have_their_air_and_stand_proud_of_neither_face(plate: Plate) -> None:
    for key in plate.keys:
        for half, pocket in zip(key.halves, key.pocket(0.15), strict=True):
            assert clearance(half, pocket) == pytest.approx(0.15)
    assert skin(3.175) + key_height(3.175) == pytest.approx(3.175 - SUNK)
    assert skin(25.4 / 16) == 0  # thin sheet: pockets go through
    assert key_height(25.4 / 16) == pytest.approx(25.4 / 16 - SUNK)


def test_every_seam_has_two_keys_that_straddle_it(plate: Plate) -> None:
    for seam in plate.cutting.seams:
        assert sum(1 for key in plate.keys if seam.upright and key.x == seam.at) >= 2


def test_a_seam_without_room_is_told(tmp_path: Path) -> None:
    wide = "{outline: {box: [250 mm, 84 mm]}, fixings: 3.2 mm, at: [[-135, 0], [135, 0]]}"
    made = _plate(report(tmp_path, place("xlr3-socket", cutout=wide)))
    assert any("no key" in note and "tape" in note for note in made.notes)


# --- lettering and notes -------------------------------------------------------------------------------------------


def test_every_place_and_tile_is_lettered_clear_of_holes_and_pockets(demo: Plate) -> None:
    walls = [o.rim for o in demo.sheet.openings] + [h for k in demo.keys for h in k.pocket(0.15)]
    for label in demo.labels:
        assert clearance(label.outline, demo.sheet.outline) > 0, label.text
        assert all(gap(label.outline, wall) > 0 for wall in walls), label.text
    assert all(gap(a.outline, b.outline) > 0 for a, b in combinations(demo.labels, 2))
    assert {tile.name for tile in demo.cutting.tiles} <= {label.text for label in demo.labels}
    assert not any("No room" in note for note in demo.notes)


def test_letters_read_from_the_rear(tmp_path: Path) -> None:
    """An L has its foot to the right of its stem; seen from above, the printed plate is the rear of the panel."""
    made = _plate(report(tmp_path, place("xlr3-socket", label="L"), "{size: [80 mm, 60 mm], thickness: 3 mm}"))
    (label,) = made.labels
    (tile,) = _tiles(made)
    floor = tile.points[np.abs(tile.points[:, 2] - (made.sheet.thickness - 0.4)) < 1e-3]
    left, bottom, right, top = (v + s for v, s in zip(label.box, (40, 30, 40, 30), strict=True))
    foot, head = floor[floor[:, 1] < bottom + 0.01], floor[floor[:, 1] > top - 0.01]
    assert foot[:, 0].max() == pytest.approx(right, abs=0.5)
    assert head[:, 0].max() < (left + right) / 2


def test_thin_walls_are_found_with_what_is_left(tmp_path: Path) -> None:
    thin = "{hole: 24 mm, fixings: 3.2 mm, at: [[14.3, 0]]}"  # 0.7 mm of metal, 0.5 of plastic by 0.2 compensation
    made = _plate(report(tmp_path, place("xlr3-socket", cutout=thin)))
    found = [note for note in made.notes if note.startswith("Between")]
    assert found == [
        "Between the cut-out of A and the fixing hole of A only 0.5 mm of plastic is left; "
        "two lines of this nozzle take 0.8 mm."
    ]


def test_layers_that_do_not_make_the_thickness_are_told(plate: Plate, row: Report) -> None:
    assert any("print 16 layers of 0.198 mm" in note for note in plate.notes)
    assert not any("add up" in note for note in _plate(row, layer=3.175 / 15).notes)


# --- coupon and filament -------------------------------------------------------------------------------------------


def _loops(solid: Any, z: float) -> list[np.ndarray]:
    """Return the points, (n, 2) float mm, of every loop in which a mesh meets the plane at ``z``."""
    import trimesh
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    segments = trimesh.intersections.mesh_plane(solid, (0, 0, 1), (0, 0, z))  # type: ignore[no-untyped-call]
    ends = segments.reshape(-1, 3)[:, :2].round(5)
    points, number = np.unique(ends, axis=0, return_inverse=True)
    pairs = number.reshape(-1, 2)
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(points), len(points)))
    count, label = connected_components(graph, directed=False)
    return [points[label == n] for n in range(count)]


def test_the_coupon_is_printed_as_drawn_whatever_the_printer_takes() -> None:
    printer = generic_printer().model_copy(update={"compensation": (Compensation(hole=1, add=0.7),)})
    piece = coupon(printer)
    assert np.array_equal(piece.points, coupon(generic_printer()).points)
    solid = _trimesh(piece)
    assert solid.is_watertight
    across = sorted(float(np.ptp(loop[:, 0])) for loop in _loops(solid, 1.0))
    assert across[:-1] == pytest.approx(sorted(COUPON_HOLES), abs=0.01)


@pytest.mark.parametrize("nozzle", [0.4, 1.0])
def test_the_coupon_fits_the_smallest_bed(nozzle: float) -> None:
    small = generic_printer().model_copy(update={"bed": (60.0, 60.0, 50.0), "nozzle": nozzle})
    width, depth, _ = coupon(small).size
    assert max(width, depth) <= 60 - 2 * BED_EDGE


def test_filament_of_a_solid_block_is_its_volume() -> None:
    """All plastic where the infill is full: 20 x 20 x 10 mm of 1.24 g/cm3 is 4.96 g, 1663 mm of 1.75 mm filament."""
    import manifold3d as m3

    from dryfit.generators.testplate.pieces import _piece

    block = _piece("block", "b.stl", m3.Manifold.cube((20, 20, 10)))
    full = filament(block, generic_printer().model_copy(update={"infill": 1.0}))
    assert full.grams == pytest.approx(4.96)
    assert full.metres == pytest.approx(4.0 / (math.pi * 1.75**2 / 4), rel=1e-9)
    # walls 800 mm2 x 1.2 mm + faces 800 mm2 x 0.8 mm = 1600 mm3, and a fifth of the other 2400 mm3
    assert filament(block, generic_printer()).grams == pytest.approx((1600 + 480) * 1.24e-3)


def test_the_summary_adds_up(demo: Plate) -> None:
    told: Any = summary(demo)
    assert told["grams"] == pytest.approx(sum(p["grams"] for p in told["pieces"]), abs=0.05 * len(told["pieces"]))
    assert sum(p["count"] for p in told["pieces"] if p["name"].startswith("key")) == told["keys"] == len(demo.keys)
    assert told["notes"] == list(demo.notes)


# --- files ---------------------------------------------------------------------------------------------------------


def _read_strictly(path: Path) -> dict[str, tuple[int, int]]:
    """Read a 3MF with the consortium's own library; return triangles and instances by name."""
    import lib3mf

    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    found: dict[int, tuple[str, int]] = {}
    objects = model.GetMeshObjects()
    while objects.MoveNext():
        mesh = objects.GetCurrentMeshObject()
        assert mesh.IsManifoldAndOriented(), mesh.GetName()
        found[mesh.GetResourceID()] = (mesh.GetName(), mesh.GetTriangleCount())
    items: dict[str, int] = {}
    placed = model.GetBuildItems()
    while placed.MoveNext():
        name = found[placed.GetCurrent().GetObjectResourceID()][0]
        items[name] = items.get(name, 0) + 1
    return {name: (count, items[name]) for name, count in found.values()}


def test_3mf_reads_strictly_with_every_piece_by_name(demo: Plate, tmp_path: Path) -> None:
    found: dict[str, tuple[int, int]] = {}
    for number, laid in enumerate(bedfuls(demo.pieces, demo.printer.bed)):
        path = tmp_path / f"{number}.3mf"
        write_3mf(laid, 'A <title> & "more"\x07', path)
        for name, (faces, count) in _read_strictly(path).items():
            found[name] = (faces, count + found.get(name, (0, 0))[1])
    assert found == {p.name: (len(p.faces), p.count) for p in demo.pieces}


def test_a_bedful_lies_within_the_bed_and_nothing_on_anything(plate: Plate) -> None:
    wide, deep, _ = plate.printer.bed
    beds = bedfuls(plate.pieces, plate.printer.bed)
    assert sum(len(laid) for laid in beds) == sum(piece.count for piece in plate.pieces)
    for laid in beds:
        spots = [(one.x, one.y, *one.piece.size[:2]) for one in laid]
        assert all(x >= 0 and y >= 0 and x + w <= wide and y + d <= deep for x, y, w, d in spots)
        for (x0, y0, w0, d0), (x1, y1, w1, d1) in combinations(spots, 2):
            assert x0 + w0 < x1 or x1 + w1 < x0 or y0 + d0 < y1 or y1 + d1 < y0


def test_stl_of_a_plate_that_is_no_more_goes_and_files_of_the_user_stay(row: Report, tmp_path: Path) -> None:
    mine = tmp_path / "test-plate" / "tile-mine.stl"
    for bed in (120.0, 250.0):
        order = Order(row, printer=Printer(bed=(bed, bed, 100.0)))
        list(build(order, tmp_path, chosen(row, ["test-plate"])))
        mine.write_text("mine", encoding="utf-8")
    pieces = {piece.file for piece in plate_for(row.job, row.assembly, Printer(bed=(250.0, 250.0, 100.0))).pieces}
    assert {path.name for path in mine.parent.iterdir()} == {mine.name, *pieces}


def test_build_makes_the_plate_for_the_given_printer(row: Report, tmp_path: Path) -> None:
    import trimesh

    printer = Printer(bed=(120.0, 120.0, 100.0), title="Small")
    order = Order(row, printer=printer)
    done = list(build(order, tmp_path, chosen(row, ["test-plate", "page"])))
    assert [why for _, why in done] == ["", "", "", ""]
    told = json.loads((tmp_path / "test-plate.json").read_text(encoding="utf-8"))
    assert (told["printer"], told["tiles"]) == ("Small", 5)
    page = (tmp_path / "index.html").read_text(encoding="utf-8")
    for piece in told["pieces"]:
        solid: Any = trimesh.load(tmp_path / "test-plate" / piece["file"])
        assert solid.is_watertight
        assert solid.extents == pytest.approx(piece["size"], abs=0.006)
        assert f"test-plate/{piece['file']}" in page


_BYTES = """
import hashlib, sys
from pathlib import Path
from dryfit.generators.pipeline import check
from dryfit.generators.testplate.plate import plate_for
from dryfit.generators.testplate.beds import bedfuls
from dryfit.generators.writers.threemf import threemf_bytes
from dryfit.models.printer import generic_printer
from dryfit.models.resolve import read_job
job = read_job(Path(sys.argv[1]))
plate = plate_for(job, check(job).assembly, generic_printer())
print(hashlib.sha256(threemf_bytes(bedfuls(plate.pieces, plate.printer.bed)[0], "t")).hexdigest())
"""


def test_bytes_are_the_same_in_every_process(lipped: Report) -> None:
    import hashlib

    made = _plate(lipped)
    here = hashlib.sha256(threemf_bytes(bedfuls(made.pieces, made.printer.bed)[0], "t")).hexdigest()
    done = subprocess.run([sys.executable, "-c", _BYTES, lipped.job.source], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == here


def test_a_job_of_one_place_needs_no_keys_or_tile_names(tmp_path: Path) -> None:
    small = job(tmp_path, place("xlr3-socket"), "{size: [80 mm, 60 mm], thickness: 3 mm}")
    from dryfit.generators.pipeline import check

    made = plate_for(small, check(small).assembly, generic_printer())
    assert [p.name for p in made.pieces] == ["tile A1", "coupon"]
    assert [label.text for label in made.labels] == ["A"]
