"""Worked examples from published sources, set against what dryfit computes."""

from __future__ import annotations

import math

import pytest

from dryfit.generators.checks.screw_length import BOSS_DIAMETERS
from dryfit.generators.seats import seat
from dryfit.generators.stacks import NUT_PITCHES
from dryfit.generators.tightening import preload, torque
from dryfit.models import fasteners
from dryfit.models.fields import Countersink

INCH = 25.4


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


# --- countersink depth -----------------------------------------------------------------------------------------------


def test_depth_of_a_countersink_follows_from_diameters_and_angle() -> None:
    # Machine-shop arithmetic (common practice): depth = (D - d) / 2 / tan(A / 2); 90 degrees, 6.3 on 3.2 mm: 1.55 mm;
    # 82 degrees, 0.2255 in on 0.1285 in: 0.0558 in
    for diameter, hole, angle, depth in ((6.3, 3.2, 90, 1.55), (0.2255 * INCH, 0.1285 * INCH, 82, 0.0558 * INCH)):
        sink = Countersink(diameter=diameter, angle=angle)
        assert sink.depth * (1 - hole / diameter) == pytest.approx(depth, abs=0.005)


def test_a_head_at_its_theoretical_diameter_lies_flush_in_its_own_cone() -> None:
    # ISO 7721: a countersink of the theoretical diameter takes the sharp head flush; the actual head, cut to a smaller
    # diameter, sinks by nothing, for it is the same cone cut off.
    head = fasteners.heads("M3", "countersunk")[0]
    assert head.theoretical is not None
    flush = seat(head, 3.2, Countersink(diameter=head.theoretical, angle=90))
    assert flush.proud == pytest.approx(0.0, abs=1e-9)
    wider = seat(head, 3.2, Countersink(diameter=head.theoretical + 0.4, angle=90))
    assert -wider.proud == pytest.approx(0.2, abs=1e-9)  # 0.4 mm wider: 0.2 / tan 45 deeper


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


# --- floating fastener -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thread", "hole", "play"), [("M3", 3.4, 0.4), ("M4", 4.5, 0.5), ("No. 4", 0.1285 * INCH, 0.42)]
)
def test_floating_fastener_formula(thread: str, hole: float, play: float) -> None:
    # ASME Y14.5, appendix B: T = H - F, the positional tolerance of each part with clearance holes of least diameter H
    # on a fastener of largest diameter F; at nominal F the medium holes of ISO 273 leave 0.4 and 0.5 mm.
    size = fasteners.thread(thread)
    assert hole - size.major == pytest.approx(play, abs=0.005)
    assert hole - size.major_max >= hole - size.major  # what the screw-passes check counts with is never less
