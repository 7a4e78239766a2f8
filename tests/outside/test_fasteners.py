"""Fastener tables against two libraries of the package registry and against the standards' own formulas.

bd_warehouse 0.4.0 (Apache-2.0) carries tables by ISO, DIN and ASME; cq-queryabolt 0.1.2 (MIT) carries nuts. Their files
are read as they are installed, without importing either, for an import would load a CAD kernel. Where a library is
missing these tests fail: a comparison that silently does not happen proves nothing.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

import pytest

from dryfit.models import fasteners
from dryfit.models.fasteners import Thread

INCH = 25.4
SAME = 0.0051  # mm: the libraries round to hundredths of a mm or ten-thousandths of an inch
ROUNDED_DRILL = 0.00051 * INCH  # the library gives number drills to a thousandth of an inch
LEAST_COMPARED = 200

METRIC = ("M2.5", "M3", "M4", "M5", "M6")
INCHES = ("No. 4-40", "No. 5-40", "No. 6-32", "No. 10-32", "No. 12-24")


@cache
def bd_warehouse(table: str) -> dict[str, dict[str, str]]:
    """Return a table of bd_warehouse, its rows by size with and without pitch."""
    text = Path(str(distribution("bd-warehouse").locate_file(f"bd_warehouse/data/{table}.csv"))).read_text()
    rows: dict[str, dict[str, str]] = {}
    for cells in csv.DictReader(text.splitlines()):
        clean = {(key or "").strip(): (value or "").strip() for key, value in cells.items()}
        size = next(iter(clean.values()))
        rows.setdefault(size, {}).update(clean)
        rows.setdefault(size.split("-")[0], {}).update({key: value for key, value in clean.items() if value})
    return rows


@cache
def queryabolt() -> dict[str, Any]:
    """Return the nuts of cq-queryabolt by size."""
    return dict(json.loads(Path(str(distribution("cq-queryabolt").locate_file("nuts.json"))).read_text()))


@dataclass(frozen=True)
class Column:
    """A column of bd_warehouse beside a field of ours: same standard, or one with the same head (said in `note`)."""

    ours: str  # our table
    standard: str  # our rows' standard
    kind: str
    field: str
    table: str
    column: str
    note: str = ""


COLUMNS = (
    Column("nuts", "ISO 4032", "hexagon", "across_flats", "hex_nut_parameters", "iso4032:s"),
    Column("nuts", "ISO 4032", "hexagon", "height", "hex_nut_parameters", "iso4032:m"),
    Column("nuts", "ISO 4035", "thin", "across_flats", "hex_nut_parameters", "iso4035:s"),
    Column("nuts", "ISO 4035", "thin", "height", "hex_nut_parameters", "iso4035:m"),
    Column("washers", "ISO 7089", "plain", "inner", "plain_washer_parameters", "iso7089:d1"),
    Column("washers", "ISO 7089", "plain", "outer", "plain_washer_parameters", "iso7089:d2"),
    Column("washers", "ISO 7089", "plain", "thickness", "plain_washer_parameters", "iso7089:h"),
    Column("washers", "DIN 6797", "tooth internal", "inner", "internal_tooth_lock_washer_parameters", "din6797:d1"),
    Column("washers", "DIN 6797", "tooth internal", "outer", "internal_tooth_lock_washer_parameters", "din6797:d2"),
    Column("washers", "DIN 6797", "tooth internal", "thickness", "internal_tooth_lock_washer_parameters", "din6797:h"),
    Column("washers", "ASME B18.21.1", "tooth internal", "inner", "internal_tooth_lock_washer_parameters",
           "asme_b18.21.1:d1"),
    Column("washers", "ASME B18.21.1", "tooth internal", "outer", "internal_tooth_lock_washer_parameters",
           "asme_b18.21.1:d2"),
    Column("washers", "ASME B18.21.1", "tooth internal", "thickness", "internal_tooth_lock_washer_parameters",
           "asme_b18.21.1:h"),
    Column("heads", "ISO 7046-1", "countersunk", "theoretical", "countersunk_head_parameters", "iso14581:dk",
           "ISO 14581 has the head of ISO 7046 with another recess (common head: ISO 7721)"),
    Column("heads", "ISO 7046-1", "countersunk", "height", "countersunk_head_parameters", "iso14581:k", "as above"),
    Column("heads", "ISO 7046-1", "countersunk", "angle", "countersunk_head_parameters", "iso7046:a"),
    Column("heads", "ISO 2009", "countersunk", "diameter", "countersunk_head_parameters", "iso2009:dk"),
    Column("heads", "ISO 2009", "countersunk", "height", "countersunk_head_parameters", "iso2009:k"),
    Column("heads", "ISO 7047", "raised countersunk", "theoretical", "raised_countersunk_oval_head_parameters",
           "iso14584:dk", "ISO 14584 has the head of ISO 7047 with another recess"),
    Column("heads", "ISO 7047", "raised countersunk", "height", "raised_countersunk_oval_head_parameters", "iso14584:k",
           "as above"),
    Column("heads", "ISO 2010", "raised countersunk", "angle", "raised_countersunk_oval_head_parameters", "iso2010:a"),
    Column("heads", "ISO 7045", "pan", "diameter", "pan_head_parameters", "iso14583:dk",
           "ISO 14583 has the head of ISO 7045 with another recess"),
    Column("heads", "ISO 7045", "pan", "height", "pan_head_parameters", "iso14583:k", "as above"),
    Column("heads", "ISO 1580", "pan", "diameter", "pan_head_parameters", "iso1580:dk"),
    Column("heads", "ISO 1580", "pan", "height", "pan_head_parameters", "iso1580:k"),
    Column("heads", "ISO 7380-1", "button", "diameter", "button_head_parameters", "iso7380_1:dk"),
    Column("heads", "ISO 7380-1", "button", "height", "button_head_parameters", "iso7380_1:k"),
    Column("heads", "ASME B18.6.3", "pan", "diameter", "pan_head_parameters", "asme_b_18.6.3:dk"),
    Column("heads", "ASME B18.6.3", "pan", "height", "pan_head_parameters", "asme_b_18.6.3:k"),
)  # fmt: skip

OLD_HEAD = "the library gives the head of DIN 963 under the ISO number; ISO 7721 heads are as ours"
LARGEST = "the library gives the largest thickness, ours is the nominal one that a stack is reckoned with"
OTHER_RECESS = "the library gives the height of another recess type; ours is cross recess type 1A"
DIFFERENCES: dict[tuple[str, str, str], tuple[float, str]] = {
    ("ISO 2009", "M3", "diameter"): (5.6, OLD_HEAD),
    ("ISO 2009", "M4", "diameter"): (7.5, OLD_HEAD),
    ("ISO 2009", "M4", "height"): (2.2, OLD_HEAD),
    ("ISO 2009", "M5", "diameter"): (9.2, OLD_HEAD),
    ("ISO 2009", "M5", "height"): (2.5, OLD_HEAD),
    ("ISO 2009", "M6", "diameter"): (11.0, OLD_HEAD),
    ("ISO 2009", "M6", "height"): (3.0, OLD_HEAD),
    ("ISO 7089", "M2.5", "thickness"): (0.55, LARGEST),
    ("ISO 7089", "M3", "thickness"): (0.55, LARGEST),
    ("ISO 7089", "M4", "thickness"): (0.9, LARGEST),
    ("ISO 7089", "M5", "thickness"): (1.1, LARGEST),
    ("ISO 7089", "M6", "thickness"): (1.8, LARGEST),
    ("ASME B18.6.3", "No. 4-40", "height"): (0.086 * INCH, OTHER_RECESS),
    ("ASME B18.6.3", "No. 5-40", "height"): (0.095 * INCH, OTHER_RECESS),
    ("ASME B18.6.3", "No. 6-32", "height"): (0.103 * INCH, OTHER_RECESS),
    ("ASME B18.6.3", "No. 10-32", "height"): (0.137 * INCH, OTHER_RECESS),
    ("ASME B18.6.3", "No. 12-24", "height"): (0.153 * INCH, OTHER_RECESS),
}
"""Where ours and bd_warehouse differ: by standard, thread and field, their value in mm and the reason."""

TABLES = {"nuts": fasteners.nuts, "washers": fasteners.washers, "heads": fasteners.heads}


def library_size(thread: str) -> str:
    """Return what the libraries call a thread: ``M3``, ``#4``."""
    return thread.replace("No. ", "#").split("-")[0]


