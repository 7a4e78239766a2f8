"""The fastener tables: what a builder knows of screws, nuts and drills comes out of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.models.reading.errors import UnknownName
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import Head, Nut, Screw

INCH = 25.4
CONFIDENCE = {"two sources", "one source", "derived", "common practice", "from memory"}
MACHINE = tuple(t.name for t in fasteners.threads() if t.standard.startswith(("ISO 724", "ASME")))


def one_head(thread: str, kind: str) -> Head:
    return fasteners.heads(thread, kind)[0]


def one_nut(thread: str, kind: str) -> Nut:
    return fasteners.nuts(thread, kind)[0]


# --- every row -------------------------------------------------------------------------------------------------------

TABLES: dict[str, Callable[[], tuple[Any, ...]]] = {
    "threads": fasteners.threads,
    "heads": fasteners.heads,
    "nuts": fasteners.nuts,
    "washers": fasteners.washers,
    "clearances": fasteners.clearances,
    "drills": fasteners.drills,
    "rivets": fasteners.rivets,
    "forming screws": fasteners.forming_screws,
    "drivers": lambda: tuple(fasteners.drivers().values()),
}


@pytest.mark.parametrize("name", TABLES)
def test_every_row_says_where_it_is_from_and_how_far_that_can_be_trusted(name: str) -> None:
    rows = TABLES[name]()
    assert rows
    assert {row.confidence for row in rows} <= CONFIDENCE
    for row in rows:
        whole = [part for part in row.source.split(";") if "from memory" not in part]
        assert whole or row.confidence == "from memory"  # a row all from memory says no more than that


def test_the_sizes_a_panel_builder_uses_are_all_there() -> None:
    assert MACHINE == (
        "M2.5", "M3", "M4", "M5", "M6", "No. 4-40", "No. 5-40", "No. 6-32", "No. 10-32", "No. 12-24",
    )  # fmt: skip
    for name in MACHINE:
        assert {"countersunk", "raised countersunk", "pan"} <= {h.kind for h in fasteners.heads(name)}
        assert {"hexagon", "self-locking"} <= {n.kind for n in fasteners.nuts(name)}
        assert {w.kind for w in fasteners.washers(name)} == {"plain", "split", "tooth internal", "tooth external"}
        assert [c.fit for c in fasteners.clearances(name)] == ["close", "normal", "loose"]
        assert fasteners.lengths(name)


@pytest.mark.parametrize("row", fasteners.threads(), ids=lambda t: t.name)
def test_a_thread_has_its_sizes_in_order(row: fasteners.Thread) -> None:
    assert row.minor < row.major_min < row.major_max
    assert row.pitch < row.major
    assert fasteners.thread(row.name) is row


@pytest.mark.parametrize("head", fasteners.heads(), ids=lambda h: f"{h.thread} {h.standard} {h.kind} {h.drive}")
def test_a_head_is_wider_than_its_thread_and_has_a_cone_or_a_flat_underside(head: Head) -> None:
    assert fasteners.thread(head.thread).major < head.diameter_min < head.diameter
    assert head.height_min is None or head.height_min < head.height
    cone = "countersunk" in head.kind
    assert (head.angle in {82.0, 90.0}, head.theoretical is not None) == (cone, cone)
    assert head.theoretical is None or head.diameter < head.theoretical
    assert (head.crown > 0) == (head.kind == "raised countersunk")


@pytest.mark.parametrize("nut", fasteners.nuts(), ids=lambda n: f"{n.thread} {n.kind} {n.standard}")
def test_a_nut_has_its_sizes_in_order_and_a_driver_that_goes_over_it(nut: Nut) -> None:
    assert fasteners.thread(nut.thread).major < nut.across_flats_min < nut.across_flats < nut.corners
    assert nut.corners_min is None or nut.across_flats < nut.corners_min < nut.corners
    assert nut.height_min < nut.height
    across = fasteners.drivers()[nut.driver].across
    assert across == pytest.approx(nut.across_flats, abs=0.0011 * INCH)  # inch nuts print 0.376 for 3/8
    assert nut.driver_outside > nut.corners


@pytest.mark.parametrize("washer", fasteners.washers(), ids=lambda w: f"{w.thread} {w.kind}")
def test_a_washer_goes_over_its_thread(washer: fasteners.Washer) -> None:
    assert fasteners.thread(washer.thread).major < washer.inner < washer.outer
    assert washer.inner_max is None or washer.inner < washer.inner_max
    assert washer.outer_min is None or washer.outer_min < washer.outer
    assert washer.thickness < washer.outer
    if washer.thickness_min is not None and washer.thickness_max is not None:
        assert washer.thickness_min < washer.thickness < washer.thickness_max


def test_heads_with_a_cross_recess_come_before_slotted_ones() -> None:
    for name in MACHINE:
        for kind in ("countersunk", "raised countersunk", "pan"):
            drives = [head.drive for head in fasteners.heads(name, kind)]
            assert [drive.split()[0] for drive in drives] == ["cross", "slot"]


def test_clearance_holes_widen_from_close_to_loose_and_pass_the_largest_screw() -> None:
    for name in MACHINE:
        holes = [row.diameter for row in fasteners.clearances(name)]
        assert [fasteners.thread(name).major_max, *holes] == sorted([fasteners.thread(name).major_max, *holes])


# --- trade facts (common practice) -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thread", "kind", "driver"),
    [
        ("M3", "hexagon", "5.5 mm"),
        ("No. 4-40", "hexagon", "1/4 in"),
        ("No. 5-40", "narrow", "1/4 in"),
        ("No. 6-32", "narrow", "1/4 in"),
        ("No. 5-40", "hexagon", "5/16 in"),
        ("No. 6-32", "hexagon", "5/16 in"),
        ("No. 4-40", "narrow", "3/16 in"),
    ],
)
def test_the_driver_that_fits(thread: str, kind: str, driver: str) -> None:
    assert one_nut(thread, kind).driver == driver


@pytest.mark.parametrize("thread", ["No. 4-40", "No. 5-40", "No. 6-32", "No. 10-32"])
def test_narrow_nuts_are_a_sixteenth_smaller(thread: str) -> None:
    wide, narrow = one_nut(thread, "hexagon"), one_nut(thread, "narrow")
    assert wide.across_flats - narrow.across_flats == pytest.approx(INCH / 16)
    assert narrow.height < wide.height


def test_which_inch_screw_passes_which_hole() -> None:
    four, five, six = (fasteners.thread(name).major_max for name in ("No. 4", "No. 5", "No. 6"))
    assert four < 3.1
    assert 3.1 < five < 3.4
    assert 3.4 < six < 3.5 < six + 0.1
    assert five + 0.3 < 9 / 64 * INCH  # drops cleanly into a 9/64 in hole


def test_a_thin_nut_is_lower_and_a_self_locking_nut_higher_than_a_plain_one() -> None:
    for name in ("M3", "M4", "M5", "M6"):
        thin, plain, locking = (one_nut(name, kind).height for kind in ("thin", "hexagon", "self-locking"))
        assert thin < plain < locking


def test_eighth_inch_rivets_want_a_hole_a_little_over_an_eighth() -> None:
    for rivet in fasteners.rivets():
        assert rivet.body_max < rivet.hole_min < rivet.hole_max < rivet.head_diameter
        assert rivet.grip_min < rivet.grip_max < rivet.length
    names = {r.name: r.standard for r in fasteners.rivets()}
    assert names == {"3.2 mm": "ISO 15977", "1/8 in": "IFI 114"}


def test_thread_forming_screws_go_the_way_of_machine_screws_and_have_pilot_holes() -> None:
    for row in fasteners.forming_screws():
        assert {h.kind for h in fasteners.heads(row.name)} == {"countersunk", "pan"}
        assert fasteners.lengths(row.name)
        assert row.core <= row.soft_plastic + 0.1 < row.major
        assert row.soft_plastic < row.hard_plastic < row.major


# --- values to hold on to: as quoted by published secondary sources ---------------------------------------------------


def test_m3_hardware() -> None:
    flat, raised, pan = (one_head("M3", kind) for kind in ("countersunk", "raised countersunk", "pan"))
    assert (flat.angle, flat.theoretical, flat.diameter, flat.diameter_min, flat.height) == (90, 6.3, 5.5, 5.2, 1.65)
    assert raised.crown == 0.7
    assert (pan.standard, pan.diameter, pan.height) == ("ISO 7045", 5.6, 2.4)
    nut, thin = one_nut("M3", "hexagon"), one_nut("M3", "thin")
    assert (nut.across_flats, nut.height, nut.corners_min) == (5.5, 2.4, 6.01)
    assert nut.corners == pytest.approx(6.35, abs=0.005)
    assert thin.height == 1.8
    washers = {w.standard: (w.inner, w.outer, w.thickness) for w in fasteners.washers("M3")}
    assert washers == {"ISO 7089": (3.2, 7, 0.5), "DIN 127": (3.1, 6.2, 0.8), "DIN 6797": (3.2, 6, 0.4)}
    assert [c.diameter for c in fasteners.clearances("M3")] == [3.2, 3.4, 3.6]


INCH_HARDWARE = {  # inches: major; flat head; crown; pan head; nut; normal clearance; narrow nut
    "No. 4-40": (0.112, 0.212, 0.067, 0.037, 0.219, 0.080, 0.250, 0.098, 0.1285, 3 / 16, 1 / 16),
    "No. 5-40": (0.125, 0.237, 0.075, 0.041, 0.245, 0.089, 0.312, 0.114, 0.1563, 1 / 4, 3 / 32),
    "No. 6-32": (0.138, 0.262, 0.083, 0.045, 0.270, 0.097, 0.312, 0.114, 0.170, 1 / 4, 3 / 32),
}


@pytest.mark.parametrize("thread", INCH_HARDWARE)
def test_inch_hardware(thread: str) -> None:
    flat, oval, pan = (one_head(thread, kind) for kind in ("countersunk", "raised countersunk", "pan"))
    full, narrow = one_nut(thread, "hexagon"), one_nut(thread, "narrow")
    _, normal, _ = fasteners.clearances(thread)
    assert flat.angle == oval.angle == 82
    sizes = (
        *(fasteners.thread(thread).major, flat.diameter, flat.height, oval.crown, pan.diameter, pan.height),
        *(full.across_flats, full.height, normal.diameter, narrow.across_flats, narrow.height),
    )
    in_inches = tuple(size / INCH for size in sizes)
    assert in_inches == pytest.approx(INCH_HARDWARE[thread], abs=0.00051)  # sources print three decimals


# --- asking ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("M3", "M3"),
        ("m3", "M3"),
        (" M2.5 ", "M2.5"),
        ("4-40", "No. 4-40"),
        ("No. 4", "No. 4-40"),
        ("no 4", "No. 4-40"),
        ("No. 4-40", "No. 4-40"),
        ("#4-40", "No. 4-40"),
        ("# 12", "No. 12-24"),
        ("st2.9", "ST2.9"),
        ("3.0 mm plastic", "3.0 mm plastic"),
    ],
)
def test_a_thread_answers_to_the_names_people_use(said: str, name: str) -> None:
    assert fasteners.thread(said).name == name


@pytest.mark.parametrize("said", ["M7", "No. 4-48", "", "No.", "-", "40"])
def test_an_unknown_thread_is_refused(said: str) -> None:
    with pytest.raises(UnknownName, match="unknown thread"):
        fasteners.thread(said)


def test_the_nearest_thread_is_offered() -> None:
    with pytest.raises(UnknownName) as caught:
        fasteners.thread("No. 6-23")
    assert caught.value.nearest == "No. 6-32"


@pytest.mark.parametrize(
    ("thread", "nominal", "least", "greatest"),
    [
        ("M3", 3.0, 2.8, 3.2),
        ("M3", 10.0, 9.71, 10.29),
        ("M3", 12.0, 11.65, 12.35),
        ("M6", 60.0, 59.05, 60.95),
        ("ST2.9", 9.5, 8.7, 10.3),
        ("No. 4-40", 0.5 * INCH, 0.48 * INCH, 0.5 * INCH),
        ("No. 4-40", 0.625 * INCH, 0.595 * INCH, 0.625 * INCH),
        ("No. 4-40", 1.25 * INCH, 1.19 * INCH, 1.25 * INCH),
        ("No. 4-40", 2.5 * INCH, 2.41 * INCH, 2.5 * INCH),
    ],
)
def test_a_screw_may_be_so_long(thread: str, nominal: float, least: float, greatest: float) -> None:
    assert fasteners.length_limits(thread, nominal) == pytest.approx((least, greatest))


def test_lengths_have_the_names_they_are_sold_under() -> None:
    assert fasteners.length_name(10.0, "metric") == "10 mm"
    assert fasteners.length_name(0.375 * INCH, "inch") == "3/8 in"
    assert {9.525, 12.7} <= set(fasteners.lengths("No. 4-40"))  # 3/8 in and 1/2 in, to the last bit


# --- drills ----------------------------------------------------------------------------------------------------------


def test_drills_as_sold() -> None:
    sizes = {f: [d.diameter for d in fasteners.drills(f)] for f in ("metric", "fraction", "number", "letter")}
    assert {n / 10 for n in range(10, 141)} <= {round(size, 6) for size in sizes["metric"]}
    assert sizes["fraction"] == pytest.approx([n / 64 * INCH for n in range(4, 33)])
    assert (len(sizes["number"]), len(sizes["letter"])) == (60, 26)
    assert [d.diameter for d in fasteners.drills()] == sorted(d for family in sizes.values() for d in family)


def test_the_next_drill() -> None:
    assert fasteners.next_drill_at_least(3.15, "metric").name == "3.2 mm"
    assert fasteners.next_drill_at_least(0.1285 * INCH, "number").name == "No. 30"
    assert fasteners.next_drill_at_least(0.125 * INCH, "fraction").name == "1/8 in"
    with pytest.raises(UnknownName, match="unknown drill"):
        fasteners.next_drill_at_least(500.0)


@given(st.floats(0.5, 12.5), st.sampled_from([None, "metric", "fraction"]))
def test_the_next_drill_is_the_smallest_that_is_large_enough(wanted: float, family: str | None) -> None:
    found = fasteners.next_drill_at_least(wanted, family).diameter
    assert found > wanted - 1e-6
    assert not [d for d in fasteners.drills(family) if wanted <= d.diameter < found]


# --- designations ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thread", "kind", "length", "text"),
    [
        ("M3", "countersunk", 10.0, "Countersunk flat head screw ISO 7046-1 - M3 x 10 - H"),
        ("M3", "raised countersunk", 10.0, "Raised countersunk head screw ISO 7047 - M3 x 10 - H"),
        ("M2.5", "pan", 8.0, "Pan head screw ISO 7045 - M2.5 x 8 - H"),
        ("M4", "button", 12.0, "Hexagon socket button head screw ISO 7380-1 - M4 x 12"),
        (
            "No. 4-40",
            "countersunk",
            0.375 * INCH,
            "4-40 x 3/8 type I cross recessed flat countersunk head machine screw, ASME B18.6.3",
        ),
        (
            "No. 6-32",
            "raised countersunk",
            1.25 * INCH,
            "6-32 x 1 1/4 type I cross recessed oval countersunk head machine screw, ASME B18.6.3",
        ),
        ("ST2.9", "pan", 9.5, "Tapping screw ISO 7049 - ST2.9 x 9.5 - C - H"),
        ("3.0 mm plastic", "pan", 10.0, "Thread-forming screw 3.0 mm plastic x 10 mm, pan head, cross recess H size 1"),
    ],
)
def test_screws_are_ordered_as_their_standards_write_them(thread: str, kind: str, length: float, text: str) -> None:
    assert Screw(fasteners.thread(thread), one_head(thread, kind), length).designation == text


def test_slotted_screws_say_so() -> None:
    m3, four = fasteners.heads("M3", "countersunk")[1], fasteners.heads("No. 4-40", "pan")[1]
    assert (
        Screw(fasteners.thread("M3"), m3, 10.0).designation == "Slotted countersunk flat head screw ISO 2009 - M3 x 10"
    )
    inch = Screw(fasteners.thread("No. 4"), four, 0.25 * INCH).designation
    assert inch == "4-40 x 1/4 slotted pan head machine screw, ASME B18.6.3"


def test_nuts_and_washers_are_ordered_as_their_standards_write_them() -> None:
    assert [n.designation for n in fasteners.nuts("M3")] == [
        "Hexagon nut ISO 4032 - M3",
        "Hexagon thin nut ISO 4035 - M3",
        "Prevailing torque type hexagon nut ISO 7040 - M3",
        "Prevailing torque type hexagon nut DIN 985 - M3",
        "Hexagon nut with captive tooth washer M3",
    ]
    assert [n.designation for n in fasteners.nuts("No. 4-40")] == [
        "4-40 hex machine screw nut, ASME B18.2.2",
        "4-40 hex machine screw nut, small pattern",
        "4-40 prevailing torque hex nut, ASME B18.16.6",
        "4-40 hex nut with captive tooth washer",
    ]
    assert [w.designation for w in fasteners.washers("M3")] == [
        "Plain washer ISO 7089 - 3",
        "Spring lock washer DIN 127 - B 3",
        "Toothed lock washer DIN 6797 - J 3.2",
        "Toothed lock washer DIN 6797 - A 3.2",
    ]
    assert fasteners.washers("No. 4-40", "split")[0].designation == (
        "No. 4 regular helical spring lock washer, ASME B18.21.1"
    )


def test_no_two_things_to_buy_share_a_designation() -> None:
    screws = [
        Screw(fasteners.thread(head.thread), head, length).designation
        for head in fasteners.heads()
        for length in fasteners.lengths(head.thread)
        if head.standard not in {"ISO 7049", "ISO 7050"}
    ]
    names = [*screws, *(n.designation for n in fasteners.nuts()), *(w.designation for w in fasteners.washers())]
    assert len(set(names)) == len(names)
