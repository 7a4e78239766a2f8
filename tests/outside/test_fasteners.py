"""Fastener tables against two libraries of the package registry and against the standards' own formulas.

bd_warehouse 0.4.0 (Apache-2.0) carries tables by ISO, DIN and ASME; cq-queryabolt 0.1.2 (MIT) carries nuts. Their files
are read as they are installed, without importing either, for an import would load a CAD kernel. Where a library is
missing these tests fail: a comparison that silently does not happen proves nothing.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.metadata import distribution, version
from pathlib import Path
from typing import Any

import pytest

from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import Head, Nut, Thread, Washer

INCH = 25.4
SAME = {"mm": 0.0051, "in": 0.00051}
"""How far two values may be apart: half the last figure that the libraries print, 0.01 mm and 0.001 in."""
LEAST_COMPARED = 200

METRIC = ("M2.5", "M3", "M4", "M5", "M6")
NUMBERED = ("No. 4-40", "No. 5-40", "No. 6-32", "No. 10-32", "No. 12-24")

BD, QUERYABOLT = "bd-warehouse", "cq-queryabolt"
VERSIONS = {BD: "0.4.0", QUERYABOLT: "0.1.2"}


@dataclass(frozen=True)
class Carried:
    """What a file of a library carries of our rows of one standard: its column by our field."""

    table: str
    standard: str  # ours; the library's stands in its column's name
    kind: str
    library: str
    file: str
    columns: Mapping[str, str]
    drive: str = ""  # only rows whose drive begins so

    def __str__(self) -> str:
        return f"{self.table} {self.standard} {self.kind} in {self.library} {VERSIONS[self.library]} {self.file}"


# ISO 14581, 14583 and 14584 have the heads of ISO 7046, 7045 and 7047 with another recess (common heads: ISO 7721).
CARRIED = (
    Carried("nuts", "ISO 4032", "hexagon", BD, "hex_nut_parameters",
            {"across_flats": "iso4032:s", "height": "iso4032:m"}),
    Carried("nuts", "ISO 4035", "thin", BD, "hex_nut_parameters", {"across_flats": "iso4035:s", "height": "iso4035:m"}),
    Carried("nuts", "ISO 4032", "hexagon", QUERYABOLT, "nuts",
            {"across_flats": "hexagon.width", "height": "hexagon.thickness"}),
    Carried("nuts", "ISO 4035", "thin", QUERYABOLT, "nuts",
            {"across_flats": "hexagon_thin.width", "height": "hexagon_thin.thickness"}),
    Carried("nuts", "ISO 7040", "self-locking", QUERYABOLT, "nuts",
            {"across_flats": "hexagon_lock.width", "height": "hexagon_lock.thickness"}),
    Carried("washers", "ISO 7089", "plain", BD, "plain_washer_parameters",
            {"inner": "iso7089:d1", "outer": "iso7089:d2", "thickness_max": "iso7089:h"}),
    Carried("washers", "DIN 6797", "tooth internal", BD, "internal_tooth_lock_washer_parameters",
            {"inner": "din6797:d1", "outer": "din6797:d2", "thickness": "din6797:h"}),
    Carried("washers", "ASME B18.21.1", "tooth internal", BD, "internal_tooth_lock_washer_parameters",
            {"inner": "asme_b18.21.1:d1", "outer": "asme_b18.21.1:d2", "thickness": "asme_b18.21.1:h"}),
    Carried("heads", "ISO 7046-1", "countersunk", BD, "countersunk_head_parameters",
            {"angle": "iso7046:a", "diameter": "iso7046:dk", "height": "iso7046:k"}),
    Carried("heads", "ISO 7046-1", "countersunk", BD, "countersunk_head_parameters",
            {"angle": "iso14581:a", "theoretical": "iso14581:dk", "height": "iso14581:k"}),
    Carried("heads", "ISO 2009", "countersunk", BD, "countersunk_head_parameters",
            {"angle": "iso2009:a", "diameter": "iso2009:dk", "height": "iso2009:k"}),
    Carried("heads", "ISO 7047", "raised countersunk", BD, "raised_countersunk_oval_head_parameters",
            {"angle": "iso7047:a", "diameter": "iso7047:dk", "height": "iso7047:k"}),
    Carried("heads", "ISO 7047", "raised countersunk", BD, "raised_countersunk_oval_head_parameters",
            {"angle": "iso14584:a", "theoretical": "iso14584:dk", "height": "iso14584:k"}),
    Carried("heads", "ISO 2010", "raised countersunk", BD, "raised_countersunk_oval_head_parameters",
            {"angle": "iso2010:a", "diameter": "iso2010:dk", "height": "iso2010:k"}),
    Carried("heads", "ISO 7045", "pan", BD, "raised_cheese_head_parameters",
            {"diameter": "iso7045:dk", "height": "iso7045:k"}),
    Carried("heads", "ISO 7045", "pan", BD, "pan_head_parameters",
            {"diameter": "iso14583:dk", "height": "iso14583:k"}),
    Carried("heads", "ISO 1580", "pan", BD, "pan_head_parameters", {"diameter": "iso1580:dk", "height": "iso1580:k"}),
    Carried("heads", "ISO 7380-1", "button", BD, "button_head_parameters",
            {"diameter": "iso7380_1:dk", "height": "iso7380_1:k"}),
    Carried("heads", "ASME B18.6.3", "pan", BD, "pan_head_parameters",
            {"diameter": "asme_b_18.6.3:dk", "height": "asme_b_18.6.3:k"}, drive="cross"),
    Carried("clearances", "ISO 273", "close", BD, "clearance_hole_sizes", {"diameter": "Close"}),
    Carried("clearances", "ISO 273", "normal", BD, "clearance_hole_sizes", {"diameter": "Normal"}),
    Carried("clearances", "ISO 273", "loose", BD, "clearance_hole_sizes", {"diameter": "Loose"}),
    Carried("clearances", "ASME B18.2.8", "close", BD, "clearance_hole_sizes", {"diameter": "Close"}),
    Carried("clearances", "ASME B18.2.8", "normal", BD, "clearance_hole_sizes", {"diameter": "Normal"}),
    Carried("clearances", "ASME B18.2.8", "loose", BD, "clearance_hole_sizes", {"diameter": "Loose"}),
    Carried("clearances", "no standard", "close", BD, "clearance_hole_sizes", {"diameter": "Close"}),  # No. 12
    Carried("clearances", "no standard", "normal", BD, "clearance_hole_sizes", {"diameter": "Normal"}),
    Carried("clearances", "no standard", "loose", BD, "clearance_hole_sizes", {"diameter": "Loose"}),
    Carried("drills", "ASME B94.11M", "number", BD, "drill_sizes", {"diameter": "Diameter"}),
    Carried("drills", "ASME B94.11M", "letter", BD, "drill_sizes", {"diameter": "Diameter"}),
)  # fmt: skip


@dataclass(frozen=True)
class Difference:
    """Where ours and a library's value differ, in the unit the library prints, and why ours stays."""

    ours: float
    theirs: float
    why: str


