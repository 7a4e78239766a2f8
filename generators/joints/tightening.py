"""How tight: the torque for a fastener stack, what limits it, and the tools that give it.

Short-form torque: T = K d F, with the nut factor K for what is as bought and not oiled, d the thread's major diameter
and F the preload (Shigley, Mechanical Engineering Design, ch. 8: K = 0.20; F = 0.75 of the proof load where a joint is
to be undone again). Plastic under the head, under the nut or in the boss bears less, and then that limits the preload.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.joints.stacks import Stack
from dryfit.models.tables.fasteners import RackScrew
from dryfit.models.tables.metals import Metal, metals

NUT_FACTOR = 0.20  # K as bought, not oiled: Shigley table 8-15
PRELOAD_SHARE = 0.75  # of the proof load, for joints that are undone again: Shigley, ch. 8
PLASTIC_PRESSURE = 15.0  # MPa under a head or nut for good: a quarter of what usual housings yield at (from memory)
BOSS_SHEAR = 17.0  # MPa: shear strength of usual housing plastics, 30 MPa / sqrt 3 (from memory)
STRIP_MARGIN = 2.0  # of the force that strips a plastic boss, the tightening force is half (common practice)
STRESS_DEPTH = 0.9382  # pitches that the diameter of the stress area is below the major one: ISO 898-1
USUAL_METAL = "zinc"  # what a screw is taken to be where nothing is said: the weaker of what is sold
INCH_POUND = 0.112985  # N m in one pound-force inch


@dataclass(frozen=True)
class Tightening:
    """Torque in N m, the preload in N that it gives, and what limits it: the screw, or the plastic it bears on."""

    torque: float
    preload: float
    limit: str

    @property
    def text(self) -> str:
        """The torque to two figures, rounded down, in N m and in pound-force inches."""
        return f"{_down(self.torque):g} N m ({_down(self.torque / INCH_POUND):g} lbf in)"


def _down(value: float) -> float:
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return math.floor(value / step + 1e-9) * step


def torque(preload: float, diameter: float, nut_factor: float = NUT_FACTOR) -> float:
    """Return T = K d F in N m, for a preload in N and a diameter in mm."""
    return nut_factor * diameter / 1000 * preload


def preload(proof: float, stress_area: float, share: float = PRELOAD_SHARE) -> float:
    """Return the preload in N: a share of the proof load, for a proof stress in MPa and an area in mm2."""
    return share * proof * stress_area


def tightening(stack: Stack) -> Tightening:
    """Return how tight the screws of a place go: the least of what screw, flange, panel and boss bear."""
    force, limit = min(_limits(stack))
    return Tightening(torque(force, stack.thread.major), force, limit)


def rack_limit(screw: RackScrew) -> float:
    """Return the torque in N m that a rack screw of the usual metal must not be given more of."""
    proof = metals()[USUAL_METAL].proof
    assert proof is not None  # screws are made of it
    area = math.pi / 4 * (screw.major - STRESS_DEPTH * screw.pitch) ** 2
    return torque(preload(proof, area), screw.major)


def screw_metal(stack: Stack) -> Metal:
    """Return the metal of the screws: the one asked for, else the usual one."""
    return metals()[stack.metal or USUAL_METAL]


def _limits(stack: Stack) -> Iterator[tuple[float, str]]:
    """Yield every preload in N that must not be exceeded, with what it protects."""
    metal = screw_metal(stack)
    assert metal.proof is not None  # every metal a screw may be wished in has one
    yield preload(metal.proof, stack.thread.stress_area), "the screw"
    joint = stack.joint
    if joint.head.plastic:
        yield PLASTIC_PRESSURE * _ring(stack.screw.head.diameter, stack.head_hole), "plastic under the head"
    if stack.nut is not None and joint.far.plastic:
        outer = min([w.outer for w in stack.washers], default=stack.nut.across_flats)
        yield PLASTIC_PRESSURE * _ring(outer, stack.thread.major), "plastic under the nut"
    if stack.boss is not None and stack.boss.material == "plastic":
        area = math.pi * stack.thread.minor * max(stack.engagement, stack.thread.pitch)
        yield BOSS_SHEAR * area / STRIP_MARGIN, "the plastic boss"


def _ring(outer: float, inner: float) -> float:
    """Return the area of a ring, mm2; a head that hardly covers its hole still bears on something."""
    return math.pi / 4 * max(outer**2 - inner**2, 0.1 * outer**2)


# --- tools ---------------------------------------------------------------------------------------------------------


def screw_tool(stack: Stack) -> str:
    """Return the screwdriver for the head: ``cross-recess driver No. 1 (type H, ISO 4757)``."""
    drive = stack.screw.head.drive
    if drive.startswith("cross recess H size"):
        return f"cross-recess driver No. {drive.rsplit(' ', 1)[1]} (type H, ISO 4757)"
    if drive.startswith("hexagon socket"):
        return f"{drive.removeprefix('hexagon socket ')} hexagon key"
    return "screwdriver for slotted heads, as wide as the slot is long"


def which_turns(stack: Stack) -> str:
    """Return who is turned and who is held, and with what."""
    if stack.nut is None:
        return f"Drive the screws with a {screw_tool(stack)}; start each by hand, and stop when the head seats."
    rest = stack.rest
    nut_tool = f"{stack.nut.driver} {'nut driver' if rest is not None and rest.driver else 'spanner'}"
    if rest is not None and rest.spins:
        return f"Turn the nuts with a {nut_tool}; hold the screws with a {screw_tool(stack)}."
    return f"The nuts cannot spin: turn the screws with a {screw_tool(stack)}, a flat of each nut to the body."