def pairs(column: Column) -> Iterator[tuple[str, float, float]]:
    """Yield thread, our value and theirs, in mm (angles in degrees), for all rows that both carry."""
    seen = set()
    for row in TABLES[column.ours]():
        if (row.standard, row.kind) != (column.standard, column.kind) or row.thread in seen:
            continue
        seen.add(row.thread)  # the cross recess comes first
        cells = bd_warehouse(column.table).get(library_size(row.thread), {})
        if cells.get(column.column):
            scale = INCH if row.thread in INCHES and column.field != "angle" else 1.0
            yield row.thread, getattr(row, column.field), float(cells[column.column]) * scale


# --- bd_warehouse and cq-queryabolt ----------------------------------------------------------------------------------


@pytest.mark.parametrize("column", COLUMNS, ids=lambda c: f"{c.standard} {c.kind} {c.field}")
def test_sizes_agree_with_bd_warehouse_or_the_difference_is_known(column: Column) -> None:
    compared = list(pairs(column))
    assert compared
    for thread, ours, theirs in compared:
        known = DIFFERENCES.get((column.standard, thread, column.field))
        if known is None:
            assert ours == pytest.approx(theirs, abs=SAME), f"{thread}: {ours} here, {theirs} there"
        else:
            assert theirs == pytest.approx(known[0], abs=SAME), f"{thread}: the library has changed"


