"""Worked examples from published sources, set against what dryfit computes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dryfit.generators.bodies.panel import sink_depth
from dryfit.generators.checks.hole_pattern import allowance
from dryfit.generators.checks.screw_length import BOSS_DIAMETERS
from dryfit.generators.joints.joint import joint
from dryfit.generators.joints.seats import proud_limits, seat
from dryfit.generators.joints.stacks import NUT_PITCHES, Stack, needed_length
from dryfit.generators.joints.tightening import preload, torque
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Boss, Side
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import Cutout, Mounting
from dryfit.models.panel import Hole, Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import Head, Nut, Screw, Thread
from dryfit.models.tables.panels import Material

INCH = 25.4
SHEET = Material("sheet", 2700, 70, 0.33, 150, 0.9, "metal", "any metal: no example here asks for its strength", "")


def mounting(flange: float = 2.0, hole: float = 3.4, boss: Boss | None = None) -> Mounting:
    """Return a part with a flange so thick (mm) and holes so wide in flange and panel, mounted from the front."""
    part = load_catalogue().parts["xlr3-socket"]
    assert part.fixings is not None
    fixings = part.fixings.model_copy(update={"hole": hole, "boss": boss, "seat": None})
    part = part.model_copy(update={"flange": part.flange.model_copy(update={"thick": flange}), "fixings": fixings})
    side: Side = "front" if boss is None else "rear"
    return Mounting("example", part, side, Cutout(part.cutout, fixings.at, hole))


def stack(of: Mounting, on: Panel, screw: Screw, nut: Nut | None = None) -> Stack:
    """Return a screw in the joint of a part on a panel."""
    found = joint(of, on)
    assert found is not None
    return Stack(found, screw, nut)


def screw_of(major_max: float) -> Screw:
    """Return a pan screw of just this largest diameter, mm."""
    thread = replace(fasteners.thread("M3"), major_max=major_max)
    return Screw(thread, fasteners.heads("M3", "pan")[0], 20.0)


def panel(thickness: float = 3.0) -> Panel:
    """Return a bare panel."""
    return Panel(100, 100, thickness, SHEET)


# --- clamp torque ----------------------------------------------------------------------------------------------------


def test_m12_class_8_8_to_seventy_percent_of_proof_takes_82_newton_metres() -> None:
    # A published worked example of T = K F d: M12, class 8.8 (580 MPa), 84.3 mm2, K = 0.2, 70 % of proof: 34 kN, 82 N m
    # ("An M12 8.8 flange bolt", online tutorial on the torque-preload equation, reviewed June 2026).
    force = preload(580, 84.3, share=0.70)
    assert force / 1000 == pytest.approx(34, abs=0.5)
    assert torque(force, 12, 0.20) == pytest.approx(82, abs=0.5)


def test_fifty_newton_metres_give_an_m10_bolt_25_kilonewtons() -> None:
    # A published worked example: M10, class 8.8, 58 mm2, proof 600 MPa, K = 0.20, T = 50 N m: F = 25 kN, 72 % of proof
    # ("M10 class 8.8, dry", online handbook page on bolt torque).
    assert torque(25_000, 10, 0.20) == pytest.approx(50)
    assert 25_000 / preload(600, 58, share=1.0) == pytest.approx(0.718, abs=0.001)


def test_stress_areas_used_for_torque_are_those_of_iso_898_1() -> None:
    # ISO 898-1, nominal stress areas (from memory, as in every handbook): M3 5.03, M4 8.78, M5 14.2, M6 20.1 mm2
    for name, area in {"M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1}.items():
        assert fasteners.thread(name).stress_area == pytest.approx(area, abs=0.05)


# --- clearance hole --------------------------------------------------------------------------------------------------


def test_clearance_holes_of_iso_273() -> None:
    # ISO 273 (from memory, as in every handbook): M3 fine 3.2, medium 3.4, coarse 3.6; M4 4.3, 4.5, 4.8
    for name, holes in {"M3": (3.2, 3.4, 3.6), "M4": (4.3, 4.5, 4.8)}.items():
        assert tuple(c.diameter for c in fasteners.clearances(name)) == holes


@pytest.mark.parametrize(
    ("thread", "fit", "drill"),
    [
        ("No. 4", "normal", "No. 30"),
        ("No. 5", "normal", "5/32 in"),
        ("No. 6", "normal", "No. 18"),
        ("No. 10", "normal", "No. 2"),
    ],
)
def test_drills_that_the_handbook_names_for_clearance_holes(thread: str, fit: str, drill: str) -> None:
    # Machinery's Handbook, 31st edition, p. 1741, table 1a (ASME B18.2.8): drills for holes of normal fit. The table
    # prints No. 18 (0.1695 in) for No. 6, whose hole our table rounds to 0.170 in, so a thousandth is allowed.
    (hole,) = (c for c in fasteners.clearances(fasteners.thread(thread).name) if c.fit == fit)
    (named,) = (d for d in fasteners.drills() if d.name == drill)
    assert hole.diameter == pytest.approx(named.diameter, abs=0.00051 * INCH)


# --- countersink depth -----------------------------------------------------------------------------------------------


def test_depth_of_a_countersink_follows_from_diameters_and_angle() -> None:
    # Machine-shop arithmetic (common practice): depth = (D - d) / 2 / tan(A / 2); 90 degrees, 6.3 on 3.2 mm: 1.55 mm;
    # 82 degrees, 0.2255 in on 0.1285 in: 0.0558 in
    for diameter, hole, angle, depth in ((6.3, 3.2, 90, 1.55), (0.2255 * INCH, 0.1285 * INCH, 82, 0.0558 * INCH)):
        sink = Countersink(diameter=diameter, angle=angle)
        assert sink.depth_in(hole) == pytest.approx(depth, abs=0.005)
        assert sink.across(depth) == pytest.approx(hole, abs=0.01)
        assert sink.across(sink.depth + 0.1) == 0
        assert sink.depth_in(diameter) == sink.depth_in(diameter + 1) == 0


def test_a_head_at_its_theoretical_diameter_lies_flush_in_its_own_cone() -> None:
    # ISO 7721: a countersink of the theoretical diameter takes the sharp head flush; the actual head, cut to a smaller
    # diameter, sinks by nothing, for it is the same cone cut off.
    head = fasteners.heads("M3", "countersunk")[0]
    assert head.theoretical is not None
    flush = seat(head, 3.2, Countersink(diameter=head.theoretical, angle=90))
    assert flush.proud == pytest.approx(0.0, abs=1e-9)
    wider = seat(head, 3.2, Countersink(diameter=head.theoretical + 0.4, angle=90))
    assert -wider.proud == pytest.approx(0.2, abs=1e-9)  # 0.4 mm wider: 0.2 / tan 45 deeper


@pytest.mark.parametrize(
    ("size", "hole", "largest", "depth"),
    [("M3", 3.4, 6.5, 1.55), ("M4", 4.5, 9.6, 2.55), ("M5", 5.5, 10.65, 2.58), ("M6", 6.6, 12.85, 3.13)],
)
def test_countersinks_of_iso_15065_are_as_deep_as_printed_and_take_their_screws(
    size: str, hole: float, largest: float, depth: float
) -> None:
    # ISO 15065 table 1 (from memory): hole, largest countersink and its depth for screws with heads of ISO 7721; the
    # least countersink is the head's theoretical diameter, so the head never stands proud.
    sink = Countersink(diameter=largest, angle=90)
    assert sink.depth - Countersink(diameter=hole, angle=90).depth == pytest.approx(depth, abs=0.0051)
    head = fasteners.heads(size, "countersunk")[0]
    assert head.theoretical is not None
    for diameter in (head.theoretical, largest):
        _, proud = proud_limits(head, hole, Countersink(diameter=diameter, angle=90))
        assert -(largest - head.theoretical) / 2 - 1e-9 <= proud <= 1e-9


@pytest.mark.parametrize(
    ("hole", "diameter", "depth"),
    [(2.9, 5.7, 1.4), (3.4, 6.5, 1.6), (4.5, 8.6, 2.1), (5.5, 10.4, 2.5), (6.6, 12.4, 2.9)],
)
def test_countersinks_of_din_74_1_are_as_deep_as_printed(hole: float, diameter: float, depth: float) -> None:
    # DIN 74-1 (December 1980), table 1, form A, medium, M2.5 to M6: hole, diameter and depth, the depth to the
    # next tenth, as a public copy prints them. The panel's body is cut so deep.
    sunk = Hole(round_(hole), "fixing", countersink=Countersink(diameter=diameter, angle=90))
    assert 0 <= depth - sink_depth(sunk) + 1e-9 <= 0.05 + 2e-9


# ASME B18.6.3, protrusion of countersunk heads above a ring of gaging diameter G: least and greatest for the flat head,
# for the oval head; in inches, as public pages reproduce the tables for type 1 cross recess and for slotted oval heads.
GAGING = {
    "No. 4-40": (0.172, (0.019, 0.032), (0.048, 0.069)),
    "No. 5-40": (0.196, (0.020, 0.034), (0.053, 0.075)),
    "No. 6-32": (0.220, (0.021, 0.036), (0.057, 0.080)),
    "No. 10-32": (0.313, (0.025, 0.042), (0.075, 0.102)),
    "No. 12-24": (0.362, (0.027, 0.045), (0.084, 0.113)),
}


@pytest.mark.parametrize("thread", GAGING)
def test_heads_protrude_above_a_gaging_ring_as_asme_b18_6_3_prints(thread: str) -> None:
    # A gaging ring is a plain hole with a sharp edge, on which `seat` puts the cone; ours is the sharp head at its
    # largest, at 82 degrees, so it stands near the upper limit, which is that of the 80 degree cone.
    ring, flat, oval = GAGING[thread]
    for kind, (least, greatest) in (("countersunk", flat), ("raised countersunk", oval)):
        rest = seat(fasteners.heads(thread, kind)[0], ring * INCH, None)
        assert rest.bearing == "upper edge"
        assert least <= rest.proud / INCH <= greatest
        assert rest.proud / INCH == pytest.approx(greatest, abs=0.003)


# --- engagement ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["M2.5", "M3", "M4", "M5", "M6"])
def test_a_standard_nut_engages_enough_to_break_the_screw_before_its_thread(name: str) -> None:
    # Length of engagement at which the screw breaks before its thread strips, for like materials (published formula, as
    # in Machinery's Handbook, "Working strength of bolts"): Le = 2 At / (0.5 pi (D - 0.64952 p))
    thread, nut = fasteners.thread(name), fasteners.nuts(name, "hexagon")[0]
    needed = 2 * thread.stress_area / (0.5 * math.pi * (thread.major - 0.64952 * thread.pitch))
    assert nut.height >= needed  # and the nut is as strong as its screw (ISO 898-2), so it is made for that
    assert 0.7 * thread.major < needed < BOSS_DIAMETERS["metal"] * thread.major  # one diameter is ample in metal


def test_a_screw_stands_at_least_one_pitch_past_its_nut() -> None:
    # Common practice, and the older aviation rule of thumb (FAA AC 43.13-1B, 7-37: at least one thread protrudes)
    assert NUT_PITCHES >= 1.0


def test_bolt_of_shigleys_example_shows_2_44_threads() -> None:
    # Shigley, Mechanical Engineering Design, table 8-7 and a published solution that applies it: grip 0.5 + 0.625 in,
    # 1/2-13 bolt, nut 7/16 in high: at least 1.5625 in, so 1.75 in is taken and 2.44 threads show past the nut.
    thread = Thread(
        "1/2-13", "inch", "1/2-13", None, "none", 12.7, 12.66, 12.39, INCH / 13, 10.6, None, 91.5, "ASME B1.1", "", ""
    )
    head = Head(
        "1/2-13", "hexagon", "ASME B18.2.1", "none", None, None, None, None, 19.05, 18.7, None, 8.0, 7.7, 0.0, "", ""
    )
    nut = Nut("1/2-13", "hexagon", "ASME B18.2.2", 19.05, 18.7, 22.0, 21.3, 7 / 16 * INCH, 10.9, "3/4 in", "", "")
    bolt = stack(mounting(0.5 * INCH, hole=13.5), panel(0.625 * INCH), Screw(thread, head, 1.75 * INCH), nut)
    assert bolt.grip == pytest.approx(1.125 * INCH)
    assert needed_length(bolt, pitches=0) == pytest.approx(1.5625 * INCH)
    assert bolt.engagement == pytest.approx(7 / 16 * INCH)
    assert bolt.in_pitches(bolt.protrusion) == pytest.approx(2.44, abs=0.005)


@pytest.mark.parametrize(
    ("size", "minor_max", "pitch_min", "needed", "enough"),
    [
        ("No. 4-40", 0.0939, 0.0925, 0.0876, True),
        ("No. 5-40", 0.1062, 0.1054, 0.0991, True),
        ("No. 6-32", 0.1140, 0.1141, 0.1011, True),
        ("No. 10-32", 0.164, 0.1658, 0.146, False),  # this nut is thin for its screw and strips first
    ],
)
def test_full_nut_against_the_handbooks_length_of_engagement(
    size: str, minor_max: float, pitch_min: float, needed: float, enough: bool
) -> None:
    # Machinery's Handbook, "Length of engagement of screw threads", formula 1 (FED-STD-H28/2B appendix B): the screw
    # breaks before equally strong threads strip from Le = 2 At / (pi Kn (1/2 + 0.57735 n (Es - Kn))), Kn the nut's
    # largest minor diameter (2B), Es the screw's least pitch diameter (2A), both of ASME B1.1; inches.
    thread, nut = fasteners.thread(size), fasteners.nuts(size, "hexagon")[0]
    area, n = thread.stress_area / INCH**2, INCH / thread.pitch
    length = 2 * area / (math.pi * minor_max * (0.5 + 0.57735 * n * (pitch_min - minor_max)))
    assert length == pytest.approx(needed, abs=0.001)
    pan = fasteners.heads(size, "pan")[0]
    bolt = stack(mounting(), panel(), Screw(thread, pan, 0.5 * INCH), nut)
    assert bolt.protrusion > 0
    assert (bolt.engagement / INCH >= length) is enough


# Stripping areas in a thread of one diameter's length, 6g on 6H and 2A on 2B, with the limits the formula wants besides
# ours: least pitch diameter outside, greatest minor and pitch diameter inside (ISO 965 6H and ASME B1.1 2B; the 2B ones
# from memory). The areas: Bickford, Introduction to the Design and Behavior of Bolted Joints, 4th ed., as a public page
# reproduces its tables; mm and mm2, inches and square inches.
STRIPPING = {
    "M5": (4.361, 4.334, 4.605, 14.183, 35.366, 49.994),
    "M6": (5.212, 5.153, 5.500, 20.123, 51.875, 73.145),
    "No. 10-32": (0.1658, 0.1640, 0.1736, 0.0200, 0.052, 0.074),
}


@pytest.mark.parametrize("name", STRIPPING)
def test_stripping_areas_of_fed_std_h28_come_out_of_our_thread_limits(name: str) -> None:
    # FED-STD-H28/2B appendix, ASME B1.1 appendix B: As = pi n L D1max (1/2n + (d2min - D1max) / sqrt 3), and
    # An = pi n L dmin (1/2n + (dmin - D2max) / sqrt 3)
    thread = fasteners.thread(name)
    unit = INCH if thread.system == "inch" else 1.0
    outside, minor, pitch_inside, tensile, screw_area, nut_area = STRIPPING[name]
    n, length, least = unit / thread.pitch, thread.major / unit, thread.major_min / unit
    strips = math.pi * n * length * minor * (1 / (2 * n) + (outside - minor) / math.sqrt(3))
    tears = math.pi * n * length * least * (1 / (2 * n) + (least - pitch_inside) / math.sqrt(3))
    printed = 0.0006 if thread.system == "inch" else 0.02  # the inch table prints thousandths; ours rounds to microns
    assert strips == pytest.approx(screw_area, abs=printed)
    assert tears == pytest.approx(nut_area, abs=printed)
    assert thread.stress_area / unit**2 == pytest.approx(tensile, abs=printed)
    # Machinery's Handbook, length of engagement: with twice the tensile area in shear the screw breaks first.
    assert BOSS_DIAMETERS["metal"] * strips >= 2 * tensile


# --- floating fastener -----------------------------------------------------------------------------------------------


def test_floating_fastener_of_asme_y14_5_appendix_b() -> None:
    # ASME Y14.5M appendix B, floating fastener, H = F + T: fasteners of 6 mm at most in holes of 6.44 mm at least let
    # each part's holes lie anywhere in 0.44 mm (figures from memory): two axes, each up to 0.22 mm off, are 0.44 apart.
    assert allowance(stack(mounting(hole=6.44), panel(), screw_of(6.0))) == pytest.approx(2 * 0.44 / 2)


def test_fixed_fastener_of_asme_y14_5_appendix_b() -> None:
    # ASME Y14.5M appendix B, fixed fastener, H = F + 2 T: the same hole with a threaded one gives 0.22 mm for each part
    # (as a public page reproduces it): two axes, each up to 0.11 mm off, are 0.22 mm apart.
    threaded = mounting(hole=6.44, boss=Boss(thread="M6", depth=10))
    assert allowance(stack(threaded, panel(), screw_of(6.0))) == pytest.approx(2 * 0.22 / 2)


@pytest.mark.parametrize("size", ["M3", "M4", "No. 4"])
def test_floating_fastener_formula_holds_for_medium_holes(size: str) -> None:
    # The same formula with the holes of ISO 273 and ASME B18.2.8: both at H = F + T leave T between the axes.
    thread = fasteners.thread(size)
    hole = fasteners.clearances(thread.name)[1].diameter
    assert allowance(stack(mounting(hole=hole), panel(), screw_of(thread.major_max))) == pytest.approx(
        hole - thread.major_max
    )


def test_coating_takes_twice_its_thickness_from_what_a_hole_allows() -> None:
    # ASME Y14.5M appendix B reckons with finished sizes: 0.05 mm on the wall makes the panel's 6.44 mm hole 6.34 mm.
    coated = replace(panel(), coating=0.05)
    assert allowance(stack(mounting(hole=6.44), coated, screw_of(6.0))) == pytest.approx(0.22 + 0.17)
