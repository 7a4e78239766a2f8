"""Cut-outs, flanges and pitches of the catalogue against the figures of their standards and of the trade.

Sources stand beside each check. `common practice` marks facts of the trade.
"""

from __future__ import annotations

import math

import pytest

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.geometry.outlines import clearance, round_

PARTS = load_catalogue().parts
PLUGS = load_catalogue().plugs


def _pitch(part: Part) -> float:
    assert part.fixings is not None
    return math.dist(part.fixings.at[0], part.fixings.at[1])


# DIN 41652-1 as quoted by secondary text and by an open part library: flange, screw pitch, rear body, mm.
@pytest.mark.parametrize(
    ("ways", "flange", "pitch", "body"),
    [(9, 30.81, 24.99, 19.53), (15, 39.14, 33.32, 27.76), (25, 53.04, 47.04, 41.53), (37, 69.5, 63.5, 57.96)],
)
def test_d_sub_sizes(ways: int, flange: float, pitch: float, body: float) -> None:
    part = PARTS[f"dsub-{ways}"]
    assert part.flange.outline.size == pytest.approx((flange, 12.55), abs=0.005)
    assert _pitch(part) == pytest.approx(pitch, abs=0.005)
    rear = part.rear[0].outline
    assert rear is not None
    assert rear.size == pytest.approx((body, 10.97), abs=0.3)  # its rounded corners take a little off the points
    assert 0.14 < clearance(rear, part.cutout) < 0.5  # 0.5 mm a side, as the text advises, leaves the flange no land
    shell = part.front[0].outline
    assert shell is not None
    assert part.cutout_rear is not None
    assert clearance(shell, part.cutout_rear) > 0.2


# IEC 60320 standard sheet C14 as quoted by an open part library: bodies of 27 x 19 and 28 x 20, two chamfers, 40 mm.
@pytest.mark.parametrize(("name", "body", "chamfer"), [("", (27, 19), 4.5), ("-wide", (28, 20), 5.0)])
def test_iec_c14_inlet(name: str, body: tuple[float, float], chamfer: float) -> None:
    part = PARTS[f"iec-c14-inlet{name}"]
    width, height = part.cutout.size
    assert part.cutout.size == pytest.approx((body[0] + 0.2, body[1] + 0.2))
    assert _pitch(part) == 40
    assert part.cutout.area == pytest.approx(width * height - chamfer**2, abs=1e-6)
    assert all(clearance(s.outline, part.cutout) > 0 for s in part.rear if s.outline is not None)


# Common practice: the D-hole of audio chassis connectors.
@pytest.mark.parametrize("name", [n for n in PARTS if n.startswith("xlr") and not n.endswith(("-old-pitch", "-board"))])
def test_d_hole(name: str) -> None:
    part = PARTS[name]
    assert part.fixings is not None
    assert part.cutout.size == pytest.approx((24, 24))
    assert part.fixings.at == ((-9.5, 12), (9.5, -12))
    assert part.flange.outline.size == pytest.approx((26, 31))


def test_old_pitch_lies_on_the_same_circle() -> None:
    old, new = PARTS["xlr3-socket-old-pitch"], PARTS["xlr3-socket"]
    assert _pitch(old) == pytest.approx(_pitch(new), abs=0.005)
    assert old.fixings is not None
    assert 2 * abs(old.fixings.at[0][0]) == pytest.approx(16.7)


def test_xlr_plug_shell_is_19_mm() -> None:
    """EN 61076-2-103, scope as quoted by secondary text: nominal outer shell diameter 19 mm."""
    shell = PLUGS["xlr-plug-pins"].body[0].outline
    assert shell is not None
    assert shell.size.width == 19


def test_quarter_inch_plug_is_6_35_mm() -> None:
    """IEC 60603-11 as quoted by secondary text: sleeve 6.35 mm."""
    sleeve = PLUGS["jack-6-plug"].nose[0].outline
    assert sleeve is not None
    assert sleeve.size.width == pytest.approx(25.4 / 4)


@pytest.mark.parametrize("size", [16, 20, 25])
def test_glands_pass_their_thread(size: int) -> None:
    """EN 60423: the thread M16, M20, M25 has its nominal diameter; a hole 0.2 to 0.5 mm larger is common practice."""
    part = PARTS[f"gland-m{size}"]
    assert part.bush is not None
    assert part.bush.thread == size
    assert 0.2 <= 2 * clearance(round_(size), part.cutout) <= 0.5


@pytest.mark.parametrize(
    ("name", "hole"), [("din-5", (15, 16)), ("toggle", (6.3, 6.5)), ("jack-6-bush", (9.92, 10.72))]
)
def test_holes_the_trade_drills(name: str, hole: tuple[float, float]) -> None:
    """Common practice (open hardware files and the clearance holes of a 3/8 in bush)."""
    low, high = hole
    assert low <= PARTS[name].cutout.size.width <= high