def test_no_listed_difference_is_stale() -> None:
    real = {
        (column.standard, thread, column.field)
        for column in COLUMNS
        for thread, ours, theirs in pairs(column)
        if abs(ours - theirs) > SAME
    }
    assert set(DIFFERENCES) == real


NUTS = {"hexagon": ("hexagon", "ISO 4032"), "hexagon_thin": ("thin", "ISO 4035"), "hexagon_lock": ("self-locking", "ISO 7040")}  # fmt: skip


def nuts_of_queryabolt() -> Iterator[tuple[str, str, float, float]]:
    """Yield what, thread, our value and theirs for nuts by ISO 4032, 4035 and 7040."""
    for theirs_name, (kind, standard) in NUTS.items():
        for nut in fasteners.nuts(None, kind):
            theirs = queryabolt().get(nut.thread, {}).get(theirs_name)
            if nut.standard == standard and theirs is not None:
                yield f"{standard} across flats", nut.thread, nut.across_flats, theirs["width"]
                yield f"{standard} height", nut.thread, nut.height, theirs["thickness"]


def test_nuts_agree_with_cq_queryabolt() -> None:
    compared = list(nuts_of_queryabolt())
    assert len(compared) == 2 * (5 + 5 + 4)  # it has no self-locking M2.5
    for what, thread, ours, theirs in compared:
        assert ours == pytest.approx(theirs, abs=SAME), f"{what} of {thread}"


def clearance_holes() -> Iterator[tuple[str, float, float]]:
    """Yield thread and fit, our hole and theirs by ISO 273 and ASME B18.2.8 (inch holes named by their drill)."""
    for row in fasteners.clearances():
        cell = bd_warehouse("clearance_hole_sizes")[library_size(row.thread)][row.fit.capitalize()]
        yield f"{row.thread} {row.fit}", row.diameter, _size(cell) * (INCH if row.thread in INCHES else 1.0)


def _size(cell: str) -> float:
    drills = bd_warehouse("drill_sizes")
    if cell in drills:
        return float(drills[cell]["Diameter"])
    top, _, bottom = cell.partition("/")
    return float(top) / float(bottom or 1)


def test_clearance_holes_agree_with_bd_warehouse() -> None:
    compared = list(clearance_holes())
    assert len(compared) == 30
    for what, ours, theirs in compared:
        assert ours == pytest.approx(theirs, abs=ROUNDED_DRILL), what


def number_drills() -> Iterator[tuple[str, float, float]]:
    """Yield name, our diameter and theirs of number drills (ASME B94.11M)."""
    for drill in fasteners.drills("number"):
        row = bd_warehouse("drill_sizes").get(drill.name.replace("No. ", "#"))
        if row is not None:
            yield drill.name, drill.diameter, float(row["Diameter"]) * INCH


def test_number_drills_agree_with_bd_warehouse() -> None:
    compared = list(number_drills())
    assert len(compared) == 60
    for name, ours, theirs in compared:
        assert ours == pytest.approx(theirs, abs=ROUNDED_DRILL), name


def lengths_sold() -> Iterator[tuple[str, float, list[float]]]:
    """Yield thread and a length of ours, with all lengths that ISO 7045/7046/7047 name."""
    cells = {row["Screw_Type"]: row["Nominal_Sizes"] for row in bd_warehouse("nominal_screw_lengths").values()}
    named = [float(length) for length in cells["iso7046"].split(",")]
    for thread in METRIC:
        for length in fasteners.lengths(thread):
            yield thread, length, named