OLD_HEAD = "the library gives the head of DIN 963 to 966 under the ISO number; ours is that of ISO 7721"
CROWN = "the library gives the crown's height of DIN 964 and 966 as the head's"
COMBINED = (
    "the library gives the higher head that a combined slot and square recess wants; ours has cross recess type 1A"
)
LARGEST_HOLE = "the library gives the largest inside diameter of this size, ours is the smallest as for the others"
DIFFERENCES: dict[tuple[str, str], Difference] = {
    ("iso7046:dk", "M3"): Difference(5.5, 5.6, OLD_HEAD),
    ("iso7046:dk", "M4"): Difference(8.4, 7.5, OLD_HEAD),
    ("iso7046:dk", "M5"): Difference(9.3, 9.2, OLD_HEAD),
    ("iso7046:dk", "M6"): Difference(11.3, 11.0, OLD_HEAD),
    ("iso7046:k", "M4"): Difference(2.7, 2.2, OLD_HEAD),
    ("iso7046:k", "M5"): Difference(2.7, 2.5, OLD_HEAD),
    ("iso7046:k", "M6"): Difference(3.3, 3.0, OLD_HEAD),
    ("iso2009:dk", "M3"): Difference(5.5, 5.6, OLD_HEAD),
    ("iso2009:dk", "M4"): Difference(8.4, 7.5, OLD_HEAD),
    ("iso2009:dk", "M5"): Difference(9.3, 9.2, OLD_HEAD),
    ("iso2009:dk", "M6"): Difference(11.3, 11.0, OLD_HEAD),
    ("iso2009:k", "M4"): Difference(2.7, 2.2, OLD_HEAD),
    ("iso2009:k", "M5"): Difference(2.7, 2.5, OLD_HEAD),
    ("iso2009:k", "M6"): Difference(3.3, 3.0, OLD_HEAD),
    ("iso7047:dk", "M3"): Difference(5.5, 5.6, OLD_HEAD),
    ("iso7047:dk", "M4"): Difference(8.4, 7.5, OLD_HEAD),
    ("iso7047:dk", "M5"): Difference(9.3, 9.2, OLD_HEAD),
    ("iso7047:dk", "M6"): Difference(11.3, 11.0, OLD_HEAD),
    ("iso7047:k", "M4"): Difference(2.7, 2.2, OLD_HEAD),
    ("iso7047:k", "M5"): Difference(2.7, 1.25, CROWN),
    ("iso7047:k", "M6"): Difference(3.3, 1.5, CROWN),
    ("iso2010:dk", "M3"): Difference(5.5, 5.6, OLD_HEAD),
    ("iso2010:dk", "M4"): Difference(8.4, 7.5, OLD_HEAD),
    ("iso2010:dk", "M5"): Difference(9.3, 9.2, OLD_HEAD),
    ("iso2010:dk", "M6"): Difference(11.3, 11.0, OLD_HEAD),
    ("iso2010:k", "M4"): Difference(2.7, 2.2, OLD_HEAD),
    ("iso2010:k", "M5"): Difference(2.7, 1.25, CROWN),
    ("iso2010:k", "M6"): Difference(3.3, 1.5, CROWN),
    ("asme_b_18.6.3:k", "No. 4-40"): Difference(0.08, 0.086, COMBINED),
    ("asme_b_18.6.3:k", "No. 5-40"): Difference(0.089, 0.095, COMBINED),
    ("asme_b_18.6.3:k", "No. 6-32"): Difference(0.097, 0.103, COMBINED),
    ("asme_b_18.6.3:k", "No. 10-32"): Difference(0.133, 0.137, COMBINED),
    ("asme_b_18.6.3:k", "No. 12-24"): Difference(0.151, 0.153, COMBINED),
    ("asme_b18.21.1:d1", "No. 5-40"): Difference(0.129, 0.136, LARGEST_HOLE),
}
"""Every known difference, by the library's column and our thread."""

TABLES: dict[str, Callable[[], tuple[Any, ...]]] = {
    "nuts": fasteners.nuts,
    "washers": fasteners.washers,
    "heads": fasteners.heads,
    "clearances": fasteners.clearances,
    "drills": fasteners.drills,
}


@dataclass(frozen=True)
class Pair:
    """One value of ours beside the library's, in the unit the library prints."""

    column: str
    size: str
    unit: str
    ours: float
    theirs: float

    @property
    def key(self) -> tuple[str, str]:
        """What the list of differences calls it."""
        return self.column, self.size

    @property
    def same(self) -> bool:
        """Whether both are one value, but for the library's rounding."""
        return abs(self.ours - self.theirs) <= SAME[self.unit]


@cache
def carried(library: str, file: str) -> dict[str, dict[str, str]]:
    """Return the cells of a library's file by size, as ``M3`` or ``#4``; a file of another version is refused."""
    assert version(library) == VERSIONS[library]
    if library == QUERYABOLT:
        sizes = json.loads(Path(str(distribution(library).locate_file(f"{file}.json"))).read_text())
        return {size: dict(_flat(kinds)) for size, kinds in sizes.items()}
    rows: dict[str, dict[str, str]] = {}
    for cells in _bd_rows(file):
        rows.setdefault(_without_pitch(cells[0][1]), {}).update({name: cell for name, cell in cells if cell})
    return rows