def test_every_metric_length_is_one_that_the_standard_names() -> None:
    for thread, length, named in lengths_sold():
        assert length in named, f"{thread} x {length:g}"


@pytest.mark.parametrize("thread", METRIC)
def test_shortest_and_longest_screw_are_those_of_iso_2009(thread: str) -> None:
    row = bd_warehouse("countersunk_head_parameters")[library_size(thread)]
    sold = fasteners.lengths(thread)
    assert (sold[0], sold[-1]) == (float(row["iso2009:short"]), float(row["iso2009:long"]))


def test_at_least_two_hundred_values_are_compared() -> None:
    count = sum(len(list(pairs(column))) for column in COLUMNS)
    count += len(list(nuts_of_queryabolt())) + len(list(clearance_holes())) + len(list(number_drills()))
    count += len(list(lengths_sold())) + 2 * len(METRIC)
    assert count >= LEAST_COMPARED


# --- the standards' own formulas -------------------------------------------------------------------------------------

TABLE_STEP = 0.004  # mm: ISO 965-1 rounds deviations and tolerances of its formulas to steps of its preferred numbers
INCH_STEP = 0.000101  # in: ASME B1.1 rounds limits to a ten-thousandth


def threads(system: str) -> list[Thread]:
    """Return the machine threads of one system."""
    start = "ISO 724" if system == "metric" else "ASME"
    return [t for t in fasteners.threads() if t.standard.startswith(start)]


@pytest.mark.parametrize("thread", threads("metric"), ids=lambda t: t.name)
def test_6g_limits_follow_the_formulas_of_iso_965_1(thread: Thread) -> None:
    p = thread.pitch
    deviation = (15 + 11 * p) / 1000  # es for position g, ISO 965-1
    tolerance = (180 * p ** (2 / 3) - 3.15 / math.sqrt(p)) / 1000  # Td for grade 6, ISO 965-1
    assert thread.major_max == pytest.approx(thread.major - deviation, abs=TABLE_STEP)
    assert thread.major_max - thread.major_min == pytest.approx(tolerance, abs=TABLE_STEP)


@pytest.mark.parametrize("thread", threads("inch"), ids=lambda t: t.name)
def test_2a_limits_follow_the_formulas_of_asme_b1_1(thread: Thread) -> None:
    d, p = thread.major / INCH, thread.pitch / INCH
    pitch_tolerance = 0.0015 * d ** (1 / 3) + 0.0015 * math.sqrt(d) + 0.015 * p ** (2 / 3)  # class 2, engagement d
    assert thread.major_max / INCH == pytest.approx(d - 0.3 * pitch_tolerance, abs=INCH_STEP)
    assert (thread.major_max - thread.major_min) / INCH == pytest.approx(0.06 * p ** (2 / 3), abs=INCH_STEP)


@pytest.mark.parametrize("thread", [*threads("metric"), *threads("inch")], ids=lambda t: t.name)
def test_stress_area_and_minor_diameter_follow_from_the_profile(thread: Thread) -> None:
    metric = thread.system == "metric"
    factor = 0.9382 if metric else 0.9743  # ISO 898-1 clause 9.1.6.1; ASME B1.1 appendix B
    area = math.pi / 4 * (thread.major - factor * thread.pitch) ** 2
    assert thread.stress_area == pytest.approx(area, rel=2e-3)
    assert thread.minor == pytest.approx(thread.major - 1.082532 * thread.pitch, abs=SAME)  # ISO 68-1: 5/8 H each side


@pytest.mark.parametrize("number", [4, 5, 6, 10, 12])
def test_numbered_threads_grow_by_thirteen_thousandths(number: int) -> None:
    assert fasteners.thread(f"No. {number}").major / INCH == pytest.approx(0.060 + 0.013 * number)  # ASME B1.1


@pytest.mark.parametrize("nut", fasteners.nuts(), ids=lambda n: f"{n.thread} {n.kind}")
def test_corners_of_a_hexagon_follow_from_its_flats(nut: fasteners.Nut) -> None:
    rounding = 0.0016 * INCH if nut.thread in INCHES else SAME  # ASME rounds corners after adding the flats' tolerance
    assert nut.corners == pytest.approx(nut.across_flats / math.cos(math.pi / 6), abs=rounding)
    if nut.standard == "ISO 4032":
        assert nut.corners_min == pytest.approx(1.13 * nut.across_flats_min, abs=SAME)  # e min of ISO 4032