def _bd_rows(file: str) -> Iterator[list[tuple[str, str]]]:
    path = Path(str(distribution(BD).locate_file(f"bd_warehouse/data/{file}.csv")))
    for cells in csv.DictReader(path.read_text().splitlines()):
        yield [((name or "").strip(), (cell or "").strip()) for name, cell in cells.items()]


def _flat(kinds: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for kind, sizes in kinds.items():
        if isinstance(sizes, dict):
            yield from ((f"{kind}.{name}", str(size)) for name, size in sizes.items())


def _without_pitch(size: str) -> str:
    return size.partition("-")[0]


def _number(cell: str) -> float:
    """Return a length that a library writes as a decimal, a fraction or a drill's name."""
    drills = carried(BD, "drill_sizes")
    if cell in drills:
        return float(drills[cell]["Diameter"])
    top, _, bottom = cell.partition("/")
    return float(top) / float(bottom or 1)


def pairs(entry: Carried) -> Iterator[Pair]:
    """Yield every value that we and the library both carry."""
    cells = carried(entry.library, entry.file)
    for row in TABLES[entry.table]():
        size = row.name if entry.table == "drills" else row.thread
        theirs = cells.get(_without_pitch(size.replace("No. ", "#").removeprefix("letter ")), {})
        for field, column in entry.columns.items():
            if _belongs(row, entry) and column in theirs:
                unit = "in" if field != "angle" and (size in NUMBERED or entry.table == "drills") else "mm"
                ours = getattr(row, field) / (INCH if unit == "in" else 1)
                yield Pair(column, size, unit, ours, _number(theirs[column]))


def _belongs(row: Any, entry: Carried) -> bool:
    if entry.table == "drills":
        return bool(row.family == entry.kind)
    kind = row.fit if entry.table == "clearances" else row.kind
    drive = row.drive if entry.table == "heads" else ""
    return (row.standard, kind) == (entry.standard, entry.kind) and drive.startswith(entry.drive)


# --- what the libraries carry ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("entry", CARRIED, ids=str)
def test_our_values_are_the_libraries_or_the_difference_is_listed(entry: Carried) -> None:
    compared = list(pairs(entry))
    assert {pair.column for pair in compared} == set(entry.columns.values())
    assert [pair for pair in compared if not pair.same and pair.key not in DIFFERENCES] == []


def test_every_listed_difference_is_one() -> None:
    real = {pair.key: (pair.ours, pair.theirs) for entry in CARRIED for pair in pairs(entry) if not pair.same}
    assert set(DIFFERENCES) == set(real)
    for key, listed in DIFFERENCES.items():
        assert real[key] == pytest.approx((listed.ours, listed.theirs), abs=1e-6), f"{key}: {listed.why}"


def recess_sizes() -> Iterator[tuple[str, str, str]]:
    """Yield what, our cross recess and theirs (``PH1``): ISO 4757 type H as ISO 7045, 7046 and 7047 give it."""
    columns = {
        "ISO 7045": ("raised_cheese_head_parameters", "iso7045:recess"),
        "ISO 7046-1": ("countersunk_head_parameters", "iso7046:recess"),
        "ISO 7047": ("raised_countersunk_oval_head_parameters", "iso7047:recess"),
    }
    for head in fasteners.heads():
        if head.standard in columns:
            file, column = columns[head.standard]
            yield f"{head.standard} {head.thread}", head.drive, carried(BD, file)[head.thread][column]


def test_cross_recesses_are_the_librarys() -> None:
    compared = list(recess_sizes())
    assert len(compared) == 15
    assert [what for what, ours, theirs in compared if ours != f"cross recess H size {theirs.removeprefix('PH')}"] == []


def socket_sizes() -> Iterator[tuple[str, float, float]]:
    """Yield thread, our key and their largest socket of button heads, ISO 7380-1."""
    for head in fasteners.heads(None, "button"):
        key = float(head.drive.removeprefix("hexagon socket ").removesuffix(" mm"))
        yield head.thread, key, float(carried(BD, "button_head_parameters")[head.thread]["iso7380_1:s"])


def test_hexagon_sockets_take_their_key() -> None:
    compared = list(socket_sizes())
    assert len(compared) == 4
    for thread, key, socket in compared:
        assert 0 < socket - key < 0.1, thread  # ISO 7380-1: the socket is at most 0.1 mm wider than its key to 4 mm


def pitches() -> Iterator[tuple[str, str]]:
    """Yield our size and pitch as the library names threads, ISO 261 ``M3-0.5`` and ASME B1.1 ``#4-40``."""
    for thread in machine_threads():
        if thread.system == "metric":
            yield thread.name, f"{thread.name}-{thread.pitch:g}"
        else:
            yield thread.name, f"{_without_pitch(thread.name).replace('No. ', '#')}-{INCH / thread.pitch:.0f}"


def test_the_library_knows_every_thread_by_our_pitch() -> None:
    named = {cells[0][1] for cells in _bd_rows("tap_hole_sizes")}
    assert [thread for thread, name in pitches() if name not in named] == []


def lengths_sold() -> Iterator[tuple[str, float, list[float]]]:
    """Yield thread and a length of ours, with all lengths that ISO 7045/7046/7047 name."""
    cells = {row["Screw_Type"]: row["Nominal_Sizes"] for row in carried(BD, "nominal_screw_lengths").values()}
    named = [float(length) for length in cells["iso7046"].split(",")]
    for thread in METRIC:
        for length in fasteners.lengths(thread):
            yield thread, length, named


def test_every_metric_length_is_one_that_the_standard_names() -> None:
    for thread, length, named in lengths_sold():
        assert length in named, f"{thread} x {length:g}"


@pytest.mark.parametrize("thread", METRIC)
def test_shortest_and_longest_screw_are_those_of_iso_2009(thread: str) -> None:
    row = carried(BD, "countersunk_head_parameters")[thread]
    sold = fasteners.lengths(thread)
    assert (sold[0], sold[-1]) == (float(row["iso2009:short"]), float(row["iso2009:long"]))


def test_at_least_two_hundred_values_are_compared() -> None:
    sizes = sum(len(list(pairs(entry))) for entry in CARRIED)
    assert sizes >= LEAST_COMPARED  # without the recesses, sockets, pitches and lengths compared besides


# --- the standards' own formulas -------------------------------------------------------------------------------------

TABLE_STEP = 0.004  # mm: ISO 965-1 rounds deviations and tolerances of its formulas to steps of its preferred numbers
INCH_STEP = 0.000101  # in: ASME B1.1 rounds limits to a ten-thousandth
ROUNDED = 0.0051  # mm: the tables hold hundredths
ASME_CORNERS = 0.0016 * INCH  # ASME B18.2.2 rounds the corners after adding what its flats may be over


def machine_threads(system: str = "") -> list[Thread]:
    """Return the machine threads of one system (empty: of both)."""
    start = {"metric": ("ISO 724",), "inch": ("ASME",)}.get(system, ("ISO 724", "ASME"))
    return [t for t in fasteners.threads() if t.standard.startswith(start)]


@pytest.mark.parametrize("thread", machine_threads("metric"), ids=lambda t: t.name)
def test_6g_limits_follow_the_formulas_of_iso_965_1(thread: Thread) -> None:
    p = thread.pitch
    deviation = (15 + 11 * p) / 1000  # es for position g, ISO 965-1
    tolerance = (180 * p ** (2 / 3) - 3.15 / math.sqrt(p)) / 1000  # Td for grade 6, ISO 965-1
    assert thread.major_max == pytest.approx(thread.major - deviation, abs=TABLE_STEP)
    assert thread.major_max - thread.major_min == pytest.approx(tolerance, abs=TABLE_STEP)


@pytest.mark.parametrize("thread", machine_threads("inch"), ids=lambda t: t.name)
def test_2a_limits_follow_the_formulas_of_asme_b1_1(thread: Thread) -> None:
    d, p = thread.major / INCH, thread.pitch / INCH
    pitch_tolerance = 0.0015 * d ** (1 / 3) + 0.0015 * math.sqrt(d) + 0.015 * p ** (2 / 3)  # class 2, engagement d
    assert thread.major_max / INCH == pytest.approx(d - 0.3 * pitch_tolerance, abs=INCH_STEP)
    assert (thread.major_max - thread.major_min) / INCH == pytest.approx(0.06 * p ** (2 / 3), abs=INCH_STEP)


@pytest.mark.parametrize("thread", machine_threads(), ids=lambda t: t.name)
def test_stress_area_and_minor_diameter_follow_from_the_profile(thread: Thread) -> None:
    metric = thread.system == "metric"
    factor = 0.9382 if metric else 0.9743  # ISO 898-1 clause 9.1.6.1; ASME B1.1 appendix B
    area = math.pi / 4 * (thread.major - factor * thread.pitch) ** 2
    assert thread.stress_area == pytest.approx(area, rel=2e-3)
    assert thread.minor == pytest.approx(thread.major - 1.082532 * thread.pitch, abs=ROUNDED)  # ISO 68-1: 5/8 H a side


@pytest.mark.parametrize("thread", machine_threads("metric"), ids=lambda t: t.name)
def test_6h_minor_diameter_follows_the_formula_of_iso_965_1(thread: Thread) -> None:
    p = thread.pitch
    tolerance = (433 * p - 190 * p**1.22 if p <= 0.8 else 230 * p**0.7) / 1000  # TD1 for grade 6, ISO 965-1
    assert thread.minor_max is not None
    assert thread.minor_max - thread.minor == pytest.approx(tolerance, abs=2 * TABLE_STEP)


@pytest.mark.parametrize("thread", machine_threads("inch"), ids=lambda t: t.name)
def test_2b_minor_diameter_follows_the_formula_of_asme_b1_1(thread: Thread) -> None:
    d, p = thread.major / INCH, thread.pitch / INCH
    wanted = 0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002  # class 2B, sizes below a quarter inch
    tolerance = max(min(wanted, 0.394 * p), 0.25 * p - 0.4 * p * p)
    assert thread.minor_max is not None
    assert (thread.minor_max - thread.minor) / INCH == pytest.approx(tolerance, abs=6e-4)  # the limit is rounded up


@pytest.mark.parametrize("number", [4, 5, 6, 10, 12])
def test_numbered_threads_grow_by_thirteen_thousandths(number: int) -> None:
    assert fasteners.thread(f"No. {number}").major / INCH == pytest.approx(0.060 + 0.013 * number)  # ASME B1.1


@pytest.mark.parametrize("nut", fasteners.nuts(), ids=lambda n: f"{n.thread} {n.kind} {n.standard}")
def test_corners_of_a_hexagon_follow_from_its_flats(nut: Nut) -> None:
    rounding = ASME_CORNERS if nut.thread in NUMBERED else ROUNDED
    assert nut.corners == pytest.approx(nut.across_flats / math.cos(math.pi / 6), abs=rounding)
    if nut.corners_min is not None:
        factor = 1.14 if nut.standard.startswith("ASME") or nut.thread in NUMBERED else 1.13
        assert nut.corners_min == pytest.approx(factor * nut.across_flats_min, abs=rounding)  # ISO 4759-1; ASME B18.2.2


@pytest.mark.parametrize(
    "head", [h for h in fasteners.heads() if h.thread in METRIC and h.angle], ids=lambda h: f"{h.thread} {h.standard}"
)
def test_height_of_a_metric_countersunk_head_follows_from_its_cone(head: Head) -> None:
    """ISO 7721: the cone of 90 degrees runs from the theoretical diameter down to the thread."""
    assert head.theoretical is not None
    assert head.height == pytest.approx((head.theoretical - fasteners.thread(head.thread).major) / 2, abs=ROUNDED)


@pytest.mark.parametrize(
    "head", [h for h in fasteners.heads() if h.thread in NUMBERED and h.angle], ids=lambda h: f"{h.thread} {h.kind}"
)
def test_height_of_an_inch_countersunk_head_follows_from_its_cone(head: Head) -> None:
    """ASME B18.6.3: cone of 80 to 82 degrees; the height printed is that of the steepest, within about a thousandth."""
    assert head.theoretical is not None
    depth = (head.theoretical - fasteners.thread(head.thread).major) / 2 / math.tan(math.radians(40))
    assert head.height == pytest.approx(depth, abs=0.0011 * INCH)


# ISO 286-1 table 1: standard tolerances in mm, for nominal sizes to 3, 6, 10, 18 and 30 mm.
GRADES = {
    13: (0.14, 0.18, 0.22, 0.27, 0.33),
    14: (0.25, 0.30, 0.36, 0.43, 0.52),
    15: (0.40, 0.48, 0.58, 0.70, 0.84),
}
STEPS = (3.0, 6.0, 10.0, 18.0, 30.0)


def tolerance(grade: int, size: float) -> float:
    """Return the standard tolerance of ISO 286-1 for a size, mm."""
    return next(value for step, value in zip(STEPS, GRADES[grade], strict=True) if size <= step)


@pytest.mark.parametrize(
    "head",
    [h for h in fasteners.heads() if h.thread in METRIC or h.standard == "ISO 7049"],
    ids=lambda h: f"{h.thread} {h.standard}",
)
def test_least_sizes_of_metric_heads_follow_from_their_tolerance_classes(head: Head) -> None:
    """ISO 4759-1, product grade A: diameter h14; height h13 to M5 and h14 above; button heads (ISO 7380-1) h14."""
    assert head.diameter - head.diameter_min == pytest.approx(tolerance(14, head.diameter))
    if head.height_min is not None and head.standard != "ISO 7049":  # which prints least heights of its own
        grade = 13 if head.kind == "pan" and fasteners.thread(head.thread).major <= 5 else 14
        assert head.height - head.height_min == pytest.approx(tolerance(grade, head.height))


@pytest.mark.parametrize(
    "nut", [n for n in fasteners.nuts() if n.standard.startswith("ISO")], ids=lambda n: f"{n.thread} {n.standard}"
)
def test_least_sizes_of_metric_nuts_follow_from_their_tolerance_classes(nut: Nut) -> None:
    """ISO 4759-1, product grade A: flats h13; height h14, with an insert (ISO 7040) h15."""
    grade = 15 if nut.kind == "self-locking" else 14
    assert nut.across_flats - nut.across_flats_min == pytest.approx(tolerance(13, nut.across_flats))
    assert nut.height - nut.height_min == pytest.approx(tolerance(grade, nut.height))


@pytest.mark.parametrize("washer", [w for w in fasteners.washers() if w.standard == "ISO 7089"], ids=lambda w: w.thread)
def test_limits_of_plain_washers_follow_from_their_tolerance_classes(washer: Washer) -> None:
    """ISO 4759-3, product grade A: inside H13, outside h14."""
    assert washer.inner_max is not None
    assert washer.outer_min is not None
    assert washer.inner_max - washer.inner == pytest.approx(tolerance(13, washer.inner))
    assert washer.outer - washer.outer_min == pytest.approx(tolerance(14, washer.outer))
